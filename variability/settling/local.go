package settling

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// localSeconds is the time over which a local centre is taken, and minLocal the
	// strokes that one needs.
	localSeconds = 1.0
	minLocal     = 3
	// strayP is the probability that chance alone makes some pair of local centres of
	// a span seem farther apart than they are by more than what is taken off.
	strayP = 0.05
	// maxLocalPhi bounds the serial correlation of strokes within a second.
	maxLocalPhi = 0.8
)

// local sets how far the local centres of cs, over windows of a second, are apart, and
// the scatter about them. ft.y and ft.odd are those of cs. The difference of any two
// of k means of n strokes, with a serial correlation of φ within the windows, is known to
//
//	z s √((1+φ)/(1-φ) 2/n)
//
// with z for all k(k-1)/2 pairs at once (Bonferroni).
func (ft *fitter) local(cs *line) {
	cs.local = cs.sd
	first := ft.c.windows(cs.run)
	if len(first) < 3 {
		return
	}
	for f := range features {
		var s scatterWithin
		low, high, k := math.Inf(1), math.Inf(-1), 0.0
		for w, i := range first[:len(first)-1] {
			lo, hi := i-cs.lo, first[w+1]-cs.lo
			if mean, ok := s.add(ft.y[lo:hi], ft.odd[lo:hi], f); ok {
				low, high, k = min(low, mean), max(high, mean), k+1
			}
		}
		if k < 2 {
			continue
		}
		n := s.n / k
		z := distuv.UnitNormal.Quantile(1 - strayP/(k*(k-1)))
		cs.local[f] = max(leastSD, math.Sqrt(s.squares/(s.n-k)))
		cs.apart[f] = high - low
		cs.apartError[f] = z * cs.local[f] * math.Sqrt(s.inflation(n)*2/n)
	}
}

// windows returns the first strokes of the windows of a second, or a little more, that
// r is parted into, and its end.
func (c *columns) windows(r run) []int {
	seconds := c.seconds(r)
	n := max(1, int(seconds/localSeconds))
	first := []int{r.lo}
	for i := r.lo; i < r.hi && len(first) < n; i++ {
		if c.start[i] >= c.start[r.lo]+float64(len(first))*seconds/float64(n) {
			first = append(first, i)
		}
	}
	return append(first, r.hi)
}

// scatterWithin sums up the deviations of strokes from the means of their windows.
type scatterWithin struct{ n, squares, pairs, products float64 }

// add takes in feature f of one window and returns its mean; ok is false if it has too
// few strokes.
func (s *scatterWithin) add(y [][features]float64, odd []bool, f int) (mean float64, ok bool) {
	n := 0.0
	for j := range y {
		if v := y[j][f]; v == v && !odd[j] {
			n++
			mean += (v - mean) / n
		}
	}
	if n < minLocal {
		return 0, false
	}
	s.n += n
	last := math.NaN()
	for j := range y {
		d := y[j][f] - mean
		if odd[j] {
			d = math.NaN()
		}
		if d == d {
			s.squares += d * d
		}
		if v := d * last; v == v {
			s.pairs++
			s.products += v
		}
		last = d
	}
	return mean, true
}

// inflation returns how much more the mean of n strokes scatters than if they were
// drawn afresh, (1+φ)/(1-φ), where φ is the serial correlation freed of the bias of so
// short windows (Marriott & Pope 1954): r = φ - (1+3φ)/n.
func (s *scatterWithin) inflation(n float64) float64 {
	if s.pairs == 0 || s.squares == 0 || n <= 4 {
		return 1
	}
	r := s.products / s.pairs / (s.squares / s.n)
	phi := max(0, min(maxLocalPhi, (r+1/n)/(1-3/n)))
	return (1 + phi) / (1 - phi)
}
