package progress

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Smallest returns the smallest change that is more than what the player's takes
// differ by themselves, between a side of that many takes and another, on the
// measure's scale (of a Ratio the logarithm of the factor). days says that the
// two sides are of different days.
//
//	t(df) s √(1/first + 1/second)                       takes of one day
//	t(df') √(2 s(b)² + s(w)² (1/first + 1/second))      takes of two days
//
// with s(w) within days and s(b) between them. For many degrees of freedom and
// single takes the first is the repeatability coefficient of Bland and Altman
// (1986), 1.96 √2 s; of few repeats t is larger, so that two takes without a
// change exceed it in 1 - Level of the cases, whatever their number. df' is by
// Satterthwaite (1946). A side of more takes than a day of the repeats has counts
// as one of that many.
//
// The result has no interval. It is absent where the repeats do not tell it.
func (r Repeat) Smallest(first, second int, days bool) estimate.Value[float64] {
	sd, df, absent := r.errorOf(first, second, days)
	if absent != nil {
		return estimate.Value[float64]{Absent: absent}
	}
	n := r.Within.N
	if days {
		n = r.dayCount
	}
	return estimate.Value[float64]{Value: studentAt(df, r.Level) * sd, Low: math.NaN(), High: math.NaN(), N: n}
}

// errorOf returns the standard error of the difference of two sides, with its
// degrees of freedom.
func (r Repeat) errorOf(first, second int, days bool) (sd, df float64, absent *estimate.Absence) {
	if first < 1 || second < 1 {
		return 0, 0, &estimate.Absence{Code: "no takes", What: r.Name, Why: "a side has no take"}
	}
	parts := 1/float64(first) + 1/float64(second)
	if !days {
		if !r.Within.Known() {
			return 0, 0, r.why(r.Within)
		}
		return math.Sqrt(r.within * parts), float64(r.WithinDF), nil
	}
	if r.daysDF < leastRepeatDF {
		return 0, 0, r.why(r.Between)
	}
	least := 2 / r.perDay
	if parts <= least {
		return math.Sqrt(r.days * least), float64(r.daysDF), nil
	}
	if !r.Within.Known() {
		return 0, 0, r.why(r.Within)
	}
	a, b := r.days*least, r.within*(parts-least)
	return math.Sqrt(a + b), (a + b) * (a + b) / (a*a/float64(r.daysDF) + b*b/float64(r.WithinDF)), nil
}

// why returns the reason of an absent value, also of a Repeat of which nothing
// is known.
func (r Repeat) why(v estimate.Value[float64]) *estimate.Absence {
	if v.Absent != nil {
		return v.Absent
	}
	return &estimate.Absence{Code: "no repeats", What: r.Name, Why: "there are no repeats of this measure"}
}

// studentAt returns the two-sided quantile of Student's t.
func studentAt(df, level float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 + level) / 2)
}

// betweenInterval returns the standard deviation of days from the mean squares
// of days a and of takes within them w, with the interval of Tukey and Williams:
//
//	(a - w F(p; da, dw)) / (k F(p; da, ∞)), p = (1 ± level)/2
//
// J. S. Williams (1962), A confidence interval for variance components,
// Biometrika 49, 278-281.
func betweenInterval(a, w, da, dw, k float64, days int, level float64) estimate.Value[float64] {
	at := func(p float64) float64 {
		f := distuv.F{D1: da, D2: dw}.Quantile(p)
		return math.Sqrt(max(0, a-w*f) / (k * distuv.ChiSquared{K: da}.Quantile(p) / da))
	}
	return estimate.Value[float64]{Value: math.Sqrt(max(0, (a-w)/k)), Low: at((1 + level) / 2), High: at((1 - level) / 2), Level: level, N: days}
}
