package progress

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// RepeatOptions are the settings of [Repeatability].
type RepeatOptions struct {
	// Level of the intervals and of the smallest changes. Zero means 0.95.
	Level float64
	// AllowDifferentOptions pools takes that were reviewed with different
	// options.
	AllowDifferentOptions bool
}

// Repeats say by how much the takes of one player differ by themselves, measure
// by measure.
type Repeats struct {
	Player  string
	Options RepeatOptions
	// Takes and Days are what the repeats come from, LeftOut the takes that
	// could not be used, each with the reason.
	Takes, Days int
	LeftOut     []string
	// Digest is that of the options of all takes used, "several" where they
	// differ.
	Digest string
	// Measures are in the order of review.Measures().
	Measures []Repeat

	from []*review.Summary // the takes used
}

// holds reports whether a take is among those that the repeats come from.
func (r *Repeats) holds(t Take) bool { return slices.Contains(r.from, t.Summary) }

// Repeat says by how much the values of one measure differ from take to take of
// one player, on the measure's Scale: of a Ratio it is the natural logarithm
// that differs, so that 0.1 is about a tenth of the value.
type Repeat struct {
	Name  string
	Scale review.Scale
	Level float64
	// Within is the standard deviation of the takes of a day, with its
	// interval; N counts takes on days with two or more that are alike, and
	// WithinDF is its degrees of freedom.
	Within   estimate.Value[float64]
	WithinDF int
	// Between is the standard deviation from day to day that is beyond that of
	// the takes of a day, N the number of days. Its value is 0 where the days
	// differ no more than the takes of a day make them, and absent with fewer
	// than three days, or where the days rise or fall.
	Between estimate.Value[float64]

	// Lengths is the unit of lengths where the numbers depend on it: that of
	// pixels holds in one set-up only, and names it.
	Lengths string

	// The mean squares within days and of days, the degrees of freedom of the
	// latter, the number of takes of a day that its expectation holds, and that of
	// the days.
	within, days float64
	daysDF       int
	perDay       float64
	dayCount     int
}

// leastRepeatDF is the number of degrees of freedom that a standard deviation of
// takes needs: that of three takes of a day.
const leastRepeatDF = 2

// Repeatability measures by how much the takes of a player differ when nothing
// is changed: three takes of a day, on some days, is common practice. Takes of one
// day give
//
//	s(w)² = Σ (x - mean of its day)²/df, df = Σ (takes of the day - 1)
//
// (Bland and Altman 1996), of Ratio measures by logarithms and of Axis measures
// about the axial mean of the day. Only takes that the measure allows to be
// compared count as repeats of each other (review.Alike), and only those of one
// digest of options. The interval is by chi-square. There must be 2 degrees of
// freedom.
//
// Takes of a day differ less than takes of different days: the hand is warm, the
// chair stands where it stood. From three days on the standard deviation between
// days is told apart, by the mean squares of a nested analysis of variance, with
// the interval of Tukey and Williams (Williams 1962). Days that rise or fall
// (Mann-Kendall, exact, at 0.05; from five days on) are not repeats, and it is
// absent: then take days between which the player did not practise.
//
// All takes must be of one player and have a Summary, which is an error
// otherwise. A take without a date, or that stands in the list twice, is left
// out, and said.
func Repeatability(takes []Take, o RepeatOptions) (Repeats, error) {
	r := Repeats{Options: o}
	if o.Level == 0 {
		o.Level = 0.95
	}
	if !(o.Level > 0 && o.Level < 1) {
		return r, fmt.Errorf("progress: a level of %v: give one between 0 and 1, such as 0.95", o.Level)
	}
	r.Options = o
	var used []Take
	for i, t := range takes {
		if err := hasSummary(t); err != nil {
			return r, err
		}
		if t.Player != takes[0].Player {
			return r, fmt.Errorf("progress: repeats of two players, %q and %q: take those of one", takes[0].Player, t.Player)
		}
		switch same := slices.IndexFunc(takes[:i], func(u Take) bool { return u.Summary == t.Summary }); {
		case same >= 0:
			r.LeftOut = append(r.LeftOut, fmt.Sprintf("%s: it is %s once more", t.Label(), takes[same].Label()))
		case t.Date.IsZero():
			r.LeftOut = append(r.LeftOut, t.Label()+": its day is not known, so that it is no repeat of any other; fill in its date")
		default:
			used = append(used, t)
		}
	}
	if len(takes) > 0 {
		r.Player = takes[0].Player
	}
	days := map[time.Time]bool{}
	for i, t := range used {
		days[dayOf(t.Date)] = true
		r.from = append(r.from, t.Summary)
		switch {
		case i == 0:
			r.Digest = t.Summary.Digest
		case r.Digest != t.Summary.Digest:
			r.Digest = "several"
		}
	}
	r.Takes, r.Days = len(used), len(days)
	for _, m := range review.Measures() {
		r.Measures = append(r.Measures, repeatOf(m, used, o))
	}
	return r, nil
}

