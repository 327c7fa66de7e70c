package tempo

import (
	"fmt"
	"math"
)

// maxMicros is the largest value of the 24 bits of a set-tempo event.
const maxMicros = 1<<24 - 1

// Micros returns the tempo as a set-tempo event (FF 51 03) of a Standard MIDI
// File 1.0 holds it, in whole microseconds per quarter note, 60e6/b rounded.
// It is an error if that is not in [1, 16777215], that is below 3.58 BPM or
// for a tempo that is not a number.
func (b BPM) Micros() (int, error) {
	us := math.Round(60e6 / float64(b))
	if !(us >= 1 && us <= maxMicros) {
		return 0, fmt.Errorf("tempo: %v BPM is outside what a set-tempo event can hold", float64(b))
	}
	return int(us), nil
}

// FromMicros returns the tempo of a set-tempo value in microseconds per
// quarter note, 60e6/us. A tempo that was stored as such a value comes back
// within half a microsecond: 165 BPM as 165.000165.
func FromMicros(us int) BPM { return BPM(60e6 / float64(us)) }

// xmlNames are the MusicXML 4.0 note-type-values from maxima to 1024th.
var xmlNames = [...]string{
	"maxima", "long", "breve", "whole", "half", "quarter", "eighth",
	"16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
}

// MusicXML returns the type element of a MusicXML 4.0 note of value v; dots
// and time-modification elements are v.Dots, v.Actual and v.Normal. It is ""
// if v is not valid.
func (v NoteValue) MusicXML() string {
	if v.Validate() != nil {
		return ""
	}
	return xmlNames[v.Halvings-maxima]
}

// FromMusicXML returns the note value of a MusicXML 4.0 note: its type, the
// number of its dot elements, and actual-notes and normal-notes of its
// time-modification, 0 and 0 without one.
func FromMusicXML(noteType string, dots, actual, normal int) (NoteValue, error) {
	for i, name := range xmlNames {
		if name == noteType {
			v := NoteValue{Halvings: i + maxima, Dots: dots, Actual: actual, Normal: normal}
			if err := v.Validate(); err != nil {
				return NoteValue{}, err
			}
			return v, nil
		}
	}
	return NoteValue{}, fmt.Errorf("tempo: MusicXML note type %q is unknown", noteType)
}
