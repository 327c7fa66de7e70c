package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
)

// chapter is the section of one player.
type chapter struct {
	*notebook.Section
	*player
	number int             // of the player, from 1
	shown  map[string]bool // code that stands in the page already
}

// step adds what came of code, and the code where it has not been shown.
func (c *chapter) step(key string, code notebook.Listing, results ...notebook.Block) {
	if c.shown[key] {
		c.Add(results...)
		return
	}
	c.shown[key] = true
	c.Step(code, results...)
}

// picture is a figure of the player's.
func (c *chapter) picture(name string, of figure.Figure, alt, caption string) notebook.Figure {
	return notebook.Figure{Name: fmt.Sprintf("%s-%d", name, c.number), Of: of, Alt: alt, Caption: caption}
}

func (c *chapter) write(j *job) {
	p := c.player
	if p.hurt {
		c.Caution("Stop, and rest", slices.Concat(p.advice.Stop, []string{untilWell})...)
	}
	c.List(p.Notes...)
	text := measured.Count(p.Takes, "take") + " at the player's own pace"
	switch {
	case p.Days == 1:
		text += " on " + p.First.Format(time.DateOnly)
	case p.Days > 1:
		text += fmt.Sprintf(" on %d days, %s to %s", p.Days, p.First.Format(time.DateOnly), p.Last.Format(time.DateOnly))
	}
	if p.asked > 0 {
		text += fmt.Sprintf("; %s at a pace that was asked for", measured.Count(p.asked, "take"))
	}
	c.Text(text + ".")
	if p.Takes == 0 {
		c.Text("Nothing can be followed yet: the list needs takes with a date that can be measured.")
	} else {
		c.Heading("What was asked")
		c.step("follow", steps.Of(measure, follow), list(j.asked(p), "No measure was named.")...)
		c.days(j)
	}
	if !p.hurt && p.latest != nil {
		c.Heading("What to work on")
		c.Text(fmt.Sprintf("After %s:", p.latest.Label()))
		c.step("counsel", steps.Of(counsel), list(work(p), "Nothing stands out in this take.")...)
	}
	if p.Takes == 0 {
		return
	}
	c.Heading("Week by week")
	c.weeks()
	if !p.hurt { // what follows asks for further takes, which wait until the player is well
		c.Heading("What came first, speed or evenness")
		c.orders()
		c.Heading("Is the slow motion the fast one")
		c.slowFast()
		c.Heading("How far takes differ by themselves")
		j.repeats(c.Section, p)
	}
	c.Heading("Other measures")
	others(c.Section, p)
}

// list is a list of items, or what to say where there is none.
func list(items []string, none string) []notebook.Block {
	if len(items) == 0 {
		return []notebook.Block{notebook.Text(none)}
	}
	return []notebook.Block{notebook.List{Items: items}}
}

// days are pictures of the measures that were named, day by day.
func (c *chapter) days(j *job) {
	var pictures []notebook.Block
	for _, name := range j.primary {
		for _, x := range c.Of(name) {
			if len(x.Days) < 2 {
				continue
			}
			caption := x.Title + ". A point is a day."
			switch {
			case x.Trend.Absent != nil:
				caption += " Whether it changes cannot be said yet."
			case !(x.Adjusted <= 0.05):
				caption += " No trend can be told from what days differ by."
			case bends(x):
				caption += " The line is the learning curve, with its interval."
				if x.Curve.Plateau.Known() {
					caption += " Dashed is the level that it tends to, with the bounds of its interval."
				}
			default:
				caption += " The line is the trend."
			}
			if x.Setup != "" {
				caption += fmt.Sprintf(" Takes of the set-up %q.", x.Setup)
			}
			pictures = append(pictures, c.picture(fmt.Sprintf("days-%d", len(pictures)+1), overDays(x, short(x.Title), c.pain),
				fmt.Sprintf("%s over %s.", x.Title, measured.Count(len(x.Days), "day")), caption))
		}
	}
	if len(pictures) > 0 {
		c.step("days", steps.Of(overDays, trend, bends), pictures...)
	}
}

// asked tells the measures that were named, and what their curves say.
func (j *job) asked(p *player) []string {
	var items []string
	for _, name := range j.primary {
		for _, x := range p.Of(name) {
			items = append(items, x.Text+learned(x))
		}
	}
	return items
}

