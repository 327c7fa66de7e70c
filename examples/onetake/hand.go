package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// carryWords tells how far the hand is carried along with the tip.
func carryWords(r *review.Review) []string {
	if len(r.Carries) == 0 {
		return nil
	}
	c := r.Carries[0]
	if !c.Value.Known() {
		return []string{fmt.Sprintf("How far the arm carries the hand could not be measured: %s.", why(c.Value))}
	}
	text := ""
	switch v := c.Value; {
	case few(v):
	case v.Low > 0.7:
		text = " The arm carries the hand with every stroke."
	case v.High < 0.3:
		text = " The hand stays nearly where it is: what moves the pick lies beyond that point, in the wrist or the fingers."
	case v.Low > 0.3 && v.High < 0.7:
		text = " The arm and what lies beyond that point share the work."
	}
	return []string{fmt.Sprintf("Carry: the %s (%s) moves by %s of the tip's travel, in step with it.%s", landmark(c.Landmark), c.Point, between(c.Value, 2), text)}
}

func landmark(l drive.Landmark) string { return strings.ReplaceAll(l.String(), "_", " ") }

// widestShare is the width of an interval from which a share says nothing that
// carry does not say better.
const widestShare = 0.6

// driveWords tells what moves the tip.
func driveWords(r *review.Review) []string {
	d := r.Drive
	switch {
	case d == nil:
		return nil
	case d.Absent != nil:
		return []string{fmt.Sprintf("Which joint moves the tip could not be told: %s.", d.Absent.Why)}
	}
	var parts []string
	told := false
	for _, s := range d.Shares {
		if s.Value.Known() {
			told = told || s.Value.High-s.Value.Low < widestShare
			parts = append(parts, fmt.Sprintf("%s %s", joints(s), shareOf(s.Value)))
		}
	}
	switch {
	case len(parts) == 0:
		return []string{"Which joint moves the tip could not be told: the landmarks are not sure enough."}
	case !told:
		return nil // the table has it
	}
	out := []string{"Of the tip's travel comes from: " + strings.Join(parts, "; ") + "."}
	if d.Leading >= 0 {
		text := fmt.Sprintf("What moves the tip most: %s.", joints(d.Shares[d.Leading]))
		if d.SameLeading.Known() {
			text += fmt.Sprintf(" It leads in %s of the strokes.", percent(d.SameLeading.Value))
		}
		out = append(out, text)
	}
	return out
}

