package review_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// A film of 240 frames a second, saved to play at 30.
func ExampleTimeBase_Questions() {
	b := review.TimeBase{
		Rate:      estimate.Value[tempo.NotesPerSecond]{Value: 1.38, Low: 1.36, High: 1.4, Level: 0.95, N: 40},
		FrameRate: 30,
	}
	for _, q := range b.Questions() {
		fmt.Println(q)
	}
	b.SlowedBy = 1 // the answer: no, this was played slowly
	fmt.Println(len(b.Questions()))
	// Output:
	// 1.4 strokes a second in a film of 30 frames a second: does the film play in slow motion? If it plays 4 times slower than life, 5.5 strokes a second were played, if 8 times, 11. Say how many times (slowed_by), or 1 if it plays as in life.
	// 0
}

// The player kept to a click of 165 BPM, in sixteenths.
func ExampleTimeBase_Tempo() {
	b := review.TimeBase{Rate: estimate.Value[tempo.NotesPerSecond]{Value: 1.38, Low: 1.36, High: 1.4, Level: 0.95, N: 40}}
	fit, err := b.Tempo(165, tempo.Sixteenth)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(fit.SlowedBy)
	fmt.Println(fit.Text)
	// Output:
	// 8
	// The film plays 8 times slower than life: 1.38 strokes a second (1.36 to 1.4) were found, the tempo makes 11 strokes a second of 16 notes at 165 BPM. Set slowed_by to 8.
}

// From 4 to 7 s of life, the film plays eight times slower.
func ExampleTimeBase_Jumps() {
	film := slowed(4, 7, 8)
	for _, j := range (review.TimeBase{Path: film}).Jumps() {
		fmt.Printf("%.0f s: factor %.1g, of the frames too: %v\n", j.At, j.Factor.Value, j.Stamps)
	}
	fmt.Println((review.TimeBase{Path: film}).Questions()[0])
	// Output:
	// 4 s: factor 8, of the frames too: true
	// 28 s: factor 0.1, of the frames too: true
	// The strokes are several times slower from 4.0 to 27.6 s (7.9 times, 7.8 to 8.1), from one stroke to the next and without becoming longer or shorter, and the frames stand further apart there by as much: does the film play in slow motion there? If so, cut the take at 4.0 s and 27.6 s and review the parts by themselves, the slow one with slowed_by 8; of the take as a whole no time, rate or speed means anything.
}
