package main

import (
	"fmt"
	"io"
	"math"
	"sort"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// outputs are the files of the review's folder.
func outputs(r *review.Review, t *take) []cli.Output {
	return []cli.Output{
		{Name: "page.html", Write: func(w io.Writer) error { return page(r, t).HTML(w) }},
		{Name: "strokes.csv", Write: r.WriteStrokes},
		{Name: "spans.csv", Write: r.WriteSpans},
		{Name: "review.json", Write: r.WriteJSON},
	}
}

// page is the review for a teacher and a learner.
func page(r *review.Review, t *take) *notebook.Doc {
	d := notebook.New("Review of one take")
	d.Lead = fmt.Sprintf("%s, %.1f s", t.name, duration(r))
	a := counsel(r, t.player)
	pain := len(a.Stop) > 0
	if pain {
		stopFirst(d, a)
	}
	if len(r.Questions) > 0 {
		d.Section("A question first").List(r.Questions...)
	}
	checkFirst(d.Section("Check this first"), r)

	var found []string
	s := d.Section("What was found")
	for _, f := range findings(r) {
		found = append(found, f.text)
	}
	s.List(found...)
	if !pain {
		working(d, t.player, a)
	}

	if len(r.Motion.Strokes) > 0 {
		figures(d.Section("Pictures"), r)
	}
	if len(r.Motion.Strokes) > 0 && !changesPace(r) {
		settles(d, r)
		tries(d, r)
		paced(d, r)
		s = d.Section("Early against late")
		s.Text(parts(r))
		s.Text(warnings(r)...)
		s.List(changes(r)...)
		s.Figure(notebook.Figure{
			Name:    "early-late",
			Of:      earlyLate(r),
			Alt:     "Distributions of the strokes' measures in the first and the last third of the take.",
			Caption: "Each dot is a stroke; the box holds the middle half, the line in it is the median.",
		})
	}

	carried(d, r)
	if !changesPace(r) {
		compared(d, r)
	}
	numbers(d.Section("The numbers"), r)
	cuts(d.Section("What was cut and filled"), r)

	s = d.Section("What could not be measured, and why")
	s.List(missing(r)...)

	film(d.Section("What this film allows"), r)
	how(d.Section("How this take was read"), r, t)

	d.Section("Take care").Caution("Fast repeated motion can hurt",
		"Stop at pain, numbness or tingling. Rest, and come back another day. If it stays or returns, see a clinician.",
		"Warm up, keep fast playing short, and take breaks. Nothing on this page is medical advice, and no number on it is a reason to play through discomfort.")
	return d
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
	f := figure.Picture{
		X: r.Clean.X, Y: r.Clean.Y, Unit: sourceUnit(r), YUp: r.Setup.YUp || r.Frame.View == trajectory.Spatial, PerMM: r.PerMM(),
	}
	across, second := r.Sides(firstSeen(r))
	f.Arrows = append(f.Arrows, figure.Arrow{Name: "treble side", X: across[0], Y: across[1]})
	name := "toward the nut"
	if r.Frame.View.HasOut() {
		name = "outward"
	}
	f.Arrows = append(f.Arrows, figure.Arrow{Name: name, X: second[0], Y: second[1]})
	for _, st := range r.Motion.Strokes {
		if st.Direction == motion.Down && !st.TurnHidden() {
			f.DownFrom, f.DownTo = sourceAt(r, st.Start), sourceAt(r, st.End)
			break
		}
	}
	caption := "The tip in the film's own coordinates. A downstroke goes toward the treble side."
	if r.Frame.View == trajectory.Spatial {
		caption = "The tip in the export's own x and y; the third axis is not drawn. A downstroke goes toward the treble side."
	}
	s.Figure(notebook.Figure{
		Name:    "film",
		Of:      f,
		Alt:     "The tip's path in the film, with arrows toward the treble side and outward, and the first downstroke.",
		Caption: caption,
	})
	s.List(r.Notes...)
}

func sourceUnit(r *review.Review) string {
	switch {
	case r.SourceUnit != "":
		return r.SourceUnit
	case r.Tip.Planar():
		return "px" // a picture's
	}
	return "units of the export"
}

// firstSeen is the first sample at which the tip is seen and placed.
func firstSeen(r *review.Review) int {
	for i, x := range r.Placed.Across {
		if x == x {
			return i
		}
	}
	return 0
}

// sourceAt is the tip in the film at the sample nearest to a time.
func sourceAt(r *review.Review, t float64) figure.Point {
	best, at := math.Inf(1), 0
	i := sort.SearchFloat64s(r.Clean.T, t)
	for j := max(0, i-3); j < min(len(r.Clean.T), i+4); j++ {
		if d := math.Abs(r.Clean.T[j] - t); r.Clean.X[j] == r.Clean.X[j] && d < best {
			best, at = d, j
		}
	}
	return figure.Point{X: r.Clean.X[at], Y: r.Clean.Y[at]}
}

// unit is the unit of lengths.
func unit(r *review.Review) string { return r.UnitOf(review.Measure{Unit: "unit"}) }

// cuts tells what became of the samples.
func cuts(s *notebook.Section, r *review.Review) {
	l := r.Loss
	s.Text(fmt.Sprintf("Of the tip's %d samples %s were missing in the export and %s were cut here. The longest time without a sample is %.2f s.",
		l.Samples, measured.Percent(float64(l.Missing)/float64(max(1, l.Samples))), measured.Percent(float64(l.Cut)/float64(max(1, l.Samples))), l.LongestGap))
	rows := map[[2]string][2]int{}
	var keys [][2]string
	for _, e := range r.Edits {
		k := [2]string{e.Point, e.Rule.String()}
		n, old := rows[k]
		if !old {
			keys = append(keys, k)
		}
		rows[k] = [2]int{n[0] + 1, n[1] + e.Samples()}
	}
	if len(keys) > 0 {
		table := notebook.Table{
			Caption: "Cut and filled, by point and reason. Each stretch with its times stands in review.json.",
			Head:    []string{"Point", "Reason", "Stretches", "Samples"},
			Numeric: []bool{false, false, true, true},
		}
		for _, k := range keys {
			table.Rows = append(table.Rows, []string{k[0], k[1], fmt.Sprint(rows[k][0]), fmt.Sprint(rows[k][1])})
		}
		s.Table(table)
	}
	switch {
	case l.Hidden == 0:
		s.Text("Every turn was seen.")
	case math.IsNaN(l.HiddenDuration) || math.IsNaN(l.SeenDuration):
		s.Text(fmt.Sprintf("At %s a turn was hidden; they count for speed and direction only.", measured.Count(l.Hidden, "stroke")))
	default:
		rate := l.SeenDuration / l.HiddenDuration
		text := "about as fast as"
		switch {
		case rate > 1.05:
			text = "faster than"
		case rate < 0.95:
			text = "slower than"
		}
		s.Text(fmt.Sprintf("At %s a turn was hidden; they count for speed and direction only. They were %s the strokes that were seen whole (%.0f against %.0f ms).",
			measured.Count(l.Hidden, "stroke"), text, 1000*l.HiddenDuration, 1000*l.SeenDuration))
	}
}

// film tells what the view, the rate and the samples allow.
func film(s *notebook.Section, r *review.Review) {
	can, cannot, also := []string{}, []string{}, []string{}
	for _, f := range r.Adequacy() {
		list := &cannot
		switch {
		case f.Aside:
			list = &also
		case f.Can:
			list = &can
		}
		*list = append(*list, fmt.Sprintf("%s: %s.", measured.Upper(f.What), f.Why))
	}
	for _, l := range []struct {
		title string
		items []string
	}{{"It can show:", can}, {"It cannot show:", cannot}, {"Also:", also}} {
		if len(l.items) > 0 {
			s.Text(l.title)
			s.List(l.items...)
		}
	}
}
