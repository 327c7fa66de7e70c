package progress

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// CompareOptions are the settings of [Compare].
type CompareOptions struct {
	// Repeats say by how much the player's takes differ by themselves. Without
	// them no change of the player can be told, only that the takes differ.
	Repeats *Repeats
	// Primary names the measures that the comparison is about, chosen before the
	// takes were looked at. All others are exploratory.
	Primary []string
	// Margins are the largest changes that still count as none, by the name of
	// the measure and in its unit: of a Ratio in per cent (10 allows factors from
	// 1/1.1 to 1.1), of a Share as a part of 1.
	Margins map[string]float64
	// Level of the intervals and verdicts. Zero means 0.95.
	Level float64
	// MarginLevel is that of the interval that has to lie within a margin. Zero
	// means 0.90: each of its two sides is then wrong in 1 of 20 at its margin.
	MarginLevel float64
	// AllowDifferentOptions compares takes that were reviewed with different
	// options.
	AllowDifferentOptions bool
}

// Change is one measure of two takes, the second held against the first.
type Change struct {
	Name, Title, Unit string
	Scale             review.Scale
	// First and Second are the values, of several takes their mean on the scale
	// (of a Ratio the geometric one) with the interval that each one's strokes
	// give.
	First, Second estimate.Value[float64]
	// Takes are the numbers of takes on the two sides that have a value.
	Takes [2]int
	// Change is the second less the first on the measure's Scale: of a Ratio the
	// natural logarithm of the factor, of an Axis in (-90, 90]. Its interval is
	// that within the takes: it says whether these takes differ, and nothing of
	// the player. It is absent where the measure of the two cannot be compared.
	Change estimate.Value[float64]
	// Player is the same change with the interval that also holds what takes of
	// the player differ by themselves, from Repeats. It is absent without.
	Player estimate.Value[float64]
	// Smallest is the smallest change that is beyond the repeats
	// (Repeat.Smallest).
	Smallest estimate.Value[float64]
	// P is the probability of a change at least as large between takes that
	// differ by themselves alone (for BeyondDay, takes of one day), and Adjusted
	// that after Holm (1979) over the measures of its kind: the primary ones, or
	// all others. NaN without repeats.
	P, Adjusted float64
	Primary     bool
	// Alone is the verdict on this measure by itself, Beyond that among all of
	// its kind: with many measures some go beyond by chance.
	Alone, Beyond Beyond
	// Way is 1 when the change goes the way practice aims at, -1 when it goes the
	// other way, and 0 where the measure has none, or no change is told.
	Way int
	// Margin is that of CompareOptions in its unit, 0 for none. Answer says
	// whether the change lies within it, and AnswerWhy why it cannot be said.
	Margin    float64
	Answer    cycle.Answer
	AnswerWhy string
	// Text says all of it in a sentence or two.
	Text string
}

// Comparison is two takes, or the takes of two days, held against each other.
type Comparison struct {
	Options CompareOptions
	// First and Second are the two sides, in order of date where both are known.
	// Swapped says that they came the other way round.
	First, Second []Take
	Swapped       bool
	// Days says that the two sides are, or may be, of different days.
	Days bool
	// Warnings are what to know before anything else.
	Warnings []string
	// Changes are in the order of review.Measures(). Compared counts those that
	// could be compared.
	Changes  []Change
	Compared int
	// Motion is how far the mean cycle of the second take lies from that of the
	// first, nil where one has none, or with several takes on a side. It holds
	// for these two takes, and does not know repeats.
	Motion *cycle.Distance
	// Notes say how the verdicts are to be read.
	Notes []string
}

// Of returns the change of the measure of that name; ok is false if there is
// none.
func (c *Comparison) Of(name string) (change Change, ok bool) {
	for _, m := range c.Changes {
		if m.Name == name {
			return m, true
		}
	}
	return Change{}, false
}

// Compare holds two takes against each other, measure by measure: the second
// less the first, on the scale and under the conditions that review.Measures()
// states for each. Two takes are two observations: that they differ beyond what
// their own strokes scatter by says nothing of the player, who never plays two
// takes alike. Only [Repeats] can tell that, and without them every verdict is
// that it cannot be said. Nothing here tells a cause.
//
// It is an error when a take has no Summary, when a name in Primary or Margins is
// none of a measure, or a margin is not above zero.
func Compare(first, second Take, o CompareOptions) (Comparison, error) {
	return CompareDays([]Take{first}, []Take{second}, o)
}

