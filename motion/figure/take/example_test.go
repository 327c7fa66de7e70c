package take_test

import (
	"bytes"
	"fmt"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/figure/take"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// demo is the review of a demo take.
func demo(name string) *review.Review {
	export, settings, err := testdata.Take(name)
	if err != nil {
		panic(err)
	}
	setup, err := review.ParseSetup(bytes.NewReader(settings))
	if err != nil {
		panic(err)
	}
	o, _ := setup.Tracks(true)
	rec, err := tracks.Read(bytes.NewReader(export), o)
	if err != nil {
		panic(err)
	}
	r, err := review.Run(rec, setup, review.Options{})
	if err != nil {
		panic(err)
	}
	return r
}

var tutor, beginner = demo("tutor"), demo("beginner-1")

// A figure of a take for a page, and one for a slide.
func Example() {
	svg := figure.SVG(take.Path(tutor), figure.Options{Width: 343})
	png := figure.PNG(take.Strokes(tutor), figure.Options{Width: 800})
	fmt.Printf("%.4s %.3s\n", svg, png[1:])
	// Output: <svg PNG
}

func ExampleFilm() {
	f := take.Film(tutor)
	for _, a := range f.Arrows {
		fmt.Printf("%s: %+.2f, %+.2f\n", a.Name, a.X, a.Y)
	}
	fmt.Printf("%.1f %s a mm\n", f.PerMM, f.Unit)
	// Output:
	// treble side: +0.07, +1.00
	// outward: +1.00, -0.07
	// 12.0 px a mm
}

func ExamplePath() {
	f := take.Path(tutor)
	fmt.Printf("%d samples in %s, axis at %.1f°\n", len(f.Out), f.Unit, f.Angle.Value.Degrees())
	fmt.Println(len(f.Strings), "strings, heights known:", f.HeightsKnown)
	// Output:
	// 4801 samples in mm, axis at 21.5°
	// 4 strings, heights known: true
}

func ExampleTurns() {
	f := take.Turns(tutor)
	fmt.Println(len(f.AfterDown.Across), "turns after downstrokes,", len(f.AfterUp.Across), "after upstrokes, across and", f.Second)
	// Output: 109 turns after downstrokes, 109 after upstrokes, across and out
}

func ExampleStrokes() {
	f := take.Strokes(beginner)
	settled := 0
	for _, s := range f.Strokes {
		if s.Settled {
			settled++
		}
	}
	fmt.Println(len(f.Strokes), "strokes,", settled, "settled")
	// Output: 131 strokes, 58 settled
}

func ExampleRate() {
	f := take.Rate(tutor)
	fmt.Printf("%.1f notes per second in %d cycles\n", f.Typical, len(f.Rate))
	// Output: 11.0 notes per second in 217 cycles
}

func ExampleAngle() {
	f := take.Angle(tutor)
	fmt.Printf("the first stroke: %.1f° (%.1f° to %.1f°)\n", f.Angle[0], f.Low[0], f.High[0])
	// Output: the first stroke: 20.0° (19.5° to 20.5°)
}

func ExampleCarry() {
	f := take.Carry(tutor)
	fmt.Printf("%d strokes, the first %.2f\n", len(f.Carry), f.Carry[0])
	// Output: 216 strokes, the first 0.25
}

func ExampleEarlyLate() {
	for _, p := range take.EarlyLate(beginner).Pairs {
		fmt.Printf("%s (%s): %d early, %d late\n", p.Name, p.Unit, len(p.Early), len(p.Late))
	}
	// Output:
	// path angle (degrees): 36 early, 32 late
	// stroke duration (ms): 38 early, 36 late
	// stroke length (mm): 36 early, 32 late
}

// The mean cycle of the longest settled span.
func ExampleCycle() {
	f := take.Cycle(tutor)
	fmt.Println(len(f.Mean.Across), "places, the downstroke in", f.Mean.Down, "of them, across and", f.Second)
	// Output: 90 places, the downstroke in 45 of them, across and out
}

func ExampleSpans() {
	f := take.Spans(beginner)
	for i, p := range f.Strips[0].Parts {
		fmt.Printf("%d: %s from %.1f to %.1f s\n", i+1, p.Kind, p.Start, p.End)
	}
	// Output:
	// 1: searching from 0.0 to 3.3 s
	// 2: settled from 3.3 to 4.9 s
	// 3: searching from 4.9 to 8.2 s
	// 4: settled from 8.2 to 9.3 s
	// 5: settled from 9.3 to 11.0 s
	// 6: searching from 11.0 to 13.1 s
	// 7: searching from 13.8 to 15.0 s
	// 8: settled from 15.0 to 16.2 s
	// 9: settled from 16.2 to 18.9 s
	// 10: searching from 18.9 to 19.9 s
}

func ExampleDrive() {
	f := take.Drive(tutor)
	for _, s := range f.Shares {
		fmt.Printf("%s in %d strokes\n", s.Name, len(s.Strokes))
	}
	// Output:
	// shoulder + elbow in 216 strokes
	// forearm rotation + wrist + fingers and grip in 216 strokes
}

// Without an elbow the share of the arm is read from the wrist, with a wide
// interval.
func ExampleShares() {
	for _, s := range take.Shares(tutor).Shares {
		fmt.Printf("%s: %.2f (%.2f to %.2f)\n", s.Name, s.Value.Value, s.Value.Low, s.Value.High)
	}
	// Output:
	// shoulder + elbow: 0.33 (0.05 to 0.62)
	// forearm rotation + wrist + fingers and grip: 0.67 (0.38 to 0.95)
}
