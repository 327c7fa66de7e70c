package review

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/motion/internal/strict"
	"github.com/plectrace/plectrace/trajectory"
)

// ParseSetup reads a settings file. An unknown key, a value of the wrong kind
// and anything after the object are errors that name it.
func ParseSetup(r io.Reader) (Setup, error) {
	var s Setup
	if err := strict.Decode(r, &s); err != nil {
		return Setup{}, err
	}
	if s.Schema != "" && s.Schema != SetupSchema {
		return Setup{}, fmt.Errorf("schema is %q: this program reads %q", s.Schema, SetupSchema)
	}
	s.Schema = SetupSchema
	return s, nil
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
		Name   string          `json:"setup,omitempty"`
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
		Capture
	}
	out := starter{
		Schema: SetupSchema, Name: s.SetupName, Tip: s.Tip, TipIs: s.TipIs, Rate: s.Rate, Time: s.Time, Clock: s.TimeUnit, Unit: s.Unit, Trust: s.MinConfidence, Slowed: s.SlowedBy, View: s.View,
		YUp: s.YUp, Left: s.LeftHanded, Mirror: s.Mirrored, Neck: s.FromNeck, Out: s.Outward, Elsewhere: s.MarksElsewhere, Capture: s.Capture,
	}
	if out.Slowed == 0 {
		out.Slowed = 1
	}
	out.Marks.Bass, out.Marks.Treble, out.Marks.Nut, out.Marks.DistanceMM = s.Marks.Bass, s.Marks.Treble, s.Marks.Nut, s.Marks.DistanceMM
	data, err := json.MarshalIndent(out, "", "  ")
	return append(data, '\n'), err
}
