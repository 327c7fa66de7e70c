package motion_test

import (
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// analyze runs a simulated take through the steps that a review takes.
func analyze(t testing.TB, o simulate.Options) (*simulate.Take, *motion.Motion) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
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
		t.Fatal(err)
	}
	tip, _ := rec.Point("tip")
	if tip, _, err = trajectory.Clean(trajectory.Path{}, tip, trajectory.CleanOptions{}); err != nil {
		t.Fatal(err)
	}
	p, err := f.Place(trajectory.Placed{}, tip)
	if err != nil {
		t.Fatal(err)
	}
	m, err := motion.Analyze(p, motion.Options{AxisError: f.AxisError})
	if err != nil {
		t.Fatal(err)
	}
	return take, m
}

// score holds how the strokes found compare with those made.
type score struct {
	f1        float64 // right direction, middle within 0.35 of a stroke
	turnMS    float64 // median absolute error of turns seen
	angle90   float64 // 90 % of settled strokes' path angles are within, degrees
	covered   float64 // share of them inside their interval
	lengthErr float64 // median absolute relative error
	angles    int     // number of path angles
	inPauses  int     // strokes found while the hand rests
}

// compare matches strokes of the same direction whose middles are within 0.35
// of the true stroke's duration.
func compare(tr simulate.Truth, got []motion.Stroke) score {
	var s score
	used := make([]bool, len(got))
	var turns, angles, lengths []float64
	hit, in := 0, 0
	for _, want := range tr.Strokes {
		mid, d := (want.Start+want.End)/2, want.End-want.Start
		best := -1
		for j, g := range got {
			if used[j] || (g.Direction == motion.Down) != want.Down || math.Abs(g.Middle()-mid) > 0.35*d {
				continue
			}
			if best < 0 || math.Abs(g.Middle()-mid) < math.Abs(got[best].Middle()-mid) {
				best = j
			}
		}
		if best < 0 {
			continue
		}
		used[best] = true
		hit++
		g := got[best]
		if !want.Hidden && !g.TurnHidden() {
			turns = append(turns, math.Abs(g.Start-want.Start)*1000, math.Abs(g.End-want.End)*1000)
			lengths = append(lengths, math.Abs(g.Length/want.Length-1))
		}
		if want.Settled && !want.Changed && g.PathAngle == g.PathAngle {
			angles = append(angles, math.Abs((g.PathAngle - want.PathAngle).Axial().Degrees()))
			if g.PathAngleLow <= want.PathAngle && want.PathAngle <= g.PathAngleHigh {
				in++
			}
		}
	}
	for _, p := range tr.Pauses {
		for _, g := range got {
			if g.Middle() > p.Start && g.Middle() < p.End {
				s.inPauses++
			}
		}
	}
	s.f1 = 2 * float64(hit) / float64(len(tr.Strokes)+len(got))
	s.turnMS, s.angle90, s.lengthErr = quantile(turns, 0.5), quantile(angles, 0.9), quantile(lengths, 0.5)
	s.covered, s.angles = float64(in)/float64(len(angles)), len(angles)
	return s
}

func quantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return x[int(p*float64(len(x)-1))]
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
						s := compare(take.Truth, m.Strokes)
						bad := func(what string, got, limit float64) {
							t.Errorf("%g frames/s, %g strokes/s, %g px: %s is %.4g, limit %.4g", hz, rate, noise, what, got, limit)
						}
						if s.f1 < 0.99 {
							bad("F1", s.f1, 0.99)
						}
						if s.inPauses > 0 {
							bad("strokes in pauses", float64(s.inPauses), 0)
						}
						turn, length := 0.5*math.Sqrt(240/hz), 0.01+0.015*noise/0.8
						if o.Profile == simulate.MinimumJerk {
							// The tip stands still at the turn, whose time is
							// less marked, and the low-pass takes a part of
							// the third harmonic.
							turn, length = 2*turn, length+0.01
						}
						if noise <= 0.8 && s.turnMS > turn {
							bad("median turn error, ms", s.turnMS, turn)
						}
						limit := 0.6
						if noise > 0.8 {
							limit = 3
						}
						if s.angle90 > limit {
							bad("90 % of angle errors, degrees", s.angle90, limit)
						}
						if s.angles >= 30 && s.covered < 0.85 {
							bad("coverage of angle intervals", s.covered, 0.85)
						}
						if s.lengthErr > length {
							bad("median length error", s.lengthErr, length)
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
