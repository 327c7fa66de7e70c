package simulate

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/circular"
)

// Search is how the strokes of a stretch look for a motion. Its zero value is
// that of strokes that have found one.
type Search int

const (
	// Settled strokes keep to one centre.
	Settled Search = iota
	// Fresh draws angle, length and duration anew for every stroke, with the
	// scatter of searching.
	Fresh
	// Wander lets angle, length and duration wander together slowly
	// (autoregressive, 0.9 from stroke to stroke) with the scatter of
	// searching.
	Wander
	// RateWander lets the duration alone wander.
	RateWander
	// AngleOnly draws the angle alone anew for every stroke.
	AngleOnly
	// TinyStrokes breaks about every third stroke by a short way back, a
	// quarter of a stroke long.
	TinyStrokes
)

var searchText = [...]string{"settled", "fresh", "wander", "rate wander", "angle only", "tiny strokes"}

// String returns "settled", "fresh", "wander", "rate wander", "angle only" or
// "tiny strokes".
func (s Search) String() string {
	if s < 0 || int(s) >= len(searchText) {
		return fmt.Sprintf("Search(%d)", int(s))
	}
	return searchText[s]
}

// MarshalText implements encoding.TextMarshaler.
func (s Search) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (s *Search) UnmarshalText(b []byte) error {
	for i, t := range searchText {
		if t == string(b) {
			*s = Search(i)
			return nil
		}
	}
	return fmt.Errorf("simulate: unknown kind of search %q", b)
}

// Stretch is one part of a plan. Its changes are to the centre that Options
// gives.
type Stretch struct {
	// Start and End are in seconds. End zero means the next stretch's start,
	// or the end of the take. Time that no stretch covers is Fresh.
	Start, End float64
	Search     Search
	// AngleBy and SkewBy are added.
	AngleBy, SkewBy circular.Angle
	// RateBy and LengthBy multiply; zero means 1.
	RateBy, LengthBy float64
}

// Pause is a rest of the hand at a turn.
type Pause struct {
	// At is in seconds: the rest begins with the first turn from then on. For
	// is how long it lasts, in seconds.
	At, For float64
	// Tremor is the amplitude in mm of a small shake of the resting hand at 8
	// to 11 Hz.
	Tremor float64
}

// Change is a move to another string.
type Change struct {
	// At is in seconds: the move begins with the first stroke from then on that
	// can make it. A stroke can make a move in its own direction, and one
	// against it by less than half its length.
	At float64
	// By is how many strings, positive toward the highest-pitched. A move off
	// the instrument goes the other way, as far as there are strings.
	By int
	// Over is how many strokes it takes. Zero means 1 or 2, drawn.
	Over int
}

// plan returns the stretches of o without holes, sorted, each with its end.
func (o Options) plan() []Stretch {
	if len(o.Plan) == 0 {
		return []Stretch{{End: o.Duration, RateBy: 1, LengthBy: 1}}
	}
	var full []Stretch
	at := 0.0
	for i, s := range o.Plan {
		if s.End == 0 {
			s.End = o.Duration
			if i+1 < len(o.Plan) {
				s.End = o.Plan[i+1].Start
			}
		}
		if s.RateBy == 0 {
			s.RateBy = 1
		}
		if s.LengthBy == 0 {
			s.LengthBy = 1
		}
		if s.Start > at {
			full = append(full, Stretch{Start: at, End: s.Start, Search: Fresh, RateBy: 1, LengthBy: 1})
		}
		full = append(full, s)
		at = s.End
	}
	if at < o.Duration {
		full = append(full, Stretch{Start: at, End: o.Duration, Search: Fresh, RateBy: 1, LengthBy: 1})
	}
	return full
}

func (o Options) checkPlan() error {
	at := 0.0
	for i, s := range o.Plan {
		switch {
		case !(s.Start >= at):
			return fmt.Errorf("simulate: Plan[%d] starts at %v s: it must not start before %v s, where the one before it ends", i, s.Start, at)
		case s.End != 0 && !(s.End > s.Start && s.End <= math.MaxFloat64):
			return fmt.Errorf("simulate: Plan[%d] ends at %v s: it must end after its start at %v s", i, s.End, s.Start)
		case s.Search < Settled || s.Search > TinyStrokes:
			return fmt.Errorf("simulate: Plan[%d]: unknown kind of search %d", i, int(s.Search))
		case !(s.RateBy == 0 || s.RateBy >= 0.1 && s.RateBy <= 10) || !(s.LengthBy == 0 || s.LengthBy >= 0.1 && s.LengthBy <= 10):
			return fmt.Errorf("simulate: Plan[%d]: RateBy and LengthBy are factors between 0.1 and 10", i)
		case !(math.Abs((o.PathAngle + s.AngleBy).Degrees()) <= 80) || !(math.Abs((o.Skew + s.SkewBy).Degrees()) <= 80):
			return fmt.Errorf("simulate: Plan[%d]: path angle and skew must stay within 80 degrees", i)
		}
		at = s.Start
		if s.End != 0 {
			at = s.End
		}
	}
	at = 0
	for i, p := range o.Pauses {
		if !(p.At >= at) || !(p.For > 0 && p.For <= 600) || !(p.Tremor >= 0 && p.Tremor <= 10) {
			return fmt.Errorf("simulate: Pauses[%d] is %+v: pauses come in order, last up to 600 s, and tremble by at most 10 mm", i, p)
		}
		at = p.At + p.For
	}
	at = 0
	for i, c := range o.Changes {
		if !(c.At >= at) || c.By == 0 || c.Over < 0 || c.Over > 2 {
			return fmt.Errorf("simulate: Changes[%d] is %+v: changes come in order, move by at least one string and take 1 or 2 strokes", i, c)
		}
		at = c.At
	}
	return nil
}