// Of returns the repeat of the measure of that name; ok is false if there is
// none.
func (r *Repeats) Of(name string) (repeat Repeat, ok bool) {
	for _, m := range r.Measures {
		if m.Name == name {
			return m, true
		}
	}
	return Repeat{}, false
}

// sameDay are the values of one measure on one day, of takes that may be
// compared.
type sameDay struct {
	class int
	day   time.Time
	x     []float64
}

// lengthsOf returns the unit of lengths that a difference of a measure is in,
// with the set-up unless it is the millimetre, "" where a measure has none.
func lengthsOf(m review.Measure, t Take) string {
	switch {
	case m.Scale == review.Ratio || !strings.Contains(m.Unit, "unit"):
		return ""
	case t.Summary.Unit == "mm":
		return "mm"
	}
	return fmt.Sprintf("%s of set-up %q", t.Summary.Unit, setupOf(t))
}

// usualLengths returns the unit of lengths that most takes with a value have.
func usualLengths(m review.Measure, takes []Take) string {
	count := map[string]int{}
	best := ""
	for _, t := range takes {
		if !t.Summary.Value(m.Name).Known() {
			continue
		}
		key := lengthsOf(m, t)
		count[key]++
		if count[key] > count[best] || best == "" {
			best = key
		}
	}
	return best
}

// gather sorts the values of a measure into days of takes that are alike, all in
// one unit.
func gather(m review.Measure, takes []Take, lengths string, allowOptions bool) (groups []sameDay, classes int) {
	var heads []Take // one take of each class
	for _, t := range takes {
		if lengthsOf(m, t) != lengths {
			continue
		}
		x := toScale(m.Scale, t.Summary.Value(m.Name))
		if math.IsNaN(x) {
			continue
		}
		class := slices.IndexFunc(heads, func(h Take) bool { return unlike(m, h, t, allowOptions) == nil })
		if class < 0 {
			class = len(heads)
			heads = append(heads, t)
			if unlike(m, t, t, allowOptions) != nil {
				continue // of a set-up that is not named: alike to none
			}
		}
		day := dayOf(t.Date)
		at := slices.IndexFunc(groups, func(g sameDay) bool { return g.class == class && g.day.Equal(day) })
		if at < 0 {
			groups = append(groups, sameDay{class: class, day: day})
			at = len(groups) - 1
		}
		groups[at].x = append(groups[at].x, x)
	}
	slices.SortStableFunc(groups, func(a, b sameDay) int {
		if a.class != b.class {
			return a.class - b.class
		}
		return a.day.Compare(b.day)
	})
	return groups, len(heads)
}

// repeatOf measures one measure's repeatability.
func repeatOf(m review.Measure, takes []Take, o RepeatOptions) Repeat {
	r := Repeat{Name: m.Name, Scale: m.Scale, Level: o.Level}
	r.Lengths = usualLengths(m, takes)
	groups, classes := gather(m, takes, r.Lengths, o.AllowDifferentOptions)
	var repeated [][]float64 // of days with two takes or more, less their mean
	means := make([]float64, len(groups))
	for i, g := range groups {
		mean, ok := meanOn(m.Scale, g.x)
		if !ok {
			return r.absent("spread out", "the lines of the takes of a day point every way, so that they have no mean")
		}
		means[i] = mean
		if len(g.x) < 2 {
			continue
		}
		d := make([]float64, len(g.x))
		for j, x := range g.x {
			d[j] = changeOn(m.Scale, mean, x)
		}
		repeated = append(repeated, d)
	}
	w := variability.Repeatability(repeated, variability.Options{Level: o.Level})
	n := w.Within.N
	if len(repeated) > 0 {
		r.Within, r.WithinDF, r.within = w.Within, w.DF, w.Within.Value*w.Within.Value
	}
	switch {
	case len(repeated) == 0:
		why := fmt.Sprintf("of %s no two are of one day with a value that may be compared: film three takes on a day, in one named set-up", counted(len(takes), "take"))
		r.Within = estimate.Missing[float64]("no repeats", m.Title, why)
	case r.WithinDF < leastRepeatDF:
		r.Within = estimate.Missing[float64]("few repeats", m.Title, "two takes of one day are too few: film three on a day, or two on each of two days")
	case r.within == 0:
		r.Within = estimate.Missing[float64]("no difference", m.Title, fmt.Sprintf("the %d repeats have one value, which does not tell by how much they may differ", n))
	}
	r.betweenDays(m, groups, means, classes)
	return r
}

