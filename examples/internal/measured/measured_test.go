package measured

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
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
		{Cell(math.Inf(1)), ""},
		{Why(&estimate.Absence{Code: "few-blocks", Why: "3 blocks"}), "the take is too short for that"},
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
	if v, b := Percent(known(0.42, 0.31, 0.53)); v != "42 %" || b != "31 to 53" {
		t.Errorf("a share is %q, %q", v, b)
	}
	data, err := json.Marshal([]Number{1.0 / 3, Number(math.NaN()), 1e7, 1e-9})
	if err != nil || string(data) != "[0.333333,null,1e+07,1e-09]" {
		t.Errorf("%s, %v", data, err)
	}
}