// CompareDays is [Compare] for two sides of several takes each, those of one side
// being repeats of each other on one day. Means of three takes bear smaller
// changes than single ones.
//
// It is an error when a side is empty or of several days.
func CompareDays(first, second []Take, o CompareOptions) (Comparison, error) {
	if o.Level == 0 {
		o.Level = 0.95
	}
	if o.MarginLevel == 0 {
		o.MarginLevel = 0.90
	}
	if err := checkSides(first, second, o); err != nil {
		return Comparison{}, err
	}
	c := Comparison{Options: o, First: slices.Clone(first), Second: slices.Clone(second)}
	a, b := first[0].Date, second[0].Date
	if !a.IsZero() && !b.IsZero() && wall(a).After(wall(b)) {
		c.First, c.Second, c.Swapped = c.Second, c.First, true
	}
	c.Days = a.IsZero() || b.IsZero() || !dayOf(a).Equal(dayOf(b))
	repeats := c.warn()
	for _, m := range review.Measures() {
		c.Changes = append(c.Changes, c.change(m, repeats))
	}
	c.adjust()
	for i := range c.Changes {
		c.Changes[i].tell(&c)
	}
	if len(first) == 1 && len(second) == 1 {
		c.Motion = motionDistance(c.First[0], c.Second[0])
	}
	c.note(repeats)
	return c, nil
}

// checkSides returns an error of what no comparison can be made of.
func checkSides(first, second []Take, o CompareOptions) error {
	for _, level := range []float64{o.Level, o.MarginLevel} {
		if !(level > 0 && level < 1) {
			return fmt.Errorf("progress: a level of %v: give one between 0 and 1, such as 0.95", level)
		}
	}
	for _, side := range [][]Take{first, second} {
		if len(side) == 0 {
			return errors.New("progress: one side of the comparison has no take")
		}
		for _, t := range side {
			if err := hasSummary(t); err != nil {
				return err
			}
			if t.Date.IsZero() != side[0].Date.IsZero() || !dayOf(t.Date).Equal(dayOf(side[0].Date)) {
				return fmt.Errorf("progress: %s and %s stand on one side of a comparison and are of two days: give one day on each side", side[0].Label(), t.Label())
			}
			if t.Player != side[0].Player {
				return fmt.Errorf("progress: %s and %s stand on one side of a comparison: give takes of one player on each", side[0].Label(), t.Label())
			}
		}
	}
	names := slices.Clone(o.Primary)
	for name, margin := range o.Margins {
		if !(margin > 0) || math.IsInf(margin, 0) {
			return fmt.Errorf("progress: a margin of %v for %q: give the largest change that still counts as none", margin, name)
		}
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if _, ok := measureNamed(name); !ok {
			return fmt.Errorf("progress: there is no measure %q: take one of review.Measures()", name)
		}
	}
	return nil
}

// warn fills in what to know first, and returns the repeats unless they are
// another player's.
func (c *Comparison) warn() *Repeats {
	all := slices.Concat(c.First, c.Second)
	for _, t := range all {
		if t.Comfort == ComfortPain {
			c.Warnings = append(c.Warnings, t.Label()+": the player noted pain.")
			c.Warnings = append(c.Warnings, StopRest()...)
		}
	}
	if c.Swapped {
		c.Warnings = append(c.Warnings, "The takes came in the wrong order; the earlier one is taken first.")
	}
	for _, t := range all {
		if t.Summary.Version != all[0].Summary.Version {
			c.Warnings = append(c.Warnings, fmt.Sprintf("The takes were reviewed with different versions, %s and %s: review them again with one.",
				all[0].Summary.Version, t.Summary.Version))
			break
		}
	}
	for _, t := range all {
		if t.Summary.Digest != all[0].Summary.Digest {
			c.Warnings = append(c.Warnings, "The takes were reviewed with different options. What they count as settled, and what is left of a path, may differ by that alone: review them alike.")
			break
		}
	}
	for _, t := range all {
		if len(t.Summary.Flags) > 0 {
			c.Warnings = append(c.Warnings, fmt.Sprintf("%s: its review is flagged %s. Read there why before its numbers are believed.", t.Label(), listed(t.Summary.Flags)))
		}
	}
	r := c.Options.Repeats
	p, q := c.First[0].Player, c.Second[0].Player
	switch {
	case p != q:
		c.Warnings = append(c.Warnings, fmt.Sprintf("The takes are of two players, %s and %s: that they differ is no change of either.", p, q))
		return nil
	case r != nil && r.Player != p:
		c.Warnings = append(c.Warnings, fmt.Sprintf("The repeats are those of %s and not of %s, and are not used.", r.Player, p))
		return nil
	case r != nil && r.Digest != all[0].Summary.Digest && r.Takes > 0:
		c.Warnings = append(c.Warnings, "The repeats were reviewed with other options than the takes: review them alike.")
	}
	for _, t := range all {
		// Of two days and repeats of fewer than three, it is the takes within
		// each that count, whose differences the change between does not enter.
		if r != nil && r.holds(t) && (!c.Days || r.Days > leastRepeatDF) {
			c.Warnings = append(c.Warnings, t.Label()+" is among the repeats that it is held against, where a change hides itself: give repeats without it.")
		}
	}
	return r
}

