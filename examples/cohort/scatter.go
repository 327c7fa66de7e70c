package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// player is a point of the figure: the predictor early, and by how much the outcome
// changed later, in per cent of a ratio and of a share.
type player struct {
	Code, Group string
	Early, Gain float64
}

// scatter gathers what the figure of a study's first question shows.
type scatter struct {
	cohort.Question
	predictor, outcome review.Measure
	windows            cohort.Windows
	column             int    // further column that groups players, -1 for none
	by                 string // its name
	players            []*diary
	byCode             map[string]*diary
}

// diary is what two measures were on the takes of a player, on the scales on which
// they are held against each other.
type diary struct {
	code, group string
	takes       []entry
}

type entry struct {
	date               time.Time
	predictor, outcome float64
}

// newScatter is for the first question of the plan. by names the further column of
// the list that groups players; without it the plan's does.
func newScatter(plan cohort.Plan, columns []string, by string) (*scatter, error) {
	plan = plan.Default()
	s := &scatter{windows: plan.Windows, column: -1, byCode: map[string]*diary{}}
	switch {
	case plan.Primary != (cohort.Question{}):
		s.Question = plan.Primary
	case len(plan.Exploratory) > 0:
		s.Question = plan.Exploratory[0]
	default:
		s.Question = cohort.DefaultQuestions()[0]
	}
	s.predictor, _ = measured.Named(s.Predictor)
	s.outcome, _ = measured.Named(s.Outcome)
	if by == "" {
		by = plan.Cluster
	}
	if by != "" {
		s.column = slices.IndexFunc(columns, func(name string) bool { return strings.EqualFold(strings.TrimSpace(name), strings.TrimSpace(by)) })
		if s.column < 0 {
			next := "it has none besides those that every list has"
			if len(columns) > 0 {
				next = "its further columns are " + measured.Join(columns)
			}
			return nil, cli.Input(fmt.Errorf("the list of takes has no column %q to group players by (-by)", by), next)
		}
		s.by = columns[s.column]
	}
	return s, nil
}

// add adds a take that the study keeps.
func (s *scatter) add(rec *cohort.Record) {
	p := s.byCode[rec.Player]
	if p == nil {
		p = &diary{code: strings.Clone(rec.Player)}
		if s.column >= 0 && s.column < len(rec.Extra) {
			p.group = strings.Clone(rec.Extra[s.column])
		}
		s.byCode[p.code] = p
		s.players = append(s.players, p)
	}
	e := entry{rec.Date, onScale(s.predictor, rec), onScale(s.outcome, rec)}
	if e.predictor == e.predictor && e.outcome == e.outcome {
		p.takes = append(p.takes, e)
	}
}

// onScale is the measure of a take, of a ratio its logarithm; NaN without one.
func onScale(m review.Measure, rec *cohort.Record) float64 {
	v := rec.Value(m.Name)
	switch {
	case !v.Known() || m.Scale == review.Ratio && !(v.Value > 0):
		return math.NaN()
	case m.Scale == review.Ratio:
		return math.Log(v.Value)
	}
	return v.Value
}

// means are those of the windows of a player, by the rules of cohort.Windows: the
// predictor early, the outcome at the baseline and late.
func (d *diary) means(w cohort.Windows) (early, baseline, late float64, ok bool) {
	undated := func(e entry) bool { return e.date.IsZero() }
	takes := slices.Clone(d.takes)
	if w.Unit == "day" || slices.ContainsFunc(takes, func(e entry) bool { return !undated(e) }) {
		takes = slices.DeleteFunc(takes, undated)
	}
	slices.SortStableFunc(takes, func(a, b entry) int { return a.date.Compare(b.date) })
	var x, y, n []float64 // of units, and of how many takes
	for i, t := range takes {
		last := len(x) - 1
		if w.Unit == "day" && i > 0 && day(t.date) == day(takes[i-1].date) {
			n[last]++
			x[last] += (t.predictor - x[last]) / n[last]
			y[last] += (t.outcome - y[last]) / n[last]
			continue
		}
		x, y, n = append(x, t.predictor), append(y, t.outcome), append(n, 1)
	}
	if len(x) < w.Early+w.Baseline+w.Late {
		return 0, 0, 0, false
	}
	return stat.Mean(x[:w.Early], nil), stat.Mean(y[w.Early:w.Early+w.Baseline], nil), stat.Mean(y[len(y)-w.Late:], nil), true
}

func day(t time.Time) [3]int {
	y, m, d := t.Date()
	return [3]int{y, int(m), d}
}

// shown is a value of the predictor as the figure shows it, gain a change of the
// outcome.
func (s *scatter) shown(x float64) float64 {
	if s.predictor.Scale == review.Ratio {
		return math.Exp(x)
	}
	return x
}

func (s *scatter) gain(d float64) float64 {
	switch s.outcome.Scale {
	case review.Ratio:
		return 100 * math.Expm1(d)
	case review.Share:
		return 100 * d
	}
	return d
}

// points are the players who have all windows, by group, and the line of the answer
// through their middle.
func (s *scatter) points(a cohort.Association) (players []player, line figure.Curve) {
	var xs, ys []float64 // on their scales
	for _, d := range s.players {
		if early, baseline, late, ok := d.means(s.windows); ok {
			xs, ys = append(xs, early), append(ys, late-baseline)
			players = append(players, player{d.code, d.group, s.shown(early), s.gain(late - baseline)})
		}
	}
	if len(xs) > 0 && a.Slope.Known() {
		line = s.line(a, xs, ys)
	}
	slices.SortStableFunc(players, func(a, b player) int { return strings.Compare(a.Group, b.Group) })
	return players, line
}

// line has the slope of the answer, and the bounds of its interval.
func (s *scatter) line(a cohort.Association, xs, ys []float64) (c figure.Curve) {
	per := 1.0 // of the predictor's scale
	if s.predictor.Scale == review.Ratio {
		per = math.Ln2
	}
	x0, y0 := stat.Mean(xs, nil), stat.Mean(ys, nil)
	const parts = 40
	for _, x := range floats.Span(make([]float64, parts+1), floats.Min(xs), floats.Max(xs)) {
		at := func(slope float64) float64 { return s.gain(y0 + slope*(x-x0)/per) }
		low, high := at(a.Slope.Low), at(a.Slope.High)
		c.X, c.Y = append(c.X, s.shown(x)), append(c.Y, at(a.Slope.Value))
		c.Low, c.High = append(c.Low, min(low, high)), append(c.High, max(low, high))
	}
	return c
}

// axes names the axes of the figure; the words for the measures stand beside it.
func (r *result) axes(f *figure.CohortScatter) {
	s := r.scatter
	f.XName, f.XUnit = "predictor in the first "+measured.Count(s.windows.Early, s.windows.Unit), r.inUnits(s.predictor.Unit)
	f.YName, f.YUnit = "later change of the outcome", r.inUnits(s.outcome.Unit)
	switch s.outcome.Scale {
	case review.Ratio:
		f.YUnit = "%"
	case review.Share:
		f.YUnit = "percentage points"
	}
}
