package robust_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability/robust"
)

// scipy 1.10.1 stats.siegelslopes. The Nile's slope, -2.1554945055, is also that
// of R.
func TestRepeatedMedian(t *testing.T) {
	for _, c := range load(t).Trends {
		got := robust.RepeatedMedian(c.X, c.Y)
		if !near(got.Slope, c.Siegel[0], 1e-12) || !near(got.Intercept, c.Siegel[1], 1e-12) || got.N != len(c.X) || !math.IsNaN(got.SlopeLow) {
			t.Errorf("%s: got %+v, want %v", c.Name, got, c.Siegel)
		}
		if c.Name == "nile" && !near(got.Slope, -2.1554945055, 1e-10) {
			t.Errorf("Nile: %v, R has -2.1554945055", got.Slope)
		}
	}
	nan := math.NaN()
	for _, c := range []struct {
		name string
		x, y []float64
		want float64
	}{
		{"none", nil, nil, nan},
		{"one", []float64{1}, []float64{1}, nan},
		{"one x", []float64{1, 1}, []float64{1, 2}, nan},
		{"missing", []float64{1, 2}, []float64{1, nan}, nan},
		{"infinite", []float64{1, math.Inf(1)}, []float64{1, 2}, nan},
		{"two", []float64{1, 3}, []float64{1, 2}, 0.5},
		// Almost half are wild: a line of slope 2 comes through.
		{"wild", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8}, []float64{0, 2, 4, 6, 8, 90, -50, 70, -10}, 2},
	} {
		if got := robust.RepeatedMedian(c.x, c.y).Slope; !near(got, c.want, 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Ranks of slopes are those of all slopes, sorted.
func TestSlopesAt(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{2, 3, 10, 300} {
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = float64(i/2), rng.NormFloat64() // every x twice
		}
		var all []float64
		for i := range x {
			for j := range i {
				if x[i] != x[j] {
					all = append(all, (y[i]-y[j])/(x[i]-x[j]))
				}
			}
		}
		slices.Sort(all)
		m := int64(len(all))
		ranks := []int64{-1, 0, m / 3, m / 2, m - 1, m}
		for i, got := range robust.SlopesAt(x, y, ranks...) {
			want := math.NaN()
			if k := ranks[i]; k >= 0 && k < m {
				want = all[k]
			}
			if !near(got, want, 1e-12) {
				t.Errorf("%d points, rank %d of %d: %v, want %v", n, ranks[i], m, got, want)
			}
		}
	}
	if got := robust.SlopesAt([]float64{1, 2}, []float64{1, math.NaN()}, 0); !math.IsNaN(got[0]) {
		t.Errorf("slope to a missing value: %v", got[0])
	}
}

// Exact tails of all orders, counted; and far out the two orders that rise or
// fall throughout, 2/n!.
func TestKendallP(t *testing.T) {
	for _, c := range load(t).Tails {
		want := 1.
		if c.S > 0 {
			want = 2 * c.Count / c.Total
		}
		if got := robust.KendallP(c.N, c.S); !near(got, want, 1e-12) {
			t.Errorf("n = %d, S = %d: %v, want %v", c.N, c.S, got, want)
		}
	}
	for _, n := range []int{2, 12, 40, 60} {
		if got, want := robust.KendallP(n, n*(n-1)/2), 2/math.Gamma(float64(n)+1); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("n = %d: %v, want %v", n, got, want)
		}
		if got := robust.KendallP(n, n*(n-1)/2+1); got != 0 {
			t.Errorf("n = %d, more than all pairs: %v", n, got)
		}
	}
	if robust.KendallP(5, 0) != 1 || robust.KendallP(5, -3) != 1 {
		t.Error("no order at all has probability 1")
	}
}
