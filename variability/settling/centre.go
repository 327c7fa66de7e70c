package settling

import "math"

// medianLoss makes up for the scatter that a stroke's own share in its local
// median takes away (windows of seven and more).
const medianLoss = 1.05

// deviations writes to dst how far each stroke lies from its local centre: the
// running median of w strokes of the same direction, within its part.
func (c *columns) deviations(dst [][features]float64, w int, buf []float64) {
	xs, med := buf[:len(c.x)], make([]float64, len(c.x))
	var win []float64
	idx := make([]int, len(c.x))
	for i := range dst {
		for f := range dst[i] {
			dst[i][f] = math.NaN()
		}
	}
	for _, p := range c.parts {
		for f := range features {
			for _, up := range [2]bool{false, true} {
				k := 0
				for i := p.lo; i < p.hi; i++ {
					if v := c.x[i][f]; c.up[i] == up && v == v {
						xs[k], idx[k] = v, i
						k++
					}
				}
				win = rollingMedian(med[:k], xs[:k], win, w)
				for j, i := range idx[:k] {
					dst[i][f] = xs[j] - med[j]
				}
			}
		}
	}
}

// rollingMedian writes to dst the median of the w values of xs about each
// (of the first or last w near the ends), in O(w) each. win is
// scratch, returned for use again.
func rollingMedian(dst, xs, win []float64, w int) []float64 {
	w = min(w, len(xs))
	if w == 0 {
		return win
	}
	win = win[:0]
	for _, v := range xs[:w] {
		win = append(win, v)
		for j := len(win) - 1; j > 0 && win[j-1] > win[j]; j-- {
			win[j-1], win[j] = win[j], win[j-1]
		}
	}
	lo := 0
	for i := range xs {
		if at := min(max(i-w/2, 0), len(xs)-w); at > lo {
			slide(win, xs[lo], xs[lo+w])
			lo = at
		}
		dst[i] = (win[(w-1)/2] + win[w/2]) / 2
	}
	return win
}

// slide replaces old by v in the ascending win.
func slide(win []float64, old, v float64) {
	j := 0
	for win[j] != old {
		j++
	}
	for ; j+1 < len(win) && win[j+1] < v; j++ {
		win[j] = win[j+1]
	}
	for ; j > 0 && win[j-1] > v; j-- {
		win[j] = win[j-1]
	}
	win[j] = v
}
