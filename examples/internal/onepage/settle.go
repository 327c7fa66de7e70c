package onepage

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// settles is the section on how the take settles.
func settles(d *notebook.Doc, r *review.Review) {
	s := d.Section("Is it settling")
	h := r.History
	if h.Absent != nil {
		s.Text(fmt.Sprintf("That could not be judged: %s.", h.Absent.Why))
		return
	}
	spanning, angle := spread(r)
	figures := []notebook.Block{notebook.Figure{
		Name:    "spans",
		Of:      spanning,
		Alt:     "The settled and the searching spans over the take.",
		Caption: "The spans over the take; settled ones bear the numbers of the table below. Gaps are pauses, or strokes that could not be judged.",
	}}
	if r.Angle().Known() {
		figures = append(figures, notebook.Figure{
			Name:    "angle",
			Of:      angle,
			Alt:     measured.Upper(pathAngleName(r)) + " of every stroke over time.",
			Caption: measured.Upper(pathAngleName(r)) + " of every stroke; a band shows how far the measurement alone may be off, where that is large.",
		})
	}
	s.Step(steps.Of(spread), figures...)
	s.Table(thirds(h))
	s.List(slices.Concat(lengthWords(h), comingAndGoing(h), holdWords(h), sameWords(r), trendWords(h))...)
	spans(s, r)
}

