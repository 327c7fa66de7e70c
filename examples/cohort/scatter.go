package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
	groups             map[string]string
}

// newScatter is for the first question of the plan. by names the further column of
// the list that groups players; without it the plan's does.
func newScatter(plan cohort.Plan, columns []string, by string) (*scatter, error) {
	plan = plan.WithDefaults()
	s := &scatter{windows: plan.Windows, column: -1, groups: map[string]string{}}
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

// add keeps the group of the player of a take, by the first of the takes.
func (s *scatter) add(rec *cohort.Record) {
	if _, old := s.groups[rec.Player]; !old && s.column >= 0 && s.column < len(rec.Extra) {
		s.groups[strings.Clone(rec.Player)] = strings.Clone(rec.Extra[s.column])
	}
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
func (s *scatter) points(seen []cohort.Observation, a cohort.Association) (players []player, line figure.Curve) {
	var xs, ys []float64 // on their scales
	for _, o := range seen {
		xs, ys = append(xs, o.Early), append(ys, o.Late-o.Baseline)
		players = append(players, player{o.Player, s.groups[o.Player], s.shown(o.Early), s.gain(o.Late - o.Baseline)})
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
