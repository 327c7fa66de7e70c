package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/floats"
)

// BrownForsythe returns the statistic of Brown and Forsythe (1974), Levene's
// test about medians: the F ratio of an analysis of variance of the absolute
// deviations z from the median of each group,
//
//	W = (N-k)/(k-1) · Σ n[i] (mean z[i] - mean z)² / ΣΣ (z[i][j] - mean z[i])²
//
// for k groups of N values in all. It is large where groups scatter
// unequally. For independent values it is compared with F on k-1 and N-k
// degrees of freedom; for a series of strokes it is not, see [EarlyLate].
//
// Missing values (NaN) are left out. Special cases are: NaN with fewer than
// two groups, an empty group or no more values than groups, and if all z are
// equal; +Inf if z differs between groups only.
func BrownForsythe(groups ...[]float64) float64 {
	k := len(groups)
	z := make([][]float64, k)
	total, n := 0.0, 0
	for i, g := range groups {
		z[i] = deviations(present(g))
		if len(z[i]) == 0 {
			return math.NaN()
		}
		total += floats.Sum(z[i])
		n += len(z[i])
	}
	if k < 2 || n <= k {
		return math.NaN()
	}
	mean := total / float64(n)
	var between, within float64
	for _, z := range z {
		m := meanOf(z)
		between += float64(len(z)) * (m - mean) * (m - mean)
		for _, v := range z {
			within += (v - m) * (v - m)
		}
	}
	return between / within * float64(n-k) / float64(k-1)
}

// deviations returns the distances of xs from their median.
func deviations(xs []float64) []float64 {
	m := robust.Median(xs)
	z := make([]float64, len(xs))
	for i, x := range xs {
		z[i] = math.Abs(x - m)
	}
	return z
}
