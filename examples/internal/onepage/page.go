package onepage

import (
	"fmt"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// Page is the review for a teacher and a learner.
func Page(r *review.Review, about About) *notebook.Doc {
	d := notebook.New("Review of one take")
	d.Lead = fmt.Sprintf("%s, %.1f s", about.Name, duration(r))
	a := counsel(r, about.player())
	pain := len(a.Stop) > 0
	if pain {
		d.Section("Stop first").Caution("Pain was noted", a.Stop...)
	}
	if len(r.Questions) > 0 {
		d.Section("A question first").List(r.Questions...)
	}
	checkFirst(d.Section("Check this first"), r)
	d.Section("What was found").Step(steps.Of(measure, headline), found(r)...)
	if !pain {
		working(d.Section("What to work on"), about, a)
	}
	if len(r.Motion.Strokes) > 0 {
		pictures(d.Section("Pictures"), r)
	}
	if len(r.Motion.Strokes) > 0 && !changesPace(r) {
		settles(d, r)
		tries(d, r)
		paced(d, r)
		compares(d.Section("Early against late"), r)
	}
	carried(d, r)
	if !changesPace(r) {
		compared(d, r)
	}
	aimed(d.Section("The numbers"), r)
	d.Section("What could not be measured, and why").List(missing(r)...)
	how(d.Section("How this take was read"), r, about.Notes)
	Careful(d)
	return d
}

// found are the findings as a list.
func found(r *review.Review) []notebook.Block {
	var items []string
	for _, f := range findings(r) {
		items = append(items, f.text)
	}
	return []notebook.Block{notebook.List{Items: items}}
}

// Careful adds the caution with which every page ends.
func Careful(d *notebook.Doc) {
	d.Care("Warm up, keep fast playing short, and take breaks.")
}

// missing tells what could not be measured, all that has one reason together.
func missing(r *review.Review) []string {
	var reasons measured.Reasons
	for _, m := range r.Missing {
		reasons.Add(m.Why, m.What)
	}
	return reasons.Sentences()
}

func duration(r *review.Review) float64 {
	if n := len(r.Tip.T); n > 0 {
		return r.Tip.T[n-1] - r.Tip.T[0]
	}
	return 0
}

// checkFirst shows the signs: with one of them wrong, the findings turn round.
func checkFirst(s *notebook.Section, r *review.Review) {
	s.Text("Compare this picture with the film. If the treble side, the outward side or the first downstroke points the other way, the findings below are turned round: change the settings and run the review again.")
	caption := "The tip in the film's own coordinates. A downstroke goes toward the treble side."
	if r.Frame.View == trajectory.Spatial {
		caption = "The tip in the export's own x and y; the third axis is not drawn. A downstroke goes toward the treble side."
	}
	s.Step(steps.Of(read, film), notebook.Figure{
		Name:    "film",
		Of:      film(r),
		Alt:     "The tip's path in the film, with arrows toward the treble side and outward, and the first downstroke.",
		Caption: caption,
	})
	s.List(r.Notes...)
}

// pictures are those of the whole take.
func pictures(s *notebook.Section, r *review.Review) {
	path, strokes, turns := overview(r)
	var figures []notebook.Block
	if r.Frame.View.HasOut() {
		from := "along the strings"
		if r.Frame.View == trajectory.Oblique {
			from = "by a camera at an angle to the strings"
		}
		figures = append(figures, notebook.Figure{
			Name:    "path",
			Of:      path,
			Alt:     "The tip's path seen " + from + ", at equal scales, with the axis of the path and the string plane.",
			Caption: "The path as seen " + from + ", across and out at the same scale. Out of the instrument is up.",
		})
	}
	s.Step(steps.Of(overview), append(figures, notebook.Figure{
		Name:    "strokes",
		Of:      strokes,
		Alt:     "Where the tip is across the strings over time, settled and searching strokes told apart.",
		Caption: "The tip across the strings over time. Gaps are pauses or lost samples.",
	}, notebook.Figure{
		Name:    "turns",
		Of:      turns,
		Alt:     "Where the strokes turn, on the treble side and on the bass side.",
		Caption: "Where the tip turns. A tight cloud is a turn that comes back to the same place; a hand that moves to another string spreads it sideways.",
	})...)
	if r.Following == nil { // otherwise it stands beside the reference
		cycled(s, r, "The mean cycle of the longest settled span: the way down and the way up, with how far the mean may be off.")
	}
}

// cycled adds the mean cycle, where there is one.
func cycled(s *notebook.Section, r *review.Review, caption string) {
	if l := r.Longest(); l == nil || l.Cycle.Absent != nil {
		return
	}
	s.Step(steps.Of(meanCycle), notebook.Figure{
		Name:    "cycle",
		Of:      meanCycle(r),
		Alt:     "The mean cycle of the longest settled span, with the band of its interval.",
		Caption: caption,
	})
}

// aimed is the table of what practice aims at.
func aimed(s *notebook.Section, r *review.Review) {
	t := notebook.Table{
		Caption: "What practice changes. " + interval95 + " All other numbers of this take stand in details.html and in review.json.",
		Head:    []string{"Measure", "Value", "Interval", "Aim"},
		Numeric: []bool{false, true, true},
	}
	of, is := aims(r)
	for i, m := range of {
		aim := "more"
		if m.Better == review.Less {
			aim = "less"
		}
		d := measured.Decimals(is[i])
		t.Rows = append(t.Rows, []string{measured.Title(m.Title, r.UnitOf(m)), measured.Fixed(is[i].Value, d), measured.Range(is[i], d), aim})
	}
	if len(t.Rows) == 0 {
		s.Text("None could be had.")
		return
	}
	s.Step(steps.Of(aims), t)
}

// interval95 is what an interval in a table means.
const interval95 = "The interval holds the true value in 95 of 100 such takes; where it is empty, there were too few for one."
