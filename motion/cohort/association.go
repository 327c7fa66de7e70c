package cohort

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Association is how a measure of the early takes goes with the later change of
// an outcome, over players, at equal baseline. See the package comment for what
// is estimated.
type Association struct {
	Question
	// Primary says that it is the plan's one question.
	Primary bool
	// Players is the number of players in it, Groups that of the groups that
	// they are drawn in; without a cluster in the plan they are the same. Short
	// is the number of players left out for having too few days or takes, Zeros
	// that of takes left out for a scatter below the noise.
	Players, Groups, Short, Zeros int
	// Slope is by how much more the outcome changes, on its scale, for a player
	// whose predictor is greater by one unit of its scale, or twice as great
	// where that is a ratio. Error of measurement is taken out.
	Slope estimate.Value[float64]
	// Partial is the partial correlation of predictor and change given the
	// baseline, with the error of measurement taken out of all three. Observed
	// is the same with the error left in, Rank that of the ranks.
	Partial, Observed, Rank estimate.Value[float64]
	// P tests that Slope, and with it Partial, is zero; NaN where it is absent.
	// Adjusted is P for the primary question, and that of Holm over the
	// exploratory ones for these.
	P, Adjusted float64
	// Reliability of the three windows: the share of the variance over players
	// that is not error.
	PredictorReliability, BaselineReliability, LateReliability estimate.Value[float64]
	// Margin is that of the plan, and Answer says whether Partial lies inside
	// it, outside, or neither can be said, by its interval (progress.Equivalence).
	Margin float64
	Answer cycle.Answer
}

// minUnits is the number of players, or of groups of them, below which nothing
// is said about players.
const minUnits = estimate.MinBlocks

// Associations answers the plan's questions, the primary one first. Without any
// in the plan it answers DefaultQuestions, as exploratory ones.
func (s *Study) Associations() []Association {
	var list []Association
	if s.plan.Primary != (Question{}) {
		a := s.ask(s.plan.Primary)
		a.Primary, a.Adjusted = true, a.P
		list = append(list, a)
	}
	further := s.plan.Exploratory
	if len(list)+len(further) == 0 {
		further = DefaultQuestions()
	}
	first := len(list)
	var p []float64
	for _, q := range further {
		list = append(list, s.ask(q))
		p = append(p, list[len(list)-1].P)
	}
	for i, adjusted := range variability.Holm(nil, p) {
		list[first+i].Adjusted = adjusted
	}
	return list
}

// DefaultQuestions are those that are asked when a plan asks none: whether players
// whose strokes scatter more in time or in angle gain more, in what is settled and
// in rate. Scatter in time is that as a share of the stroke, since in seconds it
// falls as the rate rises. All of them are exploratory.
func DefaultQuestions() []Question {
	var qs []Question
	for _, outcome := range []string{"settled_share", "settled_notes_per_second"} {
		for _, predictor := range []string{"duration_scatter_share", "path_angle_scatter_deg"} {
			qs = append(qs, Question{predictor, outcome})
		}
	}
	return qs
}

// ask answers one question.
func (s *Study) ask(q Question) Association {
	predictor, _ := measure(q.Predictor)
	outcome, _ := measure(q.Outcome)
	a := Association{Question: q, P: math.NaN(), Adjusted: math.NaN(), Margin: s.plan.Margin}
	absent := func(code, why string) Association {
		for _, v := range []*estimate.Value[float64]{&a.Slope, &a.Partial, &a.Observed, &a.Rank, &a.PredictorReliability, &a.BaselineReliability, &a.LateReliability} {
			*v = estimate.Missing[float64](code, "association", why)
		}
		return a
	}
	for _, m := range []review.Measure{predictor, outcome} {
		if why := s.unlike(m); why != nil {
			return absent(why.Code, why.What+": "+why.Why)
		}
	}
	var list []subject
	list, a.Short, a.Zeros = s.subjects(predictor, outcome)
	of, g := groups(list)
	a.Players, a.Groups = len(list), g
	w := s.plan.Windows
	if g < minUnits {
		what := "players"
		if s.cluster >= 0 {
			what = "groups of players"
		}
		return absent("too few", fmt.Sprintf("%s with the %d %ss that the windows need: %d; this needs %d", what, w.Early+w.Baseline+w.Late, w.Unit, g, minUnits))
	}
	a.estimate(list, of, g, s.plan.Level, predictor.Scale == review.Ratio)
	return a
}

// estimate fills in what is estimated from the subjects.
func (a *Association) estimate(list []subject, of []int, g int, level float64, ratio bool) {
	m := newMoments(list, of, g)
	a.Observed = m.observed().partial(level)
	a.Rank = newMoments(ranked(list), of, g).observed().partial(level)
	for w, to := range map[int]*estimate.Value[float64]{early: &a.PredictorReliability, baseline: &a.BaselineReliability, late: &a.LateReliability} {
		*to = m.reliabilityValue(w, level)
	}
	a.Slope, a.P = m.slope(level)
	if ratio && a.Slope.Known() { // for each doubling
		a.Slope.Value, a.Slope.Low, a.Slope.High = a.Slope.Value*math.Ln2, a.Slope.Low*math.Ln2, a.Slope.High*math.Ln2
	}
	switch why := m.unclear(late); {
	case a.Slope.Absent != nil:
		a.Partial = estimate.Value[float64]{Absent: a.Slope.Absent}
	case why != nil:
		a.Partial = estimate.Value[float64]{Absent: why}
	default:
		a.Partial = m.partial(level)
	}
	a.Answer = progress.Equivalence(a.Partial, a.Margin)
}

