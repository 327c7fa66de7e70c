package settling

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/variability/robust"
)

// TestTrend holds p against the exact tail counts of Kendall's S (Kendall 1975,
// Rank Correlation Methods, appendix table 1).
func TestTrend(t *testing.T) {
	for _, tt := range []struct {
		name   string
		groups [][]float64
		p, tau float64 // NaN: absent
		slope  float64
	}{
		{"none", nil, math.NaN(), math.NaN(), math.NaN()},
		{"one", [][]float64{{3}}, math.NaN(), math.NaN(), math.NaN()},
		{"one on either side of a break", [][]float64{{3}, {4}}, math.NaN(), math.NaN(), math.NaN()},
		{"four", [][]float64{{1, 2, 3, 4}}, math.NaN(), 1, 1},
		{"five, S = 10", [][]float64{{1, 2, 3, 4, 5}}, 2.0 / 120, 1, 1},
		{"five, S = -10", [][]float64{{9, 7, 5, 3, 1}}, 2.0 / 120, -1, -2},
		{"five, S = 8", [][]float64{{2, 1, 3, 4, 5}}, 10.0 / 120, 0.8, 1},
		{"eight, S = 16", [][]float64{{1, 2, 3, 4, 8, 7, 6, 5}}, 2 * 1230.0 / 40320, 16.0 / 28, math.NaN()},
		// Three and three: S is 6 in one of 36 orders.
		{"a break", [][]float64{{1, 2, 3}, {1, 2, 3}}, 2.0 / 36, 1, 1},
		{"a break between levels", [][]float64{{3, 2, 1}, {30, 20, 10}}, 2.0 / 36, -1, math.NaN()},
		// Three and two: both rise in one of 12.
		{"three and two", [][]float64{{1, 2, 4}, {}, {1, 2}}, 2.0 / 12, 1, math.NaN()},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := trendOf("lengths", tt.groups)
			if got.P.Known() == math.IsNaN(tt.p) || got.P.Known() && !near(got.P.Value, tt.p) {
				t.Errorf("p = %+v, want %v", got.P, tt.p)
			}
			if !(near(got.Tau, tt.tau) || math.IsNaN(got.Tau) && math.IsNaN(tt.tau)) {
				t.Errorf("tau = %v, want %v", got.Tau, tt.tau)
			}
			if tt.slope == tt.slope && !(got.Slope.Known() && near(got.Slope.Value, tt.slope)) {
				t.Errorf("slope = %+v, want %v", got.Slope, tt.slope)
			}
		})
	}
}

// TestTrendRobust: without breaks, test and slope are those of package robust.
func TestTrendRobust(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for _, n := range []int{5, 9, 10, 45} {
		for _, ties := range []bool{false, true} {
			ys, xs := make([]float64, n), make([]float64, n)
			for i := range ys {
				xs[i], ys[i] = float64(i), rng.Float64()+0.01*float64(i)
				if ties {
					ys[i] = math.Round(4 * ys[i])
				}
			}
			got, mk, line := trendOf("lengths", [][]float64{ys}), robust.MannKendall(ys), robust.TheilSen(xs, ys)
			// With eleven and more, robust takes the normal distribution.
			limit := 1e-12
			if n > 10 {
				limit = 0.01
			}
			if math.Abs(got.P.Value-mk.P) > limit {
				t.Errorf("n %d, ties %v: p %v, want %v", n, ties, got.P.Value, mk.P)
			}
			if !near(got.Slope.Value, line.Slope) {
				t.Errorf("n %d, ties %v: slope %v, want %v", n, ties, got.Slope.Value, line.Slope)
			}
		}
	}
}
