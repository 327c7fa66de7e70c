package simulate_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

func ExampleMake() {
	take, err := simulate.Make(simulate.Options{
		Seed:      1,
		Rate:      11, // sixteenths at 165 BPM
		PathAngle: 20 * circular.Degree,
		DropOuts:  0.01,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tip, _ := take.Recording.Point("tip")
	fmt.Printf("%d samples in %s\n", tip.Len(), take.Recording.Unit)
	fmt.Printf("%d strokes, %.1f notes/s\n", len(take.Truth.Strokes), take.Truth.Rate)
	fmt.Printf("path angle %.0f degrees, clears %s\n", take.Truth.PathAngle.Degrees(), take.Truth.Clearing)
	// Output:
	// 4801 samples in px
	// 219 strokes, 11.0 notes/s
	// path angle 20 degrees, clears after downstrokes
}

// A take that searches, settles, and searches again.
func ExampleOptions() {
	take, err := simulate.Make(simulate.Options{
		Duration: 12,
		Plan: []simulate.Stretch{
			{Start: 0, Search: simulate.Fresh},
			{Start: 4}, // settled
			{Start: 9, Search: simulate.Wander},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range take.Truth.Spans {
		fmt.Printf("%4.1f to %4.1f s settled %v\n", s.Start, s.End, s.Settled)
	}
	// Output:
	//  0.0 to  4.0 s settled false
	//  4.0 to  9.0 s settled true
	//  9.0 to 12.0 s settled false
}

func ExamplePresets() {
	for _, p := range simulate.Presets() {
		take, err := simulate.Make(p.Options)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-10s %4.1f notes/s settled, %2.0f %% of the time\n", p.Name, take.Truth.SettledRate, 100*take.Truth.SettledShare)
	}
	// Output:
	// beginner-1  6.9 notes/s settled, 47 % of the time
	// beginner-2  8.2 notes/s settled, 78 % of the time
	// tutor      11.0 notes/s settled, 93 % of the time
}

// A telephone's film that is slowed by 8 from the second to the third second:
// four real seconds fill eleven.
func ExampleTake_FilmTime() {
	take, err := simulate.Make(simulate.Options{Duration: 4, SlowAt: 2, SlowUntil: 3, SlowBy: 8})
	if err != nil {
		fmt.Println(err)
		return
	}
	t := take.Recording.T
	fmt.Printf("%d frames of %.1f ms\n", len(t), 1000*(t[1]-t[0]))
	for _, at := range []float64{1, 2.5, 4} {
		fmt.Printf("what happens at %.1f s is on the film at %.1f s\n", at, take.FilmTime(at))
	}
	// Output:
	// 331 frames of 33.3 ms
	// what happens at 1.0 s is on the film at 1.0 s
	// what happens at 2.5 s is on the film at 6.0 s
	// what happens at 4.0 s is on the film at 11.0 s
}

// The inverse: which moment of the playing a stamp of the film shows.
func ExampleTake_RealTime() {
	take, err := simulate.Make(simulate.Options{Duration: 4, SlowAt: 2, SlowUntil: 3, SlowBy: 8})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f s\n", take.RealTime(6))
	// Output:
	// 2.50 s
}

// A telephone 60 cm behind the bridge and 15 degrees above the strings, a card
// held before it, a string touched, then playing that the wrist carries.
func ExampleMake_camera() {
	take, err := simulate.Make(simulate.Options{
		PathAngle: 20 * circular.Degree,
		Distance:  600, Raise: 15 * circular.Degree,
		Card: true, TouchFor: 1,
		Arm: true, Shares: simulate.Shares{Elbow: 0.1, Wrist: 0.9},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tr := take.Truth
	foot, top := tr.Card[1], tr.Card[2]
	fmt.Printf("the card's edge at the treble side is %.0f px high\n", foot[1]-top[1])
	fmt.Printf("string %d is touched at %.1f s, the first stroke begins at %.1f s\n", tr.TouchString, tr.TouchAt, tr.Strokes[0].Start)
	fmt.Printf("the wrist has %.1f of the travel, the elbow %.1f\n", tr.Shares.Wrist, tr.Shares.Elbow)
	fmt.Printf("%d points are tracked\n", len(take.Recording.Points))
	// Output:
	// the card's edge at the treble side is 643 px high
	// string 3 is touched at 1.8 s, the first stroke begins at 2.8 s
	// the wrist has 0.9 of the travel, the elbow 0.1
	// 13 points are tracked
}
