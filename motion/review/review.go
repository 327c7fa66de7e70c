package review

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability"
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

	// Onsets are the times at which notes sound, from a recording of the
	// sound; nil when there is none.
	Onsets []contact.Onset `json:"-"`
	// Reference is a motion that each span is compared with; nil for none.
	Reference *cycle.Reference `json:"-"`
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
	// Card is what a card in the picture tells of the camera, nil without.
	Card *camera.Card
	// Touch is the rest on a string that gives heights their zero, nil where
	// none was named.
	Touch *contact.Touch
	// Edits are the samples of the tip, the marks and the further points that
	// were cut or filled.
	Edits  []trajectory.Edit
	Motion *motion.Motion

	Clearing motion.ClearingEvidence
	Settling settling.Result
	Spans    []Span
	// History is how the take settles: what it holds, leaves and comes back to.
	// Exploring is what its searching spans are made of.
	History   settling.History
	Exploring settling.Exploration
	// Pace is how the rate goes over the take, nil without strokes and where the
	// film's own pace changes.
	Pace *Pace
	// Joint is how the strokes scatter in angle, timing, length and height at once,
	// in tolerances; nil where fewer than two of them are known.
	Joint *variability.Joint
	// EarlyLate holds the early part of the take against its late part.
	EarlyLate []Change
	Loss      Loss

	// Strings is where the strings lie, Contacts what the strokes do there:
	// nil when the strings are not described.
	Strings  contact.Strings
	Contacts *contact.Contacts
	// Struck says which strokes sounded, nil without onsets.
	Struck *contact.Match
	// Edges are the angles of the pick, nil without points on it.
	Edges *contact.Edges
	// Carries are those of the tracked points of the arm, the one that stands
	// for it first. Drive is nil without landmarks.
	Carries []HandCarry
	Drive   *drive.Drive

	// Values are those of Measures(), in that order.
	Values []estimate.Value[float64]
	// Missing lists what could not be had and why, each once.
	Missing []estimate.Absence
	// Notes are what the reader should know about how the take was read.
	Notes []string

	// Following says when the motion was that of the reference, nil without one.
	Following *cycle.Following
	// Smoothness is that of the span that the mean cycle is taken from, nil
	// without one.
	Smoothness *cycle.Smoothness

	// Questions are what must be settled before anything else is believed.
	Questions []string
	// Jumps are where the pace of the film seems to change: with any, no time,
	// rate or speed of the take as a whole means anything.
	Jumps []Jump

	given      Options // as Run was given them
	rates      rates
	tilt       camera.Tilt
	armFrame   *trajectory.Frame // places what is not in the card's plane
	outer      *[2]float64       // across of the bass and the treble mark
	stringsWhy string            // where the strings lie is not known
	touchWhy   string            // the touch that was named is of no use
	cardError  float64           // of the height of a card's foot, from the crown
}

