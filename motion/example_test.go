package motion_test

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// From a recording to its strokes: the marks give the instrument frame, the tip
// is cleaned and placed in it.
func Example() {
	take, err := simulate.Make(simulate.Options{
		Seed: 1, Rate: 11, PathAngle: 20 * circular.Degree, // sixteenths at 165 BPM
		TrackMarks: true, Outliers: 0.002,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	frame, err := trajectory.NewFrame(&take.Recording, trajectory.FrameOptions{
		View: trajectory.EndOn,
		Marks: trajectory.Marks{
			Bass:   trajectory.Mark{Point: "bass"},
			Treble: trajectory.Mark{Point: "treble"},
		},
		DistanceMM: 50,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tip, _ := take.Recording.Point("tip")
	clean, cuts, err := trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	placed, err := frame.Place(trajectory.Placed{}, clean)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := motion.Analyze(placed, motion.Options{AxisError: frame.AxisError})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := m.Strokes[100]
	fmt.Printf("%d strokes, %d cuts, a cycle of %.2f s\n", len(m.Strokes), len(cuts), m.Cycle)
	fmt.Printf("stroke 100 goes %s for %.0f mm at %.0f degrees\n", s.Direction, s.Length, s.PathAngle.Degrees())
	fmt.Println("the tip clears the strings:", m.Clear().Clearing)
	// Output:
	// 219 strokes, 14 cuts, a cycle of 0.18 s
	// stroke 100 goes up for 11 mm at 20 degrees
	// the tip clears the strings: after downstrokes
}

// example is a simulated take from the film to its strokes, as in the package
// example.
func example(o simulate.Options) *motion.Motion {
	_, m, err := analyzed(o)
	if err != nil {
		panic(err)
	}
	return m
}

// A tip that swings 10 mm ten times a second, 20 degrees to the string plane.
func ExampleAnalyze() {
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	sin, cos := math.Sincos(20 * math.Pi / 180)
	for i := range 481 { // 2 s at 240 frames/s
		t := float64(i) / 240
		swing := -5 * math.Cos(math.Pi*10*t)
		p.T = append(p.T, t)
		p.Across = append(p.Across, swing*cos)
		p.Out = append(p.Out, swing*sin)
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d strokes, %.0f samples each\n", len(m.Strokes), m.SamplesPerStroke)
	for _, s := range m.Strokes[8:10] {
		fmt.Printf("%-4s at %.2f s: %.1f mm in %.0f ms, path angle %.0f degrees\n",
			s.Direction, s.Start, s.Length, 1000*s.Duration(), s.PathAngle.Degrees())
	}
	for _, a := range m.Absent {
		fmt.Printf("no %s: %s\n", a.What, a.Why)
	}
	// Output:
	// 20 strokes, 24 samples each
	// down at 0.80 s: 10.0 mm in 100 ms, path angle 20 degrees
	// up   at 0.90 s: 10.0 mm in 100 ms, path angle 20 degrees
	// no skew: this view does not show travel along the strings
}

// What cannot be had is absent, and says why.
func ExampleAnalyze_tooFewSamples() {
	m := example(simulate.Options{FrameRate: 30, Rate: 13})
	fmt.Println(len(m.Strokes), "strokes")
	for _, a := range m.Absent {
		fmt.Printf("no %s: %s\n", a.What, a.Why)
	}
	// Output:
	// 0 strokes
	// no strokes: 2.3 samples per stroke; strokes and their timing need 4
}

func ExampleMotion_Clear() {
	m := example(simulate.Options{Seed: 1, PathAngle: 20 * circular.Degree, Clearing: "after downstrokes"})
	c := m.Clear()
	fmt.Println("clears:", c.Clearing)
	fmt.Printf("after downstrokes %.1f mm above the strings, after upstrokes %.1f mm below\n", c.AfterDown.Value, -c.AfterUp.Value)
	fmt.Printf("a downstroke rises %.1f mm\n", c.Rise.Value)
	// Output:
	// clears: after downstrokes
	// after downstrokes 0.7 mm above the strings, after upstrokes 2.7 mm below
	// a downstroke rises 3.4 mm
}

func ExampleMotion_TurnScatter() {
	steady := example(simulate.Options{Seed: 1, LengthScatter: 0.03})
	rough := example(simulate.Options{Seed: 1, LengthScatter: 0.12})
	for _, m := range []*motion.Motion{steady, rough} {
		fmt.Printf("treble side %.1f mm, bass side %.1f mm\n",
			m.TurnScatter(motion.Down).Value, m.TurnScatter(motion.Up).Value)
	}
	// Output:
	// treble side 0.2 mm, bass side 0.2 mm
	// treble side 0.8 mm, bass side 0.7 mm
}

// A pause is no long stroke: NaN stands between the strokes around it.
func ExampleTurnTimes() {
	m := example(simulate.Options{Seed: 1, Duration: 3, Rate: 5, Pauses: []simulate.Pause{{At: 1, For: 1}}})
	for _, t := range motion.TurnTimes(m.Strokes) {
		fmt.Printf("%.1f ", t)
	}
	fmt.Println()
	// Output:
	// 0.2 0.4 0.6 0.8 1.0 1.2 NaN 2.2 2.4 2.6 2.8 3.0
}

func ExampleStroke_Duration() {
	s := motion.Stroke{Direction: motion.Down, Start: 1.250, End: 1.341}
	fmt.Printf("%.0f ms\n", 1000*s.Duration())
	// Output: 91 ms
}

func ExampleStroke_Middle() {
	s := motion.Stroke{Direction: motion.Down, Start: 1.25, End: 1.35}
	fmt.Printf("%.2f s\n", s.Middle())
	// Output: 1.30 s
}

// A stroke with a hidden turn counts for rate and direction, and has no length.
func ExampleStroke_TurnHidden() {
	m := example(simulate.Options{Seed: 1, HideDown: 0.2})
	hidden, measured := 0, 0
	for _, s := range m.Strokes {
		if s.TurnHidden() {
			hidden++
			if !math.IsNaN(s.Length) {
				measured++
			}
		}
	}
	fmt.Printf("%d of %d strokes have a hidden turn, %d of them a length\n", hidden, len(m.Strokes), measured)
	// Output:
	// 34 of 199 strokes have a hidden turn, 0 of them a length
}

func ExampleDirection() {
	var back motion.Direction
	text, _ := json.Marshal([]motion.Direction{motion.Down, motion.Up})
	err := json.Unmarshal([]byte(`"up"`), &back)
	fmt.Printf("%s %v %v\n", text, back, err)
	fmt.Printf("%q is not known\n", motion.DirectionUnknown)
	// Output:
	// ["down","up"] up <nil>
	// "" is not known
}

func ExampleClearing() {
	var back motion.Clearing
	text, _ := json.Marshal(motion.ClearsAfterDownstrokes)
	fmt.Printf("%s\n", text)
	if err := json.Unmarshal([]byte(`"sideways"`), &back); err != nil {
		fmt.Println(err)
	}
	// Output:
	// "after downstrokes"
	// motion: unknown clearing "sideways"
}

func ExampleExpectedNoise() {
	// 0.5 px of noise, strokes of 100 px, 20 samples each.
	n := motion.ExpectedNoise(0.5/100, 20)
	fmt.Printf("angle %.2f degrees, duration %.1f %%, length %.1f %%\n", n.Angle.Degrees(), 100*n.Duration, 100*n.Length)
	// Output:
	// angle 0.12 degrees, duration 0.3 %, length 0.3 %
}

// placedTip is the tip of a take in the instrument frame, as it was tracked.
func placedTip(take *simulate.Take) trajectory.Placed {
	frame, err := trajectory.NewFrame(&take.Recording, trajectory.FrameOptions{
		View:       trajectory.EndOn,
		Marks:      trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:2]}, Treble: trajectory.Mark{At: take.Truth.Treble[:2]}},
		DistanceMM: take.Truth.MarkDistance,
	})
	if err != nil {
		panic(err)
	}
	p, err := frame.Place(trajectory.Placed{}, take.Recording.Points[0])
	if err != nil {
		panic(err)
	}
	return p
}

func ExampleAnalyzer() {
	take, err := simulate.Make(simulate.Options{Seed: 1})
	if err != nil {
		panic(err)
	}
	p := placedTip(take)
	whole, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		panic(err)
	}

	// The same in pieces of six seconds, as a program does that cannot wait.
	var a motion.Analyzer
	until, n := 0.0, 0
	for end := 1440; end <= p.Len(); end += 240 {
		piece := p
		piece.T, piece.Across, piece.Out = p.T[end-1440:end], p.Across[end-1440:end], p.Out[end-1440:end]
		m, err := a.Analyze(piece, motion.Options{})
		if err != nil {
			panic(err)
		}
		last := piece.T[len(piece.T)-1] - 1 // the last second may still change
		for _, s := range m.Strokes {
			if s.Middle() > until && s.End <= last {
				until, n = s.End, n+1
			}
		}
		a.Keep(last)
	}
	for _, s := range whole.Strokes {
		if s.Middle() > until {
			n++
		}
	}
	fmt.Println(n == len(whole.Strokes))
	// Output:
	// true
}

func ExampleAnalyzer_Analyze() {
	take, err := simulate.Make(simulate.Options{Seed: 1})
	if err != nil {
		panic(err)
	}
	var a motion.Analyzer
	m, err := a.Analyze(placedTip(take), motion.Options{})
	if err != nil {
		panic(err)
	}
	n := len(m.Strokes) // m is that of the next call from then on
	_, err = a.Analyze(trajectory.Placed{Name: "tip"}, motion.Options{})
	fmt.Println(n, "strokes;", err)
	// Output:
	// 199 strokes; point "tip": there are no samples; check that the export holds rows below its header
}

// A program that is stopped and goes on later writes what the analyzer remembers.
func ExampleAnalyzer_Keep() {
	take, err := simulate.Make(simulate.Options{Seed: 1})
	if err != nil {
		panic(err)
	}
	p := placedTip(take)
	piece := p
	piece.T, piece.Across, piece.Out = p.T[:2400], p.Across[:2400], p.Out[:2400]
	var a, b motion.Analyzer
	if _, err := a.Analyze(piece, motion.Options{}); err != nil {
		panic(err)
	}
	a.Keep(9) // of 10 s: the last may still change
	text, err := json.Marshal(&a)
	if err != nil {
		panic(err)
	}
	if err := json.Unmarshal(text, &b); err != nil {
		panic(err)
	}
	piece.T, piece.Across, piece.Out = p.T[1200:3600], p.Across[1200:3600], p.Out[1200:3600]
	one, err := a.Analyze(piece, motion.Options{})
	if err != nil {
		panic(err)
	}
	other, err := b.Analyze(piece, motion.Options{})
	if err != nil {
		panic(err)
	}
	fmt.Println(len(one.Strokes) > 0, one.Strokes[7].PathAngle == other.Strokes[7].PathAngle)
	// Output:
	// true true
}

// Another player sits down before the same camera.
func ExampleAnalyzer_Reset() {
	var a motion.Analyzer
	for seed := range uint64(2) {
		take, err := simulate.Make(simulate.Options{Seed: seed, Duration: 10})
		if err != nil {
			panic(err)
		}
		m, err := a.Analyze(placedTip(take), motion.Options{})
		if err != nil {
			panic(err)
		}
		fmt.Println(len(m.Strokes), "strokes")
		a.Reset()
	}
	// Output:
	// 100 strokes
	// 99 strokes
}

func ExampleAnalyzer_UnmarshalJSON() {
	var a motion.Analyzer
	fmt.Println(json.Unmarshal([]byte(`{"noise_sum":-1}`), &a))
	// Output:
	// motion: what an analyzer remembers: a noise of -1 from 0 samples
}
