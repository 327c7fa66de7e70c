package robust

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Trend is the result of a Mann-Kendall test.
type Trend struct {
	// S is the number of pairs that rise less the number that fall.
	S float64
	// Var is the variance of S without a trend, corrected for ties.
	Var float64
	// Z is (S ∓ 1)/√Var, 0 for S = 0.
	Z float64
	// P is the two-sided probability without a trend.
	P float64
	// Tau is Kendall's τ-b.
	Tau float64
	// N is the number of observations.
	N int
	// Exact reports that P comes from the exact distribution of S.
	Exact bool
}

// MannKendall tests the observations y, in time order, for a monotonic trend:
//
//	S   = Σ sgn(y(j) - y(i)), i < j
//	Var = [n(n-1)(2n+5) - Σ t(t-1)(2t+5)]/18, over groups of t equal values
//
// P is exact for n ≤ 10 without ties, from the normal distribution of Z with
// continuity correction otherwise. It holds for independent observations;
// a positive autocorrelation makes it too small. Time is O(n log n).
//
// Special cases are: S, Var, Z, P and Tau are NaN if y holds a NaN; with fewer
// than two observations, or all of them equal, S and Z are 0, P is 1 and Tau
// is NaN.
//
// # References
//
//   - H. B. Mann (1945), Nonparametric tests against trend. Econometrica 13,
//     245-259.
//   - M. G. Kendall (1975), Rank Correlation Methods, 4th ed. Griffin.
func MannKendall(y []float64) Trend {
	t := Trend{N: len(y)}
	if hasNaN(y) {
		nan := math.NaN()
		t.S, t.Var, t.Z, t.P, t.Tau = nan, nan, nan, nan, nan
		return t
	}
	n := len(y)
	sorted := slices.Clone(y)
	falls, tied := fallsAndTies(sorted)
	pairs := float64(n) * float64(n-1) / 2
	t.S = pairs - tied - 2*falls
	t.Var = variance0(n, tieTerm(sorted))
	t.Tau = t.S / math.Sqrt(pairs*(pairs-tied))
	if n <= 10 && tied == 0 {
		t.P, t.Exact = KendallP(n, int(math.Abs(t.S))), true
	}
	if t.S != 0 {
		t.Z = (t.S - math.Copysign(1, t.S)) / math.Sqrt(t.Var)
	}
	if !t.Exact {
		t.P = min(1, 2*distuv.UnitNormal.Survival(math.Abs(t.Z)))
	}
	return t
}

// fallsAndTies sorts y and returns how many pairs of it were falling and how
// many are equal.
func fallsAndTies(y []float64) (falls, tied float64) {
	order := make([]int32, len(y))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(y[a], y[b]) })
	// A falling pair is one whose later member comes first in the order of
	// height. Count those before each place with a tree of partial sums.
	tree := make([]int32, len(y)+1)
	seen := 0
	for _, at := range order {
		before := int32(0) // members met that are earlier in time
		for i := int(at); i > 0; i &= i - 1 {
			before += tree[i]
		}
		falls += float64(seen - int(before))
		for i := int(at) + 1; i < len(tree); i += i & -i {
			tree[i]++
		}
		seen++
	}
	slices.Sort(y)
	for i := 0; i < len(y); {
		j := i + 1
		for j < len(y) && y[j] == y[i] {
			j++
		}
		tied += float64(j-i) * float64(j-i-1) / 2
		i = j
	}
	return falls, tied
}

// tieTerm returns Σ t(t-1)(2t+5) over the groups of t equal values of a sorted
// slice.
func tieTerm(sorted []float64) float64 {
	var sum float64
	for i := 0; i < len(sorted); {
		j := i + 1
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		t := float64(j - i)
		sum += t * (t - 1) * (2*t + 5)
		i = j
	}
	return sum
}

// variance0 returns Kendall's variance of S for n observations, less a term
// for ties.
func variance0(n int, ties float64) float64 {
	f := float64(n)
	return (f*(f-1)*(2*f+5) - ties) / 18
}

// kendallVariance returns the variance of S between x and y, less the terms
// for ties in each.
func kendallVariance(x, y []float64) float64 {
	sx, sy := slices.Clone(x), slices.Clone(y)
	slices.Sort(sx)
	slices.Sort(sy)
	return max(0, variance0(len(x), tieTerm(sx)+tieTerm(sy)))
}

// KendallP returns the exact probability P(|S| ≥ s) that n observations in
// random order, no two of them equal, differ as much from order as s says. The
// number of inversions of a random permutation has the generating function
//
//	Π (1 + q + … + q^(i-1))/i, i = 1 … n, and S = n(n-1)/2 - 2·inversions
//
// (Kendall 1975, ch. 5). Time is O(n³). It is 1 for s ≤ 0, and 0 above
// n(n-1)/2.
func KendallP(n, s int) float64 {
	if s <= 0 {
		return 1
	}
	probability := []float64{1}
	for i := 2; i <= n; i++ {
		next := make([]float64, len(probability)+i-1)
		var window float64 // sum of the i probabilities up to k
		for k := range next {
			if k < len(probability) {
				window += probability[k]
			}
			if k >= i {
				window -= probability[k-i]
			}
			next[k] = max(0, window) / float64(i)
		}
		probability = next
	}
	most := n * (n - 1) / 2
	var tail float64
	for k := 0; most-2*k >= s; k++ {
		tail += probability[k]
	}
	return min(1, 2*tail)
}
