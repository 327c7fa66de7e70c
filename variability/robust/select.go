package robust

import (
	"math"
	"math/bits"
	"slices"
)

// selectKth reorders xs, which must not hold NaN, so that xs[k] is the value
// that sorting would put there, nothing before it is larger and nothing after
// it smaller.
//
// It is quickselect with the median of three, or of three medians of three on
// long ranges, as pivot (Hoare 1961; Bentley & McIlroy 1993), and falls back
// to sorting the range that is left if the pivots turn out badly, which bounds
// the time by O(n log n).
func selectKth(xs []float64, k int) {
	lo, hi := 0, len(xs)-1
	for budget := 2*bits.Len(uint(len(xs))) + 8; hi-lo > 16; budget-- {
		if budget == 0 {
			break
		}
		p := pivot(xs, lo, hi)
		i, j := lo, hi
		for i <= j {
			for xs[i] < p {
				i++
			}
			for xs[j] > p {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default: // between the two parts all equal p
			return
		}
	}
	slices.Sort(xs[lo : hi+1])
}

func pivot(xs []float64, lo, hi int) float64 {
	mid := lo + (hi-lo)/2
	if hi-lo < 128 {
		return median3(xs[lo], xs[mid], xs[hi])
	}
	s := (hi - lo) / 8
	return median3(
		median3(xs[lo], xs[lo+s], xs[lo+2*s]),
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
