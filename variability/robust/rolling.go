package robust

import (
	"cmp"
	"slices"
)

// RollingMedian stores in dst the median of each value of xs and the half values to
// each side of it, of fewer near the ends, and returns dst. A nil dst allocates; dst
// must not be xs.
//
// The window is kept sorted, in time that grows with len(xs)·half: a [MedianInPlace] of
// each window takes seven times as long at a half of 12 (BenchmarkRollingMedian).
// Nothing else is allocated up to a half of 31.
//
// Special cases are: a NaN counts as less than every number, as for [slices.Sort], so
// that a few of them move a median no further than as many wild values. half below 0
// counts as 0.
//
// It panics if dst is of another length than xs.
func RollingMedian(dst, xs []float64, half int) []float64 {
	if dst == nil {
		dst = make([]float64, len(xs))
	}
	if len(dst) != len(xs) {
		panic("robust: length of dst is not the length of xs")
	}
	half = max(half, 0)
	var buf [63]float64
	w := buf[:0]
	for _, v := range xs[:min(len(xs), half)] {
		w = append(w, v)
		settle(w, len(w)-1)
	}
	for i := range xs {
		last, next := i-half-1, i+half
		switch {
		case last >= 0 && next < len(xs):
			k := place(w, xs[last])
			w[k] = xs[next]
			settle(w, k)
		case next < len(xs):
			w = append(w, xs[next])
			settle(w, len(w)-1)
		case last >= 0:
			k := place(w, xs[last])
			w = slices.Delete(w, k, k+1)
		}
		n := len(w)
		dst[i] = between(w[(n-1)/2], w[n/2], 0.5)
	}
	return dst
}

// place returns where v is in w, which holds it.
func place(w []float64, v float64) int {
	k := 0
	for w[k] != v && (w[k] == w[k] || v == v) {
		k++
	}
	return k
}

// settle moves element k of w, the others of which are sorted, to its place.
func settle(w []float64, k int) {
	v := w[k]
	for ; k > 0 && cmp.Less(v, w[k-1]); k-- {
		w[k] = w[k-1]
	}
	for ; k+1 < len(w) && cmp.Less(w[k+1], v); k++ {
		w[k] = w[k+1]
	}
	w[k] = v
}
