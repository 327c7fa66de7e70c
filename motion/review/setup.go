package review

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// SetupSchema is the schema of a settings file.
const SetupSchema = "plectrace/take/1"

// Setup is what must be known about a take before its coordinates mean
// anything: what was tracked, how it was filmed, and where the strings are. It
// is kept as a small JSON file beside the export, NAME.take.json.
type Setup struct {
	Schema string `json:"schema"`
	// SetupName names the arrangement of camera, marks and points, where several
	// takes share one: their angles compare better with each other than with
	// those of other set-ups.
	SetupName string `json:"setup,omitempty"`
	// Tip is the name of the point that follows the pick.
	Tip string `json:"tip"`
	// TipIs says what that point is on: the pick's own tip ("pick"), or
	// something above it ("marker": a marker up the pick, a thumb). Heights
	// need the tip itself. Empty is unknown and counts as a marker.
	TipIs TipKind `json:"tip_is,omitempty"`
	// Rate is the capture rate in frames per second, for an export without a
	// time column.
	Rate float64 `json:"rate,omitempty"`
	// Time is the name of the time column, where its header does not say so.
	Time string `json:"time,omitempty"`
	// TimeUnit is the unit of the time column ("s", "ms", "us", "ns"), where
	// its header does not say so.
	TimeUnit string `json:"time_unit,omitempty"`
	// SlowedBy says how many times slower than life the film plays: 8 for 240
	// frames/s saved as a film of 30. Zero is 1.
	SlowedBy float64 `json:"slowed_by,omitempty"`
	// Unit is the unit of the coordinates ("px", "mm", "cm", "m"), where the
	// header does not say so.
	Unit string `json:"unit,omitempty"`
	// MinConfidence is the tracker's confidence below which a sample is cut.
	// Zero means 0.6; negative does without the confidences.
	MinConfidence float64 `json:"min_confidence,omitempty"`
	// View is how the camera looks at the instrument.
	View trajectory.View `json:"view"`
	// Orientation holds y_up, left_handed, mirrored and from_neck.
	trajectory.Orientation
	// Outward, when given, is the side of the picture on which the space in
	// front of the strings lies, in an end-on view.
	Outward trajectory.Side `json:"outward,omitzero"`
	// Marks are the marks on the string plane.
	Marks SetupMarks `json:"marks"`
	// MarksElsewhere says that the marks do not lie at the picking spot, so
	// that heights at the pick cannot be told from them.
	MarksElsewhere bool `json:"marks_elsewhere,omitempty"`
	Capture
}

// SetupMarks are the marks of a Setup: tracked points by name, or fixed
// picture coordinates.
type SetupMarks struct {
	trajectory.Marks
	// DistanceMM is the distance from the bass mark to the treble mark.
	DistanceMM float64 `json:"distance_mm,omitempty"`
}

// TipKind says what the tracked point sits on. Its zero value is unknown.
type TipKind int

const (
	TipUnknown TipKind = iota
	TipOfPick
	TipMarker
)

var tipKindText = [...]string{"", "pick", "marker"}

// String returns "pick", "marker" or "" for unknown.
func (k TipKind) String() string {
	if k < 0 || int(k) >= len(tipKindText) {
		return fmt.Sprintf("TipKind(%d)", int(k))
	}
	return tipKindText[k]
}

