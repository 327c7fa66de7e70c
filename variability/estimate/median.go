package estimate

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/stat/distuv"
)

// MedianInterval returns the median of independent observations with the
// interval between two order statistics that holds the true median with at
// least the wanted level, whatever the distribution:
//
//	[x(k), x(n+1-k)], k the largest with 2 P(Bin(n, 1/2) < k) ≤ 1 - level
//
// Level in the result is the exact level of that interval, 1 - 2 P(Bin(n,
// 1/2) < k), at or above the wanted one. Below six observations no interval
// reaches 0.95; the bounds are NaN then and Level is 0.
//
// Missing observations (NaN) are left out and N counts the others; without
// any the result is absent. For observations in time order that are not
// independent use [SeriesMedian].
//
// See H. A. David and H. N. Nagaraja (2003), Order Statistics, 3rd ed., 7.1.
func MedianInterval(xs []float64, level float64) Value[float64] {
	known := present(xs)
	n := len(known)
	if n == 0 {
		return nothing("median")
	}
	slices.Sort(known)
	v := pointOnly(middle(known), n)
	level, wanted := confidence(level)
	if !wanted {
		return v
	}
	if k, tail := medianRank(n, 1-level); k > 0 {
		v.Low, v.High, v.Level = known[k-1], known[n-k], 1-2*tail
	}
	return v
}

// medianRank returns the largest k with 2 P(Bin(n, 1/2) < k) ≤ alpha, and
// that probability P. It is 0 if there is none.
func medianRank(n int, alpha float64) (k int, tail float64) {
	b := distuv.Binomial{N: float64(n), P: 0.5}
	below := func(k int) float64 { return b.CDF(float64(k - 1)) }
	lo, hi := 0, (n+1)/2 // below(lo) is small enough
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if 2*below(mid) <= alpha {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	if lo == 0 {
		return 0, 0
	}
	return lo, below(lo)
}

// SeriesMedian returns the median of observations in time order with an
// interval that bears autocorrelation. The ranks of its bounds are
//
//	(n ± t √(n V)) / 2
//
// where V is the long-run variance of sign(x - median), see [LongRun], and t
// the Student quantile for the degrees of freedom of V. For independent
// observations V is near 1 and the interval close to [MedianInterval]'s.
//
// Missing observations (NaN) are left out and N counts the others; without
// any the result is absent. The bounds are NaN where the ranks fall outside
// the data. V near 0 (a median that the series crosses in strict alternation)
// gives an interval of two neighbours.
//
// See P. Heidelberger and P. A. W. Lewis (1984), Quantile estimation in
// dependent sequences. Operations Research 32(1), 185-209.
func SeriesMedian(xs []float64, level float64) Value[float64] {
	known := present(xs)
	n := len(known)
	if n == 0 {
		return nothing("median")
	}
	partly := slices.Clone(known) // from here on, the smaller half before the larger
	med := robust.MedianInPlace(partly)
	v := pointOnly(med, n)
	level, wanted := confidence(level)
	if !wanted || n == 1 {
		return v
	}
	signs := known
	for i, x := range known {
		switch {
		case x > med:
			signs[i] = 1
		case x < med:
			signs[i] = -1
		default:
			signs[i] = 0
		}
	}
	variance, df := longRun(signs)
	half := studentQuantile(level, df) * math.Sqrt(float64(n)*variance) / 2
	k := math.Floor(float64(n)/2-half) + 1 // as the normal limit of the binomial rank
	k = min(k, float64((n+1)/2))
	if k >= 1 {
		v.Low, v.High, v.Level = med, med, level
		if i := int(k) - 1; i < n/2 {
			v.Low, v.High = robust.Select(partly[:n/2], i), robust.Select(partly[n/2:], n-1-i-n/2)
		}
	}
	return v
}

// middle returns the median of a sorted, non-empty slice.
func middle(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	a, b := sorted[n/2-1], sorted[n/2]
	return a + (b-a)/2
}
