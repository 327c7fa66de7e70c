package progress

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
)

// Series is one measure over the days of takes that may be compared.
type Series struct {
	Name, Title, Unit string
	Scale             review.Scale
	Better            review.Better
	// Setup is the set-up of the takes where the measure compares within one.
	Setup string
	// Primary says that the measure was named beforehand.
	Primary bool
	// Days are in order of time; a day whose lines point every way is left out,
	// and noted. Takes is the number of their takes.
	Days  []Day
	Takes int
	// Trend is that of the days, in days, on the measure's scale: of a Ratio of
	// its logarithm, of an Axis in degrees without a jump at 90.
	Trend variability.TrendResult
	// PerWeek is the change in a week, and Change that from the first day to the
	// last, in the measure's unit; of a Ratio as a share of the value, 0.1 for a
	// tenth more.
	PerWeek, Change estimate.Value[float64]
	// Adjusted is Trend.P allowing for the number of series looked at: among the
	// primary ones by Holm (1979), so that one wrong finding among them is as
	// rare as P says; among the others by Benjamini and Hochberg (1995), so that
	// of those below 0.05 one in 20 is wrong. NaN without a test.
	Adjusted float64
	// Curve is the learning curve over days, nil where there is no series. The
	// plateau of a share lies within 0 and 1, or is absent where all of its interval
	// lies beyond.
	Curve *learning.Result
	// Text says it in words.
	Text string
	// Absent says why there is no series.
	Absent *estimate.Absence

	members []Take // of the series, in order of time
}

// Day is one measure on one day.
type Day struct {
	Date time.Time
	// Value is the mean of its takes on the measure's scale, in the measure's
	// unit. Takes is their number.
	Value float64
	Takes int

	scaled float64
}

// follow returns the series of one measure.
func (p *Progress) follow(m review.Measure, takes []Take) []Series {
	blank := Series{Name: m.Name, Title: m.Title, Unit: m.Unit, Scale: m.Scale, Better: m.Better,
		Primary: slices.Contains(p.Options.Primary, m.Name), Adjusted: math.NaN()}
	type class struct {
		head  Take
		takes []Take
	}
	var classes []*class
	var why *estimate.Absence
	for _, t := range takes {
		v := t.Summary.Value(m.Name)
		if toScale(m.Scale, v) != toScale(m.Scale, v) {
			switch {
			case v.Absent != nil:
				why = v.Absent
			case v.Known():
				why = &estimate.Absence{Code: "zero", What: m.Title, Why: "it is 0 or below, which has no ratio to others"}
			}
			continue
		}
		if no := unlike(m, t, t, p.Options.AllowDifferentOptions); no != nil {
			why = no
			continue
		}
		at := slices.IndexFunc(classes, func(c *class) bool { return unlike(m, c.head, t, p.Options.AllowDifferentOptions) == nil })
		if at < 0 {
			at = len(classes)
			classes = append(classes, &class{head: t})
		}
		classes[at].takes = append(classes[at].takes, t)
	}
	if len(classes) == 0 {
		if why == nil {
			why = &estimate.Absence{Code: "none", What: m.Title, Why: "no take has it"}
		}
		blank.refuse(why)
		return []Series{blank}
	}
	var out []Series
	for _, c := range classes {
		s := blank
		s.Unit, s.members = unitOf(m, c.head), c.takes
		if m.Alike == review.SameSetup {
			s.Setup = setupOf(c.head)
		}
		s.Days = daysOn(m, c.takes)
		for _, d := range s.Days {
			s.Takes += d.Takes
		}
		if left := len(c.takes) - s.Takes; left > 0 {
			p.Notes = append(p.Notes, fmt.Sprintf("%s: the lines of one day point every way and have no mean; %s left out.", m.Title, counted(left, "take")))
		}
		if len(s.Days) == 0 {
			s.refuse(&estimate.Absence{Code: "spread out", What: m.Title, Why: "the lines of each day point every way, so that they have no mean"})
		} else {
			s.fit()
		}
		out = append(out, s)
	}
	return out
}

// refuse makes a series absent.
func (s *Series) refuse(why *estimate.Absence) {
	s.Absent = why
	s.PerWeek, s.Change = estimate.Value[float64]{Absent: why}, estimate.Value[float64]{Absent: why}
	nan := math.NaN()
	s.Trend = variability.TrendResult{Slope: s.Change, Change: s.Change, Tau: nan, P: nan, Least: nan, Alike: nan, Absent: why}
}

