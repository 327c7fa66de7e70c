package review_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion/internal/score"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// warp plays the part of a recording from from to to k times slower. With fps
// it keeps the frames that a film of that rate has; without, all of them, whose
// stamps then lie k times further apart in the slow part.
func warp(rec trajectory.Recording, from, to, k, fps float64) trajectory.Recording {
	film := func(t float64) float64 {
		return t + (k-1)*(min(max(t, from), to)-from)
	}
	out := rec
	out.Points = nil
	for _, p := range rec.Points {
		q := trajectory.Path{Name: p.Name}
		due := math.Inf(-1)
		for i := range p.T {
			t := film(p.T[i])
			if fps > 0 && t < due-1e-6 {
				continue
			}
			if due = t; fps > 0 {
				due = math.Floor(t*fps+1e-6)/fps + 1/fps
			}
			q.T, q.X, q.Y = append(q.T, t), append(q.X, p.X[i]), append(q.Y, p.Y[i])
		}
		out.Points = append(out.Points, q)
	}
	return out
}

// place cleans and places the tip of a simulated take.
func place(t testing.TB, take *simulate.Take, rec trajectory.Recording) trajectory.Placed {
	t.Helper()
	s := setup(take)
	f, err := trajectory.NewFrame(&rec, trajectory.FrameOptions{
		View: s.View, Orientation: s.Orientation, Marks: s.Marks.Marks, DistanceMM: s.Marks.DistanceMM,
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
	return p
}

// TestJumpsOfSlowedFilm: where a film goes over to slow motion and back is found
// to within a slow stroke (or within a rest there), and the factor to 10 %, with
// an interval that holds it.
func TestJumpsOfSlowedFilm(t *testing.T) {
	takes := 40
	if testing.Short() {
		takes = 8
	}
	var allFound, allHeld int
	for _, c := range []struct {
		k, fps float64
	}{{2, 0}, {4, 0}, {8, 0}, {4, 30}, {8, 30}, {4, 60}, {8, 60}} {
		t.Run(fmt.Sprintf("%gx in a film of %g", c.k, c.fps), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(11, uint64(100*c.k+c.fps)))
			var want, found, near, held, other int
			for range takes {
				o := score.Draw(rng, 240, []float64{0.3, 0.8, 2}[rng.IntN(3)])
				o.TrackMarks, o.Sway = false, 0
				if o.Plan = nil; c.fps == 30 {
					o.Rate = min(o.Rate, 12.5) // 2.4 samples a stroke
				}
				take, err := simulate.Make(o)
				if err != nil {
					t.Fatal(err)
				}
				// A third each begins in slow motion, ends in it, or neither.
				from, to := 1+4*rng.Float64(), o.Duration
				switch rng.IntN(3) {
				case 0:
					from, to = 0, from+2
				case 1:
					to = from + 2.2 + 5*rng.Float64()
				}
				var edges []float64
				if from > 0 {
					edges = append(edges, from)
				}
				if to < o.Duration {
					edges = append(edges, to)
				}
				want += len(edges)
				film := func(x float64) float64 { return x + (c.k-1)*(min(max(x, from), to)-from) }
				p := place(t, take, warp(take.Recording, from, to, c.k, c.fps))
			jumps:
				for _, j := range (review.TimeBase{Path: p}).Jumps() {
					for _, at := range edges {
						reach := 1.5 * c.k / o.Rate
						lo, hi := film(at)-reach, film(at)+reach
						for _, pause := range take.Truth.Pauses {
							if a, b := film(pause.Start), film(pause.End); a < hi && b > lo {
								lo, hi = min(lo, a-reach), max(hi, b+reach)
							}
						}
						if j.At < lo || j.At > hi {
							continue
						}
						k := c.k
						if at == to {
							k = 1 / k
						}
						found++
						if math.Abs(math.Log(j.Factor.Value/k)) < 0.1 {
							near++
						}
						if j.Factor.Low <= k && k <= j.Factor.High {
							held++
						}
						if j.Stamps != (c.fps == 0) {
							t.Errorf("stamps %v in a film of %g", j.Stamps, c.fps)
						}
						continue jumps
					}
					other++
				}
			}
			t.Logf("%d jumps: found %d, factor within 10 %% %d, in its interval %d, elsewhere %d", want, found, near, held, other)
			if found < want-want/20 || near < found || other > want/20 {
				t.Errorf("%d jumps: found %d, factor within 10 %% %d, elsewhere %d", want, found, near, other)
			}
			allFound, allHeld = allFound+found, allHeld+held
		})
	}
	if share := float64(allHeld) / float64(allFound); !(share > 0.92) {
		t.Errorf("%.3f of the intervals hold the factor, nominal is 0.95", share)
	}
}

