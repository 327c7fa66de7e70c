package main

import (
	"fmt"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// newSettings returns the settings file that goes beside an export: what the
// export itself does not say.
func newSettings(t *simulate.Take) review.Setup {
	o := t.Options
	s := review.Setup{
		Schema: review.SetupSchema,
		Tip:    "tip", TipIs: review.TipOfPick, Rate: o.FrameRate, View: o.View, Orientation: o.Orientation,
	}
	if o.MarkerUp != 0 {
		s.TipIs = review.TipMarker
	}
	if o.SlowedBy != 1 {
		s.SlowedBy = o.SlowedBy
	}
	mark := func(name string, at [3]float64) trajectory.Mark {
		switch {
		case o.TrackMarks:
			return trajectory.Mark{Point: name}
		case o.View == trajectory.Spatial:
			return trajectory.Mark{At: rounded(at[:])}
		}
		return trajectory.Mark{At: rounded(at[:2])}
	}
	addCapture(&s, t)
	s.Marks.DistanceMM = t.Truth.MarkDistance
	s.Marks.Bass, s.Marks.Treble = mark("bass", t.Truth.Bass), mark("treble", t.Truth.Treble)
	if o.View == trajectory.Spatial {
		s.Marks.Nut = []trajectory.Mark{mark("nut", t.Truth.Nut)}
	}
	return s
}

// addCapture adds what is known of the camera, the touch, the strings and the
// further points.
func addCapture(s *review.Setup, t *simulate.Take) {
	o := t.Options
	if o.Card {
		for _, name := range []string{"card_foot_bass", "card_foot_treble", "card_top_treble", "card_top_bass"} {
			s.Card.Corners = append(s.Card.Corners, trajectory.Mark{Point: name})
		}
		s.PicturePX = [2]float64{1920, 1080}
	}
	if o.TouchFor > 0 {
		at := math.Round(1000*t.FilmTime(t.Truth.TouchAt)) / 1000
		s.TouchS, s.TouchString = &at, t.Truth.TouchString
	}
	s.StringCount, s.CrownRadiusMM = o.Strings, o.CrownRadius
	if o.CrownRadius == 0 {
		s.CrownRadiusMM = -1 // flat
	}
	if o.Wrist {
		s.Landmarks = map[drive.Landmark]string{drive.Wrist: "wrist"}
	}
	if o.PickEdge {
		s.PickPoints = []string{"tip", "pick_edge"}
	}
	if o.Arm {
		s.Landmarks = map[drive.Landmark]string{
			drive.Shoulder: "shoulder", drive.Elbow: "elbow", drive.Wrist: "wrist", drive.WristInner: "wrist_inner", drive.WristOuter: "wrist_outer",
			drive.Knuckle(1): "knuckle_1", drive.Knuckle(2): "knuckle_2", drive.PickBase: "pick_base",
		}
	}
}

func rounded(at []float64) []float64 {
	r := make([]float64, len(at))
	for i, v := range at {
		r[i] = math.Round(v*1000) / 1000
	}
	return r
}

// value is a number of at most 6 significant digits, null where there is none.
type value = measured.Number

// seconds is a time to the microsecond, null where there is none.
type seconds float64

func (s seconds) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(s)) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, math.Round(float64(s)*1e6)/1e6, 'f', -1, 64), nil
}

// truth is the layout of NAME.truth.json. Places and lengths are in mm in the
// instrument frame, times in seconds as played.
type truth struct {
	Schema       string   `json:"schema"`
	Unit         string   `json:"unit"`
	Seed         uint64   `json:"seed"`
	RateNPS      value    `json:"rate_nps"`
	SettledNPS   value    `json:"settled_rate_nps"`
	SettledShare value    `json:"settled_share"`
	PathAngle    value    `json:"path_angle_deg"`
	Clearing     string   `json:"clearing"`
	Spans        []span   `json:"spans"`
	Pauses       []pause  `json:"pauses"`
	Strokes      []stroke `json:"strokes"`
	Turns        []turn   `json:"turns"`
	Faults       []faults `json:"faults"`
	// What there is none of is left out.
	Strings     []place  `json:"strings,omitempty"`
	Onsets      []onset  `json:"onsets,omitempty"`
	TouchS      *seconds `json:"touch_s,omitempty"`
	TouchString int      `json:"touch_string,omitempty"`
	FocalPX     float64  `json:"focal_px,omitempty"`
	Shares      *shares  `json:"shares,omitempty"`
	Carry       *value   `json:"carry,omitempty"`
}

// place is where a string runs; the first is the highest-pitched.
type place struct {
	Across value `json:"across"`
	Out    value `json:"out"`
}

type onset struct {
	T      seconds `json:"t_s"`
	Level  value   `json:"level_db"`
	Stroke int     `json:"stroke"` // index in strokes, -1 for a spurious one
}

type shares struct {
	Shoulder value `json:"shoulder"`
	Elbow    value `json:"elbow"`
	Forearm  value `json:"forearm"`
	Wrist    value `json:"wrist"`
	Fingers  value `json:"fingers"`
}

type span struct {
	Kind      string  `json:"kind"` // settled or searching
	Start     seconds `json:"start_s"`
	End       seconds `json:"end_s"`
	Strokes   int     `json:"strokes"`
	RateNPS   value   `json:"rate_nps"`
	PathAngle value   `json:"path_angle_deg"`
}

