package review

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

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

// ParseSetup reads a settings file. An unknown key, a value of the wrong kind
// and anything after the object are errors that name it.
func ParseSetup(r io.Reader) (Setup, error) {
	data, err := io.ReadAll(io.LimitReader(r, 1<<20+1))
	if err != nil {
		return Setup{}, err
	}
	if len(data) > 1<<20 {
		return Setup{}, errors.New("the settings file is over 1 MiB: is it the export?")
	}
	var s Setup
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return Setup{}, setupError(data, d.InputOffset(), err)
	}
	if _, err := d.Token(); err != io.EOF {
		return Setup{}, setupError(data, d.InputOffset(), errors.New("more text follows the closing brace"))
	}
	if s.Schema != "" && s.Schema != SetupSchema {
		return Setup{}, fmt.Errorf("schema is %q: this program reads %q", s.Schema, SetupSchema)
	}
	s.Schema = SetupSchema
	return s, nil
}

func setupError(data []byte, offset int64, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
		err = fmt.Errorf("%s cannot be a %s", kind.Field, kind.Value)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		err = errors.New("the text ends too early")
	}
	line := 1 + bytes.Count(data[:min(int(offset), len(data))], []byte("\n"))
	return fmt.Errorf("line %d: %s", line, strings.TrimPrefix(err.Error(), "json: "))
}

