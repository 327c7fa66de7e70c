package trajectory

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
)

const (
	// speedShare is the share of the neighbouring speed, per sample, that a
	// step may have.
	speedShare = 0.5
	// hidden is how much of the usual step may be movement though it looks like
	// noise, as a share of what noise is allowed.
	hidden = 0.3
	// extentShare is the share of the usual extent of the path over a block
	// that a step may have: one that is smaller does no harm.
	extentShare = 0.02
	// block is the number of samples over which the usual step and extent are
	// measured.
	block = 32
	// maxPasses bounds how often the search is repeated after cuts: an outlier
	// may hide another.
	maxPasses = 4
)

// walk is the samples of a path that are there, without the gaps, and the
// steps between them. Boundary b lies between samples b and b+1.
type walk struct {
	at    []int       // where in the path
	t     []float64   // times in usual intervals
	x     [][]float64 // by axis
	step  []float64   // size of the step over its gain at each boundary, NaN where unknown
	usual []float64   // limit times the usual step, by block of the path, NaN where not yet measured
	limit float64     // threshold in standard deviations
	noise float64     // standard deviation on one axis
	least float64     // step that is allowed anywhere on even times: noise, or harmless

	list     []int     // scratch of window
	column   []float64 // of extent and spread
	clusters []cluster // of search
	cuts     []span
	best     [maxBlock]int  // of outliers
	taken    [maxGreedy]int // of greedy
	pattern  struct {
		stencils           []stencil
		observed           [][3]float64
		step, ramp, sample []float64
		rest               []float64
	}
}

// jumps cuts outliers and stretches elsewhere.
func (c *cutter) jumps(threshold float64, maxElsewhere int) {
	if threshold < 0 || c.seen < 7 {
		return
	}
	w := &c.walk
	w.begin(c, threshold)
	w.measure(0, len(w.at))
	for range maxPasses {
		for k := range w.usual {
			w.usual[k] = math.NaN()
		}
		cuts := w.search(maxElsewhere)
		if len(cuts) == 0 {
			break
		}
		w.apply(c, cuts)
	}
	c.edges(w)
}

// begin makes w the samples of the path that are there.
func (w *walk) begin(c *cutter, threshold float64) {
	n := c.seen
	w.at, w.t, w.step = resize(w.at, n), resize(w.t, n), resize(w.step, n)
	w.usual = resize(w.usual, c.p.Len()/block+1)
	i := 0
	for j, v := range c.p.X {
		if v == v {
			w.at[i] = j
			i++
		}
	}
	if c.even {
		last := -1
		for i, j := range w.at {
			last = c.clock.next(last, c.p.T[j])
			w.t[i] = float64(last)
		}
	} else {
		for i, j := range w.at {
			w.t[i] = c.p.T[j] / c.pace.usual
		}
	}
	columns := c.columns
	w.x = resize(w.x, len(columns))
	for k, col := range columns {
		w.x[k] = resize(w.x[k], n)
		if n == len(col) {
			copy(w.x[k], col)
			continue
		}
		for i, j := range w.at {
			w.x[k][i] = col[j]
		}
	}
	w.limit, w.noise = threshold, c.noise
	w.least = w.limit * stepGain * w.noise
	// No block has a larger extent than the whole path.
	if extentShare*w.diagonal(0, n) > w.least {
		w.least = max(w.least, extentShare*w.extent())
	}
}

// extent returns the median over blocks of the diagonal of the box about the
// samples in one.
func (w *walk) extent() float64 {
	extents := w.column[:0]
	for start := 0; start == 0 || start+block <= len(w.at); start += block {
		extents = append(extents, w.diagonal(start, min(start+block, len(w.at))))
	}
	w.column = extents
	return robust.MedianInPlace(extents)
}

// diagonal returns the diagonal of the box about samples [start, end).
func (w *walk) diagonal(start, end int) float64 {
	var square float64
	for _, col := range w.x {
		low, high := col[start], col[start]
		for _, v := range col[start:end] {
			if v < low {
				low = v
			}
			if v > high {
				high = v
			}
		}
		square += (high - low) * (high - low)
	}
	return math.Sqrt(square)
}

// measure sets the steps at boundaries [first, last).
func (w *walk) measure(first, last int) {
	n := len(w.at)
	first, last = max(first, 0), min(last, n)
	for b := first; b < min(last, 2); b++ {
		w.step[b] = math.NaN()
	}
	for b := max(first, n-3, 0); b < last; b++ {
		w.step[b] = math.NaN()
	}
	first, last = max(first, 2), min(last, n-3)
	uneven := -1 // the last interval, by its second sample, that is not even
	for i := first - 1; i < first+3 && i < n; i++ {
		if math.Abs(w.t[i]-w.t[i-1]-1) > unevenness {
			uneven = i
		}
	}
	x, y, z := w.x[0], w.x[1], []float64(nil)
	if len(w.x) > 2 {
		z = w.x[2]
	}
	for b := first; b < last; b++ {
		if math.Abs(w.t[b+3]-w.t[b+2]-1) > unevenness {
			uneven = b + 3
		}
		var square float64
		if uneven <= b-2 {
			u, v := evenStep((*[6]float64)(x[b-2:])), evenStep((*[6]float64)(y[b-2:]))
			square = u*u + v*v
			if z != nil {
				u = evenStep((*[6]float64)(z[b-2:]))
				square += u * u
			}
		} else {
			s := unevenStencil((*[6]float64)(w.t[b-2:]))
			for _, col := range w.x {
				v := s.step((*[6]float64)(col[b-2:]))
				square += v * v
			}
			square /= s.gain * s.gain
		}
		w.step[b] = math.Sqrt(square)
	}
}

