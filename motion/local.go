package motion

import (
	"cmp"
	"math"
	"slices"
)

// local holds the local size of the motion around the swings found, each the
// median of the swings near it, so that thresholds follow tiny and wide
// playing alike and carry over a rest.
type local struct {
	at                    []float64 // grid sample of the swing's middle
	length, duration, top []float64 // travel; grid samples; greatest speed
}

// swingWindow is how many swings to each side the local size looks at.
const swingWindow = 6

// nearest returns the index of the swing whose middle is nearest to sample i,
// searching on from k.
func (l *local) nearest(k int, i float64) int {
	if k >= len(l.at) || l.at[k] > i+1 && k > 0 && l.at[k-1] > i {
		k = 0
	}
	for k+1 < len(l.at) && math.Abs(l.at[k+1]-i) <= math.Abs(l.at[k]-i) {
		k++
	}
	return k
}

// spans goes through the samples [from, to) by the swing whose middle is
// nearest to them. There is nothing to go through when there are no swings.
func (l *local) spans(from, to int) spans {
	k, _ := slices.BinarySearch(l.at, float64(from))
	return spans{l, max(k-1, 0), from, to}
}

// spans is where such a walk is.
type spans struct {
	l        *local
	k        int // the next swing
	from, to int
}

// next returns the next swing with its samples; ok is false at the end.
func (s *spans) next() (k int, r run, ok bool) {
	for s.k < len(s.l.at) && s.from < s.to {
		k, end := s.k, s.to
		if k+1 < len(s.l.at) {
			// Half-way the later one serves.
			end = min(max(int(math.Ceil((s.l.at[k]+s.l.at[k+1])/2)), s.from), s.to)
		}
		r := run{s.from, end}
		s.k, s.from = k+1, end
		if r.End > r.Start {
			return k, r, true
		}
	}
	return 0, run{}, false
}

// rolling writes to y, as long as x, the median of the swingWindow values to
// each side, from a window that is kept sorted, NaN first.
func rolling(y, x []float64) []float64 {
	var buf [2*swingWindow + 1]float64
	w := buf[:0]
	for _, v := range x[:min(len(x), swingWindow)] {
		w = append(w, v)
		settle(w, len(w)-1)
	}
	for i := range x {
		last, next := i-swingWindow-1, i+swingWindow
		switch {
		case last >= 0 && next < len(x):
			k := index(w, x[last])
			w[k] = x[next]
			settle(w, k)
		case next < len(x):
			w = append(w, x[next])
			settle(w, len(w)-1)
		case last >= 0:
			k := index(w, x[last])
			w = slices.Delete(w, k, k+1)
		}
		n := len(w)
		y[i] = (w[(n-1)/2] + w[n/2]) / 2
	}
	return y
}

// index returns where v is in w.
func index(w []float64, v float64) int {
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
