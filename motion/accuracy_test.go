package motion_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/internal/score"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// analyze runs a simulated take through the steps that a review takes.
func analyze(t testing.TB, o simulate.Options) (*simulate.Take, *motion.Motion) {
	t.Helper()
	take, m, err := analyzed(o)
	if err != nil {
		t.Fatal(err)
	}
	return take, m
}

// analyzed makes a take, cleans and places its tip, and finds its strokes.
func analyzed(o simulate.Options) (*simulate.Take, *motion.Motion, error) {
	take, err := simulate.Make(o)
	if err != nil {
		return nil, nil, err
	}
	rec := &take.Recording
	marks := trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:2]}, Treble: trajectory.Mark{At: take.Truth.Treble[:2]}}
	if o.TrackMarks {
		marks = trajectory.Marks{Bass: trajectory.Mark{Point: "bass"}, Treble: trajectory.Mark{Point: "treble"}}
	}
	f, err := trajectory.NewFrame(rec, trajectory.FrameOptions{
		View: take.Options.View, Orientation: take.Options.Orientation, Marks: marks, DistanceMM: take.Truth.MarkDistance,
	})
	if err != nil {
		return nil, nil, err
	}
	tip, _ := rec.Point("tip")
	if tip, _, err = trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{}); err != nil {
		return nil, nil, err
	}
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		return nil, nil, err
	}
	m, err := motion.Analyze(p, motion.Options{AxisError: f.AxisError})
	return take, m, err
}

// TestAccuracy holds strokes to the truth of simulated takes: every stroke
// found, turns within half a millisecond at 240 frames/s and up to 0.8 px, and
// 90 % of path angles within 0.6 degrees at 0.8 px and 3 degrees at 3 px. At
// fewer frames the bound for turns grows as their noise does.
func TestAccuracy(t *testing.T) {
	deg := circular.Degree
	for _, c := range []struct {
		name string
		o    simulate.Options
	}{
		{"steady", simulate.Options{}},
		{"changing string, resting", simulate.Options{ChangeEvery: 2, Pauses: []simulate.Pause{{At: 3, For: 0.8}, {At: 9, For: 1.5, Tremor: 0.2}}}},
		{"hidden at the end of downstrokes", simulate.Options{HideDown: 0.9, DropOuts: 0.02}},
		{"searching", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.Fresh}, {Start: 8}}}},
		{"tiny strokes", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.TinyStrokes}, {Start: 8}}}},
		{"wandering", simulate.Options{Plan: []simulate.Stretch{{Search: simulate.Wander}, {Start: 8}}}},
		{"swaying camera, faults", simulate.Options{TrackMarks: true, Sway: 30, SwayAngle: 3 * deg, MarkDropOuts: 0.01, DropOuts: 0.02, Outliers: 0.004, StraightFills: true}},
		{"jittered time", simulate.Options{TimeJitter: 0.0005}},
		{"minimum jerk", simulate.Options{Profile: simulate.MinimumJerk, DownShare: 0.48}},
	} {
		t.Run(c.name, func(t *testing.T) {
			seed := uint64(0)
			for _, hz := range []float64{60, 120, 240} {
				for _, rate := range []float64{5.5, 8, 11, 14.5} {
					for _, noise := range []float64{0.3, 0.8, 3} {
						seed++
						if testing.Short() && seed%4 != 0 {
							continue
						}
						o := c.o
						o.Seed, o.FrameRate, o.Rate, o.Noise = seed, hz, rate, noise
						o.PathAngle, o.Roll = 17*deg, 20*deg
						take, m := analyze(t, o)
						if c.name == "tiny strokes" && hz/rate < 8 {
							continue // a tiny stroke has two samples
						}
						s := score.Compare(take, m.Strokes)
						bad := func(what string, got, limit float64) {
							t.Errorf("%g frames/s, %g strokes/s, %g px: %s is %.4g, limit %.4g", hz, rate, noise, what, got, limit)
						}
						if s.F1 < 0.99 {
							bad("F1", s.F1, 0.99)
						}
						if s.InPauses > 0 {
							bad("strokes in pauses", float64(s.InPauses), 0)
						}
						turn, length := 0.5*math.Sqrt(240/hz), 0.01+0.015*noise/0.8
						if o.Profile == simulate.MinimumJerk {
							// The tip stands still at the turn, whose time is
							// less marked, and the low-pass takes a part of
							// the third harmonic.
							turn, length = 2*turn, length+0.01
						}
						if noise <= 0.8 && s.TurnMS > turn {
							bad("median turn error, ms", s.TurnMS, turn)
						}
						limit := 0.6
						if noise > 0.8 {
							limit = 3
						}
						if s.Angle90 > limit {
							bad("90 % of angle errors, degrees", s.Angle90, limit)
						}
						if s.Angles >= 30 && s.Covered < 0.85 {
							bad("coverage of angle intervals", s.Covered, 0.85)
						}
						if s.Length > length {
							bad("median length error", s.Length, length)
						}
					}
				}
			}
		})
	}
}

func BenchmarkAnalyze(b *testing.B) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 60, PathAngle: 17 * circular.Degree})
	if err != nil {
		b.Fatal(err)
	}
	f, err := trajectory.NewFrame(&take.Recording, trajectory.FrameOptions{
		View:  trajectory.EndOn,
		Marks: trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:2]}, Treble: trajectory.Mark{At: take.Truth.Treble[:2]}}, DistanceMM: take.Truth.MarkDistance,
	})
	if err != nil {
		b.Fatal(err)
	}
	p, err := f.Place(trajectory.Placed{}, take.Recording.Points[0])
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := motion.Analyze(p, motion.Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*p.Len()), "ns/sample")
}