// usualIn returns limit times the usual step in a block of the path, 0 where
// too few are known. It measures each block once a search, and few are asked
// for.
func (w *walk) usualIn(k int) float64 {
	if v := w.usual[k]; v == v {
		return v
	}
	// The median length of a vector of two, or three, unit normal numbers.
	typical := 1.1774100225154747 // √(2 ln 2), Rayleigh
	if len(w.x) == 3 {
		typical = 1.5381722544550522 // √ of the χ² median on 3 degrees of freedom
	}
	var array [block]float64
	kept := array[:0]
	for i, _ := slices.BinarySearch(w.at, k*block); i < len(w.at) && w.at[i] < (k+1)*block; i++ {
		if v := w.step[i]; v == v {
			kept = append(kept, v)
		}
	}
	w.usual[k] = 0
	if len(kept) >= block/4 {
		w.usual[k] = robust.MedianInPlace(kept) * w.limit / typical
	}
	return w.usual[k]
}

// excess returns by what share a step is beyond the largest that counts as
// movement and noise at the boundary between positions k and k+1 of the list of
// samples, 0 if it is not. Across a gap that is there the largest is as large
// as it may be, across one that a cut would make it is not: there the step must
// get smaller, not the measure coarser.
func (w *walk) excess(step float64, s *stencil, list []int, k int) float64 {
	noise := w.least
	if step <= s.gain*noise {
		return 0
	}
	i := w.at[list[k]] / block
	usual := w.usualIn(i)
	if i > 0 {
		usual = max(usual, w.usualIn(i-1))
	}
	if i+1 < len(w.usual) {
		usual = max(usual, w.usualIn(i+1))
	}
	if step <= s.gain*usual {
		return 0
	}
	speed := w.speed(list, k)
	// What noise does not explain of the usual step is movement, and some of
	// it hides in the noise. Uneven times raise it more than they raise noise,
	// but not beyond what the speed allows.
	movement := max(hidden*noise, math.Sqrt(max(0, usual*usual-noise*noise)))
	most := 1.5 * s.gain * speed
	if list[k+3]-list[k-2] == 5 {
		most *= s.gain
	}
	allowed := max(s.gain*max(noise, usual), min(s.bend*movement, most), speedShare*speed)
	return max(0, step/allowed-1)
}

// speed returns the third largest distance per usual interval between
// neighbours among four before and four after position k of the list of
// samples, that between k and k+1 left out: one outlier makes two distances
// large.
func (w *walk) speed(list []int, k int) float64 {
	var first, second, third float64
	for j := max(0, k-4); j <= k+4 && j+1 < len(list); j++ {
		if j == k {
			continue
		}
		a, b := list[j], list[j+1]
		switch v := w.distance(a, b) / (w.t[b] - w.t[a]); {
		case v > first:
			first, second, third = v, first, second
		case v > second:
			second, third = v, second
		case v > third:
			third = v
		}
	}
	return third
}

// distance returns the distance of two samples.
func (w *walk) distance(i, j int) float64 {
	var square float64
	for _, col := range w.x {
		d := col[j] - col[i]
		square += d * d
	}
	return math.Sqrt(square)
}

// off returns the distance of sample i from a place.
func (w *walk) off(i int, place [3]float64) float64 {
	var square float64
	for k, col := range w.x {
		d := col[i] - place[k]
		square += d * d
	}
	return math.Sqrt(square)
}

// spread returns the median place of samples [start, end) and their median
// distance from it.
func (w *walk) spread(start, end int) (place [3]float64, distance float64) {
	w.column = resize(w.column, end-start)
	column := w.column
	for k, col := range w.x {
		copy(column, col[start:end])
		place[k] = robust.MedianInPlace(column)
	}
	for i := range column {
		column[i] = w.off(start+i, place)
	}
	return place, robust.MedianInPlace(column)
}

// apply cuts the samples, takes them out of the walk, and measures the steps
// anew that they took part in.
func (w *walk) apply(c *cutter, cuts []span) {
	kept := cuts[0].start
	for n, s := range cuts {
		for i := s.start; i < s.end; {
			start := i
			for i++; i < s.end && w.at[i] == w.at[i-1]+1; i++ {
			}
			c.cut(s.rule, w.at[start], w.at[i-1]+1)
		}
		next := len(w.at)
		if n+1 < len(cuts) {
			next = cuts[n+1].start
		}
		copy(w.at[kept:], w.at[s.end:next])
		copy(w.t[kept:], w.t[s.end:next])
		copy(w.step[kept:], w.step[s.end:next])
		for _, col := range w.x {
			copy(col[kept:], col[s.end:next])
		}
		cuts[n].start = kept // where the cut is now
		kept += next - s.end
	}
	w.at, w.t, w.step = w.at[:kept], w.t[:kept], w.step[:kept]
	for k := range w.x {
		w.x[k] = w.x[k][:kept]
	}
	for _, s := range cuts {
		w.measure(s.start-4, s.start+4)
	}
	w.measure(kept-3, kept)
}