// change compares one measure.
func (c *Comparison) change(m review.Measure, repeats *Repeats) Change {
	ch := Change{Name: m.Name, Title: m.Title, Unit: unitOf(m, c.First[0]), Scale: m.Scale, P: math.NaN(), Adjusted: math.NaN(),
		Primary: slices.Contains(c.Options.Primary, m.Name), Margin: c.Options.Margins[m.Name]}
	var sides [2]side
	var absent *estimate.Absence
	for i, takes := range [][]Take{c.First, c.Second} {
		sides[i] = sideOf(m, takes)
		ch.Takes[i] = sides[i].takes
		if v := sides[i].v; v.Absent != nil && absent == nil {
			absent = &estimate.Absence{Code: v.Absent.Code, What: m.Title, Why: fmt.Sprintf("the %s take has none: %s", [2]string{"first", "second"}[i], v.Absent.Why)}
		}
	}
	ch.First, ch.Second = sides[0].told(m.Scale), sides[1].told(m.Scale)
	if absent == nil {
		all := slices.Concat(c.First, c.Second)
		for _, t := range all {
			if absent = unlike(m, all[0], t, c.Options.AllowDifferentOptions); absent != nil {
				break
			}
		}
	}
	if absent != nil {
		ch.Change = estimate.Value[float64]{Absent: absent}
		ch.Player, ch.Smallest = ch.Change, ch.Change
		return ch
	}
	c.Compared++
	ch.Change = between(m.Scale, sides[0].v, sides[1].v)
	ch.hold(m, c, repeats)
	return ch
}

// hold holds the change against the repeats.
func (ch *Change) hold(m review.Measure, c *Comparison, repeats *Repeats) {
	none := func(code, why string) {
		v := estimate.Missing[float64](code, m.Title, why)
		ch.Player, ch.Smallest = v, v
	}
	if repeats == nil {
		none("no repeats", "by how much the player's takes differ by themselves is not known: film three takes on a day, and give them as repeats")
		return
	}
	r, _ := repeats.Of(m.Name)
	if lengths := lengthsOf(m, c.First[0]); r.Lengths != lengths && r.Lengths != "" {
		none("unit", fmt.Sprintf("the repeats are in %s, the takes in %s", r.Lengths, lengths))
		return
	}
	r.Level = c.Options.Level
	days := c.Days
	sd, df, absent := r.errorOf(ch.Takes[0], ch.Takes[1], days)
	onlyDay := false
	if absent != nil && days {
		// Days differ by no less than the takes of one.
		onlyDay = true
		sd, df, absent = r.errorOf(ch.Takes[0], ch.Takes[1], false)
	}
	if absent != nil {
		none(absent.Code, "the repeats do not tell: "+absent.Why)
		return
	}
	ch.Smallest = r.Smallest(ch.Takes[0], ch.Takes[1], days && !onlyDay)
	ch.P = 2 * distuv.StudentsT{Sigma: 1, Nu: df}.Survival(math.Abs(ch.Change.Value)/sd)
	ch.Player = withRepeats(ch.Change, sd, df, c.Options.Level)
	ch.Alone = BeyondNothing
	if away(ch.Player) {
		ch.Alone = BeyondRepeats
		if onlyDay {
			ch.Alone = BeyondDay
		}
	}
	ch.equivalent(withRepeats(ch.Change, sd, df, c.Options.MarginLevel), onlyDay)
}

// withRepeats returns a change with an interval that holds what the player's
// takes differ by themselves, and is no narrower than that within the takes.
func withRepeats(change estimate.Value[float64], sd, df, level float64) estimate.Value[float64] {
	half := studentAt(df, level) * sd
	v := change
	v.Low, v.High, v.Level = change.Value-half, change.Value+half, level
	if change.Level > 0 {
		v.Low, v.High = math.Min(v.Low, change.Low), math.Max(v.High, change.High)
	}
	return v
}

// away reports whether an interval leaves out zero.
func away(v estimate.Value[float64]) bool { return v.Known() && (v.Low > 0 || v.High < 0) }

// adjust makes the verdicts those among all measures of their kind.
func (c *Comparison) adjust() {
	measures := review.Measures()
	for _, primary := range []bool{true, false} {
		var at []int
		var p []float64
		for i, ch := range c.Changes {
			if ch.Primary == primary && ch.P == ch.P {
				at, p = append(at, i), append(p, ch.P)
			}
		}
		for j, adjusted := range variability.Holm(nil, p) {
			ch := &c.Changes[at[j]]
			ch.Adjusted, ch.Beyond = adjusted, ch.Alone
			if ch.Alone > BeyondNothing && adjusted > 1-c.Options.Level {
				ch.Beyond = BeyondNothing
			}
			if ch.Beyond > BeyondNothing {
				ch.Way = wayOf(measures[at[j]].Better, ch.Change.Value)
			}
		}
	}
}

// wayOf returns 1 for a change the way practice aims at, -1 for one the other
// way, and 0 where practice aims at neither.
func wayOf(better review.Better, change float64) int {
	switch {
	case better == review.More && change > 0, better == review.Less && change < 0:
		return 1
	case better != review.Neither && change != 0:
		return -1
	}
	return 0
}