// MarshalText implements encoding.TextMarshaler.
func (k TipKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (k *TipKind) UnmarshalText(b []byte) error {
	for i, s := range tipKindText {
		if s == string(b) {
			*k = TipKind(i)
			return nil
		}
	}
	return fmt.Errorf("tip_is is %q: write \"pick\" when the pick's own tip is tracked, \"marker\" when a point above it is", b)
}

// Points returns the names of the tracked points that s needs, each once.
func (s Setup) Points() []string {
	var names []string
	add := func(name string) {
		if name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	add(s.Tip)
	for _, list := range [][]trajectory.Mark{{s.Marks.Bass, s.Marks.Treble}, s.Marks.Nut, s.Card.Corners} {
		for _, m := range list {
			add(m.Point)
		}
	}
	for _, l := range slices.Sorted(maps.Keys(s.Landmarks)) {
		add(s.Landmarks[l])
	}
	for _, name := range s.PickPoints {
		add(name)
	}
	return names
}

// filmRate is the highest rate at which films are commonly saved for playing in
// slow motion: 24, 25 or 30 frames/s (common practice).
const filmRate = 30.5

// Tracks returns the options with which to read the export, and a sentence on
// the time base where it was assumed or slowed down. timed says that the export
// has a time column; SlowedBy then divides its times. Without one, Rate together with SlowedBy is taken as the rate of the
// saved film when it is one that films are saved at, and as the capture rate
// otherwise, which SlowedBy then does not change.
func (s Setup) Tracks(timed bool) (tracks.Options, string) {
	o := tracks.Options{
		Rate: s.Rate, Time: s.Time, TimeUnit: s.TimeUnit, SlowedBy: s.SlowedBy, Unit: s.Unit, Points: s.Points(),
		IgnoreConfidence: s.MinConfidence < 0,
	}
	switch columnless := s.Time == "-" || s.Time == "" && !timed; {
	case s.SlowedBy == 0 || s.SlowedBy == 1:
		return o, ""
	case !columnless:
		return o, fmt.Sprintf("The film is taken to be slowed by %g: times are divided by %[1]g.", s.SlowedBy)
	case s.Rate == 0:
		return o, ""
	}
	if s.Rate <= filmRate {
		return o, fmt.Sprintf("A film of %g frames/s slowed by %g is taken to be %g frames of real time a second.", s.Rate, s.SlowedBy, s.Rate*s.SlowedBy)
	}
	o.SlowedBy = 1
	return o, fmt.Sprintf("%g frames/s is taken to be the capture rate, which slowed_by %g does not change.", s.Rate, s.SlowedBy)
}

// FrameOptions returns the options of the instrument frame that the marks make. A card
// makes another, which a review finds.
func (s Setup) FrameOptions() trajectory.FrameOptions {
	return trajectory.FrameOptions{
		View: s.View, Orientation: s.Orientation, Outward: s.Outward,
		Marks: s.Marks.Marks, DistanceMM: s.Marks.DistanceMM,
	}
}

// Validate reports what s lacks, or what cannot be, before a review.
func (s Setup) Validate() error {
	bad := func(what, hint string) error {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: what, Hint: hint}
	}
	switch {
	case s.Tip == "":
		return bad("it is not said which point is the tip", "name it (tip)")
	case s.Rate < 0 || math.IsInf(s.Rate, 0) || math.IsNaN(s.Rate):
		return bad(fmt.Sprintf("the capture rate is %g", s.Rate), "give the frames per second at which it was filmed (rate)")
	case s.SlowedBy < 0 || math.IsInf(s.SlowedBy, 0) || math.IsNaN(s.SlowedBy):
		return bad(fmt.Sprintf("slowed_by is %g", s.SlowedBy), "give how many times slower the film plays than life, 8 for 240 frames/s saved as 30")
	case s.MinConfidence > 1 || math.IsNaN(s.MinConfidence):
		return bad(fmt.Sprintf("min_confidence is %g", s.MinConfidence), "confidences lie between 0 and 1; give a share, or a negative number to do without them")
	case s.Marks.DistanceMM < 0 || math.IsInf(s.Marks.DistanceMM, 0) || math.IsNaN(s.Marks.DistanceMM):
		return bad(fmt.Sprintf("the distance between the marks is %g mm", s.Marks.DistanceMM), "measure it on the instrument, bass mark to treble mark, in millimetres (distance_mm)")
	case s.Card.IsZero() && (s.Marks.Bass.IsZero() || s.Marks.Treble.IsZero()):
		return bad("the marks on the string plane are missing", "give a bass mark and a treble mark, as tracked points or as picture coordinates (bass, treble)")
	}
	for _, l := range slices.Sorted(maps.Keys(s.Landmarks)) {
		switch name := s.Landmarks[l]; {
		case l == drive.Tip && name != s.Tip:
			return bad(fmt.Sprintf("landmarks says that the tip is the point %q, and tip that it is %q", name, s.Tip), "leave the tip out of the landmarks")
		case l != drive.Tip && name == s.Tip:
			return bad(fmt.Sprintf("the %s is said to be the point %q, which is the tip", l, name), "give another point, or leave that landmark out (landmarks)")
		}
	}
	return s.Capture.validate()
}
