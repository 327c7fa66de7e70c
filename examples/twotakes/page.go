package main

import (
	_ "embed"
	"fmt"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/progress"
)

//go:embed steps.go
var steps notebook.Source

// page is the comparison for a teacher and a player.
func (j *job) page() *notebook.Doc {
	d := notebook.New("Two takes, one beside the other")
	d.Lead = fmt.Sprintf("First %s, then %s", j.side(0), j.side(1))
	if j.pain() {
		d.Section("Before anything else").Caution("Pain was noted", progress.StopRest()...)
	}
	if j.lead != "" {
		d.Section("What this is").Text(j.lead)
	}
	j.comparable(d.Section("What may be compared"))
	j.answers(d)
	j.pictures(d)
	j.groups(d.Section("The measures"))
	j.motion(d)
	j.leftOut(d)
	j.read(d.Section("How these takes were read"))
	d.Care("A change of a number is no praise and no blame, and tells no cause.")
	return d
}

// comparable says what of the two may be compared, before any number is told.
func (j *job) comparable(s *notebook.Section) {
	c := j.comparison
	var takes []string
	for i, t := range []progress.Take{c.First[0], c.Second[0]} {
		setup := "a set-up without a name"
		if t.Summary.Setup != "" {
			setup = fmt.Sprintf("set-up %q", t.Summary.Setup)
		}
		takes = append(takes, fmt.Sprintf("%s: %s, %s, lengths in %s, %.1f s, %s.",
			j.side(i), setup, t.Summary.View, t.Summary.Unit, t.Summary.Seconds, measured.Count(t.Summary.Strokes, "stroke")))
	}
	code := steps.Of(measure, compare)
	if j.repeated != nil {
		code = steps.Of(measure, repeatability, compare)
	}
	s.Step(code, notebook.List{Items: slices.Concat(takes, j.warnings())})
	s.Heading("What can be said")
	s.List(c.Notes...)
}

// leftOut lists the measures without a comparison by their reasons.
func (j *job) leftOut(d *notebook.Doc) {
	var reasons measured.Reasons
	for _, ch := range j.comparison.Changes {
		if a := ch.Change.Absent; a != nil {
			reasons.Add(a.Why, measured.Lower(ch.Title))
		}
	}
	if items := reasons.Sentences(); len(items) > 0 {
		d.Section("What cannot be compared, and why").List(items...)
	}
}

// answers tells the measures that the question is about, a sentence or two each.
func (j *job) answers(d *notebook.Doc) {
	var items []string
	for _, ch := range j.asked() {
		items = append(items, ch.Text)
	}
	if len(items) == 0 {
		return
	}
	s := d.Section("What was asked")
	s.Text("These measures were named beforehand.")
	s.List(items...)
}

// groups are the tables of the measures, by what can be said of them.
func (j *job) groups(s *notebook.Section) {
	if j.comparison.Compared == 0 {
		s.Text("Nothing can be compared. See below why, and film both takes alike.")
		return
	}
	var results []notebook.Block
	for _, g := range verdicts {
		changes := g.in(j.comparison)
		if len(changes) == 0 {
			continue
		}
		t := notebook.Table{Caption: g.caption, Head: []string{"Measure", "First", "Second", "Change"}, Numeric: []bool{false, true, true, true}}
		least := slices.ContainsFunc(changes, func(ch progress.Change) bool { return ch.Smallest.Known() })
		if least {
			t.Head = []string{"Measure", "Values", "Change", "Least"} // a phone has room for these
			t.Caption += " Least is the least change that counts."
		}
		for _, ch := range changes {
			t.Rows = append(t.Rows, row(ch, least))
		}
		results = append(results, notebook.Heading(g.title), t)
	}
	text := "A change in % is that of the value, otherwise it is in the measure's unit."
	if j.repeated == nil {
		text += " In brackets is the interval that holds the difference of such two takes in 95 of 100 cases; it says nothing of other takes of the player."
	} else {
		text += " In brackets is the interval that also allows for what takes of this player differ by themselves. A change counts from the size that such takes seldom show: in 1 of 20 pairs of takes that are alike."
	}
	s.Step(steps.Of(apart), append(results, notebook.Text(text))...)
}

func row(ch progress.Change, least bool) []string {
	d := measured.Decimals(ch.First, ch.Second)
	by := ch.Change
	if ch.Player.Known() {
		by = ch.Player
	}
	change, interval := measured.Change(ch.Scale, by, true)
	if interval != "" {
		change += " (" + interval + ")"
	}
	title, first, second := measured.Title(ch.Title, ch.Unit), measured.Fixed(ch.First.Value, d), measured.Fixed(ch.Second.Value, d)
	if least {
		return []string{title, first + ", then " + second, change, measured.Smallest(ch.Scale, ch.Smallest)}
	}
	return []string{title, first, second, change}
}

// motion holds the mean cycles of the two takes against each other.
func (j *job) motion(d *notebook.Doc) {
	m := j.comparison.Motion
	if m == nil || len(m.Components) == 0 {
		return
	}
	s := d.Section("Is it the same motion")
	s.Text("The mean motion of the longest settled span of each take, for these two takes alone. Inside means that the whole interval of the difference lies within the margin, outside that it lies beyond it; otherwise it cannot be said.")
	t, left := measured.Components(fmt.Sprintf("On the whole: %s.", m.Answer), m.Components)
	s.Table(t)
	s.List(left...)
}

// read tells what was assumed.
func (j *job) read(s *notebook.Section) {
	items := slices.Clone(j.notes)
	if r := j.repeated; r != nil {
		items = append(items, fmt.Sprintf("Repeats: %s of %s.", measured.Count(r.Takes, "take"), measured.Count(r.Days, "day")))
		items = append(items, r.LeftOut...)
	}
	items = append(items, "comparison.csv and comparison.json hold all of it with more digits; changes of what is compared by its factor stand there as natural logarithms.",
		"To see one take with its pictures and its own questions, review it with onetake.")
	s.List(items...)
}
