package measured

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

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
	if !bounded(v) || v.High == v.Low {
		if !(size > 0) {
			return 0
		}
		return within(2 - exponent(size))
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

// bounded reports whether a value has an interval that can be written.
func bounded(v estimate.Value[float64]) bool {
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

// Digits is a number above zero with so many digits, as a margin has it.
func Digits(x float64, digits int) string {
	if !(x > 0) {
		return Fixed(x, 0)
	}
	return Fixed(x, within(digits-1-exponent(x)))
}

// Value is a value with its interval, "8.2 (8.1 to 8.3)".
func Value(v estimate.Value[float64]) string {
	if !v.Known() {
		return "not known"
	}
	d := Decimals(v)
	if !bounded(v) {
		return Fixed(v.Value, d)
	}
	return fmt.Sprintf("%s (%s to %s)", Fixed(v.Value, d), Fixed(v.Low, d), Fixed(v.High, d))
}

// Percent is a share in whole per cent, and its interval, "" without one.
func Percent(v estimate.Value[float64]) (value, interval string) {
	if !v.Known() {
		return "not known", ""
	}
	if bounded(v) {
		interval = fmt.Sprintf("%s to %s", Fixed(100*v.Low, 0), Fixed(100*v.High, 0))
	}
	return Fixed(100*v.Value, 0) + " %", interval
}

// Change is a change on a scale with its sign, and its interval, "" without one. Of
// a Ratio it is in per cent; logs says that it comes as a logarithm.
func Change(scale review.Scale, v estimate.Value[float64], logs bool) (value, interval string) {
	if !v.Known() {
		return "not known", ""
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
	if bounded(v) {
		interval = fmt.Sprintf("%s to %s", Fixed(v.Low, d), Fixed(v.High, d))
	}
	return signed(v.Value, d) + unit, interval
}

// Smallest is the size of a change on a scale, of a Ratio from a logarithm.
func Smallest(scale review.Scale, v estimate.Value[float64]) string {
	switch {
	case !v.Known():
		return "not known"
	case scale == review.Ratio:
		return Digits(100*math.Expm1(v.Value), 2) + " %"
	}
	return Digits(v.Value, 2)
}

// Number is a number in JSON: at most six significant digits, null for NaN and
// infinities.
type Number float64

// MarshalJSON implements json.Marshaler.
func (n Number) MarshalJSON() ([]byte, error) {
	if text := Cell(float64(n)); text != "" {
		return []byte(text), nil
	}
	return []byte("null"), nil
}

// Cell is a number in a table of text: six significant digits, empty for NaN and
// infinities.
func Cell(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

// Count is a number of things.
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Upper begins a sentence.
func Upper(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// Lower goes on with a sentence.
func Lower(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// Title is a measure's title with its unit.
func Title(title, unit string) string {
	if unit == "" || strings.HasSuffix(title, unit) {
		return title
	}
	return title + ", " + unit
}

// Why is a reason in words that a teacher uses.
func Why(a *estimate.Absence) string {
	switch {
	case a == nil:
		return "it was not measured"
	case a.Code == "few-blocks":
		return "the take is too short for that"
	}
	return a.Why
}
