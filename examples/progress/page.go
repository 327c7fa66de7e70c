package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
)

// page is the progress of the players for a teacher.
func (j *job) page() *notebook.Doc {
	d := notebook.New("Progress over days and weeks")
	d.Lead = fmt.Sprintf("%s, %s", measured.Count(len(j.players), "player"), measured.Count(len(j.takes), "take"))
	if hurt := j.hurt(); len(hurt) > 0 {
		d.Section("Players first").Caution("Pain was noted: "+strings.Join(hurt, ", "), progress.StopRest()...)
	}
	if j.lead != "" {
		d.Section("What this is").Text(j.lead)
	}
	j.leftOut(d)
	for i := range j.players {
		j.player(d.Section(j.players[i].Player), &j.players[i])
	}
	d.Section("How to read this").List(
		"A day is one observation, however many takes it has: its takes are put together first.",
		"An interval holds the true value in 95 of 100 such cases. \"Cannot be said\" means that these takes do not tell, and not that nothing changed.",
		"Takes whose rate was asked for (slow, fast, ramp) serve the question of the slow motion alone: what a player was asked to do is no trend.",
		"progress.csv has one measurement of one take a line, trends.csv one measure of one player, both with more digits. The program cohort reads progress.csv with -from-rows.",
		"Nothing here tells why a measure changed.",
	)
	d.Section("Take care").Caution("Fast repeated motion can hurt",
		"Stop at pain, numbness or tingling. Rest, and come back another day. If it stays or returns, see a clinician.",
		"Warm up, keep fast playing short, and take breaks. Nothing on this page is medical advice, and no number on it is a reason to play through discomfort.")
	return d
}

// untilWell is for a player with pain: no sentence below is a reason to play.
const untilWell = "What follows is for the record. Where it says to film further, that waits until the player is well."

// hurt are the players who noted pain and no good day since.
func (j *job) hurt() []string {
	var codes []string
	for _, p := range j.players {
		if p.hurt {
			codes = append(codes, p.Player)
		}
	}
	return codes
}

func (j *job) leftOut(d *notebook.Doc) {
	var items []string
	for _, t := range j.takes {
		if t.record.Failure != nil {
			items = append(items, takefile.Failure(t.record)+".")
		}
	}
	for _, p := range j.players {
		for _, text := range p.LeftOut {
			if !strings.HasSuffix(text, ": it is not reviewed") { // told with its reason
				items = append(items, text+".")
			}
		}
	}
	if len(items)+len(j.roster.Notes) > 0 {
		s := d.Section("Takes left out, and notes on the list")
		s.List(slices.Concat(items, j.roster.Notes)...)
	}
}

// player is the section of one player.
func (j *job) player(s *notebook.Section, p *player) {
	if p.hurt {
		s.Caution("Stop, and rest", slices.Concat(p.advice.Stop, []string{untilWell})...)
	}
	s.List(p.Notes...)
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
	s.Text(text + ".")
	if p.Takes == 0 {
		s.Text("Nothing can be followed yet: the list needs takes with a date that can be measured.")
	} else {
		s.Heading("What was asked")
		s.List(j.asked(p)...)
	}
	if !p.hurt && p.latest != nil {
		s.Heading("What to work on")
		s.Text(fmt.Sprintf("After %s:", p.latest.Label()))
		s.List(work(p)...)
	}
	if p.Takes == 0 {
		return
	}
	s.Heading("Week by week")
	s.Table(weeks(p))
	s.Heading("What came first, speed or evenness")
	s.List(orders(p)...)
	if !p.hurt {
		s.Heading("Is the slow motion the fast one")
		slowFast(s, p)
	}
	s.Heading("How far takes differ by themselves")
	j.repeats(s, p)
	s.Heading("Other measures")
	others(s, p)
}

// asked tells the measures that were named, and what their curves say.
func (j *job) asked(p *player) []string {
	var items []string
	for _, name := range j.primary {
		for _, x := range p.Of(name) {
			text := x.Text
			if x.Curve != nil && x.Curve.Verdict > learning.NoChange && x.Adjusted <= 0.05 {
				text += " Day by day: " + measured.Lower(strings.ReplaceAll(x.Curve.Sentence, "places on the x axis", "days"))
			}
			items = append(items, text)
		}
	}
	return items
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

func weeks(p *player) notebook.Table {
	t := notebook.Table{
		Caption: "Weeks from Monday. Settled is the share of the playing time in which one motion holds, with its interval where three takes or more tell it; rate is that of settled spans, in strokes a second; longest is the longest settled span in seconds.",
		Head:    []string{"Week of", "Takes", "Settled", "Rate", "Longest"},
		Numeric: []bool{false, true, true, true, true},
	}
	for _, w := range p.Weeks {
		rate, longest := "not known", ""
		if w.SettledRate.Known() {
			rate = measured.Digits(w.SettledRate.Value, 2)
		}
		if !math.IsNaN(w.Longest) {
			longest = measured.Fixed(w.Longest, 1)
		}
		week := w.Monday.Format(time.DateOnly)
		if w.Pain > 0 {
			week += ", pain noted"
		}
		t.Rows = append(t.Rows, []string{week, fmt.Sprint(w.Takes), measured.Share(w.SettledShare), rate, longest})
	}
	return t
}

func orders(p *player) []string {
	var items []string
	for _, o := range p.Orders {
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
	return items
}

// slowFast tells whether the slow motion is that of the fast strokes.
func slowFast(s *notebook.Section, p *player) {
	if p.ramp != nil {
		s.Text(fmt.Sprintf("Within %s: %s", p.ramp.Label(), p.ramp.ramp.Sentence))
		components(s, *p.ramp.ramp)
	}
	s.Text("Over takes of a day: " + p.same.Sentence)
	components(s, p.same)
}

func components(s *notebook.Section, same progress.SameMotion) {
	if same.Absent != nil || len(same.Components) == 0 {
		return
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
		share := c.Name == "stroke length" || c.Name == "cycle shape"
		if v := c.Difference; v.Known() {
			if share {
				v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
			}
			row[2] = measured.Value(v)
		}
		switch {
		case c.Name == "cycle shape":
			row[0] += ", % of the length"
		case share:
			row[0] += ", %"
		case c.Unit != "":
			row[0] += ", " + c.Unit
		}
		if m := c.Margin; m > 0 {
			if share {
				m *= 100
			}
			row[3] = measured.Digits(m, 2)
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table(t)
	s.List(left...)
}

// repeats tells the smallest changes that count.
func (j *job) repeats(s *notebook.Section, p *player) {
	t := notebook.Table{
		Caption: fmt.Sprintf("The smallest change from one take to another that such takes seldom show by themselves (1 in 20), from %s on %s.",
			measured.Count(p.Repeats.Takes, "take"), measured.Count(p.Repeats.Days, "day")),
		Head:    []string{"Measure", "One day", "Two days"},
		Numeric: []bool{false, true, true},
	}
	var why []string
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
				why = append(why, fmt.Sprintf("%s, %s: %s.", m.Title, [2]string{"on one day", "from day to day"}[i], measured.Why(v.Absent)))
			}
		}
	}
	s.Table(t)
	s.List(why...)
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
