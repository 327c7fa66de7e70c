package progress

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Equivalence says whether a difference lies within a margin to either side:
// inside when its whole interval does, outside when its whole interval lies
// beyond, and otherwise it cannot be said. That no difference was found is no
// proof that there is none (Altman and Bland 1995).
//
// An interval at 0.90 is two one-sided tests at 0.05 (Schuirmann 1987): a
// difference at its margin is called inside in 1 of 20 cases at most. The
// interval must be that of what is asked for: of a player, one that holds what
// the player's takes differ by themselves.
//
// Without an interval, and for a margin that is not above zero, it cannot be
// said.
func Equivalence(difference estimate.Value[float64], margin float64) cycle.Answer {
	switch {
	case !difference.Known() || !(difference.Level > 0) || !(margin > 0):
		return cycle.CannotSay
	case difference.Low >= -margin && difference.High <= margin:
		return cycle.Inside
	case difference.Low > margin || difference.High < -margin:
		return cycle.Outside
	}
	return cycle.CannotSay
}

// marginOn returns a margin on the scale of a measure.
func marginOn(s review.Scale, margin float64) float64 {
	if s == review.Ratio {
		return math.Log1p(margin / 100)
	}
	return margin
}

// equivalent answers whether the change lies within its margin. onlyDay says that
// the interval does not hold what days differ by, though the takes are of two.
func (ch *Change) equivalent(v estimate.Value[float64], onlyDay bool) {
	if ch.Margin == 0 {
		return
	}
	margin := marginOn(ch.Scale, ch.Margin)
	half := math.Max(v.High-v.Value, v.Value-v.Low)
	if onlyDay {
		ch.AnswerWhy = "the takes are of two days, and by how much the player's days differ is not known: give repeats of three days or more"
		return
	}
	ch.Answer = Equivalence(v, margin)
	switch {
	case ch.Answer != cycle.CannotSay:
	case half >= margin:
		ch.AnswerWhy = fmt.Sprintf("the change is known to within %s only: film more takes on both days", ch.amount(half))
	default:
		ch.AnswerWhy = "the change is too near the margin: film more takes on both days"
	}
}
