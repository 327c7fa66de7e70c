package main

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

//go:embed steps.go
var steps notebook.Source

// page is the study for a reader. lead says what it is, if that needs saying.
func page(r *result, lead string) *notebook.Doc {
	plan := r.Plan()
	title := plan.Title
	if title == "" {
		title = "Study of many players"
	}
	d := notebook.New(title)
	d.Lead = fmt.Sprintf("%s, %s, plan %s", measured.Count(r.Players(), "player"), measured.Count(kept(r.Study), "take"), plan.Digest())
	if lead != "" {
		d.Section("What this is").Text(lead)
	}
	if n := painful(r.Study); n > 0 {
		d.Section("Players first").Caution(fmt.Sprintf("In %s a player felt pain", measured.Count(n, "take")),
			"These takes are left out of the numbers. Stop, rest, and see a clinician if it stays or returns. They stand in exclusions.csv with the rule \"pain\": speak with the players before anything else.")
	}
	planned(d.Section("The plan"), plan)
	flow(d.Section("Takes in, takes left out"), r.Study)
	answers(d.Section("Early variability against later change"), r)
	summaries(d.Section("The measures over players"), r)
	d.Section("How to go on").List(
		"rows.csv has one measurement a line, for a statistics program. In a mixed model the player is a random effect, and the session within the player; the class too, where players were drawn in classes.",
		"codebook.csv says what each measure is, groups.csv and associations.csv hold what stands here with more digits, and exclusions.csv names every take that is left out.",
		fmt.Sprintf("plan.json is the plan with every default written out. Its digest is %s; written down before the data were seen, it shows that the plan has not changed.", plan.Digest()),
	)
	d.Care("An association over players says nothing of one player, and no cause.")
	return d
}

// planned shows the questions of the plan.
func planned(s *notebook.Section, plan cohort.Plan) {
	var questions []string
	if plan.Primary != (cohort.Question{}) {
		questions = append(questions, fmt.Sprintf("The primary question: how %s early goes with the later change of %s.", plan.Primary.Predictor, plan.Primary.Outcome))
	}
	for _, q := range plan.Exploratory {
		questions = append(questions, fmt.Sprintf("Exploratory: %s and %s.", q.Predictor, q.Outcome))
	}
	if questions == nil {
		questions = []string{"The plan names no question, so those that every study is asked are asked."}
	}
	if plan.Margin > 0 {
		questions = append(questions, fmt.Sprintf("A partial correlation inside %g either way would be too small to matter.", plan.Margin))
	}
	if plan.Cluster != "" {
		questions = append(questions, fmt.Sprintf("Players come in groups, by the column %s.", plan.Cluster))
	}
	w := plan.Windows
	s.Step(steps.Of(readPlan), notebook.List{Items: questions}, notebook.Text(fmt.Sprintf(
		"The predictor comes from the first %d %ss of a player, the baseline of the outcome from the next %d, where it ends from the last %d. They share no take, so that the luck of one take cannot make an association.",
		w.Early, w.Unit, w.Baseline, w.Late)))
}

// flow tells how many takes each rule left out.
func flow(s *notebook.Section, study *cohort.Study) {
	t := notebook.Table{
		Caption: "Each take is left out by the first rule that it breaks, in this order. The thresholds are common practice unless the plan says otherwise.",
		Head:    []string{"Rule", "Left out", "Left"},
		Numeric: []bool{false, true, true},
	}
	for _, step := range study.Flow() {
		t.Rows = append(t.Rows, []string{measured.Upper(step.Why), strconv.Itoa(step.Out), strconv.Itoa(step.Left)})
	}
	t.Rows[0][1] = ""
	s.Step(steps.Of(measure, keep), t)
	s.List(study.Notes()...)
}

