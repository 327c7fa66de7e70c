package settling

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestQuantiles compares the expansions with gonum's inversions, within what
// their comments state.
func TestQuantiles(t *testing.T) {
	if got := distuv.UnitNormal.Quantile(0.975); math.Abs(got-z975) > 1e-12 {
		t.Errorf("z = %v, want %v", z975, got)
	}
	for _, p := range []float64{0.975, 0.99, 1 - 0.025/6} {
		z := distuv.UnitNormal.Quantile(p)
		for df, limit := range map[float64]float64{2: 0.05, 3: 0.01, 5: 1e-3, 8: 2e-4, 20: 1e-5, 1e6: 1e-9} {
			want := distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(p)
			if got := student(z, df); math.Abs(got/want-1) > limit {
				t.Errorf("t(%v, %v) = %v, want %v", p, df, got, want)
			}
		}
	}
	for _, z := range []float64{-2, -1, 0, 1, 2} {
		for df, limit := range map[float64]float64{5: 0.05, 20: 0.005, 100: 0.001} {
			want := distuv.ChiSquared{K: df}.Quantile(distuv.UnitNormal.CDF(z)) / df
			if got := chiSquared(z, df); math.Abs(got/want-1) > limit {
				t.Errorf("χ²(%v, %v)/df = %v, want %v", z, df, got, want)
			}
		}
	}
}
