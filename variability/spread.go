package variability

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Spread is how much a list of values scatters.
type Spread struct {
	// SD is the standard deviation, divisor n-1.
	SD estimate.Value[float64]
	// CV is the coefficient of variation, SD over mean, a pure number. It is
	// absent unless all values are positive.
	CV estimate.Value[float64]
	// Robust is the median absolute deviation, scaled to the standard
	// deviation of a normal sample: single wild values hardly move it.
	Robust estimate.Value[float64]
	// Options are the options used, defaults filled in.
	Options Options
}

// SpreadOf returns the spread of values in time order, with intervals that
// bear autocorrelation and need no resampling. Those of SD and CV are Student
// intervals of the logarithm with the long-run variance of what each value adds
// to it,
//
//	log SD: (z² - 1)/2, log CV: (z² - 1)/2 - (x - mean)/mean, z = (x - mean)/SD
//
// see the package comment. Robust is the median of the deviations from the
// median, with the interval of [estimate.SeriesMedian]. There is no interval
// of Robust for fewer than 12 values, and none of SD and CV for fewer than 15, or
// where neighbours are so alike that the values are worth fewer than 5
// independent ones; the bounds are NaN then. Both intervals allow for the bias of
// a short series, which scatters less about its own mean than it does in the long
// run.
//
// With a Noise, each measure is √(measured² - noise²) and so are its bounds.
// Where the noise is above the measured spread the value is 0, and its
// interval begins at 0. Where it is above the upper bound too, it cannot be
// right, and the measure is absent, with code "noise".
//
// Values are what is scattered, so drift counts as scatter. Downstrokes and
// upstrokes differ, which counts too: measure each kind, or the cycles.
//
// Missing values (NaN) are left out, their neighbours joined. With fewer than
// two others all is absent, with code "too-few". Equal values have spread 0
// without an interval.
func SpreadOf(values []float64, o Options) Spread {
	o = o.filled()
	x := present(values)
	n := len(x)
	s := Spread{Options: o}
	if n < 2 {
		const why = "scatter needs two values"
		s.SD = estimate.Missing[float64]("too-few", "standard deviation", why)
		s.CV = estimate.Missing[float64]("too-few", "coefficient of variation", why)
		s.Robust = estimate.Missing[float64]("too-few", "robust scale", why)
		return s
	}
	mean := stat.Mean(x, nil)
	positive := slices.Min(x) > 0
	if !positive {
		s.CV = estimate.Missing[float64]("not-positive", "coefficient of variation", "it needs values that are all above zero")
	}
	if slices.Min(x) == slices.Max(x) {
		none := estimate.Value[float64]{Low: math.NaN(), High: math.NaN(), N: n}
		s.SD, s.Robust = none, none
		if positive {
			s.CV = none
		}
		return s
	}

	variance := stat.Variance(x, nil)
	sd := math.Sqrt(variance)
	alike := likeness(x)
	adds := addsToLogSD(x, mean, sd)
	within := o
	if !(worth(x) >= worthScale) {
		within.Level = -1
	}
	s.SD = withoutNoise(inTheLongRun(within.scale(sd, adds, alike), x), o.Noise, "standard deviation")
	if positive {
		for i, v := range x {
			adds[i] -= (v - mean) / mean
		}
		s.CV = withoutNoise(inTheLongRun(within.scale(sd/mean, adds, alike), x), o.Noise/mean, "coefficient of variation")
	}
	level := o.Level
	if n < estimate.MinBlocks {
		level = -1
	}
	r := estimate.SeriesMedian(deviations(x), level)
	perMAD := 1 / distuv.UnitNormal.Quantile(0.75)
	r.Value, r.Low, r.High = perMAD*r.Value, perMAD*r.Low, perMAD*r.High
	s.Robust = withoutNoise(r, o.Noise, "robust scale")
	return s
}

// withoutNoise takes the variance of the noise off a scale and its bounds.
func withoutNoise(v estimate.Value[float64], noise float64, what string) estimate.Value[float64] {
	if noise == 0 || !v.Known() {
		return v
	}
	if v.High <= noise { // not if it is NaN
		return estimate.Missing[float64]("noise", what, "the noise given is larger than the values can scatter")
	}
	less := func(s float64) float64 {
		if s <= noise {
			return 0
		}
		return math.Sqrt((s - noise) * (s + noise)) // NaN for NaN
	}
	v.Value, v.Low, v.High = less(v.Value), less(v.Low), less(v.High)
	return v
}

// inTheLongRun moves the interval of a standard deviation up by exp(1/(2w)) for
// values worth w independent ones: a series whose neighbours are alike has a
// mean of its own, and scatters about that by as much less than it does in the
// long run.
func inTheLongRun(v estimate.Value[float64], xs []float64) estimate.Value[float64] {
	more := math.Exp(1 / (2 * worth(xs)))
	v.Low, v.High = more*v.Low, more*v.High
	return v
}

// addsToLogSD returns what each value adds to log SD to first order.
func addsToLogSD(xs []float64, mean, sd float64) []float64 {
	adds := make([]float64, len(xs))
	for i, x := range xs {
		z := (x - mean) / sd
		adds[i] = (z*z - 1) / 2
	}
	return adds
}

// present returns a copy of values without the missing ones.
func present(values []float64) []float64 {
	return slices.DeleteFunc(slices.Clone(values), math.IsNaN)
}

// meanOf returns the mean of xs, corrected by the mean of what it leaves.
func meanOf(xs []float64) float64 {
	m := stat.Mean(xs, nil)
	var rest float64
	for _, x := range xs {
		rest += x - m
	}
	return m + rest/float64(len(xs))
}
