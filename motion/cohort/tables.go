package cohort

import (
	"io"
	"slices"
	"strconv"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory/cells"
	"github.com/plectrace/plectrace/variability/estimate"
)

// WriteCodebook writes what the measures of the rows are, a line each: name,
// title, unit ("unit" stands for that of lengths), what n counts, which way
// practice aims, the scale on which two values are held against each other, and
// how alike takes must be filmed for that.
func WriteCodebook(w io.Writer) error {
	better := map[review.Better]string{review.Neither: "neither", review.More: "more", review.Less: "less"}
	scale := map[review.Scale]string{review.Difference: "difference", review.Ratio: "ratio", review.Share: "share", review.Axis: "axis"}
	alike := map[review.Alike]string{review.SameSetup: "same set-up", review.SameView: "same view", review.AnyView: "any view"}
	c := cells.NewWriter(w)
	c.Write([]string{"measure", "title", "unit", "n_counts", "better", "scale", "compares_within"})
	for _, m := range table {
		c.Write([]string{m.Name, m.Title, m.Unit, m.Of, better[m.Better], scale[m.Scale], alike[m.Alike]})
	}
	return c.Flush()
}

// Exclusions returns the takes that are left out, in the order in which they
// came, each once.
func (s *Study) Exclusions() []Exclusion { return slices.Clone(s.exclusions) }

// WriteExclusions writes the log of the takes that are left out, a line each.
func (s *Study) WriteExclusions(w io.Writer) error {
	c := cells.NewWriter(w)
	c.Write([]string{"player", "date", "session", "take", "file", "rule", "value", "threshold"})
	for _, e := range s.exclusions {
		t := e.Take
		t.Extra = nil
		of, err := listCells(t, nil)
		if err != nil {
			return err
		}
		c.Write(append(of[:5:5], e.Rule, e.Value, e.Threshold))
	}
	return c.Flush()
}

// Step is a step of the flow of takes through a study.
type Step struct {
	// Rule and Why are those of the rule, "" for the first step, which counts the
	// takes that came in.
	Rule, Why string
	// Out is the number of takes that the step leaves out, Left that of those
	// that are left after it.
	Out, Left int
}

// Flow returns how many takes came in, how many each rule left out, in the order
// of the rules, and how many were left: the numbers of a flow diagram as studies
// report it (STROBE, item 13).
func (s *Study) Flow() []Step {
	left := s.in
	steps := []Step{{"", "takes in the list", 0, left}}
	for i, r := range s.rules {
		left -= s.count[i]
		steps = append(steps, Step{r.Name, r.Why, s.count[i], left})
	}
	return steps
}

// valueCells are estimate, low, high, level and the reason for none.
func valueCells(v estimate.Value[float64]) []string {
	if !v.Known() {
		why := ""
		if v.Absent != nil {
			why = v.Absent.Why
		}
		return []string{"", "", "", "", why}
	}
	level := ""
	if v.Level > 0 {
		level = number(v.Level)
	}
	return []string{number(v.Value), number(v.Low), number(v.High), level, ""}
}

// WriteGroups writes the summary of every measure, a line each.
func (s *Study) WriteGroups(w io.Writer, groups []Group) error {
	c := cells.NewWriter(w)
	c.Write([]string{"measure", "players", "takes", "zeros", "median", "low", "high", "level", "why",
		"sd_between", "sd_within", "icc", "icc_low", "icc_high", "icc_level", "icc_why", "plan"})
	for _, g := range groups {
		line := []string{g.Measure, strconv.Itoa(g.Players), strconv.Itoa(g.Takes), strconv.Itoa(g.Zeros)}
		line = append(append(line, valueCells(g.Centre)...), number(g.Between), number(g.Within))
		c.Write(append(append(line, valueCells(g.ICC)...), s.plan.Digest()))
	}
	return c.Flush()
}

// WriteAssociations writes the answers to the questions, a line for each
// quantity of each: what is "slope", "partial", "observed", "rank" or one of the
// reliabilities. p stands with the slope, which it tests.
func (s *Study) WriteAssociations(w io.Writer, list []Association) error {
	c := cells.NewWriter(w)
	c.Write([]string{"predictor", "outcome", "kind", "what", "estimate", "low", "high", "level", "why",
		"p", "p_adjusted", "margin", "answer", "players", "groups", "left_out", "zeros", "plan"})
	for _, a := range list {
		kind := "exploratory"
		if a.Primary {
			kind = "primary"
		}
		for _, q := range a.quantities() {
			p, adjusted, margin, answer := "", "", "", ""
			if q.tested {
				p, adjusted = number(a.P), number(a.Adjusted)
			}
			if q.judged && a.Margin > 0 {
				margin, answer = number(a.Margin), a.Answer.String()
			}
			line := append([]string{a.Predictor, a.Outcome, kind, q.name}, valueCells(q.value)...)
			c.Write(append(line, p, adjusted, margin, answer, strconv.Itoa(a.Players), strconv.Itoa(a.Groups), strconv.Itoa(a.Short), strconv.Itoa(a.Zeros), s.plan.Digest()))
		}
	}
	return c.Flush()
}

type quantity struct {
	name           string
	value          estimate.Value[float64]
	tested, judged bool
}

func (a *Association) quantities() []quantity {
	return []quantity{
		{"slope", a.Slope, true, false},
		{"partial", a.Partial, false, true},
		{"observed", a.Observed, false, false},
		{"rank", a.Rank, false, false},
		{"predictor_reliability", a.PredictorReliability, false, false},
		{"baseline_reliability", a.BaselineReliability, false, false},
		{"late_reliability", a.LateReliability, false, false},
	}
}
