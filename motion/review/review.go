package review

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// Options are the options of every step. The zero value is every step's
// default.
type Options struct {
	Clean    trajectory.CleanOptions `json:"clean"`
	Motion   motion.Options          `json:"motion"`
	Settling settling.Options        `json:"settling"`
	// Seed starts the streams of random numbers for resampling.
	Seed uint64 `json:"seed"`
}

// Review is all that is measured on one take.
type Review struct {
	Source  string
	Setup   Setup
	Options Options
	// Unit is the unit of lengths, SourceUnit that of the export's
	// coordinates as far as it says.
	Unit, SourceUnit string

	Frame *trajectory.Frame
	// Tip is the tracked path as it came, Clean what is left of it, and
	// Placed that in the instrument frame.
	Tip, Clean trajectory.Path
	Placed     trajectory.Placed
	// Edits are the samples of the tip and of the marks that were cut or
	// filled.
	Edits  []trajectory.Edit
	Motion *motion.Motion

	Clearing motion.ClearingEvidence
	Settling settling.Result
	Spans    []Span
	// EarlyLate holds the early part of the take against its late part.
	EarlyLate []Change
	Loss      Loss

	// Values are those of Measures(), in that order.
	Values []estimate.Value[float64]
	// Missing lists what could not be had and why, each once.
	Missing []estimate.Absence
	// Notes are what the reader should know about how the take was read.
	Notes []string

	rates rates
}

// Span is a settled or searching stretch of strokes.
type Span struct {
	Settled     bool
	First, Last int // strokes
	Start, End  float64
	Strokes     int
	Rate        estimate.Value[tempo.NotesPerSecond]
	PathAngle   estimate.Value[circular.Angle]
}

// Kind returns "settled" or "searching".
func (s Span) Kind() string {
	if s.Settled {
		return "settled"
	}
	return "searching"
}

type rates struct {
	take, settled, spectral estimate.Value[tempo.NotesPerSecond]
}

// Run reviews the take rec as s says it was filmed.
func Run(rec *trajectory.Recording, s Setup, o Options) (*Review, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	r := &Review{Source: rec.Source, Setup: s, Options: o}
	tip, ok := rec.Point(s.Tip)
	if !ok {
		return nil, unknownPoint(rec, s.Tip)
	}
	r.Tip, r.SourceUnit = tip, rec.Unit
	var err error
	if r.Frame, err = trajectory.NewFrame(rec, s.frame()); err != nil {
		return nil, err
	}
	var edits []trajectory.Edit
	if o.Clean.MinConfidence == 0 {
		o.Clean.MinConfidence = s.MinConfidence
		r.Options.Clean.MinConfidence = s.MinConfidence
	}
	if r.Clean, edits, err = trajectory.Clean(trajectory.Path{}, tip, o.Clean); err != nil {
		return nil, err
	}
	if still(r.Clean) {
		return nil, &trajectory.DataError{Point: s.Tip, Sample: -1, Time: math.NaN(), Rule: "it stays in one place from start to end",
			Hint: "choose the point that follows the pick (tip), or check the export"}
	}
	r.Edits = append(edits, r.Frame.Edits...)
	if r.Placed, err = r.Frame.Place(trajectory.Placed{}, r.Clean); err != nil {
		return nil, err
	}
	r.Unit = r.Frame.Unit
	r.Notes = append(r.Notes, r.Frame.Notes...)

	mo := o.Motion
	mo.AxisError = r.Frame.AxisError
	if why := r.relativeWhy(); why != "" {
		mo.Relative, mo.RelativeWhy = true, why
	} else if e := r.Frame.Options.MarkError; e > 0 {
		mo.HeightError = e / math.Sqrt2 // of the middle of two marks
		if r.Frame.UnitsPerMM > 0 {
			mo.HeightError /= r.Frame.UnitsPerMM
		}
	}
	if r.Motion, err = motion.Analyze(r.Placed, mo); err != nil {
		return nil, err
	}
	r.Options.Motion = r.Motion.Options

	r.Clearing = r.Motion.Clear()
	r.settle()
	r.rate()
	if err := r.early(); err != nil {
		return nil, err
	}
	r.loss()
	r.look()
	for _, m := range measures {
		r.Values = append(r.Values, m.Get(r))
	}
	r.gatherMissing()
	return r, nil
}

