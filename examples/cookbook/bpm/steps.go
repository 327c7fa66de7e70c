package main

import "github.com/plectrace/plectrace/tempo"

// ratesAt returns the notes per second of each note value at each tempo, which a
// metronome counts in beats per minute.
func ratesAt(tempi []float64, beat tempo.NoteValue, values []tempo.NoteValue) [][]float64 {
	var rows [][]float64
	for _, perMinute := range tempi {
		bpm := tempo.Marked(beat, perMinute)
		var row []float64
		for _, v := range values {
			row = append(row, float64(bpm.NotesPerSecond(v)))
		}
		rows = append(rows, row)
	}
	return rows
}

// tempiAt returns the way back: the beats per minute at which notes of each value come
// at each rate.
func tempiAt(rates []float64, beat tempo.NoteValue, values []tempo.NoteValue) [][]float64 {
	var rows [][]float64
	for _, rate := range rates {
		var row []float64
		for _, v := range values {
			row = append(row, tempo.NotesPerSecond(rate).BPM(v).In(beat))
		}
		rows = append(rows, row)
	}
	return rows
}
