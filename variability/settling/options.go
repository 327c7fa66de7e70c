package settling

import (
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Stroke is one stroke of a take as [Find] sees it. A measurement that is NaN
// was not had; so were a duration or length that is not positive.
type Stroke struct {
	Start, End float64 // seconds from the start of the take

	Angle    circular.Angle // path angle, or skew where the view gives no path angle
	Duration float64        // seconds
	Length   float64        // millimetres, or the source's unit

	// Standard deviations of the measurement noise, in the units of the
	// measurements. NaN: not known, taken as none.
	AngleNoise    circular.Angle
	DurationNoise float64
	LengthNoise   float64

	Down  bool // a downstroke
	Break bool // does not join on to the stroke before: a pause or a gap
}

// Tolerances say how much the strokes of a settled span may scatter: standard
// deviations about the span's centre with the measured noise taken off. They
// are part of a result: only takes searched with the same tolerances compare.
type Tolerances struct {
	Angle    circular.Angle // zero means 3.5 degrees, negative leaves the angle out
	Duration float64        // fraction; zero means 0.08
	Length   float64        // fraction; zero means 0.12
	MinSpan  float64        // shortest settled span, seconds; zero means 1, negative no least length
}

// Options are the settings of [Find].
type Options struct {
	Tolerances Tolerances
	// Dwell is how long in seconds a player is expected to stay settled, or
	// searching, when nothing else is known. Zero or less means 2.
	Dwell float64
}

// Span is a stretch of strokes of one kind.
type Span struct {
	Settled     bool
	First, Last int     // strokes, both included
	Start, End  float64 // seconds: the start of First, the end of Last
}

// Features tells the three measurements of a stroke apart.
type Features struct{ Angle, Duration, Length bool }

// Result is what [Find] finds.
type Result struct {
	// Spans are the settled spans and the searching spans between them, in
	// time order. Every stroke is in one; none reaches over a break.
	Spans []Span
	// Labels tells for each stroke whether it is in a settled span.
	Labels []bool
	// P is for each stroke the posterior probability of being settled, given
	// the centres and scatters of the settled spans that were found; 1 or 0
	// where one state describes all the take. It is NaN where the result is
	// absent.
	P []float64
	// Share is the settled share of the playing time (the strokes' own time,
	// without pauses). Its interval holds how well the ends of the spans are
	// known, which of them are close decisions, and that a short one may be
	// missed; it is of no width only where there is no room for a span. See the
	// package's comment for how often it holds the truth.
	Share estimate.Value[float64]
	// Options are those used, with the defaults filled in.
	Options Options
	// Used are the features that took part.
	Used Features
	// Moving are stretches that would be settled but for their centre, which moves
	// slowly by more than a tolerance: as in a take that slows down evenly. They
	// lie within searching spans.
	Moving []Span
	// Notes say, for the reader, what was left out and why a stretch that
	// keeps together is not settled.
	Notes []string
	// Absent says why there is no result, if there is none.
	Absent *estimate.Absence
}

func (o Options) orDefault() Options {
	t := &o.Tolerances
	if t.Angle == 0 {
		t.Angle = 3.5 * circular.Degree
	}
	if t.Duration == 0 {
		t.Duration = 0.08
	}
	if t.Length == 0 {
		t.Length = 0.12
	}
	if t.MinSpan == 0 {
		t.MinSpan = 1
	}
	if !(o.Dwell > 0) {
		o.Dwell = 2
	}
	return o
}
