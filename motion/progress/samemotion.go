package progress

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/variability/estimate"
)

// SameMotionOptions say what counts as the same motion at two rates. The zero
// value is the documented default of every field.
type SameMotionOptions struct {
	// Margins hold those of the path angle (3 degrees at zero), the skew (5)
	// and the cycle shape (0.05 of the length); curvature is in the shape, and
	// its margins are not used. A negative margin: told, and not judged.
	Margins cycle.Margins
	// Length is the margin of the stroke length as a share, 0.1 for a tenth
	// longer or shorter. Zero tells it without judging it: that fast strokes are
	// shorter is common in good players too.
	Length float64
	// Carry is the margin of the carry. Zero means 0.1; negative: not judged.
	Carry float64
	// MinFactor is by how much the fast strokes must be faster than the slow
	// ones for an answer. Zero means 1.3; at least 1.05.
	MinFactor float64
	// Repeats say by how much takes of this player differ by themselves, for
	// SameMotionInTakes; nil leaves that to the takes given. Where that is more
	// than a margin, it is noted; margins stay as they are.
	Repeats *Repeats
}

// SameMotion is the answer to whether the slow motion and the fast one are the
// same, with what speaks for it.
type SameMotion struct {
	// Options are those in force, defaults filled in.
	Options SameMotionOptions
	// Slow and Fast are the rates that are held against each other, in strokes
	// per second: the 10th and the 90th percentile within a take, the slowest
	// and the fastest of several takes.
	Slow, Fast float64
	// N is the number of cycles within a take, or of takes.
	N int
	// Components are path angle, skew, stroke length, carry and cycle shape, as
	// far as the view shows them.
	Components []SameComponent
	// Answer is outside if one judged component is, inside if all are, and
	// otherwise cannot be said. Sentence says it in words.
	Answer   cycle.Answer
	Sentence string
	// WithTime says that in this take rate and time went together: what the
	// components show may be due to either.
	WithTime bool
	// Notes are what the reader should know, pain first.
	Notes []string
	// Absent says why nothing could be held against each other.
	Absent *estimate.Absence
}

// SameComponent is one part of a motion at a slow and a fast rate.
type SameComponent struct {
	// Name is "path angle", "skew", "stroke length", "carry" or "cycle shape",
	// Unit "degrees", a unit of length or nothing.
	Name, Unit string
	// Slow and Fast are the levels at the two rates, in Unit; NaN for the shape.
	Slow, Fast float64
	// Difference is fast less slow with its interval at 95 %: of the length as a
	// share of the slow one, of the shape the root mean square distance over the
	// cycle as a share of the length.
	Difference estimate.Value[float64]
	// ShareOf is what Difference, Drift and Margin are a share of: Name where that
	// is the slow level, "length" for the shape, empty where they are in Unit.
	ShareOf string
	// Drift is the change per minute at one rate, in the unit of Difference,
	// where rate and time could be told apart; otherwise absent.
	Drift estimate.Value[float64]
	// Margin is the largest difference that counts as the same; zero and below:
	// not judged.
	Margin float64
	Answer cycle.Answer
	// LeftOut says why this component takes no part in the answer, nil for
	// those that do.
	LeftOut *estimate.Absence
}

// Component returns the component of that name, ok is false if there is none.
func (s SameMotion) Component(name string) (c SameComponent, ok bool) {
	for _, c := range s.Components {
		if c.Name == name {
			return c, true
		}
	}
	return SameComponent{}, false
}

func (o SameMotionOptions) withDefaults() SameMotionOptions {
	o.Margins = o.Margins.WithDefaults()
	if o.Carry == 0 {
		o.Carry = 0.1
	}
	if o.MinFactor == 0 {
		o.MinFactor = 1.3
	}
	o.MinFactor = max(o.MinFactor, 1.05)
	return o
}

// add adds a component with its answer.
func (s *SameMotion) add(c SameComponent) {
	if c.Margin <= 0 && c.LeftOut == nil {
		c.LeftOut = &estimate.Absence{Code: "margin", What: c.Name, Why: "it is told, and not judged without a margin"}
	}
	if c.LeftOut == nil {
		c.Answer = Equivalence(c.Difference, c.Margin)
	}
	s.Components = append(s.Components, c)
}

// judge puts the components together.
func (s *SameMotion) judge() {
	var outside, open, inside []string
	for _, c := range s.Components {
		switch {
		case c.LeftOut != nil:
		case c.Answer == cycle.Outside:
			outside = append(outside, c.Name)
		case c.Answer == cycle.Inside:
			inside = append(inside, c.Name)
		default:
			open = append(open, c.Name)
		}
	}
	at := fmt.Sprintf("at %.3g and at %.3g strokes a second", s.Slow, s.Fast)
	switch {
	case len(outside) > 0:
		s.Answer = cycle.Outside
		s.Sentence = fmt.Sprintf("The motion is not the same %s: %s differs by more than its margin.", at, each(outside))
	case len(open) > 0:
		s.Sentence = fmt.Sprintf("Whether the motion is the same %s cannot be said: %s is not known well enough for its margin. Film longer at both rates, or more takes at each.", at, each(open))
	case len(inside) > 0:
		s.Answer = cycle.Inside
		s.Sentence = fmt.Sprintf("The motion is the same %s: %s stays within its margin.", at, each(inside))
	default:
		s.Sentence = fmt.Sprintf("Whether the motion is the same %s cannot be said: nothing that is judged could be measured.", at)
	}
	if s.WithTime {
		s.Sentence += " The fast strokes are also the late ones (or the early ones): play a take that gets faster and slower again to tell rate from time."
	}
}

// each lists names; of several each is meant.
func each(names []string) string {
	if len(names) > 1 {
		return listed(names) + ", each,"
	}
	return listed(names)
}

// refuse makes the result absent.
func (s *SameMotion) refuse(code, why string) SameMotion {
	s.Absent = &estimate.Absence{Code: code, What: "slow against fast", Why: why}
	s.Sentence = "Whether the slow motion is the fast one cannot be said: " + why + "."
	s.Components, s.Answer = nil, cycle.CannotSay
	return *s
}

// interval returns a value with the bounds value ± half; none where half is NaN.
func interval(value, half float64, n int) estimate.Value[float64] {
	v := estimate.Value[float64]{Value: value, Low: value - half, High: value + half, Level: 0.95, N: n}
	if math.IsNaN(half) || math.IsInf(half, 0) {
		v.Low, v.High, v.Level = math.NaN(), math.NaN(), 0
	}
	return v
}
