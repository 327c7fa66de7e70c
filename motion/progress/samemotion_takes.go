package progress

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// rateMeasure is the measure of the table that says how fast a take is.
const rateMeasure = "notes_per_second"

// SameMotionInTakes asks of several takes of one player, some slow and some
// fast, whether they show one motion. The takes of a day are held against each
// other: both the quantities and the logarithm of the rate are taken about their
// mean of the day, and a line through them gives the difference between the
// slowest rate and the fastest.
//
// A take without a date is left out, and noted: it is of no day.
//
// Takes are the observations, and takes that are meant to be alike differ. By
// how much is read off the takes about the line, which needs three on one day,
// and is known well from about six; or off Options.Repeats; or off both,
// pooled. Of two takes without repeats the difference is told and nothing else.
// The mean cycles (review.Summary.Motion, of the longest settled span) are held
// against each other in the same way, harmonic by harmonic.
//
// The result is Absent where no day has two takes whose rates differ by
// Options.MinFactor. A component is left out where the takes are not alike
// enough for it (review.Alike), for example without a named set-up.
//
// All takes must be of one player and have a Summary, and the options must make
// sense; the error says what is wrong.
func SameMotionInTakes(takes []Take, o SameMotionOptions) (SameMotion, error) {
	if err := o.validate(); err != nil {
		return SameMotion{}, err
	}
	for _, t := range takes {
		if err := hasSummary(t); err != nil {
			return SameMotion{}, err
		}
		if t.Player != takes[0].Player {
			return SameMotion{}, fmt.Errorf("progress: takes of two players, %q and %q: take those of one", takes[0].Player, t.Player)
		}
	}
	if r := o.Repeats; r != nil && len(takes) > 0 && r.Player != takes[0].Player {
		return SameMotion{}, fmt.Errorf("progress: takes of %q with the repeats of %q: give those of one player", takes[0].Player, r.Player)
	}
	s := SameMotion{Options: o.withDefaults()}
	s.Notes = append(s.Notes, painNotes(takes)...)
	dated := slices.DeleteFunc(slices.Clone(takes), func(t Take) bool { return t.Date.IsZero() })
	if left := len(takes) - len(dated); left > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("The day of %s is not known, and the takes of a day are held against each other: fill in the date.", counted(left, "take")))
	}
	b := daysOf(dated)
	if b.factor < s.Options.MinFactor {
		why := "no day has two takes whose rate is known"
		if b.factor > 0 {
			why = fmt.Sprintf("the fastest take of a day is %.2f times as fast as its slowest, and this needs %.2f", b.factor, s.Options.MinFactor)
		}
		return s.refuse("one-rate", why+"; film one take slow and one fast on one day, each two or three times"), nil
	}
	s.Slow, s.Fast, s.N = math.Exp(b.slow), math.Exp(b.fast), len(b.takes)
	for _, q := range quantities {
		if k, ok := s.overTakes(q, b); ok {
			s.add(k)
		}
	}
	if k, ok := s.shapeInTakes(b); ok {
		s.add(k)
	}
	s.judge()
	return s, nil
}

// sameDays are takes on days with two or more of them, with their log rates.
type sameDays struct {
	takes      []Take
	rate       []float64
	day        []int
	slow, fast float64 // log rates of the slowest and the fastest take
	factor     float64 // the greatest within a day
}

func daysOf(takes []Take) sameDays {
	groups := map[time.Time][]int{}
	rates := make([]float64, len(takes))
	for i, t := range takes {
		rates[i] = toScale(review.Ratio, t.Summary.Value(rateMeasure))
		if rates[i] == rates[i] {
			d := dayOf(t.Date)
			groups[d] = append(groups[d], i)
		}
	}
	b := sameDays{slow: math.Inf(1), fast: math.Inf(-1)}
	days := 0
	for i, t := range takes {
		own := groups[dayOf(t.Date)]
		if len(own) < 2 || rates[i] != rates[i] {
			continue
		}
		if own[0] == i {
			days++
			low, high := math.Inf(1), math.Inf(-1)
			for _, k := range own {
				low, high = math.Min(low, rates[k]), math.Max(high, rates[k])
				b.takes, b.rate, b.day = append(b.takes, takes[k]), append(b.rate, rates[k]), append(b.day, days-1)
			}
			b.factor = math.Max(b.factor, math.Exp(high-low))
			b.slow, b.fast = math.Min(b.slow, low), math.Max(b.fast, high)
		}
	}
	return b
}

