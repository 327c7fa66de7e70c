package tempo_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/tempo"
)

func ExampleBPM_NotesPerSecond() {
	fmt.Printf("%.2f\n", tempo.BPM(165).NotesPerSecond(tempo.Sixteenth))
	fmt.Printf("%.2f\n", tempo.BPM(200).NotesPerSecond(tempo.Sixteenth))
	fmt.Printf("%.2f\n", tempo.BPM(120).NotesPerSecond(tempo.EighthTriplet))
	// Output:
	// 11.00
	// 13.33
	// 6.00
}

func ExampleNotesPerSecond_BPM() {
	r := tempo.NotesPerSecond(11)
	fmt.Printf("%.0f BPM of sixteenths, %.1f Hz of cycles\n", r.BPM(tempo.Sixteenth), r.Hz())
	// Output:
	// 165 BPM of sixteenths, 5.5 Hz of cycles
}

func ExampleFromHz() {
	fmt.Println(tempo.FromHz(5.5))
	// Output:
	// 11
}

func ExampleMarked() {
	dotted := tempo.NoteValue{Dots: 1}
	b := tempo.Marked(dotted, 80)
	fmt.Println(b, "quarters a minute,", b.In(dotted), "dotted quarters")
	// Output:
	// 120 quarters a minute, 80 dotted quarters
}

func ExampleParseNoteValue() {
	for _, name := range []string{"sixteenths", "8.", "8t", "16(5:4)", "triplet eighths", "dotted crotchets", "sextuplets"} {
		v, err := tempo.ParseNoteValue(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		num, den := v.Fraction()
		fmt.Printf("%v is %d/%d of a quarter\n", v, num, den)
	}
	_, err := tempo.ParseNoteValue("triplets")
	fmt.Println(err)
	// Output:
	// 16 is 1/4 of a quarter
	// 8. is 3/4 of a quarter
	// 8t is 1/3 of a quarter
	// 16(5:4) is 1/5 of a quarter
	// 8t is 1/3 of a quarter
	// 4. is 3/2 of a quarter
	// 16(6:4) is 1/6 of a quarter
	// tempo: note value "triplets": triplets of which note? Write for example "eighth triplets", "quarter triplets" or "8t"
}

func ExampleNoteValue_NotesPerBeat() {
	fmt.Println(tempo.Sextuplet.NotesPerBeat(tempo.Quarter))
	fmt.Println(tempo.Sixteenth.NotesPerBeat(tempo.NoteValue{Dots: 1}))
	// Output:
	// 6
	// 6
}

func ExampleFromMusicXML() {
	v, err := tempo.FromMusicXML("16th", 0, 6, 4)
	fmt.Println(v, v.MusicXML(), err)
	// Output:
	// 16(6:4) 16th <nil>
}

// The set-tempo event of 165 BPM in a Standard MIDI File is FF 51 03 05 8C 74.
func ExampleBPM_Micros() {
	us, err := tempo.BPM(165).Micros()
	fmt.Printf("%d % X %v\n", us, []byte{byte(us >> 16), byte(us >> 8), byte(us)}, err)
	fmt.Printf("%.6f\n", tempo.FromMicros(us))
	// Output:
	// 363636 05 8C 74 <nil>
	// 165.000165
}

func ExampleFromTurns() {
	// Turns of a take at 10 notes per second, down strokes a little quicker;
	// one turn was not seen, and there is a pause.
	turns := []float64{
		0.00, 0.09, 0.20, 0.29, 0.401, 0.49, 0.60, 0.691, 0.80, 0.892, 1.00,
		1.20, 1.29, 1.40, 1.49, math.NaN(), 3.00, 3.09, 3.199, 3.29, 3.40,
	}
	v := tempo.FromTurns(turns, tempo.Options{})
	fmt.Printf("%.2f notes per second, %.2f to %.2f, from %d cycles\n", v.Value, v.Low, v.High, v.N)
	fmt.Printf("%.0f BPM of sixteenths\n", v.Value.BPM(tempo.Sixteenth))
	// Output:
	// 9.99 notes per second, 9.97 to 10.01, from 14 cycles
	// 150 BPM of sixteenths
}

func ExampleFromSpans() {
	v := tempo.FromSpans([][]float64{{0, 0.1, 0.2, 0.3}, {9, 9.1, 9.2}}, tempo.Options{})
	fmt.Printf("%.1f from %d cycles\n", v.Value, v.N)
	// Output:
	// 10.0 from 3 cycles
}

func ExampleSpectral() {
	// Twenty seconds at 120 frames per second; the hand hides a tenth of every
	// cycle.
	const f = 5.5
	across := make([]float64, 20*120)
	for i := range across {
		t := float64(i) / 120
		across[i] = 6*math.Sin(2*math.Pi*f*t) + 0.3*math.Sin(4*math.Pi*f*t)
		if math.Mod(t*f, 1) < 0.1 {
			across[i] = math.NaN()
		}
	}
	v := tempo.Spectral([][]float64{across}, 120, tempo.SpectralOptions{})
	fmt.Printf("%.2f notes per second\n", v.Value)

	v = tempo.Spectral([][]float64{across[:60]}, 120, tempo.SpectralOptions{})
	fmt.Println(v.Absent.Why)
	// Output:
	// 11.00 notes per second
	// the known samples span fewer than 4 cycles
}

func ExampleWorkspace() {
	// The last two seconds of a stream, looked at every half second.
	var w tempo.Workspace
	across := make([]float64, 480)
	for i := range across {
		across[i] = math.Sin(2 * math.Pi * (4 + float64(i)/240) * float64(i) / 120)
	}
	for end := 240; end <= len(across); end += 60 {
		v := w.Spectral([][]float64{across[end-240 : end]}, 120, tempo.SpectralOptions{})
		fmt.Printf("%.1f notes per second\n", v.Value)
	}
	// Output:
	// 10.0 notes per second
	// 11.0 notes per second
	// 12.0 notes per second
	// 13.0 notes per second
	// 14.0 notes per second
}

func ExampleLombScargle() {
	y := make([]float64, 600)
	for i := range y {
		y[i] = math.Sin(2 * math.Pi * 5.5 * float64(i) / 120)
		if i%7 == 0 {
			y[i] = math.NaN()
		}
	}
	fmt.Printf("%.2f\n", tempo.LombScargle(nil, y, 120, []float64{5, 5.5, 6}))
	// Output:
	// [0.02 1.00 0.01]
}

func ExampleNoteValue_Quarters() {
	fmt.Println(tempo.Sixteenth.Quarters(), tempo.NoteValue{Halvings: -1, Dots: 1}.Quarters())
	// Output:
	// 0.25 3
}

func ExampleNoteValue_Validate() {
	fmt.Println(tempo.NoteValue{Halvings: 20}.Validate() != nil, tempo.Eighth.Validate())
	// Output:
	// true <nil>
}