// JSON returns the settings file for s.
func (s Setup) JSON() ([]byte, error) {
	s.Schema = SetupSchema
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(s); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// Starter returns a settings file for s to be filled in by hand: with every key
// that most takes need, empty where s does not know it, and with the others that
// s does know.
func (s Setup) Starter() ([]byte, error) {
	type starter struct {
		Schema string          `json:"schema"`
		Tip    string          `json:"tip"`
		TipIs  TipKind         `json:"tip_is"`
		Rate   float64         `json:"rate"`
		Time   string          `json:"time,omitempty"`
		Clock  string          `json:"time_unit,omitempty"`
		Unit   string          `json:"unit,omitempty"`
		Trust  float64         `json:"min_confidence,omitempty"`
		Slowed float64         `json:"slowed_by"`
		View   trajectory.View `json:"view"`
		YUp    bool            `json:"y_up"`
		Left   bool            `json:"left_handed"`
		Mirror bool            `json:"mirrored"`
		Neck   bool            `json:"from_neck"`
		Out    trajectory.Side `json:"outward,omitzero"`
		Marks  struct {
			Bass       trajectory.Mark   `json:"bass"`
			Treble     trajectory.Mark   `json:"treble"`
			Nut        []trajectory.Mark `json:"nut,omitempty"`
			DistanceMM float64           `json:"distance_mm"`
		} `json:"marks"`
		Elsewhere bool `json:"marks_elsewhere,omitempty"`
	}
	out := starter{
		Schema: SetupSchema, Tip: s.Tip, TipIs: s.TipIs, Rate: s.Rate, Time: s.Time, Clock: s.TimeUnit, Unit: s.Unit, Trust: s.MinConfidence, Slowed: s.SlowedBy, View: s.View,
		YUp: s.YUp, Left: s.LeftHanded, Mirror: s.Mirrored, Neck: s.FromNeck, Out: s.Outward, Elsewhere: s.MarksElsewhere,
	}
	if out.Slowed == 0 {
		out.Slowed = 1
	}
	out.Marks.Bass, out.Marks.Treble, out.Marks.Nut, out.Marks.DistanceMM = s.Marks.Bass, s.Marks.Treble, s.Marks.Nut, s.Marks.DistanceMM
	data, err := json.MarshalIndent(out, "", "  ")
	return append(data, '\n'), err
}

// Points returns the names of the tracked points that s needs, each once.
func (s Setup) Points() []string {
	names := []string{s.Tip}
	for _, m := range append([]trajectory.Mark{s.Marks.Bass, s.Marks.Treble}, s.Marks.Nut...) {
		if m.Point != "" && !slices.Contains(names, m.Point) {
			names = append(names, m.Point)
		}
	}
	return names
}

// Guess fills in what s leaves open and the names of an export's points make
// safe to assume: the tip, and the marks. It returns the completed settings
// and a sentence for every guess, for the user to see.
func (s Setup) Guess(points []string, spatial bool) (Setup, []string) {
	var notes []string
	all := func(words ...string) []string {
		return slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(points))), func(p string) bool {
			return !slices.ContainsFunc(tokens(p), func(w string) bool { return slices.Contains(words, w) })
		})
	}
	find := func(words ...string) string {
		if found := all(words...); len(found) == 1 {
			return found[0]
		}
		return "" // none, or more than one, which is not safe
	}
	if s.Tip == "" {
		if s.Tip = find("tip", "pick", "plectrum"); s.Tip != "" {
			notes = append(notes, fmt.Sprintf("The tip is taken to be the point %q.", s.Tip))
		}
	}
	if s.TipIs == TipUnknown && s.Tip != "" {
		w := tokens(s.Tip)
		body := slices.ContainsFunc(w, func(t string) bool {
			return slices.Contains([]string{"thumb", "index", "finger", "wrist", "hand", "knuckle", "marker"}, t)
		})
		if !body && slices.ContainsFunc(w, func(t string) bool { return t == "tip" || t == "pick" || t == "plectrum" }) {
			s.TipIs = TipOfPick
			notes = append(notes, fmt.Sprintf("%q is taken to be the pick's own tip; if it is a marker above it, say so (tip_is), or heights come out too large.", s.Tip))
		}
	}
	mark := func(m *trajectory.Mark, side string, words ...string) {
		if !m.IsZero() {
			return
		}
		if p := find(words...); p != "" && p != s.Tip {
			m.Point = p
			notes = append(notes, fmt.Sprintf("The %s mark is taken to be the point %q.", side, p))
		}
	}
	mark(&s.Marks.Bass, "bass", "bass")
	mark(&s.Marks.Treble, "treble", "treble")
	if s.View == trajectory.ViewUnknown {
		s.View = trajectory.EndOn
		how := "end-on: the camera looks along the strings"
		if spatial {
			s.View = trajectory.Spatial
			how = "3-d: the export has three axes"
		}
		notes = append(notes, fmt.Sprintf("The view is taken to be %s.", how))
	}
	if spatial && len(s.Marks.Nut) == 0 {
		p := all("nut")
		for _, w := range []string{"headstock", "neck"} {
			if len(p) == 0 {
				p = all(w)
			}
		}
		switch len(p) {
		case 1:
			s.Marks.Nut = []trajectory.Mark{{Point: p[0]}}
			notes = append(notes, fmt.Sprintf("The mark toward the nut is taken to be the point %q.", p[0]))
		case 2:
			s.Marks.Nut = []trajectory.Mark{{Point: p[0]}, {Point: p[1]}}
			notes = append(notes, fmt.Sprintf("The mark toward the nut is taken to be the middle of the points %q and %q.", p[0], p[1]))
		}
	}
	return s, notes
}

// tokens splits a point's name into lower-case words.
func tokens(name string) []string {
	var b strings.Builder
	lower := false
	for _, r := range name {
		if lower && r >= 'A' && r <= 'Z' {
			b.WriteByte(' ')
		}
		lower = r >= 'a' && r <= 'z'
		b.WriteRune(r)
	}
	return strings.FieldsFunc(strings.ToLower(b.String()), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	})
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

// frame returns the options of the instrument frame.
func (s Setup) frame() trajectory.FrameOptions {
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
	case s.Marks.Bass.IsZero() || s.Marks.Treble.IsZero():
		return bad("the marks on the string plane are missing", "give a bass mark and a treble mark, as tracked points or as picture coordinates (bass, treble)")
	}
	return nil
}
