package trajectory

import "iter"

// Runs returns an iterator over the gap-free runs of the columns: the
// half-open ranges [start, end) of indices at which no column is NaN, in
// order and as long as they can be. Nil columns are left out, so that an axis
// which a source or a view does not have can be passed as it is.
//
// It panics when columns that are not nil differ in length.
//
// Special cases are:
//
//	Runs() and Runs(nil) yield nothing
//	columns of length zero yield nothing
func Runs(columns ...[]float64) iter.Seq2[int, int] {
	var kept [4][]float64
	cols := kept[:0]
	n := 0
	for _, c := range columns {
		if c == nil {
			continue
		}
		if len(cols) > 0 && len(c) != n {
			panic("trajectory: columns of unequal length")
		}
		n = len(c)
		cols = append(cols, c)
	}
	return func(yield func(start, end int) bool) {
		start := -1
		for i := range n {
			seen := true
			for _, c := range cols {
				if c[i] != c[i] {
					seen = false
					break
				}
			}
			if seen && start < 0 {
				start = i
			}
			if !seen && start >= 0 {
				if !yield(start, i) {
					return
				}
				start = -1
			}
		}
		if start >= 0 {
			yield(start, n)
		}
	}
}

// missing returns an iterator over the gaps of a column: the ranges between
// its runs.
func missing(x []float64) iter.Seq2[int, int] {
	return func(yield func(start, end int) bool) {
		last := 0
		for start, end := range Runs(x) {
			if start > last && !yield(last, start) {
				return
			}
			last = end
		}
		if last < len(x) {
			yield(last, len(x))
		}
	}
}
