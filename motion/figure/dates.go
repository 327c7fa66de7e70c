package figure

import (
	"math"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/variability/estimate"
)

// OverDates shows a measure of one player over days or weeks: a point for each
// with its interval, the trend line with its band, and the dates at which pain
// was noted.
type OverDates struct {
	// Name says what is measured, such as "settled share". In the unit "%" the scale
	// ends at 0 and 100 unless there are values beyond.
	Name, Unit string
	// Dates do not decrease; a zero date is missing. Value is the measure then;
	// Low and High are its bounds, or nil.
	Dates            []time.Time
	Value, Low, High []float64
	// Trend is a line over days since the first of Dates that is not zero; it
	// may be empty.
	Trend Curve
	// Level is what the values tend to, where a learning curve tells it, with its
	// interval; if absent, it is not drawn.
	Level estimate.Value[float64]
	// Pain are the dates at which pain was noted.
	Pain []time.Time
}

func (f OverDates) draw(p paper) *sheet {
	sameLength(len(f.Dates), len(f.Value))
	if f.Low != nil || f.High != nil {
		sameLength(len(f.Dates), len(f.Low), len(f.High))
	}
	f.Trend.check()
	days := make([]float64, len(f.Dates))
	first := math.NaN()
	for i, d := range f.Dates {
		days[i] = day(d)
		if !shown(first) {
			first = days[i]
		}
	}
	x, y := pairs(days, f.Value)
	when, scale := none.with(x...), bulk(y)
	if when.empty() {
		return p.nothing("no date has a value.")
	}
	trend := f.Trend
	trend.X = make([]float64, len(f.Trend.X))
	for i, v := range f.Trend.X {
		trend.X[i] = first + v
	}
	var pain []float64
	for _, d := range f.Pain {
		if v := day(d); shown(v) {
			pain = append(pain, v)
		}
	}
	when = when.with(pain...).padded(0.03)
	bars := Curve{X: days, Y: f.Value, Low: f.Low, High: f.High}
	scale = scale.with(bars.within(scale)...)
	scale = scale.with(trend.within(scale)...)
	level := f.level(when)
	scale = scale.with(level.within(scale)...)
	values := scale
	scale = scale.padded(0.1)
	if f.Unit == "%" {
		scale = interval{max(scale.lo, min(values.lo, 0)), min(scale.hi, max(values.hi, 100))}
	}

	entries := append([]entry{dotEntry(f.entry(), oneDate)}, beyondEntry(f.Value, scale, oneDate)...)
	if trend.seen() {
		entries = append(entries, trend.entry("trend"))
	}
	if level.seen() {
		entries = append(entries, level.levelEntry())
	}
	if len(pain) > 0 {
		entries = append(entries, dotEntry("pain noted: stop, rest", hurt))
	}
	marks := ticks(scale, 5)
	s, area := p.layout(p.key(entries...), labelRoom(marks), 4, 190)
	a := axes{in: area, x: when, y: scale}
	s.title(area, inUnit(f.Name, f.Unit))
	s.band(a, trend)
	s.level(a, level)
	s.beside(a, marks)
	dates, label := dateTicks(when, max(2, float64(area.Size().X)/95))
	s.below(a, dates, label)
	s.whiskers(a, days, f.Low, f.High)
	s.series(a, days, f.Value, oneDate)
	s.curve(a, trend)
	var hurts []vg.Point
	for _, v := range pain {
		hurts = append(hurts, at(a.atX(v), area.Max.Y-6))
	}
	s.dots(hurt, hurts)
	return s
}

// levelLine is that of the level, levelBound that of its interval.
var levelLine, levelBound = stroke(vermillion, 1.6, 7, 3), stroke(vermillion, 0.9, 1.5, 3)

// level is the level over the time that is shown, empty if it is absent.
func (f OverDates) level(when interval) Curve {
	v := f.Level
	if !v.Known() || !shown(v.Value) {
		return Curve{}
	}
	return Curve{X: []float64{when.lo, when.hi}, Y: []float64{v.Value, v.Value}, Low: []float64{v.Low, v.Low}, High: []float64{v.High, v.High}}
}