// Span is a settled or searching stretch of strokes.
type Span struct {
	Settled     bool
	First, Last int // strokes
	Start, End  float64
	// Cut says that the take, or its part between two breaks, begins or ends with the
	// span: it may have lasted longer.
	Cut     bool
	Strokes int
	Rate    estimate.Value[tempo.NotesPerSecond]
	// PathAngle allows for the camera's raise and the strokes' skew,
	// PictureAngle is the angle as the picture shows it.
	PathAngle, PictureAngle estimate.Value[circular.Angle]
	// Carry is that of the point of the arm nearest to the wrist.
	Carry estimate.Value[float64]
	// Cycle is the span's mean cycle.
	Cycle cycle.Cycle
	// Distance is how far the span is from the reference, nil without one.
	Distance *cycle.Distance
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
	r := &Review{Source: rec.Source, Setup: s, Options: o, given: o}
	tip, ok := rec.Point(s.Tip)
	if !ok {
		return nil, unknownPoint(rec, s.Tip)
	}
	r.Tip, r.SourceUnit = tip, rec.Unit
	if err := r.sight(rec); err != nil {
		return nil, err
	}
	var edits []trajectory.Edit
	if o.Clean.MinConfidence == 0 {
		r.Options.Clean.MinConfidence = s.MinConfidence
	}
	var err error
	if r.Clean, edits, err = trajectory.Clean(trajectory.Path{}, tip, r.Options.Clean); err != nil {
		return nil, err
	}
	if still(r.Clean) {
		return nil, &trajectory.DataError{Point: s.Tip, Sample: -1, Time: math.NaN(), Rule: "it stays in one place from start to end",
			Hint: "choose the point that follows the pick (tip), or check the export"}
	}
	if e := extent(r.Clean); !(e > 1/mostExtent && e < mostExtent) {
		return nil, &trajectory.DataError{Point: s.Tip, Sample: -1, Time: math.NaN(), Rule: fmt.Sprintf("it moves over %.3g in the unit of its coordinates", e),
			Hint: "squares of such numbers cannot be told from zero or infinity: check the column and its unit"}
	}
	r.Edits = append(edits, r.Frame.Edits...)
	if r.Placed, err = r.place(r.Clean); err != nil {
		return nil, err
	}
	r.Unit = r.Frame.Unit
	r.Notes = append(r.Notes, r.Frame.Notes...)
	r.layStrings(rec)
	if err := r.touch(); err != nil {
		return nil, err
	}

	mo := o.Motion
	mo.AxisError, mo.FrameNoise, mo.AxisNoise = r.Frame.AxisError, r.Frame.Noise, r.Frame.AxisNoise
	r.heights(&mo)
	if r.Motion, err = motion.Analyze(r.Placed, mo); err != nil {
		return nil, err
	}
	r.Options.Motion = r.Motion.Options
	if e, hz := s.ExposureS, r.Motion.SampleHz; e*hz > 1.1 {
		return nil, &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: fmt.Sprintf("a frame of 1/%.4g s cannot be exposed for %g s", hz, e),
			Hint: "give the exposure in seconds, 0.001 for 1/1000 (exposure_s)"}
	}

	r.settle()
	r.rate()
	if err := r.early(); err != nil {
		return nil, err
	}
	if err := r.contacts(rec); err != nil {
		return nil, err
	}
	r.clearing() // before what judges by the string played
	if err := r.arm(rec); err != nil {
		return nil, err
	}
	if err := r.shapes(); err != nil {
		return nil, err
	}
	r.loss()
	if err := r.lookAtTime(); err != nil {
		return nil, err
	}
	r.look()
	if err := r.pace(); err != nil {
		return nil, err
	}
	if err := r.joint(); err != nil {
		return nil, err
	}
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
	case r.touched():
		return ""
	case r.touchWhy != "":
		return r.touchWhy
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

// lookAtTime asks what the rate makes doubtful about the time base.
func (r *Review) lookAtTime() error {
	b := TimeBase{Path: r.Placed, Rate: r.rates.take, FrameRate: r.Motion.SampleHz, SlowedBy: r.Setup.SlowedBy}
	if !b.Rate.Known() {
		b.Rate = r.rates.spectral
	}
	r.Jumps = b.Jumps()
	ask := b.questions(r.Jumps)
	if r.Setup.TempoBPM > 0 {
		fit, err := b.Tempo(tempo.BPM(r.Setup.TempoBPM), r.note())
		if err != nil {
			return err
		}
		if fit.Times > 0 && len(r.Jumps) == 0 {
			ask = nil // the tempo answers it
		}
		if fit.Times == 1 || fit.near() {
			r.Notes = append(r.Notes, fit.Text)
		} else {
			ask = append(ask, fit.Text)
		}
	}
	r.Questions = ask
	if r.touchWhy != "" {
		r.Questions = append(r.Questions, upper(r.touchWhy)+".")
	}
	return nil
}

// look adds notes on signs that look wrong.
func (r *Review) look() {
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

// notGiven are the codes of what nobody said, with all that is missing for it.
var notGiven = map[string]string{
	"no landmark":  "carry, drive and forearm posture",
	"strings":      "strings reached, follow-through and depth",
	"no onsets":    "strokes that sound, and evenness of the attack",
	"no points":    "angle of the pick",
	"no reference": "distance to a reference motion",
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// gatherMissing collects the reasons of all that is absent, each once.
func (r *Review) gatherMissing() {
	seen := map[string]bool{}
	add := func(a *estimate.Absence) {
		if a == nil {
			return
		}
		b := *a
		if what := notGiven[b.Code]; what != "" {
			b.What = what
		}
		if !seen[b.What] {
			seen[b.What] = true
			r.Missing = append(r.Missing, b)
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
}
