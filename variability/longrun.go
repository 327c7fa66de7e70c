package variability

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// fewest is the number of values below which a series has no interval and no
// test: with fewer, the lag-1 autocorrelation is not known well enough to tell
// how alike neighbours are. A trend needs fewestTrend.
const fewest, fewestTrend = 15, 20

// A standard deviation has an interval if its series is worth worthScale
// independent values: with fewer, the values have not shown how far they go. A
// difference measured in standard deviations needs worthEffect in each window. A
// joint spread needs fewestJoint strokes, worth worthJoint or five for each column;
// a ratio of two needs fewestJointRatio on either side.
const (
	worthScale, worthEffect       = 5, 4
	fewestJoint, fewestJointRatio = 40, 20
	worthJoint                    = 20
)

// longRun returns the long-run variance of a series, the V for which V/n is
// the variance of its mean, and its degrees of freedom, by the formulas of the
// package comment. It is made for short series whose neighbours are alike, where
// the average of [estimate.LongRun] is too small, and for long ones that wander.
//
// least is a lower bound of r, for series such as squares, whose own r(1) is
// known badly.
func longRun(xs []float64, least float64) (variance, df float64) {
	return lowPower(xs, least, 0)
}

// longRunAboutLine is longRun of a series from which a straight line was taken
// off, which takes the first cosine along, and one degree of freedom, and
// doubles the constant part of the bias of r(1).
func longRunAboutLine(xs []float64) (variance, df float64) {
	return lowPower(xs, 0, 1)
}

func lowPower(xs []float64, least, line float64) (variance, df float64) {
	n := len(xs)
	mean := meanOf(xs)
	d := make([]float64, n)
	for i, x := range xs {
		d[i] = x - mean
	}
	r := correctedR1(d, line)
	r = min(max(r, min(least, 0.97)), 0.97)
	q := min(max(4, int(math.Round(0.55*math.Sqrt(float64(n))))), 6)
	forward, backward := make([]float64, n-1), make([]float64, n-1)
	for i := range forward {
		forward[i], backward[i] = d[i+1]-r*d[i], d[i]-r*d[i+1]
	}
	for j := 1; j <= q; j++ {
		a, b := cosineSums(forward, backward, math.Pi*float64(j)/float64(n-1))
		variance += (a*a + b*b) / float64(n-1) // 2/(n-1) times their mean
	}
	df = float64(q) - line
	return variance / df / ((1 - r) * (1 - r)), df
}

// cosineSums returns Σ x(i) cos(w (i+1/2)) of two series, for w of which the
// cosines add up to 0, so that the mean of x makes no difference. The cosine is
// turned on by w from one value to the next, and begun anew every 64 to hold its
// error near rounding.
func cosineSums(x, y []float64, w float64) (a, b float64) {
	sw, cw := math.Sincos(w)
	var s, c float64
	for i := range x {
		if i%64 == 0 {
			s, c = math.Sincos(w * (float64(i) + 0.5))
		}
		a += c * x[i]
		b += c * y[i]
		s, c = s*cw+c*sw, c*cw-s*sw
	}
	return a, b
}

// correctedR1 returns the lag-1 autocorrelation of deviations from their mean,
// or from a line, without its bias, within ±0.97. It is 0 for equal values.
func correctedR1(d []float64, line float64) float64 {
	n := len(d)
	square := floats.Dot(d, d)
	if n < 2 || !(square > 0) {
		return 0
	}
	r := floats.Dot(d[1:], d[:n-1]) / square
	return min(max(r+(1+line+4*r)/float64(n), -0.97), 0.97)
}

// likeness returns the lag-1 autocorrelation of values, without its bias. Its
// signed square is what squared deviations of normal values would have.
func likeness(xs []float64) float64 {
	mean := meanOf(xs)
	d := make([]float64, len(xs))
	for i, x := range xs {
		d[i] = x - mean
	}
	return correctedR1(d, 0)
}

// worth returns how many independent values fix a mean as well as xs do if
// they are a first-order autoregression, n (1-r)/(1+r), at most n, r being
// their likeness; NaN below 15 values.
func worth(xs []float64) float64 {
	n := float64(len(xs))
	if len(xs) < fewest {
		return math.NaN()
	}
	r := likeness(xs)
	return min(n, n*(1-r)/(1+r))
}
