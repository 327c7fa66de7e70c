package score

import (
	"math/rand/v2"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// Draw returns a take drawn at random from the range that reviews are meant for, of
// 15 to 20 s at hz frames/s with that noise in px: rate, plan, faults of the tracker
// and the camera. It draws no jumps of the tracker below 120 frames/s.
func Draw(rng *rand.Rand, hz, noise float64) simulate.Options {
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
