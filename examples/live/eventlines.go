package main

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// eventLines writes events as JSON, one a line.
type eventLines struct {
	out   *outlet
	src   *source
	log   *journal
	began bool
	early []eventLine // of lines left out before the first sample
}

// eventLine is an event as a line. Absent is what its kind does not tell, null what
// could not be had.
type eventLine struct {
	Event  string `json:"event"`
	Schema string `json:"schema,omitempty"`
	Source string `json:"source,omitempty"`
	Unit   string `json:"unit,omitempty"` // of lengths
	// Notes say how lines are read and what was assumed, and at the end what the
	// review does not hold.
	Notes []string `json:"notes,omitempty"`
	T     *value   `json:"t_s,omitempty"`
	Told  *value   `json:"told_s,omitempty"`

	Number   *int       `json:"number,omitempty"`
	Confirms *int       `json:"confirms,omitempty"`
	Stroke   *strokeRow `json:"stroke,omitempty"`
	Rate     *value     `json:"notes_per_second,omitempty"`
	Low      *value     `json:"low,omitempty"`
	High     *value     `json:"high,omitempty"`
	Spectral bool       `json:"spectral,omitempty"`
	Angle    *value     `json:"path_angle_deg,omitempty"`
	Picture  *value     `json:"picture_angle_deg,omitempty"` // in its place, of an oblique view
	P        *value     `json:"settled_probability,omitempty"`
	Since    *value     `json:"since_s,omitempty"`
	Seconds  *value     `json:"seconds,omitempty"`
	Samples  int        `json:"samples,omitempty"`
	Shift    *value     `json:"shift_s,omitempty"` // from times of the new clock to those told
	Hz       *value     `json:"frames_per_second,omitempty"`

	Line int    `json:"line,omitempty"` // of the input
	Text string `json:"text,omitempty"`

	Review json.RawMessage `json:"review,omitempty"`
}

// strokeRow is a stroke in an event.
type strokeRow struct {
	Direction string `json:"direction"`
	Start     value  `json:"start_s"`
	End       value  `json:"end_s"`
	Length    value  `json:"length"`
	Angle     *value `json:"path_angle_deg,omitempty"`
	Picture   *value `json:"picture_angle_deg,omitempty"`
	Hidden    bool   `json:"turn_hidden"`
}

// value is a number; what is none is null.
type value float64

func (v value) MarshalJSON() ([]byte, error) {
	if x := float64(v); math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(v))
}

func val[T ~float64](x T) *value {
	v := value(x)
	return &v
}

func (w *eventLines) told(events []live.Event, words []string, now live.Now) {
	w.log.told(events, words, now)
	if !w.began {
		w.began = true
		w.line(eventLine{Event: "begin", Schema: "plectrace/events/1", Source: w.src.name, Unit: now.Unit, Notes: w.src.notes})
		for _, l := range w.early {
			w.line(l)
		}
		w.early = nil
	}
	for _, e := range events {
		w.line(lineOf(e, w.log.setup.View))
	}
}

func lineOf(e live.Event, view trajectory.View) eventLine {
	// An oblique view shows no path angle, as in a review.
	angle := func(a circular.Angle) (path, picture *value) {
		if view == trajectory.Oblique {
			return nil, val(a.Degrees())
		}
		return val(a.Degrees()), nil
	}
	l := eventLine{Event: e.Kind.String(), T: val(e.T), Told: val(e.At)}
	switch e.Kind {
	case live.Turn:
		l.Text = e.Direction.String()
	case live.Provisional, live.Final, live.Withdrawn, live.HiddenTurn:
		s := e.Stroke
		l.Number = &e.Number
		path, picture := angle(s.PathAngle)
		l.Stroke = &strokeRow{s.Direction.String(), value(s.Start), value(s.End), value(s.Length), path, picture, s.TurnHidden()}
		if e.Kind == live.Final {
			l.Confirms = &e.Confirms
		}
	case live.Rate:
		l.Rate, l.Low, l.High, l.Spectral = val(e.NotesPerSecond), val(e.Low), val(e.High), e.Spectral
	case live.PathAngle:
		l.Angle, l.Picture = angle(e.Angle)
	case live.Settled, live.Searching:
		l.P, l.Since = val(e.P), val(e.Since)
	case live.Gap, live.Pause, live.Rest:
		l.Seconds, l.Samples = val(e.Seconds), e.Samples
	case live.Cut:
		l.Samples = e.Samples
	case live.FrameRate:
		l.Hz = val(e.Hz)
	}
	if e.Kind == live.Rest {
		l.Text = live.Caution
	}
	return l
}

func (w *eventLines) bad(number int, text string) {
	l := eventLine{Event: "line left out", Line: number, Text: text}
	if !w.began {
		w.early = append(w.early, l)
		return
	}
	w.line(l)
}

func (w *eventLines) anew(c newClock, now live.Now) {
	w.log.anew(c, now)
	w.line(eventLine{Event: "clock", T: val(c.after + restart), Told: val(now.T), Line: c.line, Shift: val(c.shift), Text: c.String()})
}

func (w *eventLines) silent(int) {}
func (w *eventLines) away()      {}

func (w *eventLines) line(l eventLine) {
	e := json.NewEncoder(w.out)
	e.SetEscapeHTML(false)
	e.Encode(l) // the outlet keeps its error
}

// review writes the last line. notes say what the review does not hold.
func (w *eventLines) review(r *review.Review, notes []string) error {
	var whole, flat bytes.Buffer
	err := r.WriteJSON(&whole)
	if err == nil {
		err = json.Compact(&flat, whole.Bytes())
	}
	if err != nil {
		return err
	}
	w.line(eventLine{Event: "review", Notes: notes, Review: flat.Bytes()})
	return nil
}
