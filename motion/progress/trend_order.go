package progress

import (
	"fmt"
	"math"
	"time"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Order says whether a player got fast first or even first. Its zero value: it
// cannot be said.
type Order int

const (
	OrderUnknown Order = iota
	// RateFirst: the rate rose before the scatter fell.
	RateFirst
	// EvennessFirst: the scatter fell before the rate rose.
	EvennessFirst
	// Together: neither is ahead by more than a sixth of the time followed.
	Together
)

var orderText = [...]string{"cannot say", "rate first", "evenness first", "together"}

// String returns "cannot say", "rate first", "evenness first" or "together".
func (o Order) String() string {
	if o < 0 || int(o) >= len(orderText) {
		return fmt.Sprintf("Order(%d)", int(o))
	}
	return orderText[o]
}

// MarshalText implements encoding.TextMarshaler.
func (o Order) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (o *Order) UnmarshalText(b []byte) error {
	for i, s := range orderText {
		if s == string(b) {
			*o = Order(i)
			return nil
		}
	}
	return fmt.Errorf("progress: unknown order %q", b)
}

// RateAndScatter is one player's way from slow and uneven to fast and even.
type RateAndScatter struct {
	// Rate and Scatter are the names of the measures.
	Rate, Scatter string
	// Days is the way, in order of time. A scatter in seconds is told as a share
	// of the time of a stroke.
	Days []RateAndScatterDay
	// RateMiddle and EvennessMiddle are the days, counted from the first, about
	// which the rise of the rate and the fall of the scatter lie: the mean time
	// of the change. Ahead is by how many days the rate's came earlier; negative
	// where the evenness did. See [OfPlayer] and the package comment.
	RateMiddle, EvennessMiddle, Ahead estimate.Value[float64]
	Order                             Order
	// WithinDays is the rank correlation (Kendall) of rate and scatter over the
	// takes of one day, all days together: positive where the faster takes of a
	// day are the less even ones. What changes from day to day has no part in
	// it. P is from dealing out the scatters within each day anew, Least the
	// smallest that so many takes allow.
	WithinDays estimate.Value[float64]
	P, Least   float64
	// Sentence says it in words.
	Sentence string
}

// RateAndScatterDay is one day of that way.
type RateAndScatterDay struct {
	Date          time.Time
	Rate, Scatter float64
}

const (
	leastOrderDays = 8
	orderDraws     = 1999
	// togetherShare is the share of the time followed within which rate and
	// evenness count as having come together.
	togetherShare = 1.0 / 6
)

// order holds the rate against a measure of scatter.
func (p *Progress) order(scatter string) RateAndScatter {
	nan := math.NaN()
	r := RateAndScatter{Rate: p.Options.Rate, Scatter: scatter, P: nan, Least: nan}
	m, _ := measureNamed(scatter)
	rm, _ := measureNamed(p.Options.Rate)
	days := p.pairs(rm, m)
	for _, d := range days {
		var x, y float64
		for i := range d.rate {
			x += d.rate[i] / float64(len(d.rate))
			y += d.scatter[i] / float64(len(d.rate))
		}
		r.Days = append(r.Days, RateAndScatterDay{Date: d.day, Rate: math.Exp(x), Scatter: math.Exp(y)})
	}
	r.within(days, p.Options.Seed)
	r.first(m, p.Options.Seed)
	return r
}

// pairDay are the takes of a day that have both, on their scales.
type pairDay struct {
	day           time.Time
	rate, scatter []float64
}

// pairs returns the days of takes that have both measures, in the group of takes
// that may be compared which has most.
func (p *Progress) pairs(rate, scatter review.Measure) []pairDay {
	best := -1
	for i, s := range p.Series {
		if s.Name == scatter.Name && s.Absent == nil && (best < 0 || len(s.Days) > len(p.Series[best].Days)) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	var out []pairDay
	for _, t := range p.Series[best].members {
		x, y := toScale(rate.Scale, t.Summary.Value(rate.Name)), toScale(scatter.Scale, t.Summary.Value(scatter.Name))
		if x != x || y != y {
			continue
		}
		if scatter.Unit == "s" {
			y += x // as a share of the time of a stroke
		}
		day := dayOf(t.Date)
		if n := len(out); n == 0 || !out[n-1].day.Equal(day) {
			out = append(out, pairDay{day: day})
		}
		d := &out[len(out)-1]
		d.rate, d.scatter = append(d.rate, x), append(d.scatter, y)
	}
	return out
}

// first fills in what came first.
func (r *RateAndScatter) first(m review.Measure, seed uint64) {
	no := func(code, why string) {
		r.RateMiddle = estimate.Missing[float64](code, "middle of the rise of the rate", why)
		r.EvennessMiddle = estimate.Missing[float64](code, "middle of the fall of the scatter", why)
		r.Ahead = estimate.Missing[float64](code, "what came first", why)
		r.Sentence = fmt.Sprintf("Whether the rate rose before the scatter fell (%s) cannot be said: %s.", m.Title, why)
	}
	n := len(r.Days)
	if n < leastOrderDays {
		no("too-few", fmt.Sprintf("it needs %d days that have both, and there are %d; film on further days", leastOrderDays, n))
		return
	}
	t, x, y := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, d := range r.Days {
		t[i] = daysBetween(r.Days[0].Date, d.Date)
		x[i], y[i] = math.Log(d.Rate), -math.Log(d.Scatter)
	}
	up, even := robust.MannKendall(x), robust.MannKendall(y)
	switch {
	case !(up.P <= 0.05) && !(even.P <= 0.05):
		no("no-change", "neither changes by more than what days differ by")
		return
	case !(up.P <= 0.05):
		no("no-change", "the rate does not change by more than what days differ by")
		return
	case !(even.P <= 0.05):
		no("no-change", "the scatter does not change by more than what days differ by")
		return
	case up.S < 0 && even.S < 0:
		no("backwards", "the rate fell and the scatter rose")
		return
	case up.S < 0:
		no("backwards", "the rate fell while the playing became more even")
		return
	case even.S < 0:
		no("backwards", "the rate rose while the playing became less even")
		return
	}
	b, ok := bends(t, x, y, estimate.Stream(seed, "progress: what came first, "+r.Scatter))
	if !ok {
		no("line", "the days do not fix the middle of a change")
		return
	}
	r.RateMiddle, r.EvennessMiddle, r.Ahead = b[0], b[1], b[2]
	margin := togetherShare * t[n-1]
	a := r.Ahead
	switch {
	case a.Low > 0:
		r.Order = RateFirst
		r.Sentence = fmt.Sprintf("The rate rose before the scatter fell (%s): the middle of its change is %s earlier (%.0f to %.0f).", m.Title, wholeDays(a.Value), a.Low, a.High)
	case a.High < 0:
		r.Order = EvennessFirst
		r.Sentence = fmt.Sprintf("The scatter fell before the rate rose (%s): the middle of its change is %s earlier (%.0f to %.0f).", m.Title, wholeDays(a.Value), -a.High, -a.Low)
	case a.Low >= -margin && a.High <= margin:
		r.Order = Together
		r.Sentence = fmt.Sprintf("Rate and evenness came together (%s): neither is ahead by more than %s.", m.Title, wholeDays(margin))
	default:
		r.Sentence = fmt.Sprintf("Whether the rate rose before the scatter fell (%s) cannot be said: the middle of its change comes %s, and may come anywhere from %s to %s. Film on further days.", m.Title, earlier(a.Value), earlier(a.Low), earlier(a.High))
	}
	r.Sentence += " What caused what is not told by it."
}

// wholeDays writes a number of days, without its sign.
func wholeDays(x float64) string { return counted(int(math.Round(math.Abs(x))), "day") }

// earlier writes by how much the rate is ahead.
func earlier(x float64) string {
	if math.Round(x) < 0 {
		return wholeDays(x) + " later"
	}
	return wholeDays(x) + " earlier"
}
