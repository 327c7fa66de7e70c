package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/settling"
)

// numbers is the table of measures with their intervals, and that of the spans.
// Units stand with the measures, so that nothing lies off a narrow screen.
func numbers(s *notebook.Section, r *review.Review) {
	table := notebook.Table{
		Caption: "Measures of this take. The interval holds the true value in 95 of 100 such takes; where it is empty, there were too few for one.",
		Head:    []string{"Measure", "Value", "Interval", "From"},
		Numeric: []bool{false, true, true},
	}
	paces := changesPace(r)
	if paces {
		table.Caption += " Times, rates and speeds are left out, as the question above asks about them."
	}
	for i, m := range review.Measures() {
		v := r.Values[i]
		if !v.Known() {
			continue
		}
		title := measured.Title(m.Title, r.UnitOf(m))
		d := measured.Decimals(v)
		table.Rows = append(table.Rows, []string{title, measured.Fixed(v.Value, d), measured.Range(v, d), measured.Count(v.N, m.Of)})
	}
	if len(table.Rows) > 0 {
		s.Table(table)
	} else {
		s.Text("None could be had.")
	}
	if len(r.Spans) > 0 && !paces {
		angles(s, r)
	}
}

// spans is the table of the spans in time order.
func spans(s *notebook.Section, r *review.Review) {
	if len(r.Spans) == 0 {
		return
	}
	t := notebook.Table{
		Caption: "The spans, with strokes a second.",
		Head:    []string{"Span", "Lasts, s", "a second", "Motion"},
		Numeric: []bool{false, true, true},
	}
	holds, searches := r.History.Holds, r.History.Searches
	if len(holds) > 1 {
		t.Caption += fmt.Sprintf(" The last column says which earlier settled span has the same motion: all middles within %s.", oneMotion(r))
	}
	n := 0
	for _, sp := range r.Spans {
		var of settling.Stretch
		name, motion := "searching", ""
		switch {
		case sp.Settled && n < len(holds):
			of, name, motion = holds[n].Stretch, fmt.Sprintf("settled %d", n+1), asWhich(holds, n)
			n++
		case !sp.Settled && len(searches) > 0:
			of, searches = searches[0], searches[1:]
		default:
			continue
		}
		lasts := fmt.Sprintf("%.1f", of.Seconds)
		if of.CutStart || of.CutEnd {
			lasts = "at least " + lasts
		}
		rate := ""
		if of.Rate.Known() {
			rate = measured.Value(of.Rate)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%s, %.1f to %.1f s", name, sp.Start, sp.End), lasts, rate, motion})
	}
	s.Table(t)
}

// asWhich says whose motion the i-th settled span keeps.
func asWhich(holds []settling.Hold, i int) string {
	switch h := holds[i]; {
	case i == 0:
		return ""
	case h.Again >= 0:
		return fmt.Sprintf("as %d", h.Again+1)
	case h.FromLast.Verdict == settling.AnotherMotion:
		return fmt.Sprintf("not as %d", i)
	}
	return "cannot say"
}

// angles is the table of the spans' tempo, path angle and carry.
func angles(s *notebook.Section, r *review.Review) {
	t := notebook.Table{
		Caption: "Settled and searching spans: the tempo that they make with strokes as sixteenths, and path angle in degrees.",
		Head:    []string{"Span", "BPM", "Angle"},
		Numeric: []bool{false, true, true, true},
	}
	if len(r.Carries) > 0 {
		t.Caption = strings.Replace(t.Caption, ", and path angle in degrees", ", path angle in degrees, and carry", 1)
		t.Head = append(t.Head, "Carry")
	}
	for _, sp := range r.Spans {
		beats, angle := "", ""
		if sp.Rate.Known() {
			beats = measured.Fixed(float64(sp.Rate.Value.BPM(tempo.Sixteenth)), 0)
		}
		if sp.PathAngle.Known() {
			angle = measured.Fixed(sp.PathAngle.Value.Degrees(), 1)
		}
		row := []string{spanName(sp) + ", " + measured.Count(sp.Strokes, "stroke"), beats, angle}
		if len(r.Carries) > 0 {
			carry := ""
			if sp.Carry.Known() {
				carry = measured.Fixed(sp.Carry.Value, 2)
			}
			row = append(row, carry)
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table(t)
}

// spanName is what a span is called: its kind, and when it was.
func spanName(sp review.Span) string {
	return fmt.Sprintf("%s, %.1f to %.1f s", sp.Kind(), sp.Start, sp.End)
}

// inPicture is what to know of lengths that a picture shows.
const inPicture = "as seen in the picture: a point that lies nearer to the camera looks to move more, one further away less."

// carried is the section on what carries the tip.
func carried(d *notebook.Doc, r *review.Review) {
	if len(r.Carries) == 0 {
		return
	}
	s := d.Section("What carries the tip")
	text := "Carry is how far a point of the hand or the arm travels in step with the tip, as a share of the tip's travel: near 1 the arm carries the hand, a small one means that wrist or fingers move the pick."
	if r.Tip.Planar() {
		text += " It is " + inPicture
	}
	s.Text(text)
	t := notebook.Table{
		Caption: "Carry of the tracked points over the take. Lag is by how many degrees the point comes after the tip; 360 are a downstroke and an upstroke.",
		Head:    []string{"Point", "Carry", "Interval", "Lag"},
		Numeric: []bool{false, true, true, true},
	}
	for _, c := range r.Carries {
		row := []string{pointName(c), "not known", "", "not known"}
		if c.Value.Known() {
			n := measured.Decimals(c.Value)
			row[1], row[2] = measured.Fixed(c.Value.Value, n), measured.Range(c.Value, n)
		}
		if c.Lag.Known() {
			row[3] = measured.Fixed(c.Lag.Value.Degrees(), 0)
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table(t)
	if r.Drive != nil && r.Drive.Absent == nil {
		driven(s, r)
	}
}

// driven is the table of what each joint brings, with the remarks below it.
func driven(s *notebook.Section, r *review.Review) {
	t := notebook.Table{
		Caption: "Share of the tip's travel along the stroke that each joint brings, in per cent. Together they make 100; a joint that works against the others is negative. Scatter is that of the share from stroke to stroke.",
		Head:    []string{"Joint", "Share, %", "Interval", "Scatter, %"},
		Numeric: []bool{false, true, true, true},
	}
	if r.Tip.Planar() {
		t.Caption += " Shares are " + inPicture
	}
	var remarks []string
	for _, sh := range r.Drive.Shares {
		row := []string{joints(sh), "not known", "", "not known"}
		var why []string
		if sh.Why != "" {
			why = append(why, sh.Why)
		}
		if sh.Value.Known() {
			v := measured.Hundredfold(sh.Value)
			row[1], row[2] = measured.Fixed(v.Value, 0), measured.Range(v, 0)
		} else if sh.Value.Absent != nil {
			why = append(why, sh.Value.Absent.Why)
		}
		if sh.Scatter.Known() {
			row[3] = measured.Fixed(100*sh.Scatter.Value, 0)
		}
		if len(why) > 0 {
			remarks = append(remarks, measured.Upper(row[0])+": "+strings.Join(why, "; ")+".")
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table(t)
	for _, n := range r.Drive.Notes {
		remarks = append(remarks, measured.Upper(n)+".")
	}
	s.List(remarks...)
}

// compared is the section on the reference motion: a table for each span, and
// what was left out below them, once.
func compared(d *notebook.Doc, r *review.Review) {
	if r.Following == nil {
		return
	}
	s := d.Section("Beside the reference motion")
	s.Text("Inside means that the whole interval of the difference lies within the margin, outside that it lies beyond it. Otherwise it cannot be said.")
	var leftOut []string
	for _, sp := range r.Spans {
		if sp.Distance == nil || len(sp.Distance.Components) == 0 {
			continue
		}
		t, left := measured.Components(fmt.Sprintf("%s: %s.", measured.Upper(spanName(sp)), sp.Distance.Answer), sp.Distance.Components)
		for _, text := range left {
			if !slices.Contains(leftOut, text) {
				leftOut = append(leftOut, text)
			}
		}
		s.Table(t)
	}
	s.List(leftOut...)
}
