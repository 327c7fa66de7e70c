package progress

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// number writes a number with three significant digits, and whole from 1000 on.
func number(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	if math.Abs(rounded) >= 1000 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// fixed writes a number with so many decimals; a zero has no sign.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if rest, ok := strings.CutPrefix(s, "-"); ok && !strings.ContainsAny(rest, "123456789") {
		return rest
	}
	return s
}

// plus puts a sign before a number above zero.
func plus(s string) string {
	if strings.HasPrefix(s, "-") || !strings.ContainsAny(s, "123456789") {
		return s
	}
	return "+" + s
}

// bounded reports whether an estimate has an interval that can be written.
func bounded(v estimate.Value[float64]) bool {
	return v.Known() && v.Level > 0 && !math.IsNaN(v.High-v.Low) && !math.IsInf(v.High-v.Low, 0)
}

// writer returns how the numbers of an estimate are written side by side: with one
// digit of half its interval, or two up to 35, as the Particle Data Group rounds
// (Review of Particle Physics, introduction, 5.3), and by number where the interval
// is narrower than a thousandth of the value, or where there is none.
func writer(v estimate.Value[float64]) func(float64) string {
	half := (v.High - v.Low) / 2
	if !bounded(v) || half <= math.Abs(v.Value)/1000 {
		return number
	}
	first := int(math.Floor(math.Log10(half)))
	if half/math.Pow(10, float64(first)) < 3.55 {
		first--
	}
	decimals := min(max(-first, 0), 8)
	return func(x float64) string { return fixed(x, decimals) }
}

// words writes the values of a measure and their changes.
type words struct {
	scale review.Scale
	unit  string
}

// value writes a value with its unit, a share in per cent.
func (w words) value(x float64) string {
	if w.scale == review.Share {
		return w.bare(x) + " %"
	}
	return withUnit(w.bare(x), w.unit)
}

// bare writes a value without its unit.
func (w words) bare(x float64) string {
	if w.scale == review.Share {
		x *= 100
	}
	return number(x)
}

// beside is how many decimals the difference of two values has that number wrote: as
// many as they show, and as the greater has in three significant digits.
func beside(first, second string) int {
	most, greatest := 0, 0.0
	for _, text := range []string{first, second} {
		_, after, _ := strings.Cut(text, ".")
		x, _ := strconv.ParseFloat(text, 64)
		most, greatest = max(most, len(after)), max(greatest, math.Abs(x))
	}
	if greatest == 0 {
		return most
	}
	return min(most, max(0, 2-int(math.Floor(math.Log10(greatest)))))
}

// between writes an interval of values, "" for none.
func (w words) between(v estimate.Value[float64]) string {
	if !bounded(v) {
		return ""
	}
	if w.scale == review.Share {
		v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
	}
	write := writer(v)
	return fmt.Sprintf(" (%s to %s)", write(v.Low), write(v.High))
}

// change returns a change in the unit in which it is told, and that unit: of a
// Ratio, given as a share of the value, and of a Share it is per cent.
func (w words) change(v estimate.Value[float64]) (estimate.Value[float64], string) {
	unit := w.unit
	switch w.scale {
	case review.Ratio:
		unit = "%"
	case review.Share:
		unit = "percentage points"
	default:
		return v, unit
	}
	v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
	return v, unit
}

// size writes how large a change is, given as for change.
func (w words) size(x float64) string {
	v, unit := w.change(estimate.Value[float64]{Value: math.Abs(x)})
	return withUnit(number(v.Value), unit)
}

// withUnit puts a unit behind a number; of one thing it is the singular.
func withUnit(s, unit string) string {
	if per, ok := strings.CutPrefix(unit, "1/"); ok {
		return s + " per " + per
	}
	if strings.TrimLeft(s, "+-") == "1" && len(unit) > 2 {
		unit = strings.TrimSuffix(unit, "s")
	}
	return strings.TrimSpace(s + " " + unit)
}

// counted writes a number of things.
func counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprint(n, " ", thing)
}

// listed joins words by commas and an "and".
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
