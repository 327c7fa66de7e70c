package onepage

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// tries is the section on what the searching varies.
func tries(d *notebook.Doc, r *review.Review) {
	if r.History.Absent != nil || len(r.History.Searches) == 0 {
		return // the section before it says why, or that nothing is searched for
	}
	s := d.Section("What the searching tries")
	x := r.Exploring
	if x.Absent != nil {
		s.Text(fmt.Sprintf("That cannot be said: %s. A longer take has more.", x.Absent.Why))
		return
	}
	s.List(append(triedMost(r), draws(r)...)...)
	t := notebook.Table{
		Caption: "What varies while searching, and each part's share in all of it. Each is counted in what a settled span may scatter. The spans were told apart by angle, duration and length: that these vary more while searching is no finding, which of them varies most is one.",
		Head:    []string{"What", "Scatters by", "Share, %"},
		Numeric: []bool{false, true, true},
	}
	for _, f := range x.Features {
		share := measured.Hundredfold(f.Share)
		t.Rows = append(t.Rows, []string{tried(r, f.Name), scatterOf(r, f), told(share, 0, "")})
	}
	s.Table(t)
	var notes []string
	for _, n := range x.Notes {
		notes = append(notes, measured.Upper(n)+".")
	}
	s.List(notes...)
}

// told is a value with its interval and unit, or "cannot say".
func told(v estimate.Value[float64], decimals int, unit string) string {
	if !v.Known() {
		return "cannot say"
	}
	return measured.At(v, decimals) + unit
}

// tried is what a measurement is to a player.
func tried(r *review.Review, name string) string {
	switch name {
	case "angle":
		return "direction (" + angleName(r) + ")"
	case "duration":
		return "timing"
	case "height":
		return "height at the turn"
	}
	return name
}

// tolerance is what a settled span may scatter in one measurement, with its unit.
func tolerance(r *review.Review, name string) (by float64, unit string) {
	t := r.Settling.Options.Tolerances
	switch name {
	case "angle":
		return t.Angle.Degrees(), " degrees"
	case "duration":
		return 100 * t.Duration, " %"
	case "length":
		return 100 * t.Length, " %"
	}
	return math.NaN(), ""
}

// scatterOf is the scatter of one measurement in its own unit.
func scatterOf(r *review.Review, f settling.Explored) string {
	by, of := tolerance(r, f.Name)
	for _, c := range r.Exploring.Options.Columns {
		if c.Name == f.Name {
			by, of = c.Tolerance, " "+unit(r)
		}
	}
	v := f.Scatter
	v.Value, v.Low, v.High = by*v.Value, by*v.Low, by*v.High
	if !v.Known() {
		return "cannot say"
	}
	if !measured.Bounded(v) {
		return measured.Value(v) + of + ", range not known"
	}
	return measured.Value(v) + of
}

// triedMost tells which measurement varies most, where one stands out.
func triedMost(r *review.Review) []string {
	var most *settling.Explored
	for i, f := range r.Exploring.Features {
		if f.Share.Known() && (most == nil || f.Share.Value > most.Share.Value) {
			most = &r.Exploring.Features[i]
		}
	}
	switch {
	case most == nil:
		return []string{"Which of direction, timing, length and height the searching varies most cannot be said: the film is not sharp enough for it."}
	case measured.Bounded(most.Share) && most.Share.Low > 0.5:
		return []string{fmt.Sprintf("The searching varies the %s most: that is %s of what varies.", tried(r, most.Name), measured.Share(most.Share))}
	}
	var little []string
	for _, f := range r.Exploring.Features {
		if v := f.Share; v.Known() && measured.Bounded(v) && v.High < 0.1 {
			little = append(little, tried(r, f.Name))
		}
	}
	text := fmt.Sprintf("No one thing makes up most of the searching for certain. The largest part is %s, %s of what varies.", tried(r, most.Name), measured.Share(most.Share))
	if len(little) > 0 {
		text += fmt.Sprintf(" Hardly any of it is %s.", measured.Join(little))
	}
	return []string{text}
}

// draws tells whether the searching strokes are new tries or move on from the
// ones before.
func draws(r *review.Review) []string {
	x := r.Exploring
	var out []string
	switch x.Draws {
	case settling.Fresh:
		out = append(out, "On the whole each stroke is a new try: it does not start out from the last stroke of its direction.")
	case settling.Wander:
		out = append(out, "On the whole the strokes wander: each moves on from the last stroke of its direction.")
	case settling.DrawsUnsure:
		out = append(out, fmt.Sprintf("Whether each stroke is a new try, or moves on from the last one of its direction, cannot be said from %s.", measured.Count(x.Strokes, "searching stroke")))
	default:
		if a := x.Memory.Absent; a != nil {
			out = append(out, fmt.Sprintf("Whether each stroke is a new try, or moves on from the last one of its direction, cannot be said: %s.", a.Why))
		}
	}
	var fresh, wander []string
	for _, f := range x.Features {
		switch {
		case f.Draws == x.Draws:
		case f.Draws == settling.Fresh:
			fresh = append(fresh, tried(r, f.Name))
		case f.Draws == settling.Wander:
			wander = append(wander, tried(r, f.Name))
		}
	}
	if len(fresh) > 0 {
		out = append(out, fmt.Sprintf("By itself, %s is tried anew with each stroke.", measured.Join(fresh)))
	}
	if len(wander) > 0 {
		out = append(out, fmt.Sprintf("By itself, %s moves on from stroke to stroke.", measured.Join(wander)))
	}
	return out
}
