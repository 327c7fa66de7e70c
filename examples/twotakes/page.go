package main

import (
	"fmt"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

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
	j.groups(d.Section("The measures"))
	j.motion(d)
	j.pictures(d)
	j.leftOut(d)
	j.read(d.Section("How these takes were read"))
	d.Section("Take care").Caution("Fast repeated motion can hurt",
		"Stop at pain, numbness or tingling. Rest, and come back another day. If it stays or returns, see a clinician.",
		"A change of a number is no praise and no blame, and tells no cause. Nothing on this page is medical advice, and no number on it is a reason to play through discomfort.")
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
	s.List(takes...)
	s.List(j.warnings()...)
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
	for _, g := range verdicts {
		changes := g.in(j.comparison)
		if len(changes) == 0 {
			continue
		}
		s.Heading(g.title)
		t := notebook.Table{Caption: g.caption, Head: []string{"Measure", "First", "Second", "Change"}, Numeric: []bool{false, true, true, true, true}}
		repeats := slices.ContainsFunc(changes, func(ch progress.Change) bool { return ch.Smallest.Known() })
		if repeats {
			t.Head = append(t.Head, "Least")
			t.Caption += " Least is the least change that counts."
		}
		for _, ch := range changes {
			t.Rows = append(t.Rows, row(ch, repeats))
		}
		s.Table(t)
	}
	text := "A change in % is that of the value, otherwise it is in the measure's unit."
	if j.repeated == nil {
		text += " In brackets is the interval that holds the difference of such two takes in 95 of 100 cases; it says nothing of other takes of the player."
	} else {
		text += " A change counts from the size that takes of this player seldom show by themselves: in 1 of 20 pairs of takes that are alike."
	}
	s.Text(text)
}

func row(ch progress.Change, repeats bool) []string {
	d := measured.Decimals(ch.First, ch.Second)
	change, interval := measured.Change(ch.Scale, ch.Change, true)
	cells := []string{measured.Title(ch.Title, ch.Unit), measured.Fixed(ch.First.Value, d), measured.Fixed(ch.Second.Value, d), change}
	switch {
	case repeats:
		return append(cells, measured.Smallest(ch.Scale, ch.Smallest))
	case interval != "":
		cells[3] += " (" + interval + ")"
	}
	return cells
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

// pictures shows both paths along the strings, where the view does.
func (j *job) pictures(d *notebook.Doc) {
	var s *notebook.Section
	for i, r := range j.reviews {
		if !r.Frame.View.HasOut() || len(r.Motion.Strokes) == 0 {
			continue
		}
		if s == nil {
			s = d.Section("The paths")
		}
		f := figure.Paths{Across: r.Placed.Across, Out: r.Placed.Out, Unit: r.UnitOf(review.Measure{Unit: "unit"}), HeightsKnown: !r.Motion.Options.Relative}
		if a := r.Value("path_angle_deg"); a.Known() {
			f.Angle = estimate.As[circular.Angle](a)
			f.Angle.Value *= circular.Degree
			f.Angle.Low *= circular.Degree
			f.Angle.High *= circular.Degree
		}
		s.Figure(notebook.Figure{
			Name:    fmt.Sprintf("path-%d", i+1),
			Of:      f,
			Alt:     fmt.Sprintf("The path of the tip in %s, seen along the strings, with its axis.", j.names[i]),
			Caption: fmt.Sprintf("%s, as seen along the strings: treble side to the right, out of the instrument up.", j.side(i)),
		})
	}
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