// relativeWhy says why heights have no zero, or nothing when they have one.
func (r *Review) relativeWhy() string {
	switch {
	case r.Frame.View == trajectory.Oblique:
		return "an oblique view does not show true heights"
	case r.Setup.TipIs == TipUnknown:
		return "it is not said whether the tracked point is the pick's own tip; a point above it seems to clear every string (tip_is)"
	case r.Setup.TipIs == TipMarker:
		return "the tracked point sits above the pick's tip, and seems to clear every string"
	case r.Setup.MarksElsewhere:
		return "the marks do not lie at the picking spot"
	case r.Frame.UnitsPerMM == 0 && r.Unit != "mm":
		return "the distance between the marks is not given, so heights have no millimetres"
	}
	return ""
}

// unknownPoint is the error for a point that the recording does not hold.
func unknownPoint(rec *trajectory.Recording, name string) error {
	names := make([]string, len(rec.Points))
	for i, p := range rec.Points {
		names[i] = p.Name
	}
	return &trajectory.DataError{Point: name, Sample: -1, Time: math.NaN(), Rule: "there is no such point",
		Hint: "the export holds " + strings.Join(names, ", ")}
}

// still reports whether a path that is seen more than once never leaves the
// place where it is seen first.
func still(p trajectory.Path) bool {
	first, seen := -1, 0
	for i, x := range p.X {
		switch {
		case x != x:
			continue
		case first < 0:
			first = i
		case x != p.X[first] || p.Y[i] != p.Y[first] || p.Z != nil && p.Z[i] != p.Z[first]:
			return false
		}
		seen++
	}
	return seen > 1
}

// Rates, in strokes a second, beyond which the time base is looked at again.
// Nobody picks faster than fastest for long; a take slower than slowest may be
// a film that plays slower than life (common practice).
const (
	fastest = 25
	slowest = 1.5
)

// lookAtTime adds notes on a rate that speaks for another time base.
func (r *Review) lookAtTime() {
	rate := r.rates.take
	if !rate.Known() {
		rate = r.rates.spectral
	}
	slowed := r.Setup.SlowedBy != 0 && r.Setup.SlowedBy != 1
	switch hz := r.Motion.SampleHz; {
	case !rate.Known():
	case rate.Value > fastest:
		r.Notes = append(r.Notes, fmt.Sprintf(
			"%.3g strokes a second: nobody plays that fast. Check the time base (slowed_by, rate); if the times of the export are already those of real life, slowed_by must be left out.", float64(rate.Value)))
	case rate.Value < slowest && !slowed && hz > 23.5 && hz <= filmRate:
		r.Notes = append(r.Notes, fmt.Sprintf(
			"%.2g strokes a second in a film of %.3g frames a second: does the film play slower than life? If so, say how many times (slowed_by).", float64(rate.Value), hz))
	}
}

// look adds notes on signs that look wrong.
func (r *Review) look() {
	r.lookAtTime()
	if r.Motion.Options.Relative || len(r.Motion.Strokes) == 0 {
		return
	}
	below, n := 0, 0
	for _, z := range r.Placed.Out {
		if z == z {
			n++
			if z < -6 {
				below++
			}
		}
	}
	if n > 0 && below > n/4 {
		r.Notes = append(r.Notes, fmt.Sprintf(
			"In %d %% of the samples the tip lies more than 6 mm behind the strings, where the instrument is: the outward side probably points the other way (outward, y_up, mirrored, left_handed, from_neck).", 100*below/n))
	}
}

// gatherMissing collects the reasons of all that is absent, each once.
func (r *Review) gatherMissing() {
	seen := map[string]bool{}
	add := func(a *estimate.Absence) {
		if a != nil && !seen[a.What] {
			seen[a.What] = true
			r.Missing = append(r.Missing, *a)
		}
	}
	for i := range r.Motion.Absent {
		add(&r.Motion.Absent[i])
	}
	for i := range r.Values {
		add(r.Values[i].Absent)
	}
	add(r.Clearing.Absent)
	add(r.Settling.Absent)
	for _, c := range r.EarlyLate {
		if a := c.Ratio.Absent; a != nil {
			add(&estimate.Absence{Code: a.Code, What: "early against late: " + c.Title, Why: a.Why})
		}
	}
	add(&estimate.Absence{Code: "strings", What: "reached and follow-through",
		Why: "where the single strings lie is not given"})
}
