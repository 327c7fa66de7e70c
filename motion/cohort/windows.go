package cohort

import (
	"fmt"
	"time"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion/review"
)

// subject is a player in a question: the predictor in the early units, the
// outcome in the baseline units and in the late ones, on their scales.
type subject struct {
	code, group           string
	early, baseline, late []float64
}

// subjects splits the takes of the players into the windows of the plan. Only
// units in which both measures are known count, so that the windows hold the same
// number for every player, and only takes of which it is known when they were. zeros
// counts the takes that a ratio of zero took away;
// short the players with too few units.
func (s *Study) subjects(predictor, outcome review.Measure) (list []subject, short, zeros int) {
	w := s.plan.Windows
	i, j := places[predictor.Name], places[outcome.Name]
	for k := range s.players {
		p := &s.players[k]
		var x, y []float64 // a unit each
		var day time.Time
		var n float64
		for _, t := range p.inOrder(w.Unit) {
			a, b := onScale(predictor, t.values[i]), onScale(outcome, t.values[j])
			if a != a && t.values[i] == t.values[i] || b != b && t.values[j] == t.values[j] {
				zeros++
			}
			if a != a || b != b {
				continue
			}
			d := t.date.Truncate(24 * time.Hour)
			if w.Unit == "day" && len(x) > 0 && d.Equal(day) {
				n++ // the mean of the day so far
				last := len(x) - 1
				x[last] += (a - x[last]) / n
				y[last] += (b - y[last]) / n
				continue
			}
			x, y, day, n = append(x, a), append(y, b), d, 1
		}
		if len(x) < w.Early+w.Baseline+w.Late {
			short++
			continue
		}
		list = append(list, subject{p.code, p.groupOr(k), x[:w.Early], y[w.Early : w.Early+w.Baseline], y[len(y)-w.Late:]})
	}
	return list, short, zeros
}

// Observation is what a question sees of one player: the means of the windows, of
// the predictor early and of the outcome at the baseline and late. A ratio is its
// natural logarithm.
type Observation struct {
	Player                string
	Early, Baseline, Late float64
}

// Observations returns what a question sees of the players who have the takes that
// the plan's windows need, in the order in which they came. The error says why the
// takes cannot be pooled, or which measure there is not.
func (s *Study) Observations(q Question) ([]Observation, error) {
	var m [2]review.Measure
	for i, name := range []string{q.Predictor, q.Outcome} {
		var ok bool
		if m[i], ok = measure(name); !ok {
			return nil, fmt.Errorf("there is no measure %q", name)
		}
		if why := s.unlike(m[i]); why != nil {
			return nil, fmt.Errorf("%s: %s", why.What, why.Why)
		}
	}
	list, _, _ := s.subjects(m[0], m[1])
	out := make([]Observation, len(list))
	for i, p := range list {
		out[i] = Observation{p.code, stat.Mean(p.early, nil), stat.Mean(p.baseline, nil), stat.Mean(p.late, nil)}
	}
	return out, nil
}

// groupOr is the group that the player belongs to; one without stands alone.
func (p *player) groupOr(k int) string {
	if p.group != "" {
		return p.group
	}
	return fmt.Sprintf("\x00%d", k)
}

// wall returns the moment that clock and calendar of the place showed, as if it
// were UTC: what is one day there stays one. The zero time is no date.
func wall(t time.Time) time.Time {
	if t.IsZero() {
		return time.Time{}
	}
	y, m, d := t.Date()
	return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}

// groups numbers the groups of the subjects.
func groups(list []subject) (of []int, n int) {
	number := map[string]int{}
	for _, s := range list {
		g, ok := number[s.group]
		if !ok {
			g = len(number)
			number[s.group] = g
		}
		of = append(of, g)
	}
	return of, len(number)
}
