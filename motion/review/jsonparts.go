package review

import (
	"slices"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

type jsonCamera struct {
	Scale jsonValue `json:"px_per_mm"`
	Roll  jsonValue `json:"roll_deg"`
	Raise jsonValue `json:"raise_deg"`
	Yaw   jsonValue `json:"yaw_deg"`
}

type jsonTouch struct {
	Start  rounded `json:"start_s"`
	End    rounded `json:"end_s"`
	Across rounded `json:"point_off_tip_across"`
	Out    rounded `json:"point_off_tip_out"`
	Error  rounded `json:"height_error"`
	Why    string  `json:"why,omitempty"`
}

type jsonCarry struct {
	Landmark  drive.Landmark `json:"landmark"`
	Point     string         `json:"point"`
	Carry     jsonValue      `json:"carry"`
	Lag       jsonValue      `json:"lag_deg"`
	Coherence rounded        `json:"coherence"`
	// OverTime holds stretches of carryStretch seconds that overlap by half.
	OverTime []jsonStretch `json:"over_time"`
}

type jsonStretch struct {
	Start rounded   `json:"start_s"`
	End   rounded   `json:"end_s"`
	Carry jsonValue `json:"carry"`
}

// carryStretch is long enough for an interval and short enough to follow a
// lesson.
const carryStretch = 2

type jsonShare struct {
	Joints  []drive.Joint `json:"joints"`
	Share   jsonValue     `json:"share"`
	Scatter jsonValue     `json:"scatter"`
	Why     string        `json:"why,omitempty"`
}

type jsonDrive struct {
	Shares      []jsonShare       `json:"shares"`
	Leading     []drive.Joint     `json:"leading"`
	SameLeading jsonValue         `json:"same_leading"`
	Strokes     int               `json:"strokes"`
	Misfit      rounded           `json:"misfit"`
	Roll        jsonValue         `json:"forearm_roll_deg"`
	Pitch       jsonValue         `json:"forearm_pitch_deg"`
	Used        []drive.Landmark  `json:"used"`
	Unused      map[string]string `json:"unused"`
	Notes       []string          `json:"notes"`
	Why         string            `json:"why,omitempty"`
}

type jsonSound struct {
	Onsets  int       `json:"onsets"`
	Extra   []rounded `json:"extra_onsets_s"`
	Lag     jsonValue `json:"lag_s"`
	Scatter rounded   `json:"scatter_s"`
	Ghosted []int     `json:"reached_not_struck"` // strokes, from 1
	Heard   []int     `json:"struck_not_reached"`
	Why     string    `json:"why,omitempty"`
}

func (r *Review) jsonCamera() *jsonCamera {
	if r.Card == nil {
		return nil
	}
	c := r.Card
	return &jsonCamera{value(c.Scale), inDegrees(c.Roll), inDegrees(c.Raise), inDegrees(c.Yaw)}
}

func inDegrees(v estimate.Value[circular.Angle]) jsonValue { return value(degrees(v)) }

func (r *Review) jsonTouch() *jsonTouch {
	t := r.Touch
	if t == nil {
		return nil
	}
	j := &jsonTouch{Start: rounded(t.From), End: rounded(t.To), Across: rounded(t.Across), Out: rounded(t.Out), Error: rounded(t.OutError)}
	if t.Absent != nil {
		j.Why = t.Absent.Why
	}
	return j
}

func (r *Review) jsonCarries() []jsonCarry {
	list := []jsonCarry{}
	for _, c := range r.Carries {
		j := jsonCarry{c.Landmark, c.Point, value(c.Value), inDegrees(c.Lag), rounded(c.Coherence), []jsonStretch{}}
		for _, at := range c.Over(carryStretch) {
			j.OverTime = append(j.OverTime, jsonStretch{rounded(at.Start), rounded(at.End), value(at.Value)})
		}
		list = append(list, j)
	}
	return list
}

func (r *Review) jsonDrive() *jsonDrive {
	d := r.Drive
	if d == nil {
		return nil
	}
	j := &jsonDrive{
		Shares: []jsonShare{}, Leading: []drive.Joint{}, SameLeading: value(d.SameLeading), Strokes: len(d.Strokes), Misfit: rounded(d.Misfit),
		Roll: inDegrees(d.Posture.Roll), Pitch: inDegrees(d.Posture.Pitch),
		Used: append([]drive.Landmark{}, d.Used...), Unused: map[string]string{}, Notes: append([]string{}, d.Notes...),
	}
	for l, why := range d.Unused {
		j.Unused[l.String()] = why
	}
	for _, s := range d.Shares {
		j.Shares = append(j.Shares, jsonShare{s.Joints, value(s.Value), value(s.Scatter), s.Why})
	}
	if d.Leading >= 0 {
		j.Leading = slices.Clone(d.Shares[d.Leading].Joints)
	}
	if d.Absent != nil {
		j.Why = d.Absent.Why
	}
	return j
}

func (r *Review) jsonSound() *jsonSound {
	m := r.Struck
	if m == nil {
		return nil
	}
	j := &jsonSound{Onsets: len(r.Options.Onsets), Extra: []rounded{}, Lag: value(m.Offset), Scatter: rounded(m.Scatter), Ghosted: []int{}, Heard: []int{}}
	for _, k := range m.Extra {
		j.Extra = append(j.Extra, rounded(r.Options.Onsets[k].Time))
	}
	if r.Contacts != nil {
		a := m.Agreement(r.Contacts)
		for _, i := range a.Ghosted {
			j.Ghosted = append(j.Ghosted, i+1)
		}
		for _, i := range a.SoundOnly {
			j.Heard = append(j.Heard, i+1)
		}
	}
	if m.Absent != nil {
		j.Why = m.Absent.Why
	}
	return j
}

type jsonSpan struct {
	Kind       string    `json:"kind"`
	Start      rounded   `json:"start_s"`
	End        rounded   `json:"end_s"`
	Strokes    int       `json:"strokes"`
	Rate       jsonValue `json:"notes_per_second"`
	PathAngle  jsonValue `json:"path_angle_deg"`
	Picture    jsonValue `json:"picture_angle_deg"`
	Carry      jsonValue `json:"carry"`
	Unevenness jsonValue `json:"unevenness"`
	// Reference is the distance to the reference motion, nil without one.
	Reference *jsonDistance `json:"reference,omitempty"`
}

type jsonDistance struct {
	Answer     cycle.Answer    `json:"answer"`
	Components []jsonComponent `json:"components"`
}

type jsonComponent struct {
	Name       string       `json:"name"`
	Unit       string       `json:"unit"`
	Difference jsonValue    `json:"difference"`
	Margin     rounded      `json:"margin"`
	Answer     cycle.Answer `json:"answer"`
	LeftOut    string       `json:"left_out,omitempty"`
}

type jsonFollowing struct {
	Note     string    `json:"note,omitempty"`
	First    jsonValue `json:"first_s"`
	Rate     jsonValue `json:"first_notes_per_second"`
	Total    rounded   `json:"total_s"`
	Longest  rounded   `json:"longest_s"`
	Unsaid   rounded   `json:"unsaid_s"`
	Censored bool      `json:"longest_lasts_to_the_end"`
}

func (r *Review) jsonSpans() []jsonSpan {
	list := []jsonSpan{}
	for _, s := range r.Spans {
		j := jsonSpan{
			Kind: s.Kind(), Start: rounded(s.Start), End: rounded(s.End), Strokes: s.Strokes,
			Rate: value(estimate.As[float64](s.Rate)), PathAngle: inDegrees(s.PathAngle), Picture: inDegrees(s.PictureAngle),
			Carry: value(s.Carry), Unevenness: value(s.unevenness()),
		}
		if d := s.Distance; d != nil {
			j.Reference = &jsonDistance{Answer: d.Answer, Components: []jsonComponent{}}
			for _, c := range d.Components {
				k := jsonComponent{Name: c.Name, Unit: c.Unit, Difference: value(c.Difference), Margin: rounded(c.Margin), Answer: c.Answer}
				if c.LeftOut != nil {
					k.LeftOut = c.LeftOut.Why
				}
				j.Reference.Components = append(j.Reference.Components, k)
			}
		}
		list = append(list, j)
	}
	return list
}

// unevenness is that of the span's mean cycle.
func (s Span) unevenness() estimate.Value[float64] {
	if a := s.Cycle.Absent; a != nil {
		return estimate.Missing[float64](a.Code, "unevenness", a.Why)
	}
	return s.Cycle.Evenness
}

func (r *Review) jsonFollowing() *jsonFollowing {
	c := r.Following
	if c == nil {
		return nil
	}
	return &jsonFollowing{r.Options.Reference.Note, value(c.First), value(c.FirstRate), rounded(c.Total), rounded(c.Longest), rounded(c.Unsaid), c.Censored}
}
