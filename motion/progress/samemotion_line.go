package progress

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability/robust"
)

// slopes are those of a quantity by log rate and, where it is told from that, by
// time, with half the width of their intervals at 95 %.
type slopes struct {
	rate, rateHalf float64
	time, timeHalf float64 // NaN without time
	level          float64 // at the means of what it is taken by
	meanRate       float64
	used, leftOut  int
}

// leastCycles is the number of cycles that a slope needs: blocks of three of
// them are then twelve or more.
const leastCycles = 40

// farOff is the number of robust standard deviations beyond which a cycle is
// left out of a slope: the tracker lost it.
const farOff = 5

// slopesOf fits y = level + rate (x - mean) [+ time (t - mean)] by least squares
// over cycles in order of time; a nil t leaves time out. NaN in y is left out,
// and so are cycles more than farOff from the line.
func slopesOf(y, x, t []float64) (s slopes, ok bool) {
	use := make([]int, 0, len(y))
	for i, v := range y {
		if v == v {
			use = append(use, i)
		}
	}
	known := len(use)
	pick := func(from []float64) []float64 {
		if from == nil {
			return nil
		}
		out := make([]float64, len(use))
		for k, i := range use {
			out[k] = from[i]
		}
		return out
	}
	for range 3 {
		if len(use) < leastCycles {
			return slopes{}, false
		}
		e := residuals(pick(y), pick(x), pick(t))
		limit := farOff * robust.Scale(e)
		if !(limit > 0) {
			break
		}
		kept := use[:0:0]
		for k, i := range use {
			if math.Abs(e[k]) <= limit {
				kept = append(kept, i)
			}
		}
		if len(kept) == len(use) {
			break
		}
		use = kept
	}
	if len(use) < leastCycles {
		return slopes{}, false
	}
	yy, xx, tt := pick(y), pick(x), pick(t)
	s = slopes{level: stat.Mean(yy, nil), meanRate: stat.Mean(xx, nil), used: len(use), leftOut: known - len(use), time: math.NaN(), timeHalf: math.NaN()}
	if s.rate, s.rateHalf, ok = serialSlope(yy, xx, tt); ok && tt != nil {
		s.time, s.timeHalf, ok = serialSlope(yy, tt, xx)
	}
	return s, ok
}

// without returns x less its mean and less its slope by z; z may be nil.
func without(x, z []float64) []float64 {
	out := slices.Clone(x)
	floats.AddConst(-stat.Mean(x, nil), out)
	if z != nil {
		d := slices.Clone(z)
		floats.AddConst(-stat.Mean(z, nil), d)
		if zz := floats.Dot(d, d); zz > 0 {
			floats.AddScaled(out, -floats.Dot(d, out)/zz, d)
		}
	}
	return out
}

// residuals returns what is left of y by its line over x and z.
func residuals(y, x, z []float64) []float64 {
	e, d := without(y, z), without(x, z)
	if xx := floats.Dot(d, d); xx > 0 {
		floats.AddScaled(e, -floats.Dot(d, e)/xx, d)
	}
	return e
}

// serialSlope returns the slope of y by x, z held, and half the width of its
// interval at 95 %. Neighbours in the series are alike, and in more than one
// way: from cycle to cycle, and through a slower wander under noise. The
// interval is therefore the widest of those by cycles and by the means of blocks
// of three and of six of them, of which there must be twelve, each as for a
// first-order autoregression:
//
//	Var b = s² Σ Σ d(i) r^|i-j| d(j) / (Σ d²)², d = x without z
//	r     = r(1) + (k + (k+2) r(1))/n, in [0, 0.97], of the residuals
//	s²    = Σ e²/n / max(1 - k/n', 0.2), n' = n (1-r)/(1+r)
//
// with k the number of coefficients and Student's t on n'-k degrees of freedom,
// two at the least. The second line takes off the bias of r(1) to first order
// (Kendall 1954; Marriott and Pope 1954, for a mean; with k coefficients by the
// same argument, and held by calibration only).
func serialSlope(y, x, z []float64) (slope, half float64, ok bool) {
	n := len(y)
	d := without(x, z)
	xx := floats.Dot(d, d)
	if scale := floats.Norm(x, math.Inf(1)); !(xx > 1e-18*scale*scale*float64(n)) {
		return 0, 0, false
	}
	slope = floats.Dot(d, y) / xx
	for _, block := range []int{1, 3, 6} {
		if m := n / block; m >= 12 {
			half = math.Max(half, halfWidth(blockMeans(y, m), blockMeans(x, m), blockMeans(z, m)))
		}
	}
	return slope, half, true
}

// halfWidth is half the width of the interval by one length of block.
func halfWidth(y, x, z []float64) float64 {
	n := float64(len(y))
	k := 2.0
	if z != nil {
		k = 3
	}
	d, e := without(x, z), residuals(y, x, z)
	ee := floats.Dot(e, e)
	if !(ee > 0) {
		return 0
	}
	r := floats.Dot(e[1:], e[:len(e)-1]) / ee
	r = min(max(r+(k+(k+2)*r)/n, 0), 0.97)
	var quad, z1 float64
	for _, v := range d {
		quad += v*v + 2*r*v*z1
		z1 = r*z1 + v
	}
	worth := n * (1 - r) / (1 + r)
	s2 := ee / n / max(1-k/worth, 0.2)
	return studentAt(max(worth-k, 2), 0.95) * math.Sqrt(s2*quad) / floats.Dot(d, d)
}

// blockMeans returns the means of m blocks of about equal length.
func blockMeans(x []float64, m int) []float64 {
	if x == nil || m == len(x) {
		return x
	}
	out := make([]float64, m)
	for k := range out {
		out[k] = stat.Mean(x[k*len(x)/m:(k+1)*len(x)/m], nil)
	}
	return out
}
