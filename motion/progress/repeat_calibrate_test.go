package progress

import (
	"math"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// row returns the measure of that name and its place in the table.
func row(name string) (m review.Measure, at int) {
	for i, m := range review.Measures() {
		if m.Name == name {
			return m, i
		}
	}
	panic("no measure " + name)
}

// madeTake returns a take of a day with one measure, filmed end-on in one
// set-up; half is half the width of its interval on the scale of the measure.
func madeTake(name string, day int, x, half float64) Take {
	_, at := row(name)
	s := &review.Summary{Setup: "A", View: trajectory.EndOn, Unit: "mm", Digest: "d", Version: "v"}
	for range review.Measures() {
		s.Values = append(s.Values, estimate.Missing[float64]("none", "it", "it is not made"))
	}
	s.Values[at] = estimate.Value[float64]{Value: x, Low: x - half, High: x + half, Level: 0.95, N: 100}
	return Take{Player: "P01", Date: time.Date(2024, 3, 1+day, 0, 0, 0, 0, time.UTC), Summary: s}
}

// TestSmallestChange: how often two sides without a change between them differ
// by more than the smallest change, and how often a change at its margin is
// called inside it.
func TestSmallestChange(t *testing.T) {
	runs, seed := simulated(t, 150)
	for _, c := range []struct {
		name        string
		measure     string
		days, each  int     // of the repeats
		sides       int     // takes on each side
		twoDays     bool    // the sides are of two days
		within, day float64 // standard deviations
		strokes     float64 // standard error within a take, part of within
		among       bool    // the takes compared are among the repeats
	}{
		{"one day of 3", "rise", 1, 3, 1, false, 1, 0, 0, false},
		{"two days of 3", "rise", 2, 3, 1, false, 1, 2, 0, false},
		{"five days of 3", "rise", 5, 3, 1, false, 1, 2, 0, false},
		{"ten days of 3, sides of 3", "rise", 10, 3, 3, false, 1, 2, 0, false},
		{"logarithms", "length", 3, 3, 1, false, 0.1, 0, 0, false},
		{"lines near a right angle", "path_angle_deg", 3, 3, 1, false, 3, 4, 0, false},
		{"half of it within the take", "rise", 3, 3, 1, false, 1, 1, 0.7, false},
		{"among the repeats", "rise", 2, 3, 1, false, 1, 1, 0, true},
		{"3 days, no more between", "rise", 3, 3, 1, true, 1, 0, 0, false},
		{"3 days, half", "rise", 3, 3, 1, true, 1, 0.5, 0, false},
		{"3 days, alike", "rise", 3, 3, 1, true, 1, 1, 0, false},
		{"5 days, alike", "rise", 5, 3, 1, true, 1, 1, 0, false},
		{"5 days, twice, sides of 3", "rise", 5, 3, 3, true, 1, 2, 0, false},
		{"5 days, none, sides of 3", "rise", 5, 3, 3, true, 1, 0, 0, false},
		{"5 days of 1", "rise", 5, 1, 1, true, 1, 1, 0, false},
		{"10 days of 3, alike", "rise", 10, 3, 1, true, 1, 1, 0, false},
		{"10 days of 2, sides of 3", "rise", 10, 2, 3, true, 1, 1, 0, false},
	} {
		m, _ := row(c.measure)
		rng := estimate.Stream(seed, c.name)
		beyond, none, inside, held := 0, 0, 0, 0
		const centre = 89
		for range runs {
			take := func(day int, level float64) Take {
				x := level + c.within*rng.NormFloat64()
				if m.Scale == review.Ratio {
					x = math.Exp(x)
				}
				return madeTake(c.measure, day, x, 1.96*c.strokes)
			}
			var repeats []Take
			for day := range c.days {
				level := centre/30 + c.day*rng.NormFloat64()
				if m.Scale == review.Axis {
					level += centre
				}
				for range c.each {
					repeats = append(repeats, take(day, level))
				}
			}
			first, second := 0.0, 0.0
			if c.twoDays {
				first, second = c.day*rng.NormFloat64(), c.day*rng.NormFloat64()
			}
			// The margin is three standard deviations of a single take.
			margin := 3 * math.Hypot(c.within, c.day)
			compared := func(change, margin float64) Change {
				var a, b []Take
				for range c.sides {
					a, b = append(a, take(20, first)), append(b, take(20+btoi(c.twoDays), second+change))
				}
				if c.among {
					a, b = repeats[:1], repeats[1:2]
				}
				o := CompareOptions{Level: 0.95, MarginLevel: 0.9, Margins: map[string]float64{c.measure: margin}}
				cmp := Comparison{Options: o, First: a, Second: b, Days: c.twoDays}
				r := repeatOf(m, repeats, RepeatOptions{Level: 0.95})
				return cmp.change(m, &Repeats{Measures: []Repeat{r}})
			}
			unit := margin
			if m.Scale == review.Ratio {
				unit = 100 * math.Expm1(margin)
			}
			switch ch := compared(0, unit); {
			case !ch.Player.Known() || ch.Alone == BeyondDay:
				none++
			case ch.Alone == BeyondRepeats:
				beyond++
			}
			if c.among {
				continue
			}
			ch := compared(margin, unit)
			if ch.Answer == cycle.Inside {
				inside++
			}
			if ch.Player.Known() && ch.Player.Low <= margin && margin <= ch.Player.High {
				held++
			}
		}
		n := float64(runs - none)
		if c.among {
			if beyond > 0 {
				t.Errorf("%s: %d of %d beyond, though no difference within a day of 3 can be", c.name, beyond, runs)
			}
			continue
		}
		// Three binomial standard errors beyond what is wanted of many runs.
		chance := func(p float64) float64 { return 3 * math.Sqrt(p*(1-p)/n) }
		if p := float64(beyond) / n; p < 0.03-chance(0.03) || p > 0.07+chance(0.07) {
			t.Errorf("%s: %.1f %% beyond without a change, want 3 to 7", c.name, 100*p)
		}
		if p := float64(inside) / n; p > 0.05+chance(0.05) {
			t.Errorf("%s: %.1f %% inside at the margin, want at most 5", c.name, 100*p)
		}
		if p := float64(held) / float64(runs); p < 0.93-chance(0.93) || p > 0.97+chance(0.97) {
			t.Errorf("%s: the interval holds the change in %.1f %%, want 93 to 97", c.name, 100*p)
		}
		t.Logf("%-28s beyond %4.1f %%, interval holds %4.1f %%, inside at its margin %4.1f %%, cannot say %.1f %%", c.name,
			100*float64(beyond)/n, 100*float64(held)/float64(runs), 100*float64(inside)/n, 100*float64(none)/float64(runs))
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
