package measured

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

func known(x, low, high float64) estimate.Value[float64] {
	return estimate.Value[float64]{Value: x, Low: low, High: high, Level: 0.95, N: 10}
}

func alone(x float64) estimate.Value[float64] { return known(x, math.NaN(), math.NaN()) }

func TestNames(t *testing.T) {
	got, err := Names("-primary", " settled_share, length,settled_share")
	if d := cmp.Diff([]string{"settled_share", "length"}, got); d != "" || err != nil {
		t.Errorf("%v\n%s", err, d)
	}
	if got, err := Names("-primary", " "); got != nil || err != nil {
		t.Errorf("nothing named: %v, %v", got, err)
	}
	margins, err := Margins("-margin", "length=10, settled_share=0.1")
	if d := cmp.Diff(map[string]float64{"length": 10, "settled_share": 0.1}, margins); d != "" || err != nil {
		t.Errorf("%v\n%s", err, d)
	}
	for _, bad := range []string{"length", "length=", "length=-1", "length=nan", "length=inf", "speed=1", "length=1,"} {
		if _, err := Margins("-margin", bad); cli.Code(err) != cli.BadUsage {
			t.Errorf("%q: %v", bad, err)
		}
	}
	if _, err := Names("-primary", "length,"); cli.Code(err) != cli.BadUsage {
		t.Errorf("an empty name: %v", err)
	}
}

// TestDigits: the first two are the examples of the rule of the Particle Data Group
// (Review of Particle Physics, introduction, section 5.3), of half an interval.
func TestDigits(t *testing.T) {
	half := func(x, h float64) estimate.Value[float64] { return known(x, x-h, x+h) }
	for _, c := range []struct {
		got, want string
	}{
		{Value(half(0.827, 0.119)), "0.83 (0.71 to 0.95)"},
		{Value(half(0.827, 0.367)), "0.8 (0.5 to 1.2)"},
		{Value(half(0.827, 0.0119)), "0.827 (0.815 to 0.839)"},
		{Value(half(8.02, 0.098)), "8.02 (7.92 to 8.12)"},
		{Value(half(1234.6, 0.2)), "1235 (1234 to 1235)"},
		{Value(alone(12.345)), "12.3"},
		{Value(alone(0)), "0"},
		{Value(estimate.Missing[float64]("none", "x", "why")), "not known"},
		{Fixed(-0.001, 2), "0.00"},
		{Digits(123.4, 2), "123"},
		{Digits(0.0234, 2), "0.023"},
		{Digits(0, 2), "0"},
		{Smallest(review.Ratio, alone(math.Log(1.25))), "25 %"},
		{Smallest(review.Axis, alone(3.61)), "3.6"},
		{Title("Length", "mm"), "Length, mm"},
		{Title("Scatter, in tolerances", "tolerances"), "Scatter, in tolerances"},
		{Count(1, "take"), "1 take"},
		{Count(2, "take"), "2 takes"},
		{Upper("ärger"), "Ärger"},
		{Lower("Ärger") + Lower(""), "ärger"},
		{cell(math.Inf(1)), ""},
		{Digits(-0.0234, 2), "-0.023"},
		{Digits(math.NaN(), 2), ""},
		{Why(&estimate.Absence{Why: "3 blocks"}), "3 blocks"},
		{Why(nil), "it was not measured"},
		{Join(nil) + Join([]string{"a"}), "a"},
		{Join([]string{"a", "b", "c"}), "a, b and c"},
		{At(known(17.04, 16.1, 18.2), 1), "17.0 (16.1 to 18.2)"},
		{Range(known(17.04, 16.1, 18.2), 0), "16 to 18"},
		{Range(alone(17.04), 0), ""},
		{SignedAt(known(1.5, -1.2, 4.0), 1, " %"), "+1.5 % (-1.2 to +4.0)"},
		{SignedAt(alone(-1.5), 1, " %"), "-1.5 %"},
		{Share(known(0.42, 0.31, 0.53)), "42 % (31 to 53)"},
		{Share(known(-0.004, -0.14, 0.12)), "0 % (-14 to 12)"},
		{Share(alone(0.42)), "42 %"},
		{Share(estimate.Missing[float64]("none", "x", "why")), "not known"},
		{Percent(0.004), "0.4 %"},
		{Percent(0.996), "over 99 %"},
		{Percent(1), "100 %"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	for _, c := range []struct {
		scale                 review.Scale
		v                     estimate.Value[float64]
		logs                  bool
		wantValue, wantBounds string
	}{
		{review.Ratio, known(math.Log(1.2), math.Log(1.1), math.Log(1.3)), true, "+20 %", "10 to 30"},
		{review.Ratio, known(-0.05, -0.08, -0.02), false, "-5.0 %", "-8.0 to -2.0"},
		{review.Axis, known(1.5, -1.2, 4.0), true, "+1.5", "-1.2 to 4.0"},
		{review.Share, alone(0.125), true, "+0.125", ""},
	} {
		if v, b := Change(c.scale, c.v, c.logs); v != c.wantValue || b != c.wantBounds {
			t.Errorf("%v: %q, %q, want %q, %q", c.v, v, b, c.wantValue, c.wantBounds)
		}
	}
	data, err := json.Marshal([]Number{1.0 / 3, Number(math.NaN()), 1e7, 1e-9})
	if err != nil || string(data) != "[0.333333,null,1e+07,1e-09]" {
		t.Errorf("%s, %v", data, err)
	}
}

// TestValue: a value has the digits that its interval bears, and no zero has a sign.
func TestValue(t *testing.T) {
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
		if got := Value(known(c.v, c.low, c.high)); got != c.want {
			t.Errorf("%g, %g to %g: %q, want %q", c.v, c.low, c.high, got, c.want)
		}
	}
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{-0.004, 2, "0.00"}, {-0.4, 0, "0"}, {-0.006, 2, "-0.01"}, {-10, 0, "-10"}, {0, 1, "0.0"}} {
		if got := Fixed(c.x, c.decimals); got != c.want {
			t.Errorf("Fixed(%g, %d) = %q, want %q", c.x, c.decimals, got, c.want)
		}
	}
	// Side by side, the wider interval decides.
	wide, narrow := known(0.42, 0.3, 0.54), known(0.287, 0.279, 0.295)
	if got := Decimals(wide, narrow); got != 2 {
		t.Errorf("%d decimals for 0.42 and 0.287, want 2", got)
	}
	if got := Decimals(estimate.Value[float64]{}); got != 0 {
		t.Errorf("%d decimals for nothing, want 0", got)
	}
}

