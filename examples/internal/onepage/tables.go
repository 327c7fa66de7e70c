package onepage

import (
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

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
	holds := r.History.Holds
	if len(holds) > 1 {
		t.Caption += fmt.Sprintf(" The last column says which earlier settled span has the same motion: all middles within %s.", oneMotion(r))
	}
	n := 0
	for _, sp := range r.Spans {
		name, motion := "searching", ""
		if sp.Settled {
			name, motion = fmt.Sprintf("settled %d", n+1), asWhich(holds, n)
			n++
		}
		lasts := fmt.Sprintf("%.1f", sp.End-sp.Start)
		if sp.Cut {
			lasts = "at least " + lasts
		}
		rate := ""
		if v := estimate.As[float64](sp.Rate); v.Known() {
			rate = measured.Value(v)
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
	text := "Carry is how far a point of the hand or the arm travels in step with the tip, as a share of the tip's travel: near 1 the arm carries the hand as a whole; a small one means that the forearm turns about itself, or that wrist or fingers move the pick. A forearm that swings about the elbow lies between, by how much nearer to the elbow the point is than the tip."
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
	if r.Carries[0].Value.Known() {
		s.Step(steps.Of(carrying), notebook.Figure{
			Name:    "carry",
			Of:      carrying(r),
			Alt:     "Carry of the hand in every stroke over time.",
			Caption: fmt.Sprintf("Carry of the %s in every stroke: how far it travels in step with the tip.", pointName(r.Carries[0])),
		})
	}
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
	known, told := false, false
	for _, sh := range r.Drive.Shares {
		row := []string{joints(sh), "not known", "", "not known"}
		var why []string
		if sh.Why != "" {
			why = append(why, sh.Why)
		}
		if sh.Value.Known() {
			known, told = true, told || tells(sh)
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
	if known {
		shares, strokes := driving(r)
		figures := []notebook.Block{notebook.Figure{
			Name:    "shares",
			Of:      shares,
			Alt:     "The share of each joint in the tip's travel, with its interval.",
			Caption: "What moves the tip, over the take. Joints that the film does not tell apart have one share together.",
		}}
		if told { // else single strokes would look surer than they are
			figures = append(figures, notebook.Figure{
				Name:    "drive",
				Of:      strokes,
				Alt:     "The share of each joint in every stroke over time.",
				Caption: "The same in every stroke.",
			})
		}
		s.Step(steps.Of(driving), figures...)
	}
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
	cycled(s, r, "The mean cycle of the longest settled span, with how far it may be off, and that of the reference in its place: about the same middle, at the same length, with the margin of its shape.")
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
