package variability

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat"
)

// TestSampleDraw compares with the variance of the values that
// estimate.BlockDraw picks from the same stream: with blocks that fill a draw
// and blocks that leave a part of one, of a single value and of all.
func TestSampleDraw(t *testing.T) {
	rng := estimate.Stream(1, "sample")
	for _, c := range []struct{ n, block int }{{60, 1}, {60, 5}, {61, 5}, {64, 5}, {61, 60}, {7, 7}} {
		xs := make([]float64, c.n)
		for i := range xs {
			xs[i] = 1000 + rng.NormFloat64()
		}
		s := newSample(xs, meanOf(xs), c.block)
		if want := stat.Variance(xs, nil); math.Abs(s.variance/want-1) > 1e-12 {
			t.Errorf("%+v: variance %v, want %v", c, s.variance, want)
		}
		mine, other := estimate.Stream(2, "draw"), estimate.Stream(2, "draw")
		drawn := make([]float64, c.n)
		for range 5 {
			for k, i := range estimate.BlockDraw(nil, c.n, c.block, other) {
				drawn[k] = xs[i]
			}
			if got, want := s.draw(mine), stat.Variance(drawn, nil); math.Abs(got/want-1) > 1e-12 {
				t.Errorf("%+v: variance of a draw %v, want %v", c, got, want)
			}
		}
	}
}
