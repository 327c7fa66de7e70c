package review

import (
	"encoding/json"
	"io"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Schema is the schema of review.json. Keys are only ever added.
const Schema = "plectrace/review/1"

var nan = math.NaN()

// rounded is a number of at most six significant digits; NaN is null.
type rounded float64

func (x rounded) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, float64(x), 'g', 6, 64), nil
}

type jsonValue struct {
	Value rounded `json:"value"`
	Low   rounded `json:"low"`
	High  rounded `json:"high"`
	Level rounded `json:"level"`
	N     int     `json:"n"`
	Why   string  `json:"why,omitempty"`
}

func value(v estimate.Value[float64]) jsonValue {
	if !v.Known() {
		j := jsonValue{Value: rounded(nan), Low: rounded(nan), High: rounded(nan), Level: rounded(nan)}
		if v.Absent != nil {
			j.Why = v.Absent.Why
		}
		return j
	}
	return jsonValue{Value: rounded(v.Value), Low: rounded(v.Low), High: rounded(v.High), Level: rounded(v.Level), N: v.N}
}

type jsonMeasure struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Unit  string `json:"unit"`
	jsonValue
}

type jsonChange struct {
	Name       string    `json:"name"`
	Unit       string    `json:"unit"`
	Difference jsonValue `json:"difference"`
	Ratio      jsonValue `json:"ratio_of_spreads"`
	// Trimmed and Robust are the same of trimmed means and of scaled median
	// deviations, which wild strokes hardly move.
	Trimmed jsonValue `json:"difference_of_trimmed_means"`
	Robust  jsonValue `json:"ratio_of_robust_spreads"`
	Warning string    `json:"warning,omitempty"`
}

type jsonEdit struct {
	Point string  `json:"point"`
	Rule  string  `json:"rule"`
	Start rounded `json:"start_s"`
	End   rounded `json:"end_s"`
	N     int     `json:"samples"`
}

type jsonMissing struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

type jsonReview struct {
	Schema string `json:"schema"`
	Source string `json:"source"`
	Unit   string `json:"unit"`
	Rate   struct {
		Take     jsonValue `json:"notes_per_second"`
		Settled  jsonValue `json:"settled_notes_per_second"`
		Spectral jsonValue `json:"spectral_notes_per_second"`
	} `json:"rate"`
	PathAngle    jsonValue      `json:"path_angle_deg"`
	Clearing     string         `json:"clearing"`
	SettledShare jsonValue      `json:"settled_share"`
	Strokes      int            `json:"strokes"`
	SampleHz     rounded        `json:"samples_per_second"`
	PerStroke    rounded        `json:"samples_per_stroke"`
	Noise        rounded        `json:"noise"`
	UnitsPerMM   rounded        `json:"source_units_per_mm"`
	Measures     []jsonMeasure  `json:"measures"`
	EarlyLate    []jsonChange   `json:"early_late"`
	Edits        []jsonEdit     `json:"edits"`
	Missing      []jsonMissing  `json:"missing"`
	Notes        []string       `json:"notes"`
	Questions    []string       `json:"questions"`
	Camera       *jsonCamera    `json:"camera,omitempty"`
	Touch        *jsonTouch     `json:"touch,omitempty"`
	Carries      []jsonCarry    `json:"carries"`
	Drive        *jsonDrive     `json:"drive,omitempty"`
	Sound        *jsonSound     `json:"sound,omitempty"`
	Spans        []jsonSpan     `json:"spans"`
	Reference    *jsonFollowing `json:"reference,omitempty"`
	Pace         *jsonPace      `json:"pace,omitempty"`
	History      jsonHistory    `json:"settling_history"`
	Exploring    jsonExploring  `json:"searching"`
	Setup        Setup          `json:"setup"`
	Options      jsonOptions    `json:"options"`
}

type jsonOptions struct {
	Clean    trajectory.CleanOptions `json:"clean"`
	Motion   motion.Options          `json:"motion"`
	Settling jsonTolerances          `json:"settling"`
	Seed     uint64                  `json:"seed"`
}

type jsonTolerances struct {
	Angle    rounded `json:"angle_deg"`
	Duration rounded `json:"duration"`
	Length   rounded `json:"length"`
	MinSpan  rounded `json:"min_span_s"`
	Dwell    rounded `json:"dwell_s"`
}

func (o Options) forJSON() jsonOptions {
	tol := o.Settling.Tolerances
	return jsonOptions{o.Clean, o.Motion, jsonTolerances{
		rounded(tol.Angle.Degrees()), rounded(tol.Duration), rounded(tol.Length), rounded(tol.MinSpan), rounded(o.Settling.Dwell)}, o.Seed}
}

// WriteJSON writes the review as one JSON object with "schema": Schema.
// Numbers have at most six significant digits; one that could not be had is
// null, with the reason beside it.
func (r *Review) WriteJSON(w io.Writer) error {
	j := jsonReview{
		Schema: Schema, Source: r.Source, Unit: r.Unit,
		PathAngle: value(r.Value("path_angle_deg")), Clearing: r.Clearing.Clearing.String(),
		SettledShare: value(r.Value("settled_share")), Strokes: len(r.Motion.Strokes),
		SampleHz: rounded(r.Motion.SampleHz), PerStroke: rounded(r.Motion.SamplesPerStroke),
		Noise: rounded(r.Motion.Noise), UnitsPerMM: rounded(r.PerMM()),
		Measures: []jsonMeasure{}, EarlyLate: []jsonChange{}, Edits: []jsonEdit{}, Missing: []jsonMissing{},
		Notes: append([]string{}, r.Notes...), Questions: append([]string{}, r.Questions...), Setup: r.Setup,
		Camera: r.jsonCamera(), Touch: r.jsonTouch(), Carries: r.jsonCarries(), Drive: r.jsonDrive(), Sound: r.jsonSound(),
		Spans: r.jsonSpans(), Reference: r.jsonFollowing(),
		Pace: r.jsonPace(), History: r.jsonHistory(), Exploring: r.jsonExploring(),
	}
	j.Options = r.Options.forJSON()
	j.Rate.Take = value(r.Value("notes_per_second"))
	j.Rate.Settled = value(r.Value("settled_notes_per_second"))
	j.Rate.Spectral = value(r.Value("spectral_notes_per_second"))
	for i, m := range measures {
		j.Measures = append(j.Measures, jsonMeasure{m.Name, m.Title, r.UnitOf(m), value(r.Values[i])})
	}
	for _, c := range r.EarlyLate {
		j.EarlyLate = append(j.EarlyLate, jsonChange{c.Name, c.Unit, value(c.Difference), value(c.Ratio), value(c.Trimmed), value(c.RobustRatio), c.Warning})
	}
	for _, e := range r.Edits {
		j.Edits = append(j.Edits, jsonEdit{e.Point, e.Rule.String(), rounded(e.StartTime), rounded(e.EndTime), e.Samples()})
	}
	for _, m := range r.Missing {
		j.Missing = append(j.Missing, jsonMissing{m.What, m.Why})
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(j)
}
