package progress

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestSeriesText: how trends are told, with numbers to the digits that they bear.
func TestSeriesText(t *testing.T) {
	known := func(x, low, high float64) estimate.Value[float64] {
		return estimate.Value[float64]{Value: x, Low: low, High: high, Level: 0.95, N: 8}
	}
	two := []Day{{Value: 0.3}, {Value: 0.58}}
	for _, c := range []struct {
		name   string
		s      Series
		p, adj float64
		tau    float64
		want   string
	}{
		{"share", Series{Scale: review.Share, Better: review.More, Primary: true, PerWeek: known(0.0834, 0.0612, 0.105)}, 0.001, 0.001, 1,
			"it: 30 % on the first of 2 days and 58 % on the last. It rises by 8.3 percentage points a week (6.1 to 10.5). It is the way practice aims at."},
		{"ratio", Series{Scale: review.Ratio, Unit: "1/s", PerWeek: known(-0.0312, -0.0402, -0.0201)}, 0.001, 0.01, -1,
			"it: 0.3 per s on the first of 2 days and 0.58 per s on the last. It falls by 3.1 % a week (2.0 to 4.0), also when the number of measures looked at is allowed for."},
		{"chance", Series{Scale: review.Ratio, Unit: "mm", Better: review.Less, PerWeek: known(-0.0312, -0.0402, 0.0013)}, 0.04, 0.3, -1,
			"it: 0.3 mm on the first of 2 days and 0.58 mm on the last. It falls by 3.1 % a week (-4.0 to +0.1); among the measures looked at it may be chance."},
		{"one of a unit", Series{Unit: "degrees", PerWeek: known(1, 1, 1)}, 0.001, 0.001, 1,
			"it: 0.3 degrees on the first of 2 days and 0.58 degrees on the last. It rises by 1 degree a week (1 to 1), also when the number of measures looked at is allowed for."},
		{"many equal days", Series{Scale: review.Share, Better: review.Less, Primary: true, PerWeek: known(0, 0, 0)}, 0.01, 0.01, -0.4,
			"it: 30 % on the first of 2 days and 58 % on the last. Later days are more often lower than earlier ones, but the median change is 0. It is the way practice aims at."},
		{"none", Series{Scale: review.Share, PerWeek: known(0.01, -0.02, 0.04)}, 0.3, 0.9, 0.2,
			"it: 30 % on the first of 2 days and 58 % on the last. No trend can be told from what days differ by (-2.0 to +4.0 percentage points a week)."},
		{"no test", Series{Scale: review.Share, PerWeek: known(0.01, -0.02, 0.04)}, math.NaN(), math.NaN(), math.NaN(),
			"it: 30 % on the first of 2 days and 58 % on the last. No trend can be told from what days differ by (-2.0 to +4.0 percentage points a week)."},
	} {
		s := c.s
		s.Title, s.Days, s.Adjusted = "it", two, c.adj
		s.Trend.P, s.Trend.Tau = c.p, c.tau
		if s.tell(); s.Text != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, s.Text, c.want)
		}
	}
}

func TestNumber(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 0.05: "0.05", 99.96: "100", 999.6: "1000", 1234.5: "1234", 0.0000512: "0.0000512", -12.345: "-12.3"} {
		if got := number(x); got != want {
			t.Errorf("%v is written %q, want %q", x, got, want)
		}
	}
}

// TestEarlier: a number of days has a direction and a plural, never a minus.
func TestEarlier(t *testing.T) {
	for x, want := range map[float64]string{-2.2: "2 days later", -0.4: "0 days earlier", 0.8: "1 day earlier", 12: "12 days earlier"} {
		if got := earlier(x); got != want {
			t.Errorf("%v is told as %q, want %q", x, got, want)
		}
	}
}