// TestNoJumps: takes of one pace have none, nor takes that play at half the rate
// in every other stretch.
func TestNoJumps(t *testing.T) {
	takes := 160
	if testing.Short() {
		takes = 30
	}
	rng := rand.New(rand.NewPCG(12, 1))
	for i := range takes {
		o := score.Draw(rng, []float64{30, 60, 120, 240}[i%4], []float64{0.3, 0.8, 2}[rng.IntN(3)])
		if o.FrameRate == 30 {
			o.Rate = 5 + 7*rng.Float64()
		}
		if i%3 == 0 {
			for k := 0; k < len(o.Plan); k += 2 {
				o.Plan[k].RateBy = 0.5
			}
		}
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		if js := (review.TimeBase{Path: place(t, take, take.Recording)}).Jumps(); js != nil {
			t.Errorf("%.3g strokes/s at %g frames/s, plan %v: %v", o.Rate, o.FrameRate, o.Plan, js)
		}
	}
}

// beat is a stroke of a path made without package simulate: how long it takes to
// the next, for which share of that it moves, and how far.
type beat struct{ lasts, moves, way float64 }

// played is the path of beats to and fro, in mm.
func played(beats []beat, hz, noise float64, rng *rand.Rand) trajectory.Placed {
	p := trajectory.Placed{Unit: "mm"}
	at, x, sign, k := 0.0, 0.0, 1.0, 0
	for i := 0; k < len(beats); i++ {
		t := float64(i) / hz
		for k < len(beats) && t >= at+beats[k].lasts {
			x += sign * beats[k].way
			at += beats[k].lasts
			sign = -sign
			k++
		}
		if k == len(beats) {
			break
		}
		b := beats[k]
		u := min((t-at)/(b.lasts*b.moves), 1)
		p.T = append(p.T, t)
		p.Across = append(p.Across, x+sign*b.way*(1-math.Cos(math.Pi*u))/2+noise*rng.NormFloat64())
		p.Out = append(p.Out, noise*rng.NormFloat64())
	}
	return p
}

// slowed is steady playing of ten strokes a second for 12 s, filmed at 240
// frames/s, that plays k times slower from from to to.
func slowed(from, to, k float64) trajectory.Placed {
	rng := rand.New(rand.NewPCG(3, 5))
	beats := make([]beat, 120)
	for i := range beats {
		beats[i] = beat{0.1 * math.Exp(0.04*rng.NormFloat64()), 1, 10}
	}
	p := played(beats, 240, 0.08, rng)
	for i, t := range p.T {
		p.T[i] = t + (k-1)*(min(max(t, from), to)-from)
	}
	return p
}