// levelEntry is the level's entry in the key.
func (c Curve) levelEntry() entry {
	text, bounded := "level", shown(c.Low[0]) && shown(c.High[0])
	if bounded {
		text += ", with its interval"
	}
	return entry{text, func(s *sheet, in vg.Rectangle) {
		mid := (in.Min.Y + in.Max.Y) / 2
		s.StrokeLines(levelLine, []vg.Point{at(in.Min.X, mid), at(in.Max.X, mid)})
		for _, y := range []vg.Length{in.Min.Y + 1, in.Max.Y - 1} {
			if bounded {
				s.StrokeLines(levelBound, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
			}
		}
	}}
}

// level draws a level with the bounds of its interval, as far as they are shown.
func (s *sheet) level(a axes, c Curve) {
	for i, column := range [][]float64{c.Y, c.Low, c.High} {
		style := levelBound
		if i == 0 {
			style = levelLine
		}
		if len(column) > 0 && shown(column[0]) && a.y.contains(column[0]) {
			s.StrokeLines(style, []vg.Point{a.at(c.X[0], column[0]), a.at(c.X[1], column[1])})
		}
	}
}

// entry says what a point is.
func (f OverDates) entry() string {
	text := "one date"
	if f.Low != nil {
		text += ", with its interval"
	}
	return text
}

// day returns a date as days since 1970, with the time of day as its calendar
// has it; NaN for the zero date.
func day(t time.Time) float64 {
	if t.IsZero() {
		return math.NaN()
	}
	y, m, d := t.Date()
	h, min, s := t.Clock()
	return float64(time.Date(y, m, d, h, min, s, 0, time.UTC).Unix()) / 86400
}

// date returns the day that a number of days since 1970 lies in.
func date(days float64) time.Time {
	return time.Unix(int64(math.Floor(days))*86400, 0).UTC()
}

// dateTicks returns at most about n ticks of a calendar within iv, in days since
// 1970: days, Mondays, firsts of months or of years; and a label that says the
// years where the ticks do not.
func dateTicks(iv interval, n float64) (marks []tick, label string) {
	from, to := date(math.Ceil(iv.lo)), date(iv.hi)
	label = "date, " + strconv.Itoa(date(iv.lo).Year())
	if to.Year() != date(iv.lo).Year() {
		label += " to " + strconv.Itoa(to.Year())
	}
	if years := iv.size() / 365.25; years > 200 {
		return nil, label
	}
	for _, c := range calendar {
		if iv.size()/c.days > n {
			continue
		}
		for d := c.first(from); !d.After(to); d = c.next(d) {
			marks = append(marks, tick{day(d), d.Format(c.layout)})
		}
		if strings.Contains(c.layout, "2006") {
			label = "date"
		}
		return marks, label
	}
	return nil, label
}

// step is a spacing of dates.
type step struct {
	days        float64 // about
	d, m, y     int     // days, months, years
	layout      string
	monday, one bool // begins on a Monday, on the first of a month
}

var calendar = []step{
	{days: 1, d: 1, layout: "2 Jan"}, {days: 2, d: 2, layout: "2 Jan"},
	{days: 7, d: 7, layout: "2 Jan", monday: true}, {days: 14, d: 14, layout: "2 Jan", monday: true},
	{days: 30, m: 1, layout: "2 Jan", one: true}, {days: 61, m: 2, layout: "Jan 2006", one: true},
	{days: 91, m: 3, layout: "Jan 2006", one: true}, {days: 182, m: 6, layout: "Jan 2006", one: true},
	{days: 365, y: 1, layout: "2006", one: true}, {days: 730, y: 2, layout: "2006", one: true},
	{days: 1826, y: 5, layout: "2006", one: true}, {days: 3652, y: 10, layout: "2006", one: true},
	{days: 18262, y: 50, layout: "2006", one: true},
}

// first returns the first date of the steps that is not before from.
func (c step) first(from time.Time) time.Time {
	switch {
	case c.monday:
		return from.AddDate(0, 0, (8-int(from.Weekday()))%7)
	case !c.one:
		return from
	}
	y, m := from.Year(), from.Month()
	if c.y > 0 {
		y, m = (y/c.y)*c.y, time.January
	} else {
		m -= (m - 1) % time.Month(c.m)
	}
	d := time.Date(y, m, 1, 0, 0, 0, 0, time.UTC)
	if d.Before(from) {
		d = c.next(d)
	}
	return d
}

func (c step) next(d time.Time) time.Time { return d.AddDate(c.y, c.m, c.d) }
