package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
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

// longRun returns the long-run variance of a series and its degrees of freedom, by
// [estimate.Prewhitened]: NaN and 0 for fewer than six values that are numbers.
//
// least is a lower bound of r, for series such as squares, whose own r(1) is
// known badly.
func longRun(xs []float64, least float64) (variance, df float64) {
	v, q := estimate.Prewhitened(xs, max(likeness(xs), min(least, 0.97)), 0)
	return v, float64(q)
}

// longRunAboutLine is longRun of a series from which a straight line was taken
// off.
func longRunAboutLine(xs []float64) (variance, df float64) {
	v, q := estimate.Prewhitened(xs, max(0, estimate.Lag1(1, xs)), 1)
	return v, float64(q)
}

// likeness returns the lag-1 autocorrelation of values, without its bias. Its
// signed square is what squared deviations of normal values would have.
func likeness(xs []float64) float64 { return estimate.Lag1(0, xs) }

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
