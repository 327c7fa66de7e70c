package onepage

import (
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// carryWords tells how far the hand is carried along with the tip. Up to three
// tenths count as a hand that stays, from seven tenths on as one that is carried
// (common practice).
func carryWords(r *review.Review) []string {
	if len(r.Carries) == 0 {
		return nil
	}
	c := r.Carries[0]
	if !c.Value.Known() {
		return []string{fmt.Sprintf("How far the arm carries the hand could not be measured: %s.", measured.Why(c.Value.Absent))}
	}
	text := ""
	switch v := c.Value; {
	case few(v), jointsTold(r): // the joints say it better
	case v.Low > 0.7:
		text = " The arm carries the hand with every stroke."
	case v.High < 0.3:
		text = " The hand stays nearly where it is: what moves the pick is a forearm that turns about itself, the wrist or the fingers."
	case v.Low > 0.3 && v.High < 0.7:
		text = " Either the arm and what lies beyond that point share the work, or the forearm swings about the elbow: a point nearer to the elbow than the tip moves less. With the elbow and a knuckle tracked too, the joints are told apart."
	}
	return []string{fmt.Sprintf("Carry: the %s moves by %s of the tip's travel, in step with it.%s", pointName(c), measured.Value(c.Value), text)}
}

// pointName is what a tracked point is, and its name in the export where that
// says something else.
func pointName(c review.HandCarry) string {
	l := landmark(c.Landmark)
	if l == strings.ReplaceAll(c.Point, "_", " ") {
		return l
	}
	return l + " (" + c.Point + ")"
}

func landmark(l drive.Landmark) string { return strings.ReplaceAll(l.String(), "_", " ") }

// widestShare is the width of an interval from which a share says nothing that
// carry does not say better.
const widestShare = 0.6

// tells reports whether a known share says more than carry does.
func tells(s drive.Share) bool { return s.Value.High-s.Value.Low < widestShare }

// jointsTold reports whether the shares of the joints are told.
func jointsTold(r *review.Review) bool {
	return r.Drive != nil && r.Drive.Absent == nil && slices.ContainsFunc(r.Drive.Shares, func(s drive.Share) bool { return s.Value.Known() && tells(s) })
}

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
	for _, s := range d.Shares {
		if s.Value.Known() {
			parts = append(parts, fmt.Sprintf("%s %s", joints(s), measured.Share(s.Value)))
		}
	}
	switch {
	case len(parts) == 0:
		return []string{"Which joint moves the tip could not be told: the landmarks are not sure enough."}
	case !jointsTold(r):
		return nil // the table has it
	}
	out := []string{"Of the tip's travel comes from: " + strings.Join(parts, "; ") + "."}
	if d.Leading >= 0 && len(d.Shares[d.Leading].Joints) == 1 {
		text := fmt.Sprintf("What moves the tip most: %s.", joints(d.Shares[d.Leading]))
		if d.SameLeading.Known() {
			text += fmt.Sprintf(" It leads in %s of the strokes.", measured.Percent(d.SameLeading.Value))
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

// stringWords tells what the strokes do at the strings.
func stringWords(r *review.Review) []string {
	if r.Contacts == nil {
		return nil
	}
	var out []string
	if v := r.Value("missed_share"); v.Known() {
		out = append(out, fmt.Sprintf("Missed: %s of the strokes reach no string.", measured.Share(v)))
	}
	return out
}

// stringDetails tells how far the tip travels past the string, and how the string
// slows the pick.
func stringDetails(r *review.Review) []string {
	if r.Contacts == nil {
		return nil
	}
	var out []string
	d, u := r.Value("follow_through_down"), r.Value("follow_through_up")
	if d.Known() && u.Known() {
		l := lengths(r, d, u)
		out = append(out, fmt.Sprintf("Past the string the tip travels %s before it turns after a downstroke, %s after an upstroke.", l[0], l[1]))
	}
	for _, s := range []struct{ name, title string }{{"slowing_down", "downstrokes"}, {"slowing_up", "upstrokes"}} {
		// Half of it must be sure: of what is looked at on each page, one
		// interval in twenty misses by chance.
		if v := r.Value(s.name); v.Known() && v.Low > v.Value/2 {
			out = append(out, fmt.Sprintf("At the string the tip is %s slower in %s than its speed on both sides lets expect: the string slows the pick.", measured.Share(v), s.title))
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
		out = append(out, fmt.Sprintf("By the sound %s of the strokes made no note.", measured.Share(v)))
	}
	if len(m.Extra) > 0 {
		belong := "belong"
		if len(m.Extra) == 1 {
			belong = "belongs"
		}
		out = append(out, fmt.Sprintf("%s in the list of onsets %s to no stroke: the other hand, a double hit, or a noise.", measured.Upper(measured.Count(len(m.Extra), "note")), belong))
	}
	return out
}

// soundDetails tells how far film and sound agree, and how even the notes are.
func soundDetails(r *review.Review) []string {
	m := r.Struck
	if m == nil || m.Absent != nil {
		return nil
	}
	var out []string
	if r.Contacts != nil {
		if a := m.Agreement(r.Contacts); len(a.Ghosted)+len(a.SoundOnly) > 0 {
			out = append(out, fmt.Sprintf("Film and sound disagree on %s: %d reached a string and did not sound, %d sounded and by the film reached none.",
				measured.Count(len(a.Ghosted)+len(a.SoundOnly), "stroke"), len(a.Ghosted), len(a.SoundOnly)))
		}
	}
	if v := r.Value("attack_spread_db"); v.Known() {
		out = append(out, fmt.Sprintf("The notes' levels spread by %s dB (0 would be the same attack every time).", measured.Value(v)))
	}
	return out
}

// referenceWords tells when the motion was that of the reference.
func referenceWords(r *review.Review) []string {
	c := r.Following
	if c == nil {
		return nil
	}
	note := ""
	if n := r.Options.Reference.Note; n != "" {
		note = " (" + n + ")"
	}
	if !c.First.Known() {
		return []string{fmt.Sprintf("Against the reference%s: %s.%s", note, measured.Why(c.First.Absent), nameSetup(r))}
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

// nameSetup is what to do where path angles do not compare for want of a set-up
// that both takes share.
func nameSetup(r *review.Review) string {
	if r.Frame.View != trajectory.EndOn || r.Setup.SetupName != "" && r.Setup.SetupName == r.Options.Reference.Setup {
		return ""
	}
	for _, s := range r.Spans {
		if a, ok := s.Distance.Component("path angle"); ok && a.Answer == cycle.CannotSay && a.LeftOut == nil {
			return " Path angles of two set-ups differ by what raise and skew hide; where both takes were filmed alike, give both settings the same name (setup), and keep the reference again."
		}
	}
	return ""
}