// daysOn puts the takes of each day together. takes are in order of time.
func daysOn(m review.Measure, takes []Take) []Day {
	var out []Day
	for i := 0; i < len(takes); {
		day := dayOf(takes[i].Date)
		var xs []float64
		for ; i < len(takes) && dayOf(takes[i].Date).Equal(day); i++ {
			xs = append(xs, toScale(m.Scale, takes[i].Summary.Value(m.Name)))
		}
		mean, ok := meanOn(m.Scale, xs)
		if !ok {
			continue // lines that point every way
		}
		d := Day{Date: day, Value: mean, Takes: len(xs), scaled: mean}
		if m.Scale == review.Ratio {
			d.Value = math.Exp(mean)
		}
		out = append(out, d)
	}
	if m.Scale == review.Axis {
		for i := 1; i < len(out); i++ {
			out[i].scaled = out[i-1].scaled + changeOn(m.Scale, out[i-1].scaled, out[i].scaled)
		}
	}
	return out
}

// columns returns the days since the first one and the values on the scale.
func (s *Series) columns() (t, x []float64) {
	for _, d := range s.Days {
		t = append(t, daysBetween(s.Days[0].Date, d.Date))
		x = append(x, d.scaled)
	}
	return t, x
}

func daysBetween(a, b time.Time) float64 { return math.Round(b.Sub(a).Hours() / 24) }

// fit fills in trend and curve. Days are in strictly increasing order and values
// finite, so that neither gives an error.
func (s *Series) fit() {
	t, x := s.columns()
	var err error
	if s.Trend, err = trendOf(t, x); err != nil {
		s.refuse(&estimate.Absence{Code: "values", What: s.Title, Why: err.Error()})
		return
	}
	s.PerWeek = s.asTold(times(s.Trend.Slope, 7))
	s.Change = s.asTold(s.Trend.Change)
	y := x
	if s.Scale == review.Ratio {
		y = make([]float64, len(x))
		for i, d := range s.Days {
			y[i] = d.Value
		}
	}
	if c, err := learning.Fit(t, y, learning.Options{Log: s.Scale == review.Ratio, Robust: true}); err == nil {
		if s.Scale == review.Share {
			c.Plateau = withinWhole(c.Plateau)
		}
		s.Curve = &c
	}
}

// withinWhole keeps a share and its interval within 0 and 1: a curve does not know
// that there is no more. One whose interval lies beyond altogether is no level of it.
func withinWhole(v estimate.Value[float64]) estimate.Value[float64] {
	if v.Known() && (v.Low >= 1 || v.High <= 0) {
		return estimate.Missing[float64]("beyond", "level", "the curve levels off where no share can be")
	}
	for _, x := range []*float64{&v.Value, &v.Low, &v.High} {
		*x = min(max(*x, 0), 1) // NaN stays
	}
	return v
}

// manyDays is the number of days from which on the likeness of neighbouring days
// can be allowed for.
const manyDays = 20

func trendOf(t, x []float64) (variability.TrendResult, error) {
	return variability.Trend(t, x, variability.TrendOptions{Independent: len(x) < manyDays})
}

func times(v estimate.Value[float64], k float64) estimate.Value[float64] {
	v.Value, v.Low, v.High = k*v.Value, k*v.Low, k*v.High
	return v
}

// asTold turns a change on the scale into one that is told.
func (s *Series) asTold(v estimate.Value[float64]) estimate.Value[float64] {
	if s.Scale == review.Ratio && v.Known() {
		return asShare(v)
	}
	return v
}

// adjust allows for the number of series looked at.
func (p *Progress) adjust() {
	for _, primary := range []bool{true, false} {
		var at []int
		var ps []float64
		for i, s := range p.Series {
			if s.Primary == primary && s.Absent == nil && s.Trend.P == s.Trend.P {
				at, ps = append(at, i), append(ps, s.Trend.P)
			}
		}
		if primary {
			ps = variability.Holm(nil, ps)
		} else {
			ps = variability.BenjaminiHochberg(nil, ps)
		}
		for k, i := range at {
			p.Series[i].Adjusted = ps[k]
		}
	}
}
