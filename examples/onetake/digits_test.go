package main

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestDigits: a value has the digits that its interval bears, and no zero has a
// sign.
func TestDigits(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		v, low, high float64
		want         string
	}{
		// Two digits of the half-width up to 35, then one (Review of Particle
		// Physics, introduction, 5.3: 0.827 ± 0.119 is 0.83 ± 0.12, 0.827 ± 0.367
		// is 0.8 ± 0.4).
		{0.827, 0.708, 0.946, "0.83 (0.71 to 0.95)"},
		{0.827, 0.46, 1.194, "0.8 (0.5 to 1.2)"},
		{9.013, 8.823, 9.213, "9.01 (8.82 to 9.21)"},
		{10.012, 9.957, 10.067, "10.01 (9.96 to 10.07)"},
		{18.8, 5.9, 28.6, "19 (6 to 29)"},
		{147.3, 137.6, 156.8, "147 (138 to 157)"}, // 9.6 rounds to 10, two digits
		{8, 7.9999999, 8.0000001, "8.000 (8.000 to 8.000)"},
		{0.000163, -0.00024, 0.00039, "0.00016 (-0.00024 to 0.00039)"},
		{-0.001, -0.14, 0.12, "0.00 (-0.14 to 0.12)"},
		{-0.3, -14, 12, "0 (-14 to 12)"},
		{0, 0, 0, "0 (0 to 0)"},
		{17.04, nan, nan, "17.0"},
		{0.0421, nan, nan, "0.0421"},
		{math.Copysign(0, -1), nan, nan, "0"},
	} {
		if got := between(known(c.v, c.low, c.high, 60)); got != c.want {
			t.Errorf("%g, %g to %g: %q, want %q", c.v, c.low, c.high, got, c.want)
		}
	}
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{-0.004, 2, "0.00"}, {-0.4, 0, "0"}, {-0.006, 2, "-0.01"}, {-10, 0, "-10"}, {0, 1, "0.0"}} {
		if got := fixed(c.x, c.decimals); got != c.want {
			t.Errorf("fixed(%g, %d) = %q, want %q", c.x, c.decimals, got, c.want)
		}
	}
	if got, want := shareOf(known(-0.004, -0.14, 0.12, 60)), "0 % (-14 to 12)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	// Side by side, the wider interval decides.
	wide, narrow := known(0.42, 0.3, 0.54, 60), known(0.287, 0.279, 0.295, 60)
	if got := decimals(wide, narrow); got != 2 {
		t.Errorf("%d decimals for 0.42 and 0.287, want 2", got)
	}
	if got := decimals(estimate.Value[float64]{}); got != 0 {
		t.Errorf("%d decimals for nothing, want 0", got)
	}
}