// aboutDays takes the mean of its day off each value, and returns how many days
// there are.
func aboutDays(y []float64, day []int) int {
	sum, n := map[int]float64{}, map[int]float64{}
	for i, v := range y {
		sum[day[i]] += v
		n[day[i]]++
	}
	for i := range y {
		y[i] -= sum[day[i]] / n[day[i]]
	}
	return len(n)
}

// overTakes returns a component over takes; ok is false where the view does not
// show it in any.
func (s *SameMotion) overTakes(q quantity, b sameDays) (k SameComponent, ok bool) {
	nan := math.NaN()
	k = SameComponent{Name: q.name, Unit: q.unit, Margin: q.margin(s.Options), Slow: nan, Fast: nan,
		Drift: estimate.Missing[float64]("takes", "drift of the "+q.name, "it is for one take")}
	if q.log {
		k.ShareOf = q.name
	}
	m, ok := q.measureOf(b.takes)
	if !ok {
		return k, false
	}
	if q.name == lengthName {
		k.Unit = unitOf(m, b.takes[0])
	}
	var x, y []float64
	var day []int
	var head *Take
	left := 0
	for i := range b.takes {
		v := toScale(m.Scale, b.takes[i].Summary.Value(m.Name))
		if v != v {
			left++
			continue
		}
		if head == nil {
			head = &b.takes[i]
		}
		if why := unlike(m, *head, b.takes[i], false); why != nil {
			k.LeftOut = why
			k.Difference = estimate.Value[float64]{Absent: why}
			return k, true
		}
		if m.Scale == review.Axis && len(y) > 0 {
			v = y[0] + changeOn(m.Scale, y[0], v)
		}
		x, y, day = append(x, b.rate[i]), append(y, v), append(day, b.day[i])
	}
	if left > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: %d of %d takes do not have it.", q.name, left, len(b.takes)))
	}
	mean, meanRate := stat.Mean(y, nil), stat.Mean(x, nil)
	days := aboutDays(x, day)
	aboutDays(y, day)
	xx := floats.Dot(x, x)
	span := b.fast - b.slow
	if !(xx > 0) {
		k.LeftOut = &estimate.Absence{Code: "one-rate", What: q.name, Why: "it is known at one rate only"}
		k.Difference = estimate.Value[float64]{Absent: k.LeftOut}
		return k, true
	}
	slope := floats.Dot(x, y) / xx
	df := len(x) - days - 1
	var squares float64
	for i := range x {
		e := y[i] - slope*x[i]
		squares += e * e
	}
	if s.Options.Repeats != nil {
		if w, ok := s.Options.Repeats.Of(m.Name); ok && w.Within.Known() {
			squares += w.Within.Value * w.Within.Value * float64(w.WithinDF)
			df += w.WithinDF
			s.hide(k, q, w)
		}
	}
	half := nan
	if df > 0 {
		half = studentAt(float64(df), 0.95) * math.Sqrt(squares/float64(df)/xx) * span
	}
	k.Difference = interval(slope*span, half, len(x))
	k.Slow, k.Fast = mean+slope*(b.slow-meanRate), mean+slope*(b.fast-meanRate)
	switch {
	case q.log:
		k.Slow, k.Fast = math.Exp(k.Slow), math.Exp(k.Fast)
		k.Difference = asShare(k.Difference)
	case q.axial:
		k.Slow, k.Fast = (circular.Angle(k.Slow) * circular.Degree).Axial().Degrees(), (circular.Angle(k.Fast) * circular.Degree).Axial().Degrees()
	}
	return k, true
}

// measureOf returns the measure that stands for a quantity: the first that a
// take has.
func (q quantity) measureOf(takes []Take) (review.Measure, bool) {
	for _, name := range q.measures {
		if slices.ContainsFunc(takes, func(t Take) bool { return t.Summary.Value(name).Known() }) {
			return measureNamed(name)
		}
	}
	return review.Measure{}, false
}

// hide notes that takes of the player differ by themselves by more than the margin,
// which single takes cannot be judged by. The margin stays: poor repeats must not
// make it easier to be the same.
func (s *SameMotion) hide(k SameComponent, q quantity, w Repeat) {
	smallest := w.Smallest(1, 1, false)
	if !smallest.Known() || k.Margin <= 0 {
		return
	}
	least, margin, unit := smallest.Value, k.Margin, k.Unit
	if q.log {
		least, margin, unit = 100*math.Expm1(least), 100*margin, "%"
	}
	if least > margin {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: two takes of this player differ by up to %s by themselves, which is more than the margin of %s: film more takes at each rate, or state a wider margin.",
			q.name, withUnit(number(least), unit), withUnit(number(margin), unit)))
	}
}

