package live

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
)

// Sample is what the camera and its tracker tell of one frame.
type Sample struct {
	// T is the time in seconds, of any origin, such as 1970; at most 1e10.
	T float64
	// Tip is where the tip is; see Options.Placed for its axes. Those that the
	// view does not have are not looked at. NaN on all others is a tip that was
	// not seen.
	Tip [3]float64
	// Confidence is how far the tracker trusts the tip, 0 to 1, NaN for not
	// said. See Options.MinConfidence.
	Confidence float64
	// Marks are the places of the tracked marks, in the order bass, treble, nut,
	// each NaN on all axes where it was not seen. The slice is not kept.
	Marks [][3]float64
}

// farthest is the largest coordinate that is taken for one.
const farthest = 1e9

// latest is the largest time in seconds: those since 1970 are taken, which a float64
// tells to a quarter of a microsecond, and milliseconds since then are not.
const latest = 1e10

// goesBack is how far in seconds a time may lie behind the last one to be that
// of a sample that comes late, and not of a clock that began anew.
const goesBack = 1.0

// timing is what the time of a sample makes of it.
type timing int

const (
	onTime timing = iota
	repeated
	late
)

// check reports what is wrong with s, number n to come, after a sample at last.
func (t *Tracker) check(s *Sample, n int, last float64) (timing, error) {
	bad := func(rule, hint string) (timing, error) {
		return onTime, &trajectory.DataError{Point: "tip", Sample: n, Time: s.T, Rule: rule, Hint: hint}
	}
	switch {
	case math.IsNaN(s.T):
		return bad(fmt.Sprintf("time is %v", s.T), "give the frame's time in seconds")
	case math.Abs(s.T) > latest:
		return bad(fmt.Sprintf("time is %v", s.T), "give the frame's time in seconds, not in milliseconds or nanoseconds")
	}
	when := onTime
	switch {
	case s.T == last:
		when = repeated
	case s.T < last-goesBack:
		return bad(fmt.Sprintf("time goes back from %v s to %v s", last, s.T), "call Reset where the clock begins anew")
	case s.T < last:
		when = late
	}
	if why := wrong(&s.Tip, t.axes); why != "" {
		return bad(why, "mark a tip that is not seen as NaN on all axes")
	}
	if c := s.Confidence; t.o.MinConfidence > 0 && (c < 0 || c > 1) {
		return bad(fmt.Sprintf("confidence is %v", c), "a confidence lies between 0 and 1, or is NaN")
	}
	if len(s.Marks) != t.brought {
		return bad(fmt.Sprintf("there are %d marks, and the frame is made of %d", len(s.Marks), t.brought), "bring each tracked mark with every sample, NaN where it is not seen")
	}
	for k := range s.Marks {
		if why := wrong(&s.Marks[k], t.axes); why != "" {
			return bad(fmt.Sprintf("mark %d: %s", k, why), "mark one that is not seen as NaN on all axes")
		}
	}
	return when, nil
}

// wrong says what a place cannot be, nothing where it can.
func wrong(p *[3]float64, axes []int) string {
	missing := 0
	for _, a := range axes {
		if v := p[a]; v != v {
			missing++
		} else if math.Abs(v) > farthest {
			return fmt.Sprintf("a coordinate is %v", v)
		}
	}
	if missing > 0 && missing < len(axes) {
		return "a coordinate is missing and another is not"
	}
	return ""
}
