package tempo_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// slowing returns the turns of n strokes whose rate is 10 exp(-k t): stroke n
// is over at -ln(1 - k n/10)/k.
func slowing(n int, k float64) []float64 {
	turns := make([]float64, n+1)
	for i := range turns {
		turns[i] = -math.Log1p(-k*float64(i)/10) / k
	}
	return turns
}

// TestDriftExact holds rates that change evenly against 100 (exp(-60 k) - 1) per
// cent a minute, and what they change by over the take. A stroke is shorter
// than its rate at the middle by less than 1e-5.
func TestDriftExact(t *testing.T) {
	for _, k := range []float64{0.002, -0.004, 1e-6} {
		clean := slowing(400, k)
		last := clean[len(clean)-1]
		wantMinute, wantOver := 100*math.Expm1(-60*k), 10*math.Expm1(-k*last)
		for _, c := range []struct {
			name  string
			turns []float64
		}{{"whole", clean}, {"a turn missed", without(clean, 90, 91)}, {"a turn found twice", with(clean, 200, clean[199]+0.02)}} {
			d := tempo.NewCurve(c.turns, tempo.CurveOptions{Level: -1}).Drift(estimate.BootstrapOptions{Draws: 99})
			if !near(d.PerMinute.Value, wantMinute, 2e-4) || !near(float64(d.Over.Value), wantOver, 2e-4) {
				t.Errorf("k %v, %s: %v %% a minute, %v over the take, want %v, %v", k, c.name, d.PerMinute.Value, d.Over.Value, wantMinute, wantOver)
			}
			if d.Blocks < estimate.MinBlocks || d.Blocks*d.BlockStrokes > 400 {
				t.Errorf("k %v, %s: %d blocks of %d strokes", k, c.name, d.Blocks, d.BlockStrokes)
			}
		}
	}
	// Down and up differ, by the same 0.02 s as the strokes grow longer: the same
	// drift but for half the change of (0.01/d)², 0.1 % a minute.
	turns := slowing(400, 0.002)
	for i := 1; i < len(turns); i += 2 {
		turns[i] += 0.01
	}
	d := tempo.NewCurve(turns, tempo.CurveOptions{Level: -1}).Drift(estimate.BootstrapOptions{Draws: 99})
	if want := 100 * math.Expm1(-0.12); math.Abs(d.PerMinute.Value-want) > 0.15 {
		t.Errorf("uneven: %v %% a minute, want %v", d.PerMinute.Value, want)
	}
}

func TestDriftFound(t *testing.T) {
	h := hand{memory: 0.3, clock: 0.03, jitter: 0.02, uneven: 0.1}
	turns := h.turns(estimate.Stream(1, "drift found"), 800, func(t float64) float64 { return 10 * math.Exp(-0.003*t) })
	c := tempo.NewCurve(turns, tempo.CurveOptions{Level: -1})
	d := c.Drift(estimate.BootstrapOptions{Seed: 4})
	want := 100 * math.Expm1(-0.18)
	if !(d.PerMinute.Low <= want && want <= d.PerMinute.High && d.PerMinute.High < 0) || d.P.Value > 0.01 || d.P.N != d.Blocks {
		t.Errorf("%+v, want %v", d, want)
	}
	if d.Over.Low > d.Over.Value || d.Over.Value > d.Over.High || d.Over.High >= 0 || d.Options.Draws < 99 || d.Options.Level != 0.95 {
		t.Errorf("over the take %+v, options %+v", d.Over, d.Options)
	}
	if again := c.Drift(estimate.BootstrapOptions{Seed: 4}); again.PerMinute != d.PerMinute || again.P.Value != d.P.Value {
		t.Errorf("the same seed gives %+v, then %+v", d, again)
	}
	if least := 1 / float64(d.Options.Draws+1); d.P.Value < least {
		t.Errorf("P %v is below %v", d.P.Value, least)
	}
	wide := c.Drift(estimate.BootstrapOptions{Seed: 4, Level: 0.99})
	if !(wide.PerMinute.Low < d.PerMinute.Low && wide.PerMinute.High > d.PerMinute.High) || wide.PerMinute.Level != 0.99 {
		t.Errorf("at 99 %%: %+v", wide.PerMinute)
	}
}

func TestDriftAbsent(t *testing.T) {
	repaired := even(200, 0)
	for i := 10; i < len(repaired); i += 7 {
		repaired = without(repaired, i, i+1)
	}
	wander := hand{memory: 0.97, clock: 0.05}.turns(estimate.Stream(2, "wander"), 60, nil)
	for _, c := range []struct {
		name  string
		turns []float64
		o     estimate.BootstrapOptions
		slope string // code, "" if it is known
		p     string
	}{
		{"47 strokes", even(47, 0), estimate.BootstrapOptions{}, "too-short", "too-short"},
		{"nothing", nil, estimate.BootstrapOptions{}, "too-short", "too-short"},
		{"breaks all over", slices.Repeat([]float64{1, math.NaN()}, 100), estimate.BootstrapOptions{}, "too-short", "too-short"},
		{"repairs all over", repaired, estimate.BootstrapOptions{}, "many-repairs", "many-repairs"},
		{"a slow wander", wander, estimate.BootstrapOptions{}, "", "too-few-blocks"},
		{"a little short", hand{clock: 0.03}.turns(estimate.Stream(1, "short"), 740, nil), estimate.BootstrapOptions{}, "", "too-short"},
		{"no draws", hand{clock: 0.03}.turns(estimate.Stream(1, "no draws"), 800, nil), estimate.BootstrapOptions{Draws: -1}, "", "not-asked"},
	} {
		d := tempo.NewCurve(c.turns, tempo.CurveOptions{Level: -1}).Drift(c.o)
		code := func(a *estimate.Absence) string {
			if a == nil {
				return ""
			}
			if a.Why == "" || a.What == "" {
				t.Errorf("%s: no reason in %+v", c.name, a)
			}
			return a.Code
		}
		if code(d.PerMinute.Absent) != c.slope || code(d.Over.Absent) != c.slope || code(d.P.Absent) != c.p {
			t.Errorf("%s: %+v, want %q, %q", c.name, d, c.slope, c.p)
		}
		if c.o.Draws < 0 && d.PerMinute.Level != 0 {
			t.Errorf("%s: an interval, %+v", c.name, d.PerMinute)
		}
	}
}

// A minute and a half of playing that slows down by a tenth.
func ExampleCurve_Drift() {
	turns := hand{memory: 0.3, clock: 0.03, uneven: 0.1}.turns(estimate.Stream(1, "example"), 832, func(t float64) float64 {
		return 10 - t/60
	})
	d := tempo.NewCurve(turns, tempo.CurveOptions{}).Drift(estimate.BootstrapOptions{Seed: 1})
	fmt.Printf("%.0f %% a minute (%.0f to %.0f), p %.3f\n", d.PerMinute.Value, d.PerMinute.Low, d.PerMinute.High, d.P.Value)
	// Output:
	// -10 % a minute (-11 to -9), p 0.002
}
