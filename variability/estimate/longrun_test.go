package estimate_test

import (
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestLongRunFormula sums the cosines of the definition one by one, at lengths
// that leave a middle value or none, and components over.
func TestLongRunFormula(t *testing.T) {
	for _, n := range []int{2, 3, 4, 5, 6, 9, 10, 11, 40, 127, 256, 257, 1313, 3000} {
		xs := autoregressive(n, 0.6, "long run")
		q := min(max(4, int(math.Round(0.4*math.Pow(float64(n), 2./3)))), 48, n-1)
		var want float64
		for j := 1; j <= q; j++ {
			var c float64
			for i, x := range xs {
				c += x * math.Cos(math.Pi*float64(j)*(float64(i)+0.5)/float64(n))
			}
			want += c * c * 2 / float64(n) / float64(q)
		}
		before := slices.Clone(xs)
		got, df := estimate.LongRun(xs)
		if !near(got, want, 1e-11) || df != q {
			t.Errorf("n=%d: %v with %d degrees of freedom, want %v with %d", n, got, df, want, q)
		}
		if !slices.Equal(xs, before) {
			t.Errorf("n=%d: the input was changed", n)
		}
	}
}

// TestSeriesMedianRanks finds the bounds at ranks equally far from both ends
// and the median between them, for few values and many, in any order.
func TestSeriesMedianRanks(t *testing.T) {
	alternating := func(n int) []float64 {
		xs := make([]float64, n)
		for i := range xs {
			xs[i] = float64(1-2*(i%2)) * float64(1+i)
		}
		return xs
	}
	for _, n := range []int{20, 21, 250, 251, 4000, 4001} {
		for name, xs := range map[string][]float64{
			"autoregressive": autoregressive(n, 0.5, "ranks"),
			"alternating":    alternating(n),
		} {
			v := estimate.SeriesMedian(xs, 0.95)
			sorted := slices.Sorted(slices.Values(xs))
			low, found := slices.BinarySearch(sorted, v.Low)
			if med := (sorted[(n-1)/2] + sorted[n/2]) / 2; !found || !near(v.Value, med, 1e-14) || v.High != sorted[n-1-low] || low > (n-1)/2 {
				t.Errorf("%s, n=%d: %+v, median %v, rank %d of the lower bound", name, n, v, med, low)
			}
		}
	}
}
