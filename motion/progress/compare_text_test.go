package progress

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestChangeWords: shares are told in per cent, ratios in per cent or as factors,
// and an interval has its unit once.
func TestChangeWords(t *testing.T) {
	for _, c := range []struct {
		name             string
		scale            review.Scale
		unit             string
		first, second    float64
		x, low, high     float64 // on the scale
		step, size, span string
	}{
		{"share", review.Share, "", 0.5, 0.4, -0.1, -0.16, -0.04, "-10 percentage points", "10 percentage points", " (-16 to -4 percentage points)"},
		{"one point", review.Share, "", 0.412, 0.422, 0.01, 0, 0.02, "+1.0 percentage points", "1 percentage point", " (0.0 to +2.0 percentage points)"},
		{"ratio", review.Ratio, "mm", 10, 11, math.Log(1.1), math.Log(1.04), math.Log(1.16), "+10 %", "10 %", " (+4 to +16 %)"},
		{"factor", review.Ratio, "mm", 1, 4, math.Log(4), math.Log(0.8), math.Log(20), "x 4", "a factor of 4", " (x 0.8 to x 20)"},
		{"difference", review.Difference, "1/mm", 0.0305, 0.0105, -0.02, -0.0212, -0.0188, "-0.0200 per mm", "0.02 per mm", " (-0.0212 to -0.0188 per mm)"},
		{"degrees", review.Axis, "degrees", 18.2, 19.2, 1, -2, 4, "+1.0 degrees", "1 degree", " (-2.0 to +4.0 degrees)"},
		// What is less than the interval's digits is still told as the values beside it are.
		{"little", review.Axis, "degrees", 20.2, 19.8, -0.37, -20, 19, "-0.4 degrees", "0.37 degrees", " (-20 to +19 degrees)"},
		{"from a whole one", review.Axis, "degrees", 20, 19.8, -0.2, -20, 19, "-0.2 degrees", "0.2 degrees", " (-20 to +19 degrees)"},
		{"little of a ratio", review.Ratio, "mm", 20.2, 20.1, math.Log(20.1 / 20.2), math.Log(0.5), math.Log(1.5), "-0.495 %", "0.498 %", " (-50 to +50 %)"},
		{"nothing that shows", review.Axis, "degrees", 20.21, 20.22, 0.01, -20, 20, "0.0 degrees", "0.01 degrees", " (-20 to +20 degrees)"},
		{"from next to nothing", review.Difference, "mm", 0.00123, 1.2, 1.19877, -3, 4, "+1.20 mm", "1.2 mm", " (-3.0 to +4.0 mm)"},
	} {
		v := estimate.Value[float64]{Value: c.x, Low: c.low, High: c.high, Level: 0.95, N: 9}
		ch := Change{Scale: c.scale, Unit: c.unit, Change: v}
		ch.First.Value, ch.Second.Value = c.first, c.second
		if step, size, span := ch.step(), ch.amount(c.x), ch.rangeOf(v); step != c.step || size != c.size || span != c.span {
			t.Errorf("%s: %q, %q, %q; want %q, %q, %q", c.name, step, size, span, c.step, c.size, c.span)
		}
	}
	if w := (words{review.Share, ""}); w.value(0.125) != "12.5 %" || w.between(estimate.Value[float64]{Value: 0.5, Low: 0.42, High: 0.58, Level: 0.9, N: 5}) != " (42 to 58)" {
		t.Errorf("a share is written %q", w.value(0.125))
	}
}