// thirds is the table of the parts of the take.
func thirds(h settling.History) notebook.Table {
	t := notebook.Table{
		Caption: "The settled share of the playing time, in per cent, and the settled spans in each third of the take. A span that reaches over a bound counts on both sides. The range tells how well the ends of the spans are known.",
		Head:    []string{"Third", "Settled, %", "Spans"},
		Numeric: []bool{false, true, true},
	}
	for i, name := range []string{"first", "middle", "last"} {
		p := h.Thirds[i]
		row := []string{fmt.Sprintf("%s, %.1f to %.1f s", name, p.Start, p.End), "no playing", fmt.Sprint(p.Holds)}
		if p.Share.Known() {
			row[1] = measured.At(measured.Hundredfold(p.Share), 0)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// lengthWords tells how long the player holds a motion and how long searches.
func lengthWords(h settling.History) []string {
	var out []string
	var holds []settling.Stretch
	for _, s := range h.Holds {
		holds = append(holds, s.Stretch)
	}
	for _, k := range []struct {
		of       settling.Length
		all      []settling.Stretch
		lasts    string
		lastsFor string
		spans    string
	}{
		{h.HoldLength, holds, "How long a motion usually holds", "A motion usually holds for", "settled span"},
		{h.SearchLength, h.Searches, "How long the searching usually lasts", "Searching usually lasts", "searching span"},
	} {
		if len(k.all) == 0 {
			continue
		}
		v := k.of.Seconds
		if !v.Known() {
			longest := slices.MaxFunc(k.all, func(a, b settling.Stretch) int { return cmp.Compare(a.Seconds, b.Seconds) })
			out = append(out, fmt.Sprintf("%s cannot be told: of %s too few were seen from start to end. The longest lasts %s.",
				k.lasts, measured.Count(len(k.all), k.spans), atLeast(longest)))
			continue
		}
		text := fmt.Sprintf("%s %s s: half of the %ss are longer", k.lastsFor, measured.Value(v), k.spans)
		if !measured.Bounded(v) {
			text = fmt.Sprintf("%s %s s, by only %s", k.lastsFor, measured.Fixed(v.Value, 1), measured.Count(v.N, k.spans))
		}
		text += "."
		if n := k.of.CutOff; n > 0 {
			text += fmt.Sprintf(" Those whose end was not seen (%d) count as at least so long.", n)
		}
		if n := k.of.LeftOut; n > 0 {
			text += fmt.Sprintf(" Those that were going on already when the take, or a part of it, began (%d) are left out.", n)
		}
		out = append(out, text)
	}
	return out
}

// atLeast is how long a span lasts, as far as that was seen.
func atLeast(s settling.Stretch) string {
	text := fmt.Sprintf("%.1f s", s.Seconds)
	if s.CutStart || s.CutEnd {
		return "at least " + text
	}
	return text
}

// times is how often something happens.
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// comingAndGoing tells how often the motion is left and found again, and how the
// take ends.
func comingAndGoing(h settling.History) []string {
	var out []string
	if h.Leaves+h.Switches > 0 {
		text := ""
		if h.Leaves > 0 {
			text = fmt.Sprintf("A settled motion is left for searching %s", times(h.Leaves))
			if v := h.LeavesPerMinute; v.Known() && measured.Bounded(v) {
				text += fmt.Sprintf(", which is %s a minute of playing", measured.Value(v))
			}
			if h.Returns > 0 {
				text += fmt.Sprintf(". After that the player settles again %s.", times(h.Returns))
			} else {
				text += ". After that the player is not seen to settle again."
			}
		}
		if h.Switches > 0 {
			text += fmt.Sprintf(" Straight from one settled span to another, with no searching between, it goes %s.", times(h.Switches))
		}
		out = append(out, strings.TrimSpace(text))
	}
	if len(h.Holds) == 0 {
		return out
	}
	end := "The take ends searching"
	if h.EndsSettled {
		end = "The take ends settled"
	}
	if k := h.LastHold; k.Of > 1 {
		end += "; the last settled span is " + rank(k)
	}
	return append(out, end+".")
}

// rank is the place of a span by its length.
func rank(k settling.Rank) string {
	of := fmt.Sprintf(" of %d", k.Of)
	if k.Best == k.Worst {
		return nth(k.Rank, k.Of) + of
	}
	return fmt.Sprintf("%s%s as far as was seen; as not all were seen whole, it may be anything from %s to %s", nth(k.Rank, k.Of), of, nth(k.Best, k.Of), nth(k.Worst, k.Of))
}

// nth is the n-th longest of so many.
func nth(n, of int) string {
	switch {
	case n == 1:
		return "the longest"
	case n == of:
		return "the shortest"
	}
	suffix := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("the %d%s longest", n, suffix)
}

// mostOnsets is how many settled spans are told one by one how they take hold.
const mostOnsets = 4

// holdWords tells how abruptly the motion takes hold.
func holdWords(h settling.History) []string {
	if len(h.Holds) == 0 {
		return nil
	}
	const zero = " 0 is from one stroke to the next."
	var parts []string
	for i, s := range h.Holds {
		if v := s.Onset.Strokes; v.Known() {
			parts = append(parts, fmt.Sprintf("%s in settled span %d", strokesTo(v), i+1))
		}
	}
	switch v := h.OnsetMedian.Strokes; {
	case len(parts) == 0:
		why := "the strokes are too few or too uneven"
		if !slices.ContainsFunc(h.Holds, searchedBefore) {
			why = "no searching comes right before a settled span"
		}
		return []string{"How abruptly the motion takes hold could not be told: " + why + "."}
	case len(parts) <= mostOnsets || !measured.Bounded(v):
		if n := len(parts); n > mostOnsets {
			parts = append(parts[:mostOnsets], fmt.Sprintf("and so on, %d in all", n))
		}
		return []string{"Strokes that it takes from searching to holding: " + strings.Join(parts, ", ") + "." + zero}
	default:
		return []string{fmt.Sprintf("Strokes that it takes from searching to holding: usually %s, by %s.%s", strokesTo(v), measured.Count(v.N, "settled span"), zero)}
	}
}

func searchedBefore(h settling.Hold) bool {
	a := h.Onset.Strokes.Absent
	return a == nil || a.Code != "no-searching"
}

// strokesTo is a number of strokes with its interval.
func strokesTo(v estimate.Value[float64]) string {
	n := 0
	if v.Value != float64(int(v.Value)) {
		n = 1
	}
	return measured.At(v, n)
}

// mostOthers is how many changes of motion are told one by one.
const mostOthers = 3

// sameWords tells whether the settled spans keep one motion or several.
func sameWords(r *review.Review) []string {
	h := r.History
	if len(h.Holds) < 2 {
		return nil
	}
	var again, unsure int
	var others []string
	for i, s := range h.Holds[1:] {
		switch {
		case s.Again >= 0:
			again++
		case s.FromLast.Verdict == settling.AnotherMotion:
			others = append(others, fmt.Sprintf("Settled span %d is another motion than %d: %s.", i+2, i+1, apart(r, s.FromLast)))
		default:
			unsure++
		}
	}
	var parts []string
	for _, k := range []struct {
		n  int
		is string
	}{
		{again, "with a motion that was there before"},
		{len(others), "with another motion than the span before"},
		{unsure, "of which it cannot be said (too few strokes, or just about that far apart)"},
	} {
		if k.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", k.n, k.is))
		}
	}
	text := "Settled spans after the first: " + measured.Join(parts)
	if n := len(others); n > mostOthers {
		others = others[:mostOthers]
	}
	return append([]string{text + ". The table below says which."}, others...)
}

// oneMotion says up to where two motions are the same.
func oneMotion(r *review.Review) string {
	t := r.Settling.Options.Tolerances
	m := r.History.Options.Margin
	angle := ""
	if r.Settling.Used.Angle {
		angle = fmt.Sprintf("%.2g degrees of %s, ", m*t.Angle.Degrees(), angleName(r))
	}
	return fmt.Sprintf("%s%.0f %% of duration and %.0f %% of length", angle, 100*m*t.Duration, 100*m*t.Length)
}

// apart is how far two motions are apart in what differs most.
func apart(r *review.Review, l settling.Likeness) string {
	scale, unit := tolerance(r, l.Of)
	v := l.Distance
	v.Value, v.Low, v.High = scale*v.Value, scale*v.Low, scale*v.High
	strokes := "upstrokes"
	if l.Down {
		strokes = "downstrokes"
	}
	of := l.Of
	if of == "angle" {
		of = angleName(r)
	}
	return fmt.Sprintf("most of all the %s of its %s differs, by %s%s", of, strokes, measured.Value(v), unit)
}

// angleName is what the angle of a stroke is in this view.
func angleName(r *review.Review) string {
	if r.Frame != nil && r.Frame.View == trajectory.Front {
		return "skew"
	}
	return pathAngleName(r)
}

// pathAngleName is what the angle of review.Review.Angle is in this view.
func pathAngleName(r *review.Review) string {
	if r.Frame != nil && r.Frame.View == trajectory.Oblique {
		return "picture angle"
	}
	return "path angle"
}

// trendWords tells whether spans grow or shrink over the take.
func trendWords(h settling.History) []string {
	var out, few []string
	for _, k := range []struct {
		of    settling.Trend
		spans string
		any   bool
	}{
		{h.HoldTrend, "settled", len(h.Holds) > 0},
		{h.SearchTrend, "searching", len(h.Searches) > 0},
	} {
		switch p := k.of.P; {
		case !k.any:
		case !p.Known() && k.of.N >= settling.LeastTrend:
			out = append(out, fmt.Sprintf("Whether the %s spans get longer or shorter over the take cannot be told: a pause parts every two of them.", k.spans))
		case !p.Known():
			few = append(few, fmt.Sprintf("%d %s", k.of.N, k.spans))
		default:
			by := fmt.Sprintf("%+.2g s from one to the next, in the middle of %d", k.of.Slope.Value, k.of.N)
			switch {
			case p.Value > 0.05:
				out = append(out, fmt.Sprintf("The %s spans get neither longer nor shorter for certain: a change like theirs (%s) comes about by chance often.", k.spans, by))
			case k.of.Slope.Value > 0:
				out = append(out, fmt.Sprintf("The %s spans get longer (%s): so steady a change is rare by chance.", k.spans, by))
			default:
				out = append(out, fmt.Sprintf("The %s spans get shorter (%s): so steady a change is rare by chance.", k.spans, by))
			}
		}
	}
	if len(few) > 0 {
		out = append(out, fmt.Sprintf("Whether spans get longer or shorter over the take cannot be told: it takes %d of a kind that are seen whole, and here are %s. A longer take has more.", settling.LeastTrend, strings.Join(few, " and ")))
	}
	return out
}