// learned tells what the learning curve of a measure shows, "" for nothing.
func learned(x progress.Series) string {
	if !(x.Adjusted <= 0.05) || !bends(x) {
		return ""
	}
	switch done := x.Curve.Done; {
	case x.Curve.Verdict == learning.StillChanging:
		return " Day by day it changes less and less; the level that it tends to is not in sight yet."
	case x.Curve.Verdict == learning.Reached:
		return " Day by day it levels off, and the level is reached."
	case done.Known():
		return fmt.Sprintf(" Day by day it levels off, with %s of the change done. Further days will tell when the level is reached.", measured.Percent(done.Value))
	}
	return " Day by day it levels off."
}

// short is a title that fits over a figure.
func short(title string) string {
	if what, _, ok := strings.Cut(title, ": scatter"); ok {
		return "scatter: " + measured.Lower(what)
	}
	return title
}

// work says what to work on after the latest take.
func work(p *player) []string {
	var items []string
	told := func(text, source string, oneTake bool) {
		if oneTake {
			text += " (Seen in this take alone.)"
		}
		items = append(items, fmt.Sprintf("%s [%s]", text, source))
	}
	a := p.advice
	if a.Holds != nil {
		told("It holds: "+a.Holds.Text, a.Holds.Source, a.Holds.OneTake)
	}
	for _, w := range a.Work {
		told("To work on: "+w.Text, w.Source, w.OneTake)
	}
	return append(items, a.Notes...)
}

// A table holds the first and the last weeks; the figure has all.
const firstWeeks, lastWeeks = 2, 4

// weeks is the course of the settled share, with the weeks as a table.
func (c *chapter) weeks() {
	t := notebook.Table{
		Caption: "Weeks from Monday. Settled is the share of the playing time in which one motion holds, with its interval where three takes or more tell it; rate is that of settled spans, in strokes a second; longest is the longest settled span in seconds.",
		Head:    []string{"Week of", "Takes", "Settled", "Rate", "Longest"},
		Numeric: []bool{false, true, true, true, true},
	}
	for i, w := range c.Weeks {
		if i >= firstWeeks && i < len(c.Weeks)-lastWeeks {
			continue
		}
		rate, longest := "not known", ""
		if w.SettledRate.Known() {
			rate = measured.Digits(w.SettledRate.Value, 2)
		}
		if !math.IsNaN(w.Longest) {
			longest = measured.Fixed(w.Longest, 1)
		}
		week := w.Monday.Format("2 Jan 2006")
		if w.Pain > 0 {
			week += ", pain noted"
		}
		t.Rows = append(t.Rows, []string{week, fmt.Sprint(w.Takes), measured.Share(w.SettledShare), rate, longest})
	}
	if len(t.Rows) < len(c.Weeks) {
		t.Caption = fmt.Sprintf("The first %d and the last %d weeks; progress.json has all. ", firstWeeks, lastWeeks) + t.Caption
	}
	var results []notebook.Block
	if f := overWeeks(c.Weeks); len(f.Dates) > 1 {
		results = append(results, c.picture("weeks", f, fmt.Sprintf("The share of the playing time that is settled, over %s.", measured.Count(len(f.Dates), "week")),
			"The share of the playing time in which one motion holds, week by week."))
	}
	c.step("weeks", steps.Of(overWeeks), append(results, t)...)
}

// orders tells what came first, with the way of the player.
func (c *chapter) orders() {
	var pictures []notebook.Block
	var items []string
	for i, o := range c.Orders {
		if m, ok := measured.Named(o.Scatter); ok && (o.RateMiddle.Known() || o.EvennessMiddle.Known()) {
			unit := m.Unit
			if unit == "s" {
				unit = "as a share of it"
			}
			pictures = append(pictures, c.picture(fmt.Sprintf("way-%d", i+1), way(o, short(m.Title), unit), fmt.Sprintf("The rate against: %s, joined day by day.", measured.Lower(m.Title)),
				"A point is a day, light at first and dark at last. To the right is faster, down is more even."))
		}
		text := o.Sentence
		if w := o.WithinDays; w.Known() && o.P <= 0.05 {
			way := "the less even ones"
			if w.Value < 0 {
				way = "the more even ones"
			}
			text += fmt.Sprintf(" Within a day the faster takes tend to be %s.", way)
		}
		items = append(items, text)
	}
	if len(pictures) > 0 {
		c.step("way", steps.Of(way), pictures...)
	}
	c.List(items...)
}

// slowFast tells whether the slow motion is that of the fast strokes.
func (c *chapter) slowFast() {
	if c.ramp != nil {
		c.Text(fmt.Sprintf("Within %s: %s", c.ramp.Label(), c.ramp.ramp.Sentence))
		c.Add(components(*c.ramp.ramp)...)
	}
	c.step("slow", steps.Of(slowAgainstFast), append([]notebook.Block{notebook.Text("Over takes of a day: " + c.same.Sentence)}, components(c.same)...)...)
}

