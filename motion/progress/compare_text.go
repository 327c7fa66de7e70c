package progress

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// words writes the values of the measure.
func (ch *Change) words() words { return words{ch.Scale, ch.Unit} }

// asFactor reports whether one of several changes of a Ratio, in logarithms, is told
// as a factor, as from threefold on.
func (ch *Change) asFactor(changes ...float64) bool {
	return ch.Scale == review.Ratio && slices.ContainsFunc(changes, func(x float64) bool { return math.Abs(x) > math.Log(3) })
}

// amount writes the size of a change, without a sign.
func (ch *Change) amount(x float64) string {
	x = math.Abs(x)
	switch {
	case ch.asFactor(x):
		return "a factor of " + number(math.Exp(x))
	case ch.Scale == review.Ratio:
		x = math.Expm1(x)
	}
	return ch.words().size(x)
}

// step writes the change with its direction: to the decimals of the two values beside
// it where it is in their unit, and never as nothing where these are written
// differently.
func (ch *Change) step() string {
	v := ch.Change
	if ch.asFactor(v.Value) {
		return "x " + number(math.Exp(v.Value))
	}
	first, second := ch.words().bare(ch.First.Value), ch.words().bare(ch.Second.Value)
	if ch.Scale == review.Ratio {
		v = asShare(v)
	}
	v, unit := ch.words().change(v)
	text := writer(v)(v.Value)
	if ch.Scale != review.Ratio {
		text = fixed(v.Value, beside(first, second))
	}
	if first != second && !strings.ContainsAny(text, "123456789") {
		text = number(v.Value)
	}
	return withUnit(plus(text), unit)
}

// rangeOf writes the interval of a change.
func (ch *Change) rangeOf(v estimate.Value[float64]) string {
	switch {
	case !bounded(v):
		return ""
	case ch.asFactor(v.Low, v.High):
		return fmt.Sprintf(" (x %s to x %s)", number(math.Exp(v.Low)), number(math.Exp(v.High)))
	case ch.Scale == review.Ratio:
		v = asShare(v)
	}
	v, unit := ch.words().change(v)
	write := writer(v)
	return fmt.Sprintf(" (%s to %s)", plus(write(v.Low)), withUnit(plus(write(v.High)), unit))
}

// tell fills in the sentences.
func (ch *Change) tell(c *Comparison) {
	if ch.Change.Absent != nil {
		ch.Text = fmt.Sprintf("%s: not compared: %s.", ch.Title, ch.Change.Absent.Why)
		return
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, then %s: %s.", ch.Title, ch.words().value(ch.First.Value), ch.words().value(ch.Second.Value), ch.step())
	say := func(format string, args ...any) { fmt.Fprintf(&b, " "+format, args...) }
	who := "takes of the player"
	if p := c.First[0].Player; p != "" && p == c.Second[0].Player {
		who = "takes of " + p
	}
	switch {
	case ch.Alone == BeyondUnknown && !(ch.Change.Level > 0):
		say("Whether the two takes differ cannot be said: one is too short for an interval.")
	case ch.Alone == BeyondUnknown && away(ch.Change):
		say("These takes differ%s; whether the player does cannot be said: %s.", ch.rangeOf(ch.Change), ch.Player.Absent.Why)
	case ch.Alone == BeyondUnknown:
		say("Their own strokes scatter by more than that%s.", ch.rangeOf(ch.Change))
	case ch.Alone == BeyondNothing && math.Abs(ch.Change.Value) > ch.Smallest.Value:
		say("Their own strokes scatter by more than that%s.", ch.rangeOf(ch.Change))
	case ch.Alone == BeyondNothing:
		say("That is within what %s differ by themselves, up to %s%s.", who, ch.amount(ch.Smallest.Value), c.ofDay(ch))
	case ch.Beyond == BeyondNothing:
		say("By itself that is more than %s differ, %s; among the measures looked at it may be chance.", who, ch.amount(ch.Smallest.Value))
	case ch.Beyond == BeyondDay:
		say("That is more than %s of one day differ, %s. These are of two days: give repeats of three days or more to tell.", who, ch.amount(ch.Smallest.Value))
	default:
		say("That is more than %s differ by themselves, %s.", who, ch.amount(ch.Smallest.Value))
	}
	switch ch.Way {
	case 1:
		say("It is the way practice aims at.")
	case -1:
		say("It is not the way practice aims at.")
	}
	switch margin := ch.marginText(); {
	case ch.Margin == 0:
	case ch.Answer == cycle.Inside:
		say("It is within the margin of %s.", margin)
	case ch.Answer == cycle.Outside:
		say("It is beyond the margin of %s.", margin)
	case ch.AnswerWhy != "":
		say("Whether it is within the margin of %s cannot be said: %s.", margin, ch.AnswerWhy)
	default:
		say("Whether it is within the margin of %s cannot be said: %s.", margin, ch.Player.Absent.Why)
	}
	ch.Text = b.String()
}

func (ch *Change) marginText() string {
	if ch.Scale == review.Ratio {
		return number(ch.Margin) + " %"
	}
	return ch.words().size(ch.Margin)
}

// ofDay says that a smallest change is that of one day.
func (c *Comparison) ofDay(ch *Change) string {
	if c.Days {
		return ""
	}
	return " on one day"
}

// note fills in how the verdicts are to be read.
func (c *Comparison) note(repeats *Repeats) {
	say := func(format string, args ...any) { c.Notes = append(c.Notes, fmt.Sprintf(format, args...)) }
	say("%d of %d measures can be compared.", c.Compared, len(c.Changes))
	if repeats == nil {
		say("Two takes are two observations: that they differ does not say that the player does. Film three takes on a day, and give them as repeats.")
	} else {
		held, primary, alone := 0, 0, 0
		for _, ch := range c.Changes {
			if ch.P != ch.P {
				continue
			}
			held++
			if ch.Primary {
				primary++
			} else if ch.Alone > BeyondNothing {
				alone++
			}
		}
		say("Held against %s on %s that the player made without a change: %s.", counted(repeats.Takes, "take"), counted(repeats.Days, "day"), counted(held, "measure"))
		if rest := held - primary; rest > 0 {
			about := "about"
			if c.Days && repeats.Days <= leastRepeatDF {
				about = "at least" // by how much more, repeats of one day cannot show
			}
			say("Of %s not named beforehand %s %.2g would go beyond by chance if nothing had changed; here it is %d. The verdicts allow for that. Take them as what to look at next, not as findings.",
				counted(rest, "measure"), about, float64(rest)*(1-c.Options.Level), alone)
		}
		if c.Days && repeats.Days <= leastRepeatDF {
			say("The takes are of two days, or may be. Days differ by more than the takes of one, which repeats of one or two days cannot show.")
		}
	}
	say("Nothing here tells why a measure changed.")
}
