package cohort

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"github.com/plectrace/plectrace/motion/internal/strict"
	"github.com/plectrace/plectrace/motion/review"
)

// PlanSchema is the schema of a plan.
const PlanSchema = "plectrace/plan/1"

// Plan is what a study decides before it sees its data. It is kept as a small
// JSON file, and its digest is written into what comes of it.
type Plan struct {
	Schema string `json:"schema"`
	Title  string `json:"title,omitempty"`
	// Primary is the one question that the study is made for. Without one, all
	// that is asked is exploratory.
	Primary Question `json:"primary,omitzero"`
	// Exploratory are further questions, whose probabilities are adjusted for
	// their number.
	Exploratory []Question `json:"exploratory,omitempty"`
	Windows     Windows    `json:"windows,omitzero"`
	// Cluster names a further column of the list of takes that groups players,
	// such as their class: players of one group are then not taken to be
	// independent. Empty: each player stands alone.
	Cluster string `json:"cluster,omitempty"`
	// Margin is the partial correlation below which an association is too small
	// to matter, in (0, 1). Zero asks nothing.
	Margin     float64    `json:"margin,omitempty"`
	Exclusions Exclusions `json:"exclusions,omitzero"`
	// Level of the intervals. Zero means 0.95.
	Level float64 `json:"level,omitempty"`
}

// Question asks how the predictor, a measure in the early takes, goes with the
// later change of the outcome.
type Question struct {
	Predictor string `json:"predictor"`
	Outcome   string `json:"outcome"`
}

// Windows say which takes of a player serve what. They never share a take: of
// the player's units in order of time the first Early tell the predictor, the
// next Baseline where the outcome begins, and the last Late where it ends.
type Windows struct {
	// Unit is "day" (also when empty), which keeps the takes of a day together,
	// or "take". Takes of one day share its mood, so that windows of takes are
	// disjoint in name only where a day has several. A take without a date is of
	// no window; but where no take of a player has one, "take" goes by the order of
	// the list.
	Unit string `json:"unit,omitempty"`
	// Early, Baseline and Late are numbers of units. Zero means 2, the least
	// from which it shows how much a player's units differ by themselves.
	Early    int `json:"early,omitempty"`
	Baseline int `json:"baseline,omitempty"`
	Late     int `json:"late,omitempty"`
}

func (w Windows) withDefaults() Windows {
	if w.Unit == "" {
		w.Unit = "day"
	}
	for _, n := range []*int{&w.Early, &w.Baseline, &w.Late} {
		if *n == 0 {
			*n = 2
		}
	}
	return w
}

// WithDefaults returns p with its defaults filled in.
func (p Plan) WithDefaults() Plan {
	p.Schema = PlanSchema
	p.Windows = p.Windows.withDefaults()
	p.Exclusions = p.Exclusions.withDefaults()
	if p.Level == 0 {
		p.Level = 0.95
	}
	return p
}

// ParsePlan reads a plan. An unknown key, a value of the wrong kind, a measure
// that there is not and anything after the object are errors that name it.
func ParsePlan(r io.Reader) (Plan, error) {
	var p Plan
	if err := strict.Decode(r, &p); err != nil {
		return Plan{}, err
	}
	if p.Schema != "" && p.Schema != PlanSchema {
		return Plan{}, fmt.Errorf("schema is %q: this program reads %q", p.Schema, PlanSchema)
	}
	p.Schema = PlanSchema
	return p, p.validate()
}

// validate reports what cannot be.
func (p Plan) validate() error {
	for i, q := range append([]Question{p.Primary}, p.Exploratory...) {
		if i == 0 && q == (Question{}) {
			continue
		}
		if q.Predictor == q.Outcome {
			return fmt.Errorf("%s is asked against itself: name two measures", q.Predictor)
		}
		for _, name := range []string{q.Predictor, q.Outcome} {
			m, ok := measure(name)
			switch {
			case !ok:
				return fmt.Errorf("there is no measure %q: the codebook lists them all", name)
			case m.Scale == review.Axis:
				return fmt.Errorf("%s is the angle of a line, which has no more and less: ask about its scatter", name)
			}
		}
	}
	w := p.Windows.withDefaults()
	switch {
	case w.Unit != "day" && w.Unit != "take":
		return fmt.Errorf("unit is %q: write \"day\" or \"take\"", w.Unit)
	case min(w.Early, w.Baseline, w.Late) < 1:
		return fmt.Errorf("early, baseline and late are %d, %d and %d: each needs 1 or more", w.Early, w.Baseline, w.Late)
	case !(p.Margin >= 0 && p.Margin < 1):
		return fmt.Errorf("margin is %g: give a partial correlation between 0 and 1", p.Margin)
	case !(p.Level >= 0 && p.Level < 1):
		return fmt.Errorf("level is %g: give a share such as 0.95", p.Level)
	}
	for _, c := range []struct {
		name string
		x    float64
	}{{"max_lost", p.Exclusions.MaxLost}, {"min_samples_per_stroke", p.Exclusions.MinPerStroke}, {"min_samples_per_second", p.Exclusions.MinSampleHz}} {
		if math.IsNaN(c.x) || math.IsInf(c.x, 0) {
			return fmt.Errorf("%s is %g: give a number", c.name, c.x)
		}
	}
	return nil
}

// JSON returns the plan as a file, with its defaults written out.
func (p Plan) JSON() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(p.WithDefaults())
	return b.Bytes(), err
}

// Digest returns a short digest of the plan with its defaults: the first twelve
// hexadecimal digits of the SHA-256 of its JSON form. Written down before the
// data are seen, it shows later that the plan is the same.
func (p Plan) Digest() string {
	data, err := p.JSON()
	if err != nil {
		return "" // not a number somewhere; validate says so
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:6])
}

// measure returns the measure of that name.
func measure(name string) (review.Measure, bool) {
	if i, ok := places[name]; ok {
		return table[i], true
	}
	return review.Measure{}, false
}

// table is that of the measures, places where each stands in it.
var table, places = func() ([]review.Measure, map[string]int) {
	t, m := review.Measures(), map[string]int{}
	for i := range t {
		m[t[i].Name] = i
	}
	return t, m
}()