func components(same progress.SameMotion) []notebook.Block {
	if same.Absent != nil || len(same.Components) == 0 {
		return nil
	}
	t := notebook.Table{
		Caption: fmt.Sprintf("At %.3g and at %.3g strokes a second. Inside: the whole interval of the difference lies within the margin.", same.Slow, same.Fast),
		Head:    []string{"What", "Answer", "Differs by", "Margin"},
		Numeric: []bool{false, false, true, true},
	}
	var left []string
	for _, c := range same.Components {
		row := []string{c.Name, c.Answer.String(), "", ""}
		if c.LeftOut != nil {
			row[1] = "told only"
			left = append(left, fmt.Sprintf("%s: %s.", measured.Upper(c.Name), c.LeftOut.Why))
		}
		if v := c.Difference; v.Known() {
			if c.ShareOf != "" {
				v = measured.Hundredfold(v)
			}
			row[2] = measured.Value(v)
		}
		switch {
		case c.ShareOf == c.Name:
			row[0] += ", %"
		case c.ShareOf != "":
			row[0] += ", % of the " + c.ShareOf
		case c.Unit != "":
			row[0] += ", " + c.Unit
		}
		if m := c.Margin; m > 0 {
			if c.ShareOf != "" {
				m *= 100
			}
			row[3] = measured.Digits(m, 2)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(left) == 0 {
		return []notebook.Block{t}
	}
	return []notebook.Block{t, notebook.List{Items: left}}
}

// repeats tells the smallest changes that count.
func (j *job) repeats(s *notebook.Section, p *player) {
	t := notebook.Table{
		Caption: fmt.Sprintf("The smallest change from one take to another that such takes seldom show by themselves (1 in 20), from %s on %s.",
			measured.Count(p.Repeats.Takes, "take"), measured.Count(p.Repeats.Days, "day")),
		Head:    []string{"Measure", "One day", "Two days"},
		Numeric: []bool{false, true, true},
	}
	var why measured.Reasons
	for _, name := range j.primary {
		r, ok := p.Repeats.Of(name)
		m, known := measured.Named(name)
		if !ok || !known {
			continue
		}
		day, days := r.Smallest(1, 1, false), r.Smallest(1, 1, true)
		title := m.Title
		if m.Unit != "" && m.Scale != review.Ratio {
			title += ", " + m.Unit
		}
		t.Rows = append(t.Rows, []string{title, measured.Smallest(m.Scale, day), measured.Smallest(m.Scale, days)})
		for i, v := range []estimate.Value[float64]{day, days} {
			if !v.Known() {
				why.Add(measured.Why(v.Absent), fmt.Sprintf("%s, %s", measured.Lower(m.Title), [2]string{"on one day", "from day to day"}[i]))
			}
		}
	}
	s.Table(t)
	s.List(why.Sentences()...)
}

// others tells which of the other measures rise or fall.
func others(s *notebook.Section, p *player) {
	t := notebook.Table{
		Caption: "Measures that were not named beforehand and change from day to day, also when it is allowed for that so many were looked at. Take them as what to look at next.",
		Head:    []string{"Measure", "First", "Last", "A week"},
		Numeric: []bool{false, true, true, true},
	}
	looked, short := 0, 0
	for _, x := range p.Series {
		switch {
		case x.Primary || x.Absent != nil:
			continue
		case x.Trend.Absent != nil:
			short++
			continue
		}
		looked++
		if !(x.Adjusted <= 0.05) {
			continue
		}
		title := measured.Title(x.Title, x.Unit)
		if x.Setup != "" {
			title += " (set-up " + x.Setup + ")"
		}
		week, interval := measured.Change(x.Scale, x.PerWeek, false)
		if interval != "" {
			week += " (" + interval + ")"
		}
		size := x.PerWeek
		if x.Scale == review.Ratio { // as many digits as the change of a week bears
			size.Value, size.Low, size.High = size.Value*x.Days[0].Value, size.Low*x.Days[0].Value, size.High*x.Days[0].Value
		}
		d := measured.Decimals(size)
		t.Rows = append(t.Rows, []string{title, measured.Fixed(x.Days[0].Value, d), measured.Fixed(x.Days[len(x.Days)-1].Value, d), week})
	}
	if len(t.Rows) > 0 {
		s.Table(t)
	}
	text := fmt.Sprintf("%d of %d that could be followed change by more than days differ.", len(t.Rows), looked)
	if short > 0 {
		text += fmt.Sprintf(" %d have takes on fewer than five days, or no more than one value.", short)
	}
	s.Text(text)
}
