package motion

import (
	"math"

	"gonum.org/v1/gonum/dsp/window"
)

// roughCycleHz guesses the frequency of the down-up cycle from the velocity
// spectrum along the main direction of motion, averaged over four-second
// segments (Welch 1967), with straight lines through gaps: cutting them out
// would put steps at twice the frequency where a point hides at one end of
// every stroke. It only sets the scales of the search, which refines
// them from the strokes found. Zero means that there is no motion.
func (a *Analyzer) roughCycleHz(g *grid, lo, hi float64) float64 {
	axis := mainAxis(&a.pools, g.raw, g.runs)
	n := g.n()
	size := min(n, int(4*g.hz))
	if size < 16 {
		return 0
	}
	group := together(size, g.hz/(4*hi))
	a.fft.Reset(size / group)
	taper, seg := window.Values(a.pools.floats.take(size)), a.pools.floats.take(size)
	for i := range taper {
		taper[i] = 1
	}
	window.Hann(taper)
	sums := a.pools.floats.take(size / group)
	coef := a.pools.powers.take(len(sums)/2 + 1)
	power := a.pools.floats.take(len(coef))
	for from := 0; ; from += size / 2 {
		if from+size > n {
			from = n - size
		}
		project(seg, g.raw, axis, from)
		bridge(seg)
		detrend(seg)
		taper.Transform(seg)
		for i := range sums {
			sums[i] = sum(seg[i*group : (i+1)*group])
		}
		a.fft.Coefficients(coef, sums)
		for k, c := range coef {
			power[k] += real(c)*real(c) + imag(c)*imag(c)
		}
		if from+size >= n {
			break
		}
	}
	best, at := 0.0, 0
	for k := 1; k < len(power)-1; k++ {
		f := float64(k) * g.hz / float64(size)
		if f < lo || f > hi {
			continue
		}
		// The velocity's power; what the sums have lost of it is given back.
		v := f * math.Sin(math.Pi*f/g.hz) / math.Sin(math.Pi*f*float64(group)/g.hz)
		if p := power[k] * v * v; p > best {
			best, at = p, k
		}
	}
	return float64(at) * g.hz / float64(size)
}

// together returns how many samples of a segment may be summed before its
// spectrum is taken: the greatest divisor of size up to most, 1 at least.
func together(size int, most float64) int {
	for k := int(most); k > 1; k-- {
		if size%k == 0 {
			return k
		}
	}
	return 1
}

// bridge fills the NaN samples between two others by a straight line.
func bridge(x []float64) {
	last := -1
	for i, v := range x {
		if v != v {
			continue
		}
		if last >= 0 {
			for j := last + 1; j < i; j++ {
				x[j] = x[last] + (v-x[last])*float64(j-last)/float64(i-last)
			}
		}
		last = i
	}
}

// detrend removes the least-squares line from x; NaN samples become zero.
func detrend(x []float64) {
	var n, st, sx, stt, stx float64
	for i, v := range x {
		if v != v {
			continue
		}
		t := float64(i)
		n++
		st += t
		sx += v
		stt += t * t
		stx += t * v
	}
	slope := 0.0
	if den := n*stt - st*st; den > 0 {
		slope = (n*stx - st*sx) / den
	}
	icept := 0.0
	if n > 0 {
		icept = (sx - slope*st) / n
	}
	for i, v := range x {
		if v != v {
			x[i] = 0
		} else {
			x[i] = v - icept - slope*float64(i)
		}
	}
}
