package filter

import "math"

// normalMAD is 1/Φ⁻¹(3/4): it turns the median absolute deviation of a normal
// sample into its standard deviation.
const normalMAD = 1.4826022185056020

// Hampel marks single samples that lie far from the median of their
// neighbourhood and replaces them by that median. A sample is an outlier when
//
//	|x[i] - m| > Threshold · 1.4826 · MAD   and   |x[i] - m| > Floor
//
// with m the median and MAD the median absolute deviation of the 2·HalfWidth+1
// samples around it. The floor matters: where a tracked point rests, the MAD
// is next to nothing and the first condition alone would flag its ordinary
// jitter.
//
// The window must be longer than twice the longest run of outliers and short
// against a stroke: a turn fills a wide window with a slope on each side, and
// its tip is then an outlier. The zero value is a window of 7 samples with a
// threshold of 3 and no floor.
type Hampel struct {
	// HalfWidth is the number of samples on each side. Zero means 3; negative
	// turns the filter off.
	HalfWidth int
	// Threshold is in robust standard deviations. Zero means 3; negative
	// leaves the decision to Floor.
	Threshold float64
	// Floor is a deviation, in the unit of x, up to which no sample is
	// flagged.
	Floor float64
}

// stackWindow is the widest window that needs no allocation.
const stackWindow = 63

// Apply writes x with its outliers replaced to dst, writes to flags whether
// each sample was one, and returns dst and how many there were. A nil dst
// allocates; a nil flags is not written. dst may be x.
//
// Medians are taken over x as it came, not over replaced values. The first and
// last HalfWidth samples have no full window and are never flagged, as with
// the hampel function of the R package pracma; neither is a sample whose
// window holds a NaN.
//
// It panics if dst or flags is of another length than x. Time is proportional
// to len(x)·HalfWidth; nothing is allocated up to a HalfWidth of 31.
func (h Hampel) Apply(dst []float64, flags []bool, x []float64) ([]float64, int) {
	dst = destination(dst, len(x))
	if flags != nil {
		if len(flags) != len(x) {
			panic("filter: length of flags is not the length of x")
		}
		clear(flags)
	}
	k := h.HalfWidth
	if k == 0 {
		k = 3
	}
	w := 2*k + 1
	if k < 0 || len(x) < w {
		copy(dst, x)
		return dst, 0
	}
	bound := normalMAD * h.Threshold
	switch {
	case h.Threshold == 0:
		bound = normalMAD * 3
	case h.Threshold < 0:
		bound = 0
	}
	floor := max(h.Floor, 0)

	var array [2 * stackWindow]float64
	scratch := array[:]
	if w > stackWindow {
		scratch = make([]float64, 2*w)
	}
	sorted, ring := scratch[:w], scratch[w:2*w] // ring: the window in time order

	// NaN sorts as +Inf, and while there is one in the window nothing is
	// flagged.
	missing := 0
	for i, v := range x[:w] {
		ring[i] = v
		if v != v {
			v = math.Inf(1)
			missing++
		}
		j := i
		for ; j > 0 && sorted[j-1] > v; j-- {
			sorted[j] = sorted[j-1]
		}
		sorted[j] = v
	}
	copy(dst[:k], x[:k])
	flagged, oldest, centre := 0, 0, k
	for i := k; ; i++ {
		v := ring[centre]
		m := sorted[k]
		if d := math.Abs(v - m); d > floor && missing == 0 && d > bound*deviation(sorted, k) {
			v = m
			flagged++
			if flags != nil {
				flags[i] = true
			}
		}
		dst[i] = v
		if i+k+1 == len(x) {
			break
		}
		in, out := x[i+k+1], ring[oldest]
		ring[oldest] = in
		if oldest++; oldest == w {
			oldest = 0
		}
		if centre++; centre == w {
			centre = 0
		}
		if out != out {
			out = math.Inf(1)
			missing--
		}
		if in != in {
			in = math.Inf(1)
			missing++
		}
		replace(sorted, out, in)
	}
	copy(dst[len(x)-k:], x[len(x)-k:])
	return dst, flagged
}

// replace takes out from the sorted values and puts in among them.
func replace(sorted []float64, out, in float64) {
	j := 0
	for j < len(sorted)-1 && sorted[j] != out {
		j++
	}
	for ; j+1 < len(sorted) && sorted[j+1] < in; j++ {
		sorted[j] = sorted[j+1]
	}
	for ; j > 0 && sorted[j-1] > in; j-- {
		sorted[j] = sorted[j-1]
	}
	sorted[j] = in
}

// deviation returns the median absolute deviation of 2k+1 sorted values: the
// (k+1)-th smallest distance from the middle one, found by walking outward.
func deviation(sorted []float64, k int) float64 {
	m := sorted[k]
	lo, hi := k-1, k+1
	var d float64
	for range k {
		below, above := math.Inf(1), math.Inf(1)
		if lo >= 0 {
			below = m - sorted[lo]
		}
		if hi < len(sorted) {
			above = sorted[hi] - m
		}
		if below <= above {
			d = below
			lo--
		} else {
			d = above
			hi++
		}
	}
	return d
}
