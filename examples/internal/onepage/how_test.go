package onepage

import "testing"

// TestPlusMinus: a length and the half of its interval have equal digits.
func TestPlusMinus(t *testing.T) {
	for _, c := range []struct {
		x, se float64
		want  string
	}{{8.02, 0.19, "8.0 ± 0.4"}, {0.004, 0.2, "0.0 ± 0.4"}, {12.34, 0.06, "12.34 ± 0.12"}} {
		if got := plusMinus(c.x, c.se); got != c.want {
			t.Errorf("%g, %g: %q, want %q", c.x, c.se, got, c.want)
		}
	}
}
