package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Mean returns the mean of observations in time order with a Student interval
// that bears autocorrelation:
//
//	mean ± t √(s²/n'), n' = n s²/V
//
// where s² is the variance, V the long-run variance of [LongRun] and n' the
// effective number of observations: n for independent ones, fewer when
// neighbours are alike, more when they alternate. t has the degrees of
// freedom of V rather than n'-1, because V is the uncertain part; this is
// what keeps the interval honest in short series.
//
// Missing observations (NaN) are left out, their neighbours joined, and N
// counts the others; without any the result is absent. A single one has NaN
// for its bounds, and Level 0.
func Mean(xs []float64, level float64) Value[float64] {
	return MeanInPlace(slices.Clone(xs), level)
}

// MeanInPlace is [Mean], but overwrites xs and does not allocate.
func MeanInPlace(xs []float64, level float64) Value[float64] {
	known := presentInPlace(xs)
	n := len(known)
	if n == 0 {
		return nothing("mean")
	}
	v := pointOnly(meanOf(known), n)
	level, wanted := confidence(level)
	variance, df := longRun(known)
	if !wanted || df == 0 {
		return v
	}
	half := studentQuantile(level, df) * math.Sqrt(variance/float64(n))
	v.Low, v.High, v.Level = v.Value-half, v.Value+half, level
	return v
}

// meanOf returns the mean of a non-empty slice, corrected by the mean of its
// residuals.
func meanOf(xs []float64) float64 {
	n := float64(len(xs))
	var m, r float64
	for _, x := range xs {
		m += x / n
	}
	for _, x := range xs {
		r += x - m
	}
	return m + r/n
}

// present returns a copy of xs without its missing observations.
func present(xs []float64) []float64 { return presentInPlace(slices.Clone(xs)) }

// presentInPlace moves those of xs that are not NaN to its beginning and returns them.
func presentInPlace(xs []float64) []float64 {
	known := xs[:0]
	for _, x := range xs {
		if !math.IsNaN(x) {
			known = append(known, x)
		}
	}
	return known
}

// confidence returns the level to use, 0.95 for 0, and whether it is one: a
// level outside (0, 1) asks for no interval.
func confidence(level float64) (float64, bool) {
	if level == 0 {
		return 0.95, true
	}
	return level, level > 0 && level < 1
}

// studentQuantile returns the two-sided Student quantile of that level.
func studentQuantile(level float64, df int) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}
	return t.Quantile((1 + level) / 2)
}

// pointOnly is a value without an interval.
func pointOnly(x float64, n int) Value[float64] {
	return Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: n}
}

func nothing(what string) Value[float64] {
	return Missing[float64]("no-observations", what, "there is no observation to take it from")
}