type pause struct {
	Start seconds `json:"start_s"`
	End   seconds `json:"end_s"`
}

type stroke struct {
	Direction   string  `json:"direction"` // down or up
	Start       seconds `json:"start_s"`
	End         seconds `json:"end_s"`
	Length      value   `json:"length"`
	PathAngle   value   `json:"path_angle_deg"`
	Skew        value   `json:"skew_deg"`
	Curvature   value   `json:"curvature"`
	HeightStart value   `json:"height_start"`
	HeightEnd   value   `json:"height_end"`
	PeakSpeed   value   `json:"peak_speed"`
	Reached     bool    `json:"reached"`
	Struck      seconds `json:"struck_s"`
	Settled     bool    `json:"settled"`
	Tiny        bool    `json:"tiny"`
	Changed     bool    `json:"changed"`
	Hidden      bool    `json:"turn_hidden"`
	// StringsReached are the numbers of the strings reached, in order.
	StringsReached []int   `json:"strings_reached,omitempty"`
	StruckDepth    *value  `json:"struck_depth,omitempty"`
	FollowThrough  *value  `json:"follow_through,omitempty"`
	Shares         *shares `json:"shares,omitempty"`
}

type turn struct {
	T      seconds `json:"t_s"`
	After  string  `json:"after"` // down or up
	Across value   `json:"across"`
	Along  value   `json:"along"`
	Out    value   `json:"out"`
	Hidden bool    `json:"hidden"`
}

type faults struct {
	Kind  string `json:"kind"`
	First int    `json:"first_sample"`
	Last  int    `json:"last_sample"`
}

func newTruth(t *simulate.Take) truth {
	tr := t.Truth
	d := truth{
		Schema: "plectrace/truth/1", Unit: "mm", Seed: t.Options.Seed,
		RateNPS: value(tr.Rate), SettledNPS: value(tr.SettledRate), SettledShare: value(tr.SettledShare),
		PathAngle: value(tr.PathAngle.Degrees()), Clearing: tr.Clearing,
		Spans: []span{}, Pauses: []pause{}, Strokes: []stroke{}, Turns: []turn{}, Faults: []faults{},
	}
	kind := map[bool]string{true: "settled", false: "searching"}
	way := map[bool]string{true: "down", false: "up"}
	for _, s := range tr.Spans {
		d.Spans = append(d.Spans, span{kind[s.Settled], seconds(s.Start), seconds(s.End), s.Strokes, value(s.Rate), value(s.PathAngle.Degrees())})
	}
	for _, p := range tr.Pauses {
		d.Pauses = append(d.Pauses, pause{seconds(p.Start), seconds(p.End)})
	}
	for _, s := range tr.Strokes {
		d.Strokes = append(d.Strokes, stroke{
			Direction: way[s.Down], Start: seconds(s.Start), End: seconds(s.End), Length: value(s.Length),
			PathAngle: value(s.PathAngle.Degrees()), Skew: value(s.Skew.Degrees()), Curvature: value(s.Curvature),
			HeightStart: value(s.HeightStart), HeightEnd: value(s.HeightEnd), PeakSpeed: value(s.PeakSpeed),
			Reached: s.Reached, Struck: seconds(s.Struck), Settled: s.Settled, Tiny: s.Tiny, Changed: s.Changed, Hidden: s.Hidden,
			StringsReached: s.Strings, StruckDepth: known(s.StruckDepth), FollowThrough: known(s.FollowThrough), Shares: known5(s.Shares),
		})
	}
	for _, s := range tr.Strings {
		d.Strings = append(d.Strings, place{value(s.Across), value(s.Out)})
	}
	for _, o := range tr.Onsets {
		d.Onsets = append(d.Onsets, onset{seconds(o.T), value(o.Level), o.Stroke})
	}
	if tr.TouchString > 0 {
		at := seconds(tr.TouchAt)
		d.TouchS, d.TouchString = &at, tr.TouchString
	}
	d.FocalPX, d.Shares = tr.Focal, known5(tr.Shares)
	if t.Options.Arm || t.Options.Wrist {
		d.Carry = known(tr.Carry)
	}
	for _, u := range tr.Turns {
		d.Turns = append(d.Turns, turn{seconds(u.T), way[u.AfterDown], value(u.Across), value(u.Along), value(u.Out), u.Hidden})
	}
	for _, f := range tr.Faults {
		d.Faults = append(d.Faults, faults(f))
	}
	return d
}

// known returns v, or nil for what is not.
func known(v float64) *value {
	if math.IsNaN(v) {
		return nil
	}
	k := value(v)
	return &k
}

// known5 returns the shares of an arm, or nil without one.
func known5(s simulate.Shares) *shares {
	if s == (simulate.Shares{}) {
		return nil
	}
	return &shares{value(s.Shoulder), value(s.Elbow), value(s.Forearm), value(s.Wrist), value(s.Fingers)}
}

// onsetList returns the list of onsets as a table, in seconds of the film.
func onsetList(t *simulate.Take) []byte {
	b := []byte("time_s,level_db\n")
	for _, o := range t.Truth.Onsets {
		b = fmt.Appendf(b, "%.6f,%.2f\n", t.FilmTime(o.T), o.Level)
	}
	return b
}
