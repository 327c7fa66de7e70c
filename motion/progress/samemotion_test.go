package progress

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

func inTake(t *testing.T, o simulate.Options, opt SameMotionOptions) SameMotion {
	t.Helper()
	s, err := SameMotionInTake(runSimulated(t, o), opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSameMotionRefused: what cannot be answered says what to film instead.
func TestSameMotionRefused(t *testing.T) {
	one := fasterTake(3, 240, 0.4, 0)
	one.RateDrift = 0
	short := fasterTake(3, 240, 0.4, 0)
	short.Duration = 8
	for _, c := range []struct {
		name string
		o    simulate.Options
		code string
		says string
	}{
		{"one rate", one, "one-rate", "film one take that goes from slow to fast"},
		{"short", short, "too-few", "film a longer take"},
	} {
		s := inTake(t, c.o, SameMotionOptions{})
		if s.Absent == nil || s.Absent.Code != c.code || !strings.Contains(s.Sentence, c.says) || s.Answer != cycle.CannotSay || s.Components != nil {
			t.Errorf("%s: %+v: %s", c.name, s.Absent, s.Sentence)
		}
	}
	r := runSimulated(t, one)
	r.Jumps = []review.Jump{{}}
	if s, err := SameMotionInTake(r, SameMotionOptions{}); err != nil || s.Absent == nil || s.Absent.Code != "pace" {
		t.Errorf("a film whose pace changes: %v, %+v", err, s.Absent)
	}
	if _, err := SameMotionInTake(r, SameMotionOptions{Carry: math.NaN()}); err == nil {
		t.Error("a margin that is no number is taken")
	}
	slow := inTake(t, fasterTake(3, 60, 0.4, 0), SameMotionOptions{})
	for _, k := range slow.Components {
		if k.LeftOut == nil || k.LeftOut.Code != "samples" || !strings.Contains(k.LeftOut.Why, "film at 80 frames") || k.Difference.Known() {
			t.Errorf("%s at 60 frames a second: %+v", k.Name, k)
		}
	}
	if slow.Answer != cycle.CannotSay || len(slow.Components) == 0 {
		t.Errorf("at 60 frames a second: %v of %d components", slow.Answer, len(slow.Components))
	}
}

// TestSameMotionComponents: each part is told in its unit, and judged as the
// options say.
func TestSameMotionComponents(t *testing.T) {
	o := fasterTake(5, 240, 0.4, 0)
	o.LengthDrift, o.Wrist, o.Carry = -0.4, true, 0.3
	s := inTake(t, o, SameMotionOptions{})
	if !s.WithTime || !strings.Contains(s.Sentence, "slower again") {
		t.Errorf("a ramp up: rate and time together %v: %s", s.WithTime, s.Sentence)
	}
	if math.Abs(s.Slow/5.5-1) > 0.05 || math.Abs(s.Fast/9.5-1) > 0.05 {
		t.Errorf("from %.2f to %.2f strokes a second", s.Slow, s.Fast)
	}
	for _, c := range s.Components {
		if want := map[string]string{"stroke length": "stroke length", "cycle shape": "length"}[c.Name]; c.ShareOf != want {
			t.Errorf("%s is a share of %q, want %q", c.Name, c.ShareOf, want)
		}
	}
	length, _ := s.Component("stroke length")
	if length.LeftOut == nil || length.Unit != "mm" || !(math.Abs(length.Difference.Value+0.28) < 0.06) || length.Answer != cycle.CannotSay {
		t.Errorf("length: %+v", length)
	}
	if carry, ok := s.Component("carry"); !ok || carry.Answer != cycle.Inside || math.Abs(carry.Slow-0.3) > 0.03 {
		t.Errorf("carry: %v %+v", ok, carry)
	}
	if k, _ := s.Component("path angle"); k.Drift.Known() || k.Drift.Absent == nil || k.Answer != cycle.Inside || s.Answer != cycle.Inside {
		t.Errorf("path angle: %+v; answer %v", k, s.Answer)
	}
	if s = inTake(t, o, SameMotionOptions{Length: 0.1}); s.Answer != cycle.Outside || !strings.Contains(s.Sentence, "stroke length differs") {
		t.Errorf("with a margin of length: %v: %s", s.Answer, s.Sentence)
	}

	both := inTake(t, upAndDown(5, 8*circular.Degree), SameMotionOptions{})
	k, _ := both.Component("path angle")
	// 8 degrees in 24 s.
	if both.WithTime || !(k.Drift.Low < 20 && 20 < k.Drift.High) || k.Answer != cycle.Inside {
		t.Errorf("up and down: together %v, drift %+v, %v", both.WithTime, k.Drift, k.Answer)
	}

	front := fasterTake(5, 240, 0.4, 0)
	front.View, front.Skew = trajectory.Front, 8*circular.Degree
	s = inTake(t, front, SameMotionOptions{})
	if _, ok := s.Component("path angle"); ok {
		t.Error("a front view gives a path angle")
	}
	if k, ok := s.Component("skew"); !ok || math.Abs(math.Abs(k.Slow)-8) > 1.5 || k.Answer != cycle.Inside {
		t.Errorf("skew: %v %+v", ok, k)
	}
}

func atRates(angles map[float64][]float64) []Take {
	var takes []Take
	for _, rate := range []float64{5, 7, 10} {
		for _, a := range angles[rate] {
			takes = append(takes, played(0, map[string]float64{"notes_per_second": rate, "picture_angle_deg": a, "length": 10}))
		}
	}
	return takes
}

func TestSameMotionInTakes(t *testing.T) {
	must := func(takes []Take, o SameMotionOptions) SameMotion {
		t.Helper()
		s, err := SameMotionInTakes(takes, o)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	two := atRates(map[float64][]float64{5: {10}, 10: {22}})
	s := must(two, SameMotionOptions{})
	k, _ := s.Component("path angle")
	if s.Answer != cycle.CannotSay || math.Abs(k.Difference.Value-12) > 1e-9 || k.Difference.Level != 0 || !strings.Contains(s.Sentence, "more takes") {
		t.Errorf("two takes: %v, %+v: %s", s.Answer, k.Difference, s.Sentence)
	}
	alike, err := Repeatability([]Take{
		played(9, map[string]float64{"picture_angle_deg": 10}), played(9, map[string]float64{"picture_angle_deg": 11}),
		played(9, map[string]float64{"picture_angle_deg": 12}), played(9, map[string]float64{"picture_angle_deg": 11})}, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	s = must(two, SameMotionOptions{Repeats: &alike})
	k, _ = s.Component("path angle")
	// t(3) √2 s for s² = 2/3 is 3.67; the margin stays at 3.
	if k.Margin != 3 || k.Answer != cycle.Outside || len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "up to 3.67 degrees by themselves, which is more than the margin of 3 degrees") {
		t.Errorf("two takes and repeats: margin %v; %v; %q", k.Margin, k.Answer, s.Notes)
	}
	undated := atRates(map[float64][]float64{5: {10}, 10: {22}})
	for i := range undated {
		undated[i].Date = time.Time{}
	}
	if s = must(undated, SameMotionOptions{}); s.Absent == nil || len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "The day of 2 takes is not known") {
		t.Errorf("takes without a date: %+v; %q", s.Absent, s.Notes)
	}
	many := map[float64][]float64{5: {10, 10.5, 9.5, 10.2}, 7: {10.1, 9.9}, 10: {10.3, 10, 9.8, 10.1}}
	if s = must(atRates(many), SameMotionOptions{}); s.Answer != cycle.Inside || s.N != 10 || s.Slow != 5 || math.Abs(s.Fast-10) > 1e-9 {
		t.Errorf("ten takes alike: %v of %d takes, %v to %v: %s", s.Answer, s.N, s.Slow, s.Fast, s.Sentence)
	}

	// Lines of 88 and -88 degrees are 4 apart.
	s = must(atRates(map[float64][]float64{5: {88, 88.1}, 7: {90}, 10: {-88, -87.9}}), SameMotionOptions{})
	if k, _ := s.Component("path angle"); math.Abs(k.Difference.Value-4) > 0.1 || math.Abs(k.Slow-88) > 0.2 || math.Abs(k.Fast+88) > 0.2 {
		t.Errorf("through the upright: %+v", k)
	}

	pain := atRates(many)
	pain[3].Comfort = ComfortPain
	if s = must(pain, SameMotionOptions{}); len(s.Notes) == 0 || !strings.Contains(s.Notes[0], "Stop, rest") {
		t.Errorf("pain is not said first: %q", s.Notes)
	}
	unnamed := atRates(many)
	for i := range unnamed {
		unnamed[i].Summary.Setup = ""
	}
	s = must(unnamed, SameMotionOptions{})
	if k, _ := s.Component("path angle"); k.LeftOut == nil || !strings.Contains(k.LeftOut.Why, "name the setup") || s.Answer != cycle.CannotSay {
		t.Errorf("set-ups without a name: %+v, %v", k.LeftOut, s.Answer)
	}
	for name, takes := range map[string][]Take{
		"one rate":                      atRates(map[float64][]float64{7: {10, 10}}),
		"slow and fast are of two days": {played(0, map[string]float64{"notes_per_second": 5}), played(1, map[string]float64{"notes_per_second": 10})},
		"none":                          nil,
	} {
		if s := must(takes, SameMotionOptions{}); s.Absent == nil || !strings.Contains(s.Sentence, "one fast on one day") {
			t.Errorf("%s: %+v: %s", name, s.Absent, s.Sentence)
		}
	}
	for name, takes := range map[string][]Take{
		"no summary":  {{Player: "P01"}},
		"two players": {played(0, nil), {Player: "P02", Summary: played(0, nil).Summary}},
	} {
		if _, err := SameMotionInTakes(takes, SameMotionOptions{}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	alike.Player = "P02"
	if _, err := SameMotionInTakes(two, SameMotionOptions{Repeats: &alike}); err == nil {
		t.Error("repeats of another player are taken")
	}
}
