package motion

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
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
// each side, NaN as the least of them.
func rolling(y, x []float64) { robust.RollingMedian(y, x, swingWindow) }
