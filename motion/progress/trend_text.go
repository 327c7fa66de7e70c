package progress

import (
	"fmt"
	"math"
	"strings"

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
	w := words{s.Scale, s.Unit}
	first, last := s.Days[0], s.Days[len(s.Days)-1]
	if len(s.Days) == 1 {
		say("%s on the only day; film on further days.", w.value(first.Value))
		return
	}
	say("%s on the first of %d days and %s on the last. ", w.value(first.Value), len(s.Days), w.value(last.Value))
	week, unit := w.change(s.PerWeek)
	write := writer(week)
	direction := week.Value
	if direction == 0 {
		direction = s.Trend.Tau
	}
	way, than := "rises", "higher"
	if direction < 0 {
		way, than = "falls", "lower"
	}
	switch {
	case s.Trend.Absent != nil:
		say("Whether it changes cannot be said yet: %s; film on further days.", s.Trend.Absent.Why)
		return
	case !(s.Trend.P <= 0.05):
		say("No trend can be told from what days differ by")
		if bounded(week) {
			say(" (%s to %s a week)", plus(write(week.Low)), withUnit(plus(write(week.High)), unit))
		}
		say(".")
		return
	case week.Value == 0: // of many equal values
		say("Later days are more often %s than earlier ones, but the median change is 0", than)
	default:
		say("It %s by %s a week%s", way, withUnit(write(math.Abs(week.Value)), unit), sizes(week, write))
	}
	if !(s.Adjusted <= 0.05) {
		say("; among the measures looked at it may be chance.")
		return
	}
	if !s.Primary {
		say(", also when the number of measures looked at is allowed for")
	}
	say(".")
	switch wayOf(s.Better, direction) {
	case 1:
		say(" It is the way practice aims at.")
	case -1:
		say(" It is not the way practice aims at.")
	}
	if s.Curve != nil && s.Curve.Plateau.Known() {
		say(" It tends to %s%s.", w.value(s.Curve.Plateau.Value), w.between(s.Curve.Plateau))
	}
}

// sizes is the interval of a change of which the direction is said already; where
// it reaches to the other side too it has signs.
func sizes(v estimate.Value[float64], write func(float64) string) string {
	switch {
	case !bounded(v):
		return ""
	case v.Low >= 0:
		return fmt.Sprintf(" (%s to %s)", write(v.Low), write(v.High))
	case v.High <= 0:
		return fmt.Sprintf(" (%s to %s)", write(-v.High), write(-v.Low))
	}
	return fmt.Sprintf(" (%s to %s)", plus(write(v.Low)), plus(write(v.High)))
}