// absent returns a repeat that nothing is known of.
func (r Repeat) absent(code, why string) Repeat {
	r.Within = estimate.Missing[float64](code, r.Name, why)
	r.Between = estimate.Missing[float64](code, r.Name, why)
	return r
}

// betweenDays fills in what the days of a class differ by, nested in the
// classes.
func (r *Repeat) betweenDays(m review.Measure, groups []sameDay, means []float64, classes int) {
	var sum, takes, inDay float64
	days := 0
	for class := range classes {
		var own []int
		var center []float64
		var size, squares float64
		for i, g := range groups {
			if g.class == class {
				own = append(own, i)
				for range g.x {
					center = append(center, means[i])
				}
				size += float64(len(g.x))
				squares += float64(len(g.x) * len(g.x))
			}
		}
		if len(own) == 0 {
			continue
		}
		mean, ok := meanOn(m.Scale, center)
		if !ok {
			r.Between = estimate.Missing[float64]("spread out", m.Title, "the lines of the days point every way, so that they have no mean")
			return
		}
		path := make([]float64, len(own))
		for j, i := range own {
			path[j] = changeOn(m.Scale, mean, means[i])
			sum += float64(len(groups[i].x)) * path[j] * path[j]
		}
		if trend := robust.MannKendall(path); len(own) >= 5 && trend.P < 0.05 {
			way := map[bool]string{true: "rise", false: "fall"}[trend.S > 0]
			r.Between = estimate.Missing[float64]("trend", m.Title, fmt.Sprintf(
				"the values %s over the %d days, which is a change and not a repeat: give days between which nothing was practised", way, len(own)))
			r.daysDF = 0
			return
		}
		days += len(own)
		r.daysDF += len(own) - 1
		takes += size
		inDay += squares / size
	}
	switch {
	case r.daysDF < leastRepeatDF:
		r.Between = estimate.Missing[float64]("few days", m.Title, fmt.Sprintf(
			"%s with takes that may be compared; this needs 3: film on a further day, in the same set-up", counted(days, "day")))
		r.daysDF = 0
		return
	case sum == 0:
		r.Between = estimate.Missing[float64]("no difference", m.Title, fmt.Sprintf("the %d days have one value, which does not tell by how much they may differ", days))
		r.daysDF = 0
		return
	}
	r.days, r.perDay, r.dayCount = sum/float64(r.daysDF), (takes-inDay)/float64(r.daysDF), days
	if !r.Within.Known() {
		r.Between = estimate.Missing[float64](r.Within.Absent.Code, m.Title, "the takes of a day, which it is beyond, are not known: "+r.Within.Absent.Why)
		return
	}
	r.Between = betweenInterval(r.days, r.within, float64(r.daysDF), float64(r.WithinDF), r.perDay, days, r.Level)
}

// toScale returns a value as its scale holds it against others, NaN where it has
// none there.
func toScale(s review.Scale, v estimate.Value[float64]) float64 {
	switch {
	case !v.Known():
		return math.NaN()
	case s == review.Ratio:
		if !(v.Value > 0) {
			return math.NaN()
		}
		return math.Log(v.Value)
	}
	return v.Value
}

// changeOn returns by how much b is more than a, both on the scale.
func changeOn(s review.Scale, a, b float64) float64 {
	if s == review.Axis {
		return (circular.Angle(b-a) * circular.Degree).Axial().Degrees()
	}
	return b - a
}

// meanOn returns the mean of values on the scale, that of equal ones without
// rounding, which would look like scatter; ok is false where lines have none.
func meanOn(s review.Scale, xs []float64) (mean float64, ok bool) {
	if slices.Min(xs) == slices.Max(xs) {
		return xs[0], true
	}
	if s != review.Axis {
		return stat.Mean(xs, nil), true
	}
	angles := make([]circular.Angle, len(xs))
	for i, x := range xs {
		angles[i] = circular.Angle(x) * circular.Degree
	}
	v := circular.Axial(angles, circular.Options{Level: -1}).Mean
	return v.Value.Degrees(), v.Known()
}
