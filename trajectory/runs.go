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
		for start, end := nextRun(cols, 0, n); start < n; start, end = nextRun(cols, end, n) {
			if !yield(start, end) {
				return
			}
		}
	}
}

// nextRun returns the first run of columns of n samples that begins at sample from
// or later, n and n if there is none. It is [Runs] for where nothing may be
// allocated.
func nextRun(cols [][]float64, from, n int) (start, end int) {
	for start = from; start < n && !allSeen(cols, start, start+1); {
		start++
	}
	for end = start; end < n; {
		switch {
		case end+seenAtOnce <= n && allSeen(cols, end, end+seenAtOnce):
			end += seenAtOnce
		case allSeen(cols, end, end+1):
			end++
		default:
			return start, end
		}
	}
	return start, n
}

// seenAtOnce is how many samples of a run are looked at column by column.
const seenAtOnce = 32

// allSeen reports whether no sample in [start, end) of the columns is NaN.
func allSeen(cols [][]float64, start, end int) bool {
	for _, c := range cols {
		for _, v := range c[start:end] {
			if v != v {
				return false
			}
		}
	}
	return true
}

// missing returns an iterator over the gaps of the columns, none of them nil:
// the ranges between their runs.
func missing(columns ...[]float64) iter.Seq2[int, int] {
	return func(yield func(start, end int) bool) {
		last := 0
		for start, end := range Runs(columns...) {
			if start > last && !yield(last, start) {
				return
			}
			last = end
		}
		if n := len(columns[0]); last < n {
			yield(last, n)
		}
	}
}

// gapParts returns an iterator over the parts of a recording that hold the gaps
// of the columns and what is within slopeTime of them. Gaps are apart when no
// slope reaches from one to the other.
func gapParts(t []float64, columns [][]float64) iter.Seq2[int, int] {
	return func(yield func(start, end int) bool) {
		first, last := 0, 0 // the gaps in hand are in [first, last)
		part := func() bool {
			if first == last {
				return true
			}
			start, end := first, last
			for start > 0 && t[first-1]-t[start-1] <= slopeTime {
				start--
			}
			for end < len(t) && t[end]-t[last] <= slopeTime {
				end++
			}
			return yield(start, end)
		}
		for start, end := range missing(columns...) {
			if start > last && t[start-1]-t[last] > slopeTime {
				if !part() {
					return
				}
				first = start
			} else if first == last {
				first = start
			}
			last = end
		}
		part()
	}
}
