package robust

import (
	"math"
	"math/bits"
	"slices"
)

// Select returns the value that xs, sorted, would hold at k, and reorders xs:
// it is at k, nothing before it is larger and nothing after it smaller. xs must
// not hold NaN. It panics if k is not an index of xs.
//
// It is quickselect with the median of three, or of three medians of three on
// long ranges, as pivot (Hoare 1961; Bentley & McIlroy 1993), and falls back
// to sorting the range that is left if the pivots turn out badly, which bounds
// the time by O(n log n).
func Select(xs []float64, k int) float64 {
	at, rest := k, xs // rest holds the value sought, at that place
	for budget := 2*bits.Len(uint(len(xs))) + 8; len(rest) > 17 && budget > 0; budget-- {
		p := pivot(rest)
		less := 0
		for i, v := range rest {
			// Not a branch, which would be mispredicted every other time.
			rest[i], rest[less] = rest[less], v
			less += one(v < p)
		}
		if at < less {
			rest = rest[:less]
			continue
		}
		if less == 0 { // p is the least: put all that equal it first
			for i, v := range rest {
				rest[i], rest[less] = rest[less], v
				less += one(v == p)
			}
			if at < less {
				return p
			}
		}
		rest, at = rest[less:], at-less
	}
	slices.Sort(rest)
	return xs[k]
}

// one returns 1 for true, without a branch.
func one(b bool) int {
	n := 0
	if b {
		n = 1
	}
	return n
}

func pivot(xs []float64) float64 {
	hi := len(xs) - 1
	mid := hi / 2
	if hi < 128 {
		return median3(xs[0], xs[mid], xs[hi])
	}
	s := hi / 8
	return median3(
		median3(xs[0], xs[s], xs[2*s]),
		median3(xs[mid-s], xs[mid], xs[mid+s]),
		median3(xs[hi-2*s], xs[hi-s], xs[hi]))
}

func median3(a, b, c float64) float64 {
	if a > b {
		a, b = b, a
	}
	if b > c {
		b = c
	}
	return max(a, b)
}

func hasNaN(xs []float64) bool {
	return slices.ContainsFunc(xs, math.IsNaN)
}