var windowNames = [...]string{"the early takes' predictor", "the baseline", "the late outcome"}

// unclear says why the variance over players of a window is not told from error.
func (m *moments) unclear(w int) *estimate.Absence {
	switch {
	case m.own[w] == nil:
		return &estimate.Absence{Code: "repeats", What: windowNames[w], Why: "a window of one day or take does not show how much of " + windowNames[w] + " is error: plan two or more"}
	case !m.clear(w):
		return &estimate.Absence{Code: "noise", What: windowNames[w], Why: "the players' takes differ too much among themselves to tell the players apart by " + windowNames[w] + ": film more players, or more takes of each"}
	}
	return nil
}

// slope returns the slope of the change on the predictor given the baseline,
// errors taken out, with the interval of Fieller (1954) and the probability that
// belongs to it.
func (m *moments) slope(level float64) (estimate.Value[float64], float64) {
	for _, w := range []int{baseline, early} {
		if why := m.unclear(w); why != nil {
			return estimate.Value[float64]{Absent: why}, math.NaN()
		}
	}
	top, bottom := m.given(early, late), m.given(early, early)
	vt, vb, cov := m.cov(top.influence, top.influence), m.cov(bottom.influence, bottom.influence), m.cov(top.influence, bottom.influence)
	t := distuv.StudentsT{Sigma: 1, Nu: m.df()}
	q := t.Quantile(0.5 + level/2)
	// (top - x bottom)² ≤ q² Var(top - x bottom) is a x² - 2 b x + c ≤ 0
	a, b, c := bottom.value*bottom.value-q*q*vb, top.value*bottom.value-q*q*cov, top.value*top.value-q*q*vt
	root := b*b - a*c
	if !(a > 0) || !(bottom.value > tiny*stat.Mean(m.cross[early][early], nil)) || !(root >= 0) {
		return estimate.Missing[float64]("noise", "slope", "at equal baseline the players hardly differ in the predictor beyond its error: film more players, or more takes of each"), math.NaN()
	}
	p := 2 * t.CDF(-math.Abs(top.value)/math.Sqrt(vt))
	return estimate.Value[float64]{
		Value: top.value / bottom.value, Low: (b - math.Sqrt(root)) / a, High: (b + math.Sqrt(root)) / a, Level: level, N: m.n,
	}, p
}

// tiny is the share of a variance below which what is left of it is rounding.
const tiny = 1e-12

// partial returns the partial correlation of predictor and late outcome given the
// baseline, with an interval on the scale of Fisher's z.
func (m *moments) partial(level float64) estimate.Value[float64] {
	xy, xx, yy := m.given(early, late), m.given(early, early), m.given(late, late)
	if !(xx.value > tiny*stat.Mean(m.cross[early][early], nil)) || !(yy.value > tiny*stat.Mean(m.cross[late][late], nil)) {
		return estimate.Missing[float64]("noise", "partial correlation", "at equal baseline the players hardly differ beyond the error of measurement: film more players, or more takes of each")
	}
	scale := math.Sqrt(xx.value * yy.value)
	r := xy.value / scale
	if math.Abs(r) >= 1 {
		return estimate.Missing[float64]("noise", "partial correlation", "the players' takes differ too much among themselves: with the error taken out it comes out above 1; film more players, or more takes of each")
	}
	d := make([]float64, m.n)
	for i := range d {
		d[i] = (xy.influence[i]/scale - r/2*(xx.influence[i]/xx.value+yy.influence[i]/yy.value)) / (1 - r*r)
	}
	half := distuv.StudentsT{Sigma: 1, Nu: m.df()}.Quantile(0.5+level/2) * math.Sqrt(m.cov(d, d))
	z := math.Atanh(r)
	return estimate.Value[float64]{Value: r, Low: math.Tanh(z - half), High: math.Tanh(z + half), Level: level, N: m.n}
}

// reliabilityValue returns the reliability of a window with its interval.
func (m *moments) reliabilityValue(w int, level float64) estimate.Value[float64] {
	if m.own[w] == nil {
		return estimate.Value[float64]{Absent: m.unclear(w)}
	}
	r, se := m.reliability(w)
	if !(r < 1) {
		return estimate.Missing[float64]("noise", "reliability", "the units of "+windowNames[w]+" agree perfectly, or do not vary")
	}
	half := distuv.StudentsT{Sigma: 1, Nu: m.df()}.Quantile(0.5+level/2) * se
	return estimate.Value[float64]{Value: r, Low: 1 - (1-r)*math.Exp(half), High: 1 - (1-r)*math.Exp(-half), Level: level, N: m.n}
}

// ranked returns the subjects with the mean of each window replaced by its
// midrank over subjects.
func ranked(list []subject) []subject {
	out := make([]subject, len(list))
	for w := range 3 {
		x := make([]float64, len(list))
		for i := range list {
			x[i] = stat.Mean(list[i].window(w), nil)
		}
		for i, r := range midranks(x) {
			out[i].group = list[i].group
			*[...]*[]float64{&out[i].early, &out[i].baseline, &out[i].late}[w] = []float64{r}
		}
	}
	return out
}

// midranks returns the ranks of values from 1, equal ones sharing their mean.
func midranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case x[a] < x[b]:
			return -1
		case x[a] > x[b]:
			return 1
		}
		return a - b
	})
	ranks := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			ranks[k] = float64(i+j+1) / 2
		}
		i = j
	}
	return ranks
}
