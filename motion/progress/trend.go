package progress

import (
	"fmt"
	"slices"
	"time"

	"github.com/plectrace/plectrace/motion/review"
)

// Options are the settings of [OfPlayer]. The zero value is the documented
// default of every field.
type Options struct {
	// Primary names the measures that the question is about, written down
	// before the takes were looked at. All others are exploratory.
	Primary []string
	// Rate is the measure that says how fast a take is, Scatter those that say
	// how uneven. Empty means notes_per_second, and duration_scatter and
	// path_angle_scatter_deg. All are compared by ratios.
	Rate    string
	Scatter []string
	// SettledShare and SettledRate are the measures that weeks are told by.
	// Empty means settled_share and settled_notes_per_second.
	SettledShare, SettledRate string
	// AllowDifferentOptions follows takes together that were reviewed with
	// different options; otherwise they are followed apart.
	AllowDifferentOptions bool
	// Seed starts the streams of random numbers.
	Seed uint64
}

// Progress is what the takes of one player show over days and weeks.
type Progress struct {
	Player  string
	Options Options
	// Takes and Days are those with a date and a summary, First and Last the
	// first and the last day.
	Takes, Days int
	First, Last time.Time
	// Notes are what the reader should know, pain first. LeftOut are the takes
	// that are not in it, each with the reason.
	Notes, LeftOut []string
	// Repeats say by how much the takes of a day differ by themselves, and days
	// between which there is no trend.
	Repeats Repeats
	// Series follow every measure, in the order of review.Measures(), one for
	// each group of takes that may be compared.
	Series []Series
	// Orders hold rate against each measure of scatter: what came first.
	Orders []RateAndScatter
	// Weeks are those that have a take.
	Weeks []Week
}

// Of returns the series of a measure.
func (p *Progress) Of(name string) []Series {
	var own []Series
	for _, s := range p.Series {
		if s.Name == name {
			own = append(own, s)
		}
	}
	return own
}

// OfPlayer follows one player's takes over days and weeks. Days are the
// observations: the takes of a day are put together, in their mean on the
// measure's scale, since a player's takes of one day are alike and a day with
// many is no more than a day. Whatever measure review.Measures() holds is
// followed; those that compare within one set-up only are followed set-up by
// set-up.
//
// Trends are by Theil-Sen and the test of Mann and Kendall on days
// (variability.Trend), and need five of them. Below 20 days the test is exact
// and takes the days as independent of each other, which cannot be checked then;
// from 20 on it bears the likeness of neighbours. See the package comment for
// what that costs. P values are adjusted for the number of series.
//
// Takes without a date or a summary, and takes that come twice, are left out,
// and said. The error is that of options, or of takes of two players.
func OfPlayer(takes []Take, o Options) (Progress, error) {
	o = o.withDefaults()
	p := Progress{Options: o}
	if err := o.validate(); err != nil {
		return p, err
	}
	used, err := p.choose(takes)
	if err != nil {
		return p, err
	}
	p.Notes = append(painNotes(takes), p.Notes...)
	if p.Repeats, err = Repeatability(used, RepeatOptions{AllowDifferentOptions: o.AllowDifferentOptions}); err != nil {
		return p, err
	}
	for _, m := range review.Measures() {
		p.Series = append(p.Series, p.follow(m, used)...)
	}
	p.adjust()
	for i := range p.Series {
		p.Series[i].tell()
	}
	for _, name := range o.Scatter {
		p.Orders = append(p.Orders, p.order(name))
	}
	p.Weeks = weeksOf(used, o)
	return p, nil
}

func (o Options) withDefaults() Options {
	if o.Rate == "" {
		o.Rate = rateMeasure
	}
	if len(o.Scatter) == 0 {
		o.Scatter = []string{"duration_scatter", "path_angle_scatter_deg"}
	}
	if o.SettledShare == "" {
		o.SettledShare = "settled_share"
	}
	if o.SettledRate == "" {
		o.SettledRate = "settled_notes_per_second"
	}
	return o
}

func (o Options) validate() error {
	for _, name := range append([]string{o.Rate, o.SettledShare, o.SettledRate}, append(slices.Clone(o.Scatter), o.Primary...)...) {
		if _, ok := measureNamed(name); !ok {
			return fmt.Errorf("progress: there is no measure %q: take a name of review.Measures()", name)
		}
	}
	for _, name := range append([]string{o.Rate, o.SettledRate}, o.Scatter...) {
		if m, _ := measureNamed(name); m.Scale != review.Ratio {
			return fmt.Errorf("progress: the measure %q cannot stand for a rate or a scatter: it is not compared by its ratio", name)
		}
	}
	if m, _ := measureNamed(o.SettledShare); m.Scale != review.Share {
		return fmt.Errorf("progress: the measure %q cannot stand for the settled share: it is no share", o.SettledShare)
	}
	return nil
}

func measureNamed(name string) (review.Measure, bool) {
	all := review.Measures()
	i := slices.IndexFunc(all, func(m review.Measure) bool { return m.Name == name })
	if i < 0 {
		return review.Measure{}, false
	}
	return all[i], true
}

// choose returns the takes that can be followed, in order of time.
func (p *Progress) choose(takes []Take) ([]Take, error) {
	var used []Take
	days := map[time.Time]bool{}
	digests, versions := map[string]bool{}, map[string]bool{}
	var asked []string
	for i, t := range takesInOrder(takes) {
		if i == 0 {
			p.Player = t.Player
		}
		switch {
		case t.Player != p.Player:
			return nil, fmt.Errorf("progress: takes of two players, %q and %q: take those of one", p.Player, t.Player)
		case t.Summary == nil:
			p.LeftOut = append(p.LeftOut, t.Label()+": it is not reviewed")
		case hasSummary(t) != nil:
			return nil, hasSummary(t)
		case t.Date.IsZero():
			p.LeftOut = append(p.LeftOut, t.Label()+": its day is not known; fill in its date")
		case slices.ContainsFunc(used, func(u Take) bool { return u.Summary == t.Summary }):
			p.LeftOut = append(p.LeftOut, t.Label()+": it comes twice")
		default:
			used = append(used, t)
			days[dayOf(t.Date)] = true
			digests[t.Summary.Digest], versions[t.Summary.Version] = true, true
			if slices.Contains(t.Summary.Flags, "question") {
				asked = append(asked, t.Label())
			}
		}
	}
	p.Takes, p.Days = len(used), len(days)
	if len(used) > 0 {
		p.First, p.Last = dayOf(used[0].Date), dayOf(used[len(used)-1].Date)
	}
	if len(digests) > 1 && !p.Options.AllowDifferentOptions {
		p.Notes = append(p.Notes, fmt.Sprintf("The takes were reviewed with %d different sets of options and are followed apart: review them all alike.", len(digests)))
	}
	if len(versions) > 1 {
		p.Notes = append(p.Notes, "The takes were reviewed with different versions of this program, which may measure differently: review them again with one.")
	}
	if len(asked) > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("Something must be settled before these takes are believed (see their reviews): %s.", listed(asked)))
	}
	return used, nil
}
