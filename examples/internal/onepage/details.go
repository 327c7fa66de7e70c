package onepage

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
)

// Details is the page of all numbers, for whoever checks what the review's page says.
func Details(r *review.Review, a About) *notebook.Doc {
	d := notebook.New("All numbers of one take")
	d.Lead = fmt.Sprintf("%s, %.1f s", a.Name, duration(r))
	if len(r.Questions) > 0 {
		d.Section("A question first").List(r.Questions...)
	}
	numbers(d.Section("The numbers"), r)
	cuts(d.Section("What was cut and filled"), r)
	allows(d.Section("What this film allows"), r)
	Careful(d)
	return d
}

// numbers is the table of measures with their intervals, and that of the spans.
// Units stand with the measures, so that nothing lies off a narrow screen.
func numbers(s *notebook.Section, r *review.Review) {
	table := notebook.Table{
		Caption: "Measures of this take. " + interval95,
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

// angles is the table of the spans' tempo, path angle and carry.
func angles(s *notebook.Section, r *review.Review) {
	what := pathAngleName(r) + " in degrees"
	if len(r.Carries) > 0 {
		what += ", and carry"
	} else {
		what = "and " + what
	}
	t := notebook.Table{
		Caption: fmt.Sprintf("Settled and searching spans: the tempo that they make in %s, %s.", noteOf(r).Plural(), what),
		Head:    []string{"Span", "BPM", "Angle"},
		Numeric: []bool{false, true, true, true},
	}
	if len(r.Carries) > 0 {
		t.Head = append(t.Head, "Carry")
	}
	for _, sp := range r.Spans {
		beats, angle := "", ""
		if sp.Rate.Known() {
			beats = measured.Fixed(float64(sp.Rate.Value.BPM(noteOf(r))), 0)
		}
		if a := sp.Angle(); a.Known() {
			angle = measured.Fixed(a.Value.Degrees(), 1)
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

// allows tells what the view, the rate and the samples allow.
func allows(s *notebook.Section, r *review.Review) {
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