// answers is the part on the questions of the plan.
func answers(s *notebook.Section, r *result) {
	list := r.associations()
	s.Text("What takes of one player differ by is taken out, and players are compared at equal baseline.")
	if !list[0].Primary {
		s.Text("No plan named one question beforehand, so all of this is exploratory: it can suggest a question for another study, and settles none.")
	}
	for i, a := range list {
		kind := "exploratory"
		if a.Primary {
			kind = "the primary question"
		}
		s.Heading(fmt.Sprintf("%s, and the later change of: %s (%s)", r.title(a.Predictor), measured.Lower(r.title(a.Outcome)), kind))
		s.Text(verdict(a))
		add := func(code notebook.Listing, results ...notebook.Block) {
			if i == 0 {
				s.Step(code, results...)
			} else {
				s.Add(results...)
			}
		}
		if f, ok := picture(r, a); ok && i == 0 {
			s.Step(steps.Of(observe, scatterFigure), f)
		}
		caption := fmt.Sprintf("%s; %s left out for too few %ss.", measured.Count(a.Players, "player"), measured.Count(a.Short, "player"), r.Plan().Windows.Unit)
		if a.Zeros > 0 {
			caption += fmt.Sprintf(" %s left out for a scatter below the noise.", measured.Count(a.Zeros, "take"))
		}
		add(steps.Of(quantities, reliabilities),
			numbers(caption, "What", quantities(a, slopeOf(a))),
			numbers("Reliability: the share of the differences between players that is not error.", "Window", reliabilities(a)))
		if a.Observed.Known() && a.Partial.Known() && i == 0 {
			s.Text("The answer is that of the first line. Correlations as measured hold what takes differ by without a reason, which pulls them towards zero, and a baseline that is measured with error, which pulls them away from it: they are no test. Where the error is taken out of few players its interval is wide.")
		}
	}
}

// numbers is a table of numbers with their intervals.
func numbers(caption, what string, list []quantity) notebook.Table {
	t := notebook.Table{Caption: caption, Head: []string{what, "Value", "Interval"}, Numeric: []bool{false, true, true}}
	for _, q := range list {
		t.Rows = append(t.Rows, append([]string{q.What}, value(q.Value)...))
	}
	return t
}

// picture shows the players of the first question; not ok without any.
func picture(r *result, a cohort.Association) (f notebook.Figure, ok bool) {
	seen, err := observe(r.Study, a)
	if err != nil || a.Players == 0 {
		return f, false // the answer says why
	}
	players, line := r.scatter.points(seen, a)
	of := scatterFigure(players, line)
	r.axes(&of)
	predictor, outcome := measured.Lower(r.title(a.Predictor)), measured.Lower(r.title(a.Outcome))
	f = notebook.Figure{
		Name: "players", Of: of,
		Alt:     fmt.Sprintf("%s as points: the early predictor across, the later change of the outcome upward", measured.Count(len(players), "player")),
		Caption: fmt.Sprintf("A point for each player, as measured: across, early, %s; upward, by how much it changed later, %s.", predictor, outcome),
	}
	if r.scatter.by != "" {
		f.Caption += fmt.Sprintf(" Shapes go by the column %s.", r.scatter.by)
	}
	if len(line.X) > 0 {
		f.Caption += " The line has the slope of the answer, at equal baseline and with the error of measurement taken out, with its interval: it may be steeper than the points look."
	}
	return f, true
}

// verdict says what an answer comes to.
func verdict(a cohort.Association) string {
	if !a.Slope.Known() {
		if a.Slope.Absent == nil {
			return "Not estimated."
		}
		return "It cannot be said: " + a.Slope.Absent.Why + "."
	}
	direction := "more"
	if a.Slope.Value < 0 {
		direction = "less"
	}
	var text string
	p := fmt.Sprintf("p = %s", probability(a.P))
	if !a.Primary {
		p += fmt.Sprintf(", %s adjusted for the number of exploratory questions", probability(a.Adjusted))
	}
	if a.Adjusted < 0.05 {
		text = fmt.Sprintf("At equal baseline, players with a greater predictor changed %s (%s). That is an association over players, not a cause.", direction, p)
	} else {
		text = fmt.Sprintf("An association is not shown (%s). That does not show that there is none: see the interval.", p)
	}
	if a.Margin > 0 {
		switch a.Answer {
		case cycle.Inside:
			text += fmt.Sprintf(" The partial correlation lies inside the margin of %g.", a.Margin)
		case cycle.Outside:
			text += fmt.Sprintf(" The partial correlation lies outside the margin of %g.", a.Margin)
		default:
			text += fmt.Sprintf(" Whether the partial correlation lies inside the margin of %g cannot be said.", a.Margin)
		}
	}
	return text
}

