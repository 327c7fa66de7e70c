package main

import (
	"io"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability/estimate"
)

// readPlan reads the plan: the questions, the windows, and what is left out. It is
// written before anybody has seen the data.
func readPlan(text string) (cohort.Plan, error) {
	return cohort.ParsePlan(strings.NewReader(text))
}

// opener opens a file by its name.
type opener = func(name string) (io.ReadCloser, error)

// measure measures one take, whose export and settings open opens by their names. It
// depends on nothing but its arguments: takes may be measured at the same time, and on
// several machines.
func measure(take progress.Take, open opener, o cohort.Options) *cohort.Record {
	return cohort.Measure(take, open, o)
}

// keep adds a take to the study, which leaves it out by the first rule that it
// breaks, and writes the rows of one that stays.
func keep(study *cohort.Study, rows *cohort.RowWriter, rec *cohort.Record) (kept bool, err error) {
	if !study.Add(rec) {
		return false, nil
	}
	return true, rows.Write(rec)
}

// quantity is a number of an answer with its interval.
type quantity struct {
	What  string
	Value estimate.Value[float64]
}

// quantities are the numbers of an answer. The first one is the answer; it is per
// twice the predictor where that is a ratio.
func quantities(a cohort.Association, slope string) []quantity {
	return []quantity{
		{slope, a.Slope},
		{"Partial correlation, error taken out", a.Partial},
		{"Partial correlation as measured", a.Observed},
		{"The same of ranks", a.Rank},
	}
}

// reliabilities say which share of the differences between players in a window is
// none of error: 1 is all of it.
func reliabilities(a cohort.Association) []quantity {
	return []quantity{
		{"Predictor, early", a.PredictorReliability},
		{"Outcome, baseline", a.BaselineReliability},
		{"Outcome, late", a.LateReliability},
	}
}

// overPlayers are the measures that players have, each with its median over players
// of what is typical of each.
func overPlayers(groups []cohort.Group) []cohort.Group {
	absent := func(g cohort.Group) bool { return !g.Centre.Known() }
	return slices.DeleteFunc(slices.Clone(groups), absent)
}

// observe returns what the question sees of each player: the means of the early, the
// baseline and the late takes, a ratio as its logarithm.
func observe(study *cohort.Study, a cohort.Association) ([]cohort.Observation, error) {
	return study.Observations(a.Question)
}

// scatterFigure shows a point for each player, with a shape for each group.
func scatterFigure(players []player, line figure.Curve) figure.CohortScatter {
	f := figure.CohortScatter{Fitted: line}
	for _, p := range players {
		i := slices.IndexFunc(f.Groups, func(g figure.Players) bool { return g.Name == p.Group })
		if i < 0 {
			i = len(f.Groups)
			f.Groups = append(f.Groups, figure.Players{Name: p.Group})
		}
		g := &f.Groups[i]
		g.Names, g.X, g.Y = append(g.Names, p.Code), append(g.X, p.Early), append(g.Y, p.Gain)
	}
	return f
}
