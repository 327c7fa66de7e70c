package measured

import (
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Decimals is how many to print of values that stand side by side: as many as the
// widest of their intervals bears. Of half an interval one digit is told, or two
// where they are up to 35, as the Particle Data Group rounds (Review of Particle
// Physics, introduction, section 5.3); never more than four digits of a value.
// Without an interval it is three digits.
func Decimals(vs ...estimate.Value[float64]) int {
	least := 6
	for _, v := range vs {
		least = min(least, decimals(v))
	}
	return least
}

func decimals(v estimate.Value[float64]) int {
	size := math.Abs(v.Value)
	if !Bounded(v) || v.High == v.Low {
		return places(size, 3)
	}
	half := (v.High - v.Low) / 2
	e := exponent(half)
	digits := 1
	if m := half / math.Pow(10, float64(e)); m < 3.55 || m >= 9.5 {
		digits = 2 // 9.5 and more is 10, of two digits
		if m >= 9.5 {
			e++
		}
	}
	n := digits - 1 - e
	if most := max(size, math.Abs(v.Low), math.Abs(v.High)); most > 0 {
		n = min(n, 3-exponent(most))
	}
	return within(n)
}

func within(decimals int) int { return min(max(decimals, 0), 6) }

// exponent is that of the first digit.
func exponent(x float64) int { return int(math.Floor(math.Log10(x))) }

// places is how many decimals give a number so many digits.
func places(x float64, digits int) int {
	if !(x > 0) {
		return 0
	}
	return within(digits - 1 - exponent(x))
}

// Bounded reports whether a value has an interval that can be written.
func Bounded(v estimate.Value[float64]) bool {
	return !math.IsNaN(v.Low-v.High) && !math.IsInf(v.Low, 0) && !math.IsInf(v.High, 0)
}

// Fixed is a number with so many decimals. A zero has no sign.
func Fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if rest, negative := strings.CutPrefix(s, "-"); negative && !strings.ContainsAny(rest, "123456789") {
		return rest
	}
	return s
}

func signed(x float64, decimals int) string {
	s := Fixed(x, decimals)
	if x > 0 && strings.ContainsAny(s, "123456789") {
		s = "+" + s
	}
	return s
}

// Digits is a number with so many digits, "" for NaN.
func Digits(x float64, digits int) string {
	if math.IsNaN(x) {
		return ""
	}
	return Fixed(x, places(math.Abs(x), digits))
}

// Value is a value with its interval, "8.2 (8.1 to 8.3)".
func Value(v estimate.Value[float64]) string { return At(v, Decimals(v)) }

// At is a value with its interval, with so many decimals.
func At(v estimate.Value[float64], decimals int) string {
	if !v.Known() {
		return unknown
	}
	return brackets(Fixed(v.Value, decimals), Range(v, decimals))
}

const unknown = "not known"

func brackets(value, interval string) string {
	if interval == "" {
		return value
	}
	return value + " (" + interval + ")"
}

// Range is the interval of a value, "8.1 to 8.3", "" without one.
func Range(v estimate.Value[float64], decimals int) string {
	if !v.Known() || !Bounded(v) {
		return ""
	}
	return Fixed(v.Low, decimals) + " to " + Fixed(v.High, decimals)
}

// SignedAt is a change with its unit and interval, with signs.
func SignedAt(v estimate.Value[float64], decimals int, unit string) string {
	interval := ""
	if Bounded(v) {
		interval = signed(v.Low, decimals) + " to " + signed(v.High, decimals)
	}
	return brackets(signed(v.Value, decimals)+unit, interval)
}

// Hundredfold is a share in per cent.
func Hundredfold(v estimate.Value[float64]) estimate.Value[float64] {
	v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
	return v
}

// Share is a share with its interval in per cent, "42 % (31 to 53)": no decimals,
// as nobody plays by them.
func Share(v estimate.Value[float64]) string {
	if !v.Known() {
		return unknown
	}
	v = Hundredfold(v)
	return brackets(Fixed(v.Value, 0)+" %", Range(v, 0))
}

// Percent is a share in per cent.
func Percent(share float64) string {
	switch {
	case share > 0 && share < 0.01:
		return Fixed(100*share, 1) + " %"
	case share > 0.99 && share < 1:
		return "over 99 %"
	}
	return Fixed(100*share, 0) + " %"
}

// Change is a change on a scale with its sign, and its interval, "" without one. Of
// a Ratio it is in per cent; logs says that it comes as a logarithm.
func Change(scale review.Scale, v estimate.Value[float64], logs bool) (value, interval string) {
	if !v.Known() {
		return unknown, ""
	}
	unit := ""
	if scale == review.Ratio {
		unit = " %"
		for _, x := range []*float64{&v.Value, &v.Low, &v.High} {
			if logs {
				*x = math.Expm1(*x)
			}
			*x *= 100
		}
	}
	d := Decimals(v)
	return signed(v.Value, d) + unit, Range(v, d)
}

// Smallest is the size of a change on a scale, of a Ratio from a logarithm.
func Smallest(scale review.Scale, v estimate.Value[float64]) string {
	switch {
	case !v.Known():
		return unknown
	case scale == review.Ratio:
		return Digits(100*math.Expm1(v.Value), 2) + " %"
	}
	return Digits(v.Value, 2)
}
