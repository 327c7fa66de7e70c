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