// shapeInTakes is the distance of the mean cycles at the two rates.
func (s *SameMotion) shapeInTakes(b sameDays) (SameComponent, bool) {
	nan := math.NaN()
	k := SameComponent{Name: "cycle shape", ShareOf: "length", Margin: s.Options.Margins.Shape, Slow: nan, Fast: nan,
		Drift: estimate.Missing[float64]("takes", "drift of the cycle shape", "it is for one take")}
	leave := func(code, why string) (SameComponent, bool) {
		k.LeftOut = &estimate.Absence{Code: code, What: k.Name, Why: why}
		k.Difference = estimate.Value[float64]{Absent: k.LeftOut}
		return k, true
	}
	// What compares is what an angle does: one set-up.
	alike := review.Measure{Name: "cycle_shape", Title: "Cycle shape", Alike: review.SameSetup}
	var shapes [][]float64
	var x []float64
	var day []int
	var head *Take
	order := math.MaxInt
	for i, t := range b.takes {
		if t.Summary.Motion == nil || t.Summary.Motion.Shape == nil {
			continue
		}
		if head == nil {
			head = &b.takes[i]
		}
		if why := unlike(alike, *head, t, false); why != nil {
			return leave(why.Code, why.Why)
		}
		sh := t.Summary.Motion.Shape
		for _, axis := range [][][2]float64{sh.Across, sh.Along, sh.Out} {
			if len(axis) > 0 {
				order = min(order, len(axis))
			}
		}
		x, day = append(x, b.rate[i]), append(day, b.day[i])
	}
	if len(x) < 2 {
		return k, false
	}
	for _, t := range b.takes {
		if t.Summary.Motion != nil && t.Summary.Motion.Shape != nil {
			shapes = append(shapes, coefficients(t.Summary.Motion.Shape, order))
		}
	}
	for _, v := range shapes[1:] {
		if len(v) != len(shapes[0]) {
			return leave("view", "the takes do not show the same axes")
		}
	}
	days := aboutDays(x, day)
	xx := floats.Dot(x, x)
	df := len(x) - days - 1
	if !(xx > 0) {
		return leave("one-rate", "it is known at one rate only")
	}
	// Each coefficient by itself; half the sum of squares is the mean square over
	// the phases (Parseval).
	var square, squares float64
	along := make([]float64, len(x)) // what is left, along the difference
	y := make([]float64, len(x))
	for j := range shapes[0] {
		for i := range shapes {
			y[i] = shapes[i][j]
		}
		aboutDays(y, day)
		slope := floats.Dot(x, y) / xx
		square += slope * slope / 2
		for i := range y {
			e := y[i] - slope*x[i]
			squares += e * e / 2
			along[i] += e * slope
		}
	}
	span := b.fast - b.slow
	half := nan
	if df > 0 {
		f := float64(df)
		own := 0.0
		if square > 0 {
			own = floats.Dot(along, along) / (2 * square) / f / xx * span * span
		}
		square *= span * span
		// The square is too large by the variance of what it is a sum of. What
		// of that remains where the shapes are the same has itself a variance,
		// here that of one degree of freedom, of which it has several (as in
		// cycle.Reference.Distance).
		noise := squares / f / xx * span * span
		square = math.Max(0, square-noise)
		half = studentAt(f, 0.95) * math.Hypot(math.Sqrt(2*square*own), math.Sqrt2*noise)
	} else {
		square *= span * span
	}
	k.Difference = estimate.Value[float64]{Value: math.Sqrt(square), Low: nan, High: nan, N: len(x)}
	if half == half {
		k.Difference.Low, k.Difference.High, k.Difference.Level = math.Sqrt(math.Max(0, square-half)), math.Sqrt(square+half), 0.95
	}
	return k, true
}

// coefficients returns the first harmonics of a shape on all axes that it has.
func coefficients(s *cycle.Shape, order int) []float64 {
	var out []float64
	for _, axis := range [][][2]float64{s.Across, s.Along, s.Out} {
		for h := 0; h < order && len(axis) > 0; h++ {
			out = append(out, axis[h][0], axis[h][1])
		}
	}
	return out
}
