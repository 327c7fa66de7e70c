package progress

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestWithinTakes: how often the interval within the takes holds the difference
// of what the two takes' strokes scatter about, when neighbouring strokes are
// alike. It is as good as the intervals that the takes bring.
func TestWithinTakes(t *testing.T) {
	runs, seed := simulated(t, 400)
	for _, phi := range []float64{0, 0.3, 0.6, 0.9} {
		rng := estimate.Stream(seed, "within takes")
		series := func(n int, level float64) estimate.Value[float64] {
			x := make([]float64, n)
			e := rng.NormFloat64()
			for i := range x {
				x[i] = level + e
				e = phi*e + math.Sqrt(1-phi*phi)*rng.NormFloat64()
			}
			return estimate.SeriesMedian(x, 0.95)
		}
		held, apart := 0, 0
		for range runs {
			d := between(review.Difference, series(120, 0), series(240, 1))
			if d.Low <= 1 && 1 <= d.High {
				held++
			}
			if away(between(review.Difference, series(120, 0), series(240, 0))) {
				apart++
			}
		}
		p, q := float64(held)/float64(runs), float64(apart)/float64(runs)
		t.Logf("neighbours alike by %.1f: interval holds %.1f %%, apart without a difference %.1f %%", phi, 100*p, 100*q)
		// Of strokes alike by 0.9 a take of 120 has some six independent ones: the
		// interval of its median falls short. Elsewhere 93 to 97, and three
		// binomial standard errors.
		low := 0.93
		if phi == 0.9 {
			low = 0.85
		}
		chance := func(p float64) float64 { return 3 * math.Sqrt(p*(1-p)/float64(runs)) }
		if p < low-chance(low) || p > 0.97+chance(0.97) || q > 1-low+chance(low) {
			t.Errorf("neighbours alike by %.1f: holds %.1f %%, apart %.1f %%", phi, 100*p, 100*q)
		}
	}
}