// TestTable: what could not be had is an empty cell, and no text a formula.
func TestTable(t *testing.T) {
	var b strings.Builder
	w := NewTable(&b, "a", "b")
	w.Line(append([]any{"=x", -1, true}, Cells(known(-1.0/3, -2, 1))...)...)
	w.Line(Cells(estimate.Missing[float64]("none", "x", "why"))...)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if got, want := b.String(), "a,b\n'=x,-1,true,-0.333333,-2,1\n,,\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestReasons: what has one reason stands together.
func TestReasons(t *testing.T) {
	var r Reasons
	r.Add("too short", "skew")
	r.Add("no marks", "length")
	r.Add("too short", "carry")
	if d := cmp.Diff([]string{"Skew; carry: too short.", "Length: no marks."}, r.Sentences()); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

// TestFlags: a task and a comfort are said in words, and nothing else.
func TestFlags(t *testing.T) {
	var task advice.Task
	var felt progress.Comfort
	if err := Task(&task)("changing-strings"); err != nil || task != advice.ChangingStrings {
		t.Errorf("%v, %v", task, err)
	}
	if err := Comfort(&felt)("pain"); err != nil || felt != progress.ComfortPain {
		t.Errorf("%v, %v", felt, err)
	}
	for _, bad := range []string{"", "fine", "unknown"} {
		if err := Task(&task)(bad); err == nil || !strings.Contains(err.Error(), "say one-string or changing-strings") {
			t.Errorf("task %q: %v", bad, err)
		}
		if err := Comfort(&felt)(bad); err == nil || !strings.Contains(err.Error(), "say good, tired or pain") {
			t.Errorf("comfort %q: %v", bad, err)
		}
	}
}

// TestComponents: a part has its unit, what is left out says why.
func TestComponents(t *testing.T) {
	got, left := Components("c", []cycle.Component{
		{Name: "path angle", Unit: "deg", Difference: known(1.5, -1.2, 4.0), Margin: 5},
		{Name: "cycle shape", Difference: estimate.Missing[float64]("none", "x", "why"), LeftOut: &estimate.Absence{Why: "no heights"}},
	})
	rows := [][]string{{"path angle, degrees", cycle.Answer(0).String(), "1.5 (-1.2 to 4.0)", "5.0"}, {"cycle shape", "left out", "", ""}}
	if d := cmp.Diff(rows, got.Rows); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	if d := cmp.Diff([]string{"Cycle shape is left out: no heights."}, left); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}
