package progress

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// tell fills in the sentence.
func (s *Series) tell() {
	var b strings.Builder
	b.WriteString(s.Title)
	if s.Setup != "" {
		fmt.Fprintf(&b, " (set-up %s)", s.Setup)
	}
	b.WriteString(": ")
	defer func() { s.Text = b.String() }()
	say := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	if s.Absent != nil {
		say("not followed: %s.", s.Absent.Why)
		return
	}
	first, last := s.Days[0], s.Days[len(s.Days)-1]
	if len(s.Days) == 1 {
		say("%s on the only day; film on further days.", s.withUnit(first.Value))
		return
	}
	say("%s on the first of %d days and %s on the last. ", s.withUnit(first.Value), len(s.Days), s.withUnit(last.Value))
	switch {
	case s.Trend.Absent != nil:
		say("Whether it changes cannot be said yet: %s; film on further days.", s.Trend.Absent.Why)
		return
	case s.Trend.P > 0.05:
		say("No trend can be told from what days differ by%s.", s.rangeText())
		return
	}
	way := "rises"
	if s.PerWeek.Value < 0 {
		way = "falls"
	}
	say("It %s by %s a week%s", way, s.step(math.Abs(s.PerWeek.Value)), s.rangeText())
	switch {
	case s.Adjusted <= 0.05 && s.Primary:
		say(".")
	case s.Adjusted <= 0.05:
		say(", also when the number of measures looked at is allowed for.")
	default:
		say("; among the measures looked at it may be chance.")
	}
	if s.Better != review.Neither {
		if (s.PerWeek.Value > 0) == (s.Better == review.More) {
			say(" It is the way practice aims at.")
		} else {
			say(" It is not the way practice aims at.")
		}
	}
	if s.Curve != nil && s.Curve.Plateau.Known() {
		say(" It tends to %s%s.", s.withUnit(s.Curve.Plateau.Value), bounds(s.Curve.Plateau, s.withUnit))
	}
}

// rangeText is the interval of the change in a week.
func (s *Series) rangeText() string {
	if !(s.PerWeek.Level > 0) {
		return ""
	}
	return fmt.Sprintf(" (%s to %s a week)", s.signedStep(s.PerWeek.Low), s.signedStep(s.PerWeek.High))
}

func bounds(v estimate.Value[float64], text func(float64) string) string {
	if !(v.Level > 0) || math.IsNaN(v.Low) || math.IsNaN(v.High) || math.IsInf(v.Low, 0) || math.IsInf(v.High, 0) {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", text(v.Low), text(v.High))
}

func (s *Series) withUnit(x float64) string {
	if s.Unit == "" {
		return number(x)
	}
	if per, ok := strings.CutPrefix(s.Unit, "1/"); ok {
		return number(x) + " per " + per
	}
	return number(x) + " " + s.Unit
}

func (s *Series) step(x float64) string {
	if s.Scale == review.Ratio {
		return number(100*x) + " %"
	}
	return s.withUnit(x)
}

func (s *Series) signedStep(x float64) string {
	if x > 0 {
		return "+" + s.step(x)
	}
	return s.step(x)
}