// TestJumpsOfPlaying: what players do is not slow motion, as far as it looks
// different; a sudden change to a quarter of the rate in which nothing else
// changes looks the same, and is asked about.
func TestJumpsOfPlaying(t *testing.T) {
	const sixteenth = 0.1 // s, at 150 BPM
	notes := func(n int, b beat) []beat {
		bs := make([]beat, n)
		for i := range bs {
			bs[i] = b
		}
		return bs
	}
	join := func(parts ...[]beat) []beat { return slices.Concat(parts...) }
	fast := notes(60, beat{sixteenth, 1, 10})
	for _, c := range []struct {
		name   string
		beats  func(rng *rand.Rand) []beat
		factor []float64
	}{
		{"sixteenths, eighths", func(*rand.Rand) []beat { return join(fast, notes(40, beat{2 * sixteenth, 1, 10}), fast) }, nil},
		{"quarters, eighth triplets", func(*rand.Rand) []beat {
			return join(notes(20, beat{0.5, 1, 10}), notes(60, beat{0.5 / 3, 1, 10}), notes(20, beat{0.5, 1, 10}))
		}, nil},
		{"sixteenths, quarters with a rest at each turn", func(*rand.Rand) []beat { return join(fast, notes(20, beat{4 * sixteenth, 0.35, 10}), fast) }, nil},
		{"sixteenths, quarters further out", func(*rand.Rand) []beat { return join(fast, notes(20, beat{4 * sixteenth, 1, 20}), fast) }, nil},
		{"sixteenths, quarters as if slowed", func(*rand.Rand) []beat { return join(fast, notes(20, beat{4 * sixteenth, 1, 10}), fast) }, []float64{4, 0.25}},
		{"wide strokes, then a small tremolo", func(*rand.Rand) []beat { return join(fast, notes(120, beat{0.05, 1, 2}), fast) }, nil},
		{"from slow to fast in ten seconds", func(*rand.Rand) []beat {
			var bs []beat
			for at := 0.0; at < 10; {
				b := beat{0.5 * math.Exp(-at*math.Log(8)/10), 1, 10}
				bs, at = append(bs, b), at+b.lasts
			}
			return bs
		}, nil},
		{"four notes and a rest", func(*rand.Rand) []beat {
			var bs []beat
			for range 30 {
				bs = append(join(bs, notes(3, beat{sixteenth, 1, 10})), beat{8 * sixteenth, 0.125, 10})
			}
			return bs
		}, nil},
		{"rhythms at random", func(rng *rand.Rand) []beat {
			var bs []beat
			for range 150 {
				n := []float64{1, 1, 1, 2, 2, 4, 8}[rng.IntN(7)]
				bs = append(bs, beat{n * sixteenth, 0.2 + 0.8*rng.Float64(), 6 + 8*rng.Float64()})
			}
			return bs
		}, nil},
		{"nothing", func(*rand.Rand) []beat { return nil }, nil},
		{"two strokes", func(*rand.Rand) []beat { return fast[:2] }, nil},
		{"rest", func(*rand.Rand) []beat { return notes(1, beat{20, 1, 0}) }, nil},
	} {
		for seed := range uint64(12) {
			rng := rand.New(rand.NewPCG(seed, 5))
			bs := c.beats(rng)
			for i := range bs {
				bs[i].lasts *= math.Exp(0.05 * rng.NormFloat64())
				bs[i].way *= math.Exp(0.08 * rng.NormFloat64())
			}
			hz := []float64{30, 60, 240}[seed%3]
			js := review.TimeBase{Path: played(bs, hz, 0.08, rng)}.Jumps()
			var got []float64
			for _, j := range js {
				got = append(got, j.Factor.Value)
			}
			ok := len(got) == len(c.factor)
			for i := range c.factor {
				ok = ok && math.Abs(math.Log(got[i]/c.factor[i])) < 0.1
			}
			if !ok {
				t.Errorf("%s at %g frames/s: jumps by %.3g, want %g", c.name, hz, got, c.factor)
			}
		}
	}
}

func BenchmarkJumps(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 5))
	beats := make([]beat, 600)
	for i := range beats {
		beats[i] = beat{0.1, 1, 10}
	}
	p := played(beats, 240, 0.08, rng)
	b.ReportAllocs()
	for b.Loop() {
		review.TimeBase{Path: p}.Jumps()
	}
}
