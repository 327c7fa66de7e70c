package main

import (
	"io"
	"math"
	"slices"
	"time"

	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/learning"
	"github.com/plectrace/plectrace/variability/robust"
)

// measure reads the export of a take with the settings beside it, reviews it, and
// gives the take the summary that its player's progress is made of. open opens a file
// by its name; o.Setup serves an export that has no settings.
func measure(t progress.Take, open func(name string) (io.ReadCloser, error),
	o cohort.Options) (progress.Take, cohort.Reviewed) {
	r := cohort.Review(t, open, o)
	if r.Failure == nil {
		t.Summary = r.Review.Summary()
	}
	return t, r
}

// follow follows every measure over the days of one player. primary names those that
// the question is about, written down before the takes were looked at.
func follow(takes []progress.Take, primary []string) (progress.Progress, error) {
	return progress.OfPlayer(takes, progress.Options{Primary: primary})
}

// counsel is at most two things to work on after a take, after one that holds. How
// far takes of the player differ by themselves bears on it.
func counsel(t *review.Summary, task advice.Task, felt progress.Comfort,
	by progress.Repeats) advice.Advice {
	e := advice.Evidence{Take: t, Task: task, Comfort: felt, Repeat: &by}
	return advice.Default().Advise(e)
}

// slowAgainstFast holds the slow takes of a day against the fast ones.
func slowAgainstFast(takes []progress.Take) (progress.SameMotion, error) {
	return progress.SameMotionInTakes(takes, progress.SameMotionOptions{})
}

// overDays draws a measure day by day, with its trend and the days of pain.
func overDays(s progress.Series, name string, pain []time.Time) figure.OverDates {
	f := figure.OverDates{Name: name, Unit: s.Unit, Pain: pain, Trend: trend(s)}
	for _, d := range s.Days {
		f.Dates, f.Value = append(f.Dates, d.Date), append(f.Value, d.Value)
	}
	if len(f.Trend.X) > 0 && bends(s) {
		f.Level = s.Curve.Plateau // absent where none is in sight
	}
	if s.Scale == review.Share {
		f.Unit = "%"
		percent := func(v float64) float64 { return 100 * min(max(v, 0), 1) }
		for _, column := range [][]float64{f.Value, f.Trend.Y, f.Trend.Low, f.Trend.High} {
			for i, v := range column { // the interval of a curve knows no bounds
				column[i] = percent(v)
			}
		}
		f.Level.Value, f.Level.Low = percent(f.Level.Value), percent(f.Level.Low)
		f.Level.High = percent(f.Level.High)
	}
	return f
}

// trend is the line of a measure over the days since the first: the learning curve
// with its band where the change bends, otherwise the line of the median slope; none
// where no trend can be told from what days differ by.
func trend(s progress.Series) (c figure.Curve) {
	if !(s.Adjusted <= 0.05) {
		return c
	}
	for _, d := range s.Days {
		c.X = append(c.X, d.Date.Sub(s.Days[0].Date).Hours()/24)
	}
	if bends(s) {
		curve := s.Curve.Curve(s.Curve.Best)
		for _, x := range c.X {
			v := curve.Band(x)
			c.Y = append(c.Y, v.Value)
			c.Low, c.High = append(c.Low, v.Low), append(c.High, v.High)
		}
		return c
	}
	to, from := func(y float64) float64 { return y }, func(y float64) float64 { return y }
	if s.Scale == review.Ratio { // compared by factors
		to, from = math.Log, math.Exp
	}
	var values []float64
	for _, d := range s.Days {
		values = append(values, to(d.Value))
	}
	line := robust.TheilSen(c.X, values)
	for _, x := range c.X {
		c.Y = append(c.Y, from(line.At(x)))
	}
	return c
}

// bends reports whether the days show a learning curve: a change that gets less.
func bends(s progress.Series) bool {
	return s.Curve != nil && s.Curve.Verdict >= learning.StillChanging
}

// overWeeks draws the share of the playing time that is settled, week by week.
func overWeeks(weeks []progress.Week) figure.OverDates {
	f := figure.OverDates{Name: "settled share of a week", Unit: "%"}
	for _, w := range weeks {
		if w.Pain > 0 {
			f.Pain = append(f.Pain, w.Monday)
		}
		v := w.SettledShare
		if !v.Known() {
			continue
		}
		f.Dates, f.Value = append(f.Dates, w.Monday), append(f.Value, 100*v.Value)
		f.Low, f.High = append(f.Low, 100*v.Low), append(f.High, 100*v.High)
	}
	if !slices.ContainsFunc(f.Low, func(x float64) bool { return x == x }) {
		f.Low, f.High = nil, nil // no week has takes enough
	}
	return f
}

// way draws the rate against a scatter, day by day, joined in order of time: fast
// first and even later is another way than even first and fast later.
func way(o progress.RateAndScatter, name, unit string) figure.RateAgainstScatter {
	f := figure.RateAgainstScatter{Name: name, Unit: unit}
	for _, d := range o.Days {
		f.Dates = append(f.Dates, d.Date)
		f.Rate, f.Scatter = append(f.Rate, d.Rate), append(f.Scatter, d.Scatter)
	}
	return f
}
