package live_test

import (
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// draw returns a take drawn at random from the range that reviews are meant for,
// as in motion/review's own test: rate, frame rate, noise, plan, faults of the
// tracker and the camera.
func draw(rng *rand.Rand, hz, noise float64) simulate.Options {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	deg := circular.Degree
	o := simulate.Options{
		Seed: rng.Uint64(), Duration: between(15, 20), FrameRate: hz, Noise: noise,
		Rate: between(5, 14.5), Length: between(8, 14), PathAngle: circular.Angle(between(-35, 35)) * deg,
		Skew: circular.Angle(between(-15, 15)) * deg, Curvature: between(-0.03, 0.03),
		Roll: circular.Angle(between(-40, 40)) * deg, DownShare: between(0.47, 0.53),
		Jitter: between(0.02, 0.04), AngleScatter: circular.Angle(between(0.8, 1.6)) * deg, LengthScatter: between(0.03, 0.06),
		DropOuts: between(0, 0.02), Outliers: between(0, 0.004), ChangeEvery: between(3, 8),
	}
	if rng.IntN(2) == 0 {
		o.TrackMarks, o.Sway, o.SwayAngle = true, between(5, 30), circular.Angle(between(0, 3))*deg
		o.MarkDropOuts = between(0, 0.01)
	}
	switch rng.IntN(4) {
	case 0:
		o.HideDown, o.HideFor = 0.8, between(0.2, 0.4)
	case 1:
		o.StraightFills = true
	case 2:
		o.FrozenFills = true
	}
	if hz >= 120 {
		o.Jumps = rng.IntN(3)
	}
	if rng.IntN(2) == 0 {
		o.Pauses = []simulate.Pause{{At: between(6, 9), For: between(0.6, 1.5), Tremor: between(0, 0.15)}}
	}
	searches := []simulate.Search{simulate.Fresh, simulate.Wander, simulate.Fresh, simulate.TinyStrokes}
	at := 0.0
	for settled := rng.IntN(2) == 0; at < o.Duration; settled = !settled {
		s := simulate.Stretch{Start: at, Search: simulate.Settled}
		long := between(2.5, 6)
		if !settled {
			s.Search = searches[rng.IntN(len(searches))]
			long = between(1.5, 4)
		} else {
			s.RateBy, s.AngleBy = between(0.95, 1.05), circular.Angle(between(-3, 3))*deg
		}
		o.Plan = append(o.Plan, s)
		at += long
	}
	return o
}

// TestFinalsOfRandomTakes holds final strokes to those of an analysis of the whole
// take, and prints the table of the package's comment with -v.
func TestFinalsOfRandomTakes(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes")
	}
	const takes = 8
	for _, hz := range []float64{60, 120, 240, 480} {
		for _, noise := range []float64{0.3, 0.8, 3} {
			rng := rand.New(rand.NewPCG(uint64(hz), uint64(noise*100)))
			var all match
			for i := range takes {
				take, err := simulate.Make(draw(rng, hz, noise))
				if err != nil {
					t.Fatal(err)
				}
				want, err := offline(take)
				if err != nil {
					t.Fatal(err)
				}
				_, events := followed(t, take)
				m := compare(want.Strokes, events)
				if m.missing+m.extra > 0 {
					t.Logf("%g frames/s, %g px, take %d: %d missing, %d extra of %d", hz, noise, i, m.missing, m.extra, m.offline)
				}
				all.add(m)
			}
			t.Logf("%3g frames/s, %.1f px: %v", hz, noise, &all)
			if off := all.missing + all.extra; off > max(5, all.offline/120) {
				t.Errorf("%g frames/s, %g px: %d missing and %d extra of %d", hz, noise, all.missing, all.extra, all.offline)
			}
			// The limits lie below the table of the package's comment, from which they
			// were set: they keep what was reached. No theory gives them, since what
			// differs is what the whole take knows and its pieces do not.
			turns, angles := 0.98, 0.99
			if hz < 120 {
				turns = 0.92
			}
			if noise > 0.8 {
				turns, angles = 0.75, 0.96
			}
			if got := within(all.turns, 1); got < turns {
				t.Errorf("%g frames/s, %g px: %.4f of turns within 1 ms, want %.2f", hz, noise, got, turns)
			}
			if got := within(all.angles, 0.5); got < angles {
				t.Errorf("%g frames/s, %g px: %.4f of angles within 0.5 degrees, want %.2f", hz, noise, got, angles)
			}
		}
	}
}