// joints is what a share is of.
func joints(s drive.Share) string {
	words := make([]string, len(s.Joints))
	for i, j := range s.Joints {
		words[i] = j.String()
	}
	if len(words) < 3 {
		return strings.Join(words, " or ")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// shareOf is a share with its interval in per cent.
func shareOf(v estimate.Value[float64]) string {
	s := fmt.Sprintf("%.0f %%", 100*v.Value)
	if math.IsNaN(v.Low) || math.IsNaN(v.High) {
		return s
	}
	return s + fmt.Sprintf(" (%.0f to %.0f)", 100*v.Low, 100*v.High)
}

// stringWords tells what the strokes do at the strings.
func stringWords(r *review.Review) []string {
	if r.Contacts == nil {
		return nil
	}
	var out []string
	if v := r.Value("missed_share"); v.Known() {
		out = append(out, fmt.Sprintf("Missed: %s of the strokes reach no string.", shareOf(v)))
	}
	d, u := r.Value("follow_through_down"), r.Value("follow_through_up")
	if d.Known() && u.Known() {
		out = append(out, fmt.Sprintf("Past the string the tip travels %s before it turns after a downstroke, %s after an upstroke.", length(r, d), length(r, u)))
	}
	for _, s := range []struct{ name, title string }{{"slowing_down", "downstrokes"}, {"slowing_up", "upstrokes"}} {
		if v := r.Value(s.name); v.Known() && v.Low > 0 {
			out = append(out, fmt.Sprintf("At the string the tip is %s slower in %s than its course on both sides lets expect: the string slows the pick.", shareOf(v), s.title))
		}
	}
	return out
}

// soundWords tells which strokes sounded, and how evenly.
func soundWords(r *review.Review) []string {
	m := r.Struck
	if m == nil {
		return nil
	}
	if m.Absent != nil {
		return []string{fmt.Sprintf("Which strokes sounded could not be told: %s.", m.Absent.Why)}
	}
	var out []string
	if v := r.Value("silent_share"); v.Known() {
		out = append(out, fmt.Sprintf("By the sound %s of the strokes made no note.", shareOf(v)))
	}
	if len(m.Extra) > 0 {
		out = append(out, fmt.Sprintf("%s in the list of onsets belong to no stroke: the other hand, a double hit, or a noise.", upper(count(len(m.Extra), "note"))))
	}
	if r.Contacts != nil {
		if a := m.Agreement(r.Contacts); len(a.Ghosted)+len(a.SoundOnly) > 0 {
			out = append(out, fmt.Sprintf("Film and sound disagree on %s: %d reached a string and did not sound, %d sounded and by the film reached none.",
				count(len(a.Ghosted)+len(a.SoundOnly), "stroke"), len(a.Ghosted), len(a.SoundOnly)))
		}
	}
	if v := r.Value("attack_spread_db"); v.Known() {
		out = append(out, fmt.Sprintf("The notes' levels spread by %s dB (0 would be the same attack every time).", between(v, 1)))
	}
	return out
}

// referenceWords tells when the motion was that of the reference.
func referenceWords(r *review.Review) []string {
	c := r.Course
	if c == nil {
		return nil
	}
	note := ""
	if n := r.Options.Reference.Note; n != "" {
		note = " (" + n + ")"
	}
	if !c.First.Known() {
		return []string{fmt.Sprintf("Against the reference%s: %s.", note, why(c.First))}
	}
	at := ""
	if c.FirstRate.Known() {
		at = fmt.Sprintf(", at %.1f strokes a second", c.FirstRate.Value)
	}
	end := ""
	if c.Censored {
		end = ", up to the end of the take"
	}
	return []string{fmt.Sprintf("Against the reference%s: first within its margins at %.1f s%s; within them for %.1f s in all, at most %.1f s at a stretch%s.",
		note, c.First.Value, at, c.Total, c.Longest, end)}
}

// carried is the section on what carries the tip.
func carried(d *notebook.Doc, r *review.Review) {
	if len(r.Carries) == 0 {
		return
	}
	s := d.Section("What carries the tip")
	s.Text("Carry is how far a point of the hand or the arm travels in step with the tip, as a share of the tip's travel: near 1 the arm carries the hand, a small one means that wrist or fingers move the pick.")
	t := notebook.Table{
		Caption: "Carry of the tracked points over the take.",
		Head:    []string{"Point", "is the", "Carry", "Interval", "Comes after the tip by, degrees of a cycle"},
		Numeric: []bool{false, false, true, true, true},
	}
	for _, c := range r.Carries {
		row := []string{c.Point, landmark(c.Landmark), "", "", ""}
		if c.Value.Known() {
			row[2], row[3] = fmt.Sprintf("%.2f", c.Value.Value), fmt.Sprintf("%.2f to %.2f", c.Value.Low, c.Value.High)
		}
		if c.Lag.Known() {
			row[4] = fmt.Sprintf("%.0f", c.Lag.Value.Degrees())
		}
		t.Rows = append(t.Rows, row)
	}
	s.Table(t)
	if r.Drive != nil && r.Drive.Absent == nil {
		t := notebook.Table{
			Caption: "Share of the tip's travel along the stroke that each joint brings. Together they make 100 %; a joint that works against the others is negative.",
			Head:    []string{"Joint", "Share, %", "Interval", "Scatter from stroke to stroke, %", "Remark"},
			Numeric: []bool{false, true, true, true, false},
		}
		for _, sh := range r.Drive.Shares {
			row := []string{joints(sh), "", "", "", sh.Why}
			if sh.Value.Known() {
				row[1], row[2] = fmt.Sprintf("%.0f", 100*sh.Value.Value), fmt.Sprintf("%.0f to %.0f", 100*sh.Value.Low, 100*sh.Value.High)
			} else if sh.Value.Absent != nil {
				row[4] = strings.TrimPrefix(row[4]+"; "+sh.Value.Absent.Why, "; ")
			}
			if sh.Scatter.Known() {
				row[3] = fmt.Sprintf("%.0f", 100*sh.Scatter.Value)
			}
			t.Rows = append(t.Rows, row)
		}
		s.Table(t)
		s.List(r.Drive.Notes...)
	}
}

// compared is the section on the reference motion.
func compared(d *notebook.Doc, r *review.Review) {
	if r.Course == nil {
		return
	}
	s := d.Section("Beside the reference motion")
	s.Text("Inside means that the whole interval of the difference lies within the margin, outside that it lies beyond it. Otherwise it cannot be said.")
	t := notebook.Table{
		Caption: "Difference of each span from the reference.",
		Head:    []string{"Span", "from, s", "to, s", "What", "Difference", "Interval", "Margin", "Answer"},
		Numeric: []bool{false, true, true, false, true, true, true, false},
	}
	for _, sp := range r.Spans {
		for i, c := range sp.Distance.Components {
			row := []string{"", "", "", c.Name, "", "", "", c.Answer.String()}
			if i == 0 {
				row[0], row[1], row[2] = sp.Kind(), fmt.Sprintf("%.2f", sp.Start), fmt.Sprintf("%.2f", sp.End)
			}
			if v := c.Difference; v.Known() {
				n := decimals(v)
				row[4] = strings.TrimSpace(fmt.Sprintf("%.*f %s", n, v.Value, strings.ReplaceAll(c.Unit, "deg", "degrees")))
				if v.Low == v.Low && v.High == v.High {
					row[5] = fmt.Sprintf("%.*f to %.*f", n, v.Low, n, v.High)
				}
			}
			if c.Margin > 0 {
				row[6] = fmt.Sprintf("%.3g", c.Margin)
			}
			if c.LeftOut != nil {
				row[7] = "left out: " + c.LeftOut.Why
			}
			t.Rows = append(t.Rows, row)
		}
	}
	s.Table(t)
}

// cameraWords tells what is known of the camera's raise and of skew.
func cameraWords(r *review.Review) []string {
	if r.Frame.View != trajectory.EndOn {
		return nil
	}
	var out []string
	if c := r.Card; c != nil {
		out = append(out, fmt.Sprintf("By the card the camera looks down on the strings by %.0f degrees (%.0f to %.0f); %.3g px are a millimetre at the strings.",
			c.Raise.Value.Degrees(), c.Raise.Low.Degrees(), c.Raise.High.Degrees(), c.Scale.Value))
	} else if r.Setup.RaiseDeg == nil {
		out = append(out, "How far the camera looks down on the strings is not known: 0 to 25 degrees is allowed for. A card upright across the strings tells it (card).")
	}
	if r.Setup.SkewDeg == nil {
		out = append(out, "How far the strokes run along the strings does not show in this view: up to 30 degrees either way is allowed for. A front-on take of the same player tells it (skew_deg).")
	}
	return out
}
