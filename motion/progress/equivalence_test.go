package progress

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

func TestEquivalence(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		low, high, level, margin float64
		want                     cycle.Answer
	}{
		{-1, 1, 0.9, 2, cycle.Inside},
		{-2, 2, 0.9, 2, cycle.Inside},
		{-1, 2.1, 0.9, 2, cycle.CannotSay},
		{-3, 3, 0.9, 2, cycle.CannotSay},
		{2.1, 4, 0.9, 2, cycle.Outside},
		{-4, -2.1, 0.9, 2, cycle.Outside},
		{0.5, 1.5, 0.9, 2, cycle.Inside}, // a change, and within the margin
		{2, 4, 0.9, 2, cycle.CannotSay},
		{nan, nan, 0, 2, cycle.CannotSay},
		{-1, 1, 0.9, 0, cycle.CannotSay},
		{-1, 1, 0.9, -2, cycle.CannotSay},
		{-1, 1, 0.9, nan, cycle.CannotSay},
	} {
		v := estimate.Value[float64]{Value: (c.low + c.high) / 2, Low: c.low, High: c.high, Level: c.level, N: 9}
		if got := Equivalence(v, c.margin); got != c.want {
			t.Errorf("%v to %v, margin %v: %v, want %v", c.low, c.high, c.margin, got, c.want)
		}
	}
	if got := Equivalence(estimate.Missing[float64]("none", "it", "why"), 1); got != cycle.CannotSay {
		t.Errorf("absent: %v", got)
	}
	// The limits of bioequivalence, 0.8 to 1.25, are one margin of 25 per cent
	// (FDA, Statistical Approaches to Establishing Bioequivalence, 2001).
	near(t, "25 % up", math.Exp(marginOn(review.Ratio, 25)), 1.25, 1e-12)
	near(t, "25 % down", math.Exp(-marginOn(review.Ratio, 25)), 0.8, 1e-12)
}
