package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// decimals is how many to print of values that stand side by side: as many as
// the widest of their intervals bears. Of half an interval one digit is told, or
// two where they are up to 35, as the Particle Data Group rounds (Review of
// Particle Physics, introduction, section 5.3); never more than four digits of a
// value. Without an interval it is three digits.
func decimals(vs ...estimate.Value[float64]) int {
	least := 6
	for _, v := range vs {
		least = min(least, decimalsOf(v))
	}
	return least
}

func decimalsOf(v estimate.Value[float64]) int {
	size := math.Abs(v.Value)
	if !bounded(v) || v.High == v.Low {
		if size == 0 {
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

// bounded reports whether a value has an interval.
func bounded(v estimate.Value[float64]) bool { return v.Low == v.Low && v.High == v.High }

// fixed is a number with so many decimals. A zero has no sign.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if rest, negative := strings.CutPrefix(s, "-"); negative && !strings.ContainsAny(rest, "123456789") {
		return rest
	}
	return s
}

// between is a value with its interval, "8.2 (8.1 to 8.3)".
func between(v estimate.Value[float64]) string { return betweenAt(v, decimals(v)) }

func betweenAt(v estimate.Value[float64], decimals int) string {
	s := fixed(v.Value, decimals)
	if !bounded(v) {
		return s
	}
	return s + " (" + rangeAt(v, decimals) + ")"
}

// rangeAt is the interval of a value, nothing if it has none.
func rangeAt(v estimate.Value[float64], decimals int) string {
	if !bounded(v) {
		return ""
	}
	return fixed(v.Low, decimals) + " to " + fixed(v.High, decimals)
}

// lengths are lengths with interval and unit, with equal digits.
func lengths(r *review.Review, vs ...estimate.Value[float64]) []string {
	d := decimals(vs...)
	var out []string
	for _, v := range vs {
		out = append(out, betweenAt(v, d)+" "+unit(r))
	}
	return out
}

// hundredfold is a share in per cent.
func hundredfold(v estimate.Value[float64]) estimate.Value[float64] {
	v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
	return v
}

// shareOf is a share with its interval in per cent: no decimals, as nobody
// plays by them.
func shareOf(v estimate.Value[float64]) string {
	v = hundredfold(v)
	s := fixed(v.Value, 0) + " %"
	if bounded(v) {
		s += " (" + rangeAt(v, 0) + ")"
	}
	return s
}

func percent(share float64) string {
	if share > 0 && share < 0.01 {
		return fmt.Sprintf("%.1f %%", 100*share)
	}
	if share > 0.99 && share < 1 {
		return "over 99 %"
	}
	return fixed(100*share, 0) + " %"
}