// slopeOf says what a slope is per, by the scales of the measures.
func slopeOf(a cohort.Association) string {
	what := "Change of the outcome"
	if scaleOf(a.Outcome) == review.Ratio {
		what += "'s logarithm"
	}
	if scaleOf(a.Predictor) == review.Ratio {
		return what + " for a predictor twice as great"
	}
	return what + " for a predictor greater by 1"
}

// summaries is the table of the measures over players.
func summaries(s *notebook.Section, r *result) {
	centres := notebook.Table{
		Caption: "Median over players of what is typical of each: players are the units, not takes. The interval tells what players differ by. It does not hold what may be wrong in all takes alike, such as how far the camera's raise and the strokes' skew turn the path angle; the intervals in rows.csv do.",
		Head:    []string{"Measure", "Players", "Median", "Interval"},
		Numeric: []bool{false, true, true, true},
	}
	spreads := notebook.Table{
		Caption: "How much players differ, and the takes of one: standard deviations, in % those of the logarithm. ICC is the share of the variance of single takes that lies between players.",
		Head:    []string{"Measure", "Between", "Within", "ICC"},
		Numeric: []bool{false, true, true, true},
	}
	for _, g := range overPlayers(r.groups()) {
		title := r.title(g.Measure)
		scale, unit := 1.0, ""
		if scaleOf(g.Measure) == review.Ratio {
			scale, unit = 100, " %"
		}
		spread := func(x float64) string {
			if math.IsNaN(x) {
				return ""
			}
			return measured.Digits(scale*x, 2) + unit
		}
		centres.Rows = append(centres.Rows, append([]string{title, strconv.Itoa(g.Players)}, value(g.Centre)...))
		spreads.Rows = append(spreads.Rows, []string{title, spread(g.Between), spread(g.Within), value(g.ICC)[0]})
	}
	if len(centres.Rows) == 0 {
		s.Text("No measure could be had.")
	} else {
		s.Step(steps.Of(overPlayers), centres, spreads)
	}
	var reasons measured.Reasons
	for _, g := range r.groups() {
		if a := g.Centre.Absent; a != nil && a.Code != "none" {
			reasons.Add(a.Why, measured.Lower(r.title(g.Measure)))
		}
	}
	s.List(reasons.Sentences()...)
}

// summary is the study in a few lines.
func summary(s *cohort.Study, associations []cohort.Association) []string {
	steps := s.Flow()
	lines := []string{fmt.Sprintf("%s of %d kept, from %s; %d left out%s.", measured.Count(kept(s), "take"), steps[0].Left, measured.Count(s.Players(), "player"), steps[0].Left-kept(s), byRule(steps))}
	if n := painful(s); n > 0 {
		lines = append(lines, fmt.Sprintf("In %s a player felt pain: stop, rest, and see a clinician if it stays. Speak with the players first.", measured.Count(n, "take")))
	}
	lines = append(lines, s.Notes()...)
	for _, a := range associations {
		if a.Primary {
			lines = append(lines, fmt.Sprintf("Primary question, %s against the later change of %s: %s", a.Predictor, a.Outcome, verdict(a)))
		}
	}
	return lines
}

func byRule(steps []cohort.Step) string {
	var parts []string
	for _, step := range steps[1:] {
		if step.Out > 0 {
			parts = append(parts, fmt.Sprintf("%s %d", step.Rule, step.Out))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

func kept(s *cohort.Study) int {
	steps := s.Flow()
	return steps[len(steps)-1].Left
}

// painful is the number of takes left out for pain.
func painful(s *cohort.Study) int {
	for _, step := range s.Flow() {
		if step.Rule == "pain" {
			return step.Out
		}
	}
	return 0
}

// title is a measure's title with its unit.
func (r *result) title(name string) string {
	m, _ := measured.Named(name)
	return measured.Title(m.Title, r.inUnits(m.Unit))
}

func scaleOf(name string) review.Scale {
	m, _ := measured.Named(name)
	return m.Scale
}

// value is a value and its interval in two cells.
func value(v estimate.Value[float64]) []string {
	if !v.Known() {
		return []string{"not known", ""}
	}
	d := measured.Decimals(v)
	return []string{measured.Fixed(v.Value, d), measured.Range(v, d)}
}

// probability is one of two significant digits.
func probability(p float64) string {
	if p < 0.0001 {
		return "less than 0.0001"
	}
	return strconv.FormatFloat(p, 'g', 2, 64)
}
