package simulate

import (
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

func TestOnsets(t *testing.T) {
	tr := mustMake(t, Options{MissShare: 0.1, PathAngle: 0.3}).Truth
	whole := slices.DeleteFunc(slices.Clone(tr.Onsets), func(k Onset) bool { return k.Stroke < 0 })
	i := 0
	for j, s := range tr.Strokes {
		if !s.Reached {
			continue
		}
		if o := whole[i]; o.Stroke != j || o.T != s.Struck {
			t.Fatalf("onset %d: %+v, stroke %d struck at %v s", i, o, j, s.Struck)
		}
		i++
	}
	near(t, "one for each", float64(len(whole)), float64(i), 0)

	o := Options{Duration: 400, OnsetJitter: 0.005, OnsetOffset: 0.05, OnsetLost: 0.04, OnsetSpurious: 0.06, LevelSpread: 3, LevelUp: -4}
	tr = mustMake(t, o).Truth
	struck := 0
	for _, s := range tr.Strokes {
		if s.Reached {
			struck++
		}
	}
	var late, down, up, stray []float64
	for i, k := range tr.Onsets {
		if i > 0 && k.T < tr.Onsets[i-1].T {
			t.Fatal("onsets are not in order")
		}
		if k.Stroke < 0 {
			stray = append(stray, k.T)
			continue
		}
		s := tr.Strokes[k.Stroke]
		late = append(late, k.T-s.Struck)
		if s.Down {
			down = append(down, k.Level)
		} else {
			up = append(up, k.Level)
		}
	}
	n := float64(struck) // about 4,000
	near(t, "found", float64(len(late))/n, 0.96, 0.012)
	near(t, "spurious", float64(len(stray))/n, 0.06, 0.015)
	near(t, "spurious anywhere", stat.Mean(stray, nil), 200, 35)
	mean, sd := stat.MeanStdDev(late, nil)
	near(t, "offset", mean, 0.05, 0.0004)
	near(t, "jitter", sd, 0.005, 0.0003)
	mean, sd = stat.MeanStdDev(down, nil)
	near(t, "level", mean, -20, 0.3)
	near(t, "its spread", sd, 3, 0.2)
	near(t, "upstrokes", stat.Mean(up, nil), -24, 0.3)

	// Losing some leaves the others as they were.
	o.OnsetLost, o.OnsetSpurious = 0, 0
	all := mustMake(t, o).Truth.Onsets
	for _, k := range tr.Onsets {
		if k.Stroke >= 0 && !slices.Contains(all, k) {
			t.Fatalf("%+v is another", k)
		}
	}
}

// The strokes that the recording cuts off sound if they reach their string within
// it: those that a longer recording, the same until then, has there.
func TestOnsetsOfCutStrokes(t *testing.T) {
	o := quiet(Options{Rate: 5, Duration: 10})
	sounds := 0
	for seed := range uint64(20) {
		o.Seed, o.Duration = seed, 10
		take := mustMake(t, o).Truth
		o.Duration = 12
		longer := mustMake(t, o).Truth
		end := take.Strokes[len(take.Strokes)-1].End
		var want, got []float64
		for _, s := range longer.Strokes {
			if s.Start >= end-1e-9 && s.Struck <= 10 {
				want = append(want, s.Struck)
			}
		}
		for _, k := range take.Onsets {
			if k.Stroke < 0 && k.T > end {
				got = append(got, k.T)
			}
			if k.T < 0 || k.T > 10 {
				t.Errorf("take %d: a sound at %v s", seed, k.T)
			}
		}
		if len(got) != len(want) {
			t.Fatalf("take %d: sounds at %v, want %v", seed, got, want)
		}
		for i := range got {
			near(t, "cut off by the end", got[i], want[i], 1e-9)
			sounds++
		}
		// At the start the tip crosses at an even pace.
		if first, at := take.Onsets[0], take.Strokes[0].Struck-0.2; (first.Stroke < 0) != (at >= 0) || first.Stroke < 0 && math.Abs(first.T-at) > 1e-6 {
			t.Errorf("take %d: the first sound is %+v, the stroke before the first crosses at %v s", seed, first, at)
		}
	}
	if sounds < 5 || sounds > 15 {
		t.Errorf("%d of 20 last strokes sound", sounds)
	}
}

// A string slows the tip by the stated share where it is crossed, and nowhere
// else; the stroke takes as long as before and runs through the same places.
func TestStringDrag(t *testing.T) {
	for name, o := range map[string]Options{
		"half-cosine": {PathAngle: 0.2, StringDrag: 0.4}, "minimum jerk, leading": {Profile: MinimumJerk, Lead: 0.4, StringDrag: 0.7, Skew: 0.2, Curvature: 0.03},
		"a strum": {Length: 35, Spacing: 8, StringDrag: 0.3},
	} {
		free := o
		free.StringDrag = 0
		slow, tr := motion(t, o)
		fast, want := motion(t, free)
		for i, s := range tr.Strokes[:40] {
			w := want.Strokes[i]
			if s.Start != w.Start || s.End != w.End || s.Length != w.Length || !slices.Equal(s.Strings, w.Strings) || s.StruckDepth-w.StruckDepth > 1e-6 {
				t.Fatalf("%s: stroke %d is another", name, i)
			}
			a, b := slow(s.Start), slow(s.End-1e-12)
			chord := r3.Unit(r3.Sub(b, a))
			along := func(at func(float64) r3.Vec, x float64) float64 { return r3.Dot(r3.Sub(at(x), a), chord) }
			speed := func(at func(float64) r3.Vec, x float64) float64 {
				const h = 1e-5
				return (along(at, x+h) - along(at, x-h)) / (2 * h)
			}
			// when returns when the tip has gone that far.
			when := func(at func(float64) r3.Vec, far float64) float64 {
				lo, hi := s.Start, s.End-1e-12
				for range 60 {
					if m := (lo + hi) / 2; along(at, m) < far {
						lo = m
					} else {
						hi = m
					}
				}
				return lo
			}
			// Clear of all strings the speed is that of the free stroke, times
			// one number.
			var crossed []float64
			for _, n := range s.Strings {
				x := tr.Strings[n-1].Across
				lo, hi := s.Start, s.End
				for range 60 {
					if m := (lo + hi) / 2; (slow(m).X < x) == (a.X < x) {
						lo = m
					} else {
						hi = m
					}
				}
				crossed = append(crossed, along(slow, lo))
			}
			ratio := math.NaN()
			most := 0.0
			for f := 0.05; f < 0.96; f += 0.01 {
				far := f * s.Length
				most = math.Max(most, speed(slow, s.Start+f*(s.End-s.Start)))
				if slices.ContainsFunc(crossed, func(c float64) bool { return math.Abs(c-far) < dragHalf+0.05 }) {
					continue
				}
				r := speed(slow, when(slow, far)) / speed(fast, when(fast, far))
				if math.IsNaN(ratio) {
					ratio = r
				}
				near(t, name+": clear of the strings", r/ratio, 1, 0.003)
			}
			if ratio < 1.02 {
				t.Fatalf("%s: a slowed stroke makes up for it by %v", name, ratio)
			}
			near(t, name+": at the string", speed(slow, s.Struck), s.StruckSpeed, 0.003*s.StruckSpeed)
			near(t, name+": share", s.StruckSpeed/s.FreeSpeed, 1-o.StringDrag, 1e-9)
			near(t, name+": free", s.FreeSpeed, ratio*w.StruckSpeed, 0.004*s.FreeSpeed)
			if s.PeakSpeed < most*0.9999 || s.PeakSpeed > most*1.02 {
				t.Errorf("%s: peak speed %v, on a grid %v", name, s.PeakSpeed, most)
			}
		}
	}
	// Strokes above the strings are not slowed.
	a := mustMake(t, Options{Depth: -4, StringDrag: 0.5}).Recording
	b := mustMake(t, Options{Depth: -4}).Recording
	if !slices.Equal(a.Points[0].X, b.Points[0].X) {
		t.Error("strings slow a tip above them")
	}
}

// The second point on the pick shows the edge angle, which scatters from stroke
// to stroke as stated.
func TestPickEdge(t *testing.T) {
	o := exact(Options{View: trajectory.Spatial, PickEdge: true, EdgeAngle: 25 * circular.Degree, EdgeScatter: 3 * circular.Degree, Duration: 300, FrameRate: 1000})
	k := mustMake(t, o)
	tip, edge := point(t, k, "tip"), point(t, k, "pick_edge")
	var angles []float64
	for _, s := range k.Truth.Strokes {
		i := int(math.Round(s.Struck * 1000))
		d := r3.Sub(edge[i], tip[i])
		near(t, "in the string plane", math.Hypot(d.X, d.Y), 8, 1e-9)
		near(t, "out", d.Z, 6, 1e-9)
		// The nearest sample is up to half a millisecond away.
		near(t, "edge angle", math.Atan2(d.X, d.Y)*180/math.Pi, s.EdgeAngle.Degrees(), 0.2)
		angles = append(angles, s.EdgeAngle.Degrees())
	}
	mean, sd := stat.MeanStdDev(angles, nil)
	near(t, "mean", mean, 25, 0.4)
	near(t, "scatter", sd, 3, 0.2)
	for _, s := range mustMake(t, Options{PickEdge: true, EdgeAngle: 0.3, EdgeScatter: -1}).Truth.Strokes {
		near(t, "without scatter", float64(s.EdgeAngle), 0.3, 1e-12)
	}
}
