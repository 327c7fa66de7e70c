package cohort

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Study gathers the takes of many players: what is kept, what is left out and
// why, and of what is kept one number per measure (about half a kilobyte a take),
// so that thousands of takes fit into little memory.
type Study struct {
	plan       Plan
	rules      []Rule
	cluster    int // further column, -1 for none
	exclusions []Exclusion
	count      []int // takes left out, by rule
	in         int

	players  []player
	byPlayer map[string]int
	names    map[string]int // of set-ups, views and units
	torn     []string       // players that stand in two groups, and how
}

type player struct {
	code, group string
	takes       []kept
}

// kept is what is kept of a take.
type kept struct {
	date              time.Time // as clock and calendar of the place showed it
	setup, view, unit int
	values            []float64 // in the order of the table, NaN for absent
}

// NewStudy returns a study with no takes yet. columns are the further columns of
// its list of takes; rules are those of the plan's Exclusions if nil.
func NewStudy(p Plan, columns []string, rules []Rule) (*Study, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	s := &Study{plan: p.WithDefaults(), rules: rules, cluster: -1, byPlayer: map[string]int{}, names: map[string]int{"": 0}}
	if s.rules == nil {
		s.rules = s.plan.Exclusions.Rules()
	}
	s.count = make([]int, len(s.rules))
	if c := s.plan.Cluster; c != "" {
		s.cluster = slices.IndexFunc(columns, func(name string) bool { return strings.EqualFold(strings.TrimSpace(name), strings.TrimSpace(c)) })
		if s.cluster < 0 {
			return nil, fmt.Errorf("the list of takes has no column %q, which the plan groups players by (cluster)", c)
		}
	}
	return s, nil
}

// Plan returns the plan with its defaults filled in.
func (s *Study) Plan() Plan { return s.plan }

// Add adds a take and reports whether it is kept. One that is not stands in
// Exclusions with the first rule that it breaks.
func (s *Study) Add(rec *Record) bool {
	s.in++
	for i, rule := range s.rules {
		if out, value, threshold := rule.Test(rec); out {
			s.count[i]++
			s.exclusions = append(s.exclusions, Exclusion{rec.Take, rule.Name, value, threshold})
			return false
		}
	}
	k := kept{date: wall(rec.Date), setup: s.intern(rec.Setup), view: s.intern(rec.View), unit: s.intern(rec.Unit), values: make([]float64, len(table))}
	for i := range k.values {
		k.values[i] = math.NaN()
	}
	for _, r := range rec.Rows {
		if i, ok := places[r.Measure]; ok && r.Value.Known() {
			k.values[i] = rounded(r.Value.Value)
		}
	}
	group := ""
	if s.cluster >= 0 && s.cluster < len(rec.Extra) {
		group = rec.Extra[s.cluster]
	}
	at, old := s.byPlayer[rec.Player]
	if !old {
		at = len(s.players)
		s.byPlayer[strings.Clone(rec.Player)] = at
		s.players = append(s.players, player{code: strings.Clone(rec.Player), group: strings.Clone(group)})
	}
	p := &s.players[at]
	if s.cluster >= 0 && p.group != group {
		s.torn = append(s.torn, fmt.Sprintf("Player %s stands in %q and in %q: the first counts.", p.code, p.group, group))
	}
	p.takes = append(p.takes, k)
	return true
}

// rounded is x with the six digits that rows have: what comes of a study does not
// depend on whether it was read from them.
func rounded(x float64) float64 {
	y, err := strconv.ParseFloat(number(x), 64)
	if err != nil {
		return math.NaN() // no number
	}
	return y
}

// mostTorn is the number of players in two groups that are named one by one.
const mostTorn = 20

// Notes are what the keeper of the list should look at.
func (s *Study) Notes() []string {
	notes := slices.Clone(s.torn[:min(len(s.torn), mostTorn)])
	if more := len(s.torn) - len(notes); more > 0 {
		notes = append(notes, fmt.Sprintf("So it is with %d further takes: write one group for each player.", more))
	}
	untimed := 0
	for i := range s.players {
		p := &s.players[i]
		untimed += len(p.takes) - len(p.inOrder(s.plan.Windows.Unit))
	}
	if untimed > 0 {
		notes = append(notes, fmt.Sprintf("Takes without a date: %d. They count as neither early nor late; fill the dates in.", untimed))
	}
	return notes
}

// Players returns the number of players with a take that was kept.
func (s *Study) Players() int { return len(s.players) }

// intern returns a small number that stands for a text.
func (s *Study) intern(text string) int {
	i, ok := s.names[text]
	if !ok {
		i = len(s.names)
		s.names[strings.Clone(text)] = i
	}
	return i
}

// inOrder returns the takes of a player of which it is known when they were, in
// order of time, those of one moment in the order in which they came. Where no
// take has a date and the plan counts takes and not days, they are taken to have
// come in order of time.
func (p *player) inOrder(unit string) []kept {
	undated := func(k kept) bool { return k.date.IsZero() }
	takes := slices.Clone(p.takes)
	if unit == "day" || slices.ContainsFunc(takes, func(k kept) bool { return !undated(k) }) {
		takes = slices.DeleteFunc(takes, undated)
	}
	slices.SortStableFunc(takes, func(a, b kept) int { return a.date.Compare(b.date) })
	return takes
}

// onScale returns a value of a measure on the scale on which its values are held
// against each other: the logarithm of a ratio. NaN where it has none, and for a
// ratio of zero, which is a scatter below the noise.
func onScale(m review.Measure, x float64) float64 {
	if m.Scale == review.Ratio {
		if !(x > 0) {
			return math.NaN()
		}
		return math.Log(x)
	}
	return x
}

// unlike says why the takes that have a measure cannot be pooled, nil if they
// can.
func (s *Study) unlike(m review.Measure) *estimate.Absence {
	i := places[m.Name]
	setups, views, units := map[int]bool{}, map[int]bool{}, map[int]bool{}
	for _, p := range s.players {
		for _, t := range p.takes {
			if x := t.values[i]; x == x {
				setups[t.setup], views[t.view], units[t.unit] = true, true, true
			}
		}
	}
	one := len(setups) == 1 && !setups[0]
	missing := func(code, why string) *estimate.Absence {
		return &estimate.Absence{Code: code, What: m.Title, Why: why}
	}
	is := func(seen map[int]bool, text string) bool { i, ok := s.names[text]; return ok && seen[i] }
	switch mm := len(units) == 1 && is(units, "mm"); {
	case len(units) == 0 || m.Alike == review.AnyView || one:
		return nil
	case m.Alike == review.SameSetup && setups[0]:
		return missing("setup", "it compares within one set-up only, and some takes do not name theirs: name it in the list (setup)")
	case m.Alike == review.SameSetup:
		return missing("setup", fmt.Sprintf("it compares within one set-up only, and there are %d: make a study of each", len(setups)))
	case len(views) > 1:
		return missing("view", "it compares within one view only, and there are several: make a study of each")
	case is(views, "") || is(views, trajectory.ViewUnknown.String()):
		return missing("view", "it compares within one view, and the takes do not say theirs: say it in the settings (view)")
	case !mm:
		return missing("unit", "without millimetres it compares within one set-up only: give the distance between the marks (distance_mm), or name the set-up (setup)")
	}
	return nil
}
