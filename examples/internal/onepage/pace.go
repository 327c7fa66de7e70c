package onepage

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// paced is the section on how the speed goes over the take.
func paced(d *notebook.Doc, r *review.Review) {
	p := r.Pace
	if p == nil {
		return
	}
	s := d.Section("Pace")
	items := append(driftWords(p.Drift), swingWords(p.Swing)...)
	items = append(items, gridWords(r)...)
	s.Step(steps.Of(pace), notebook.Figure{
		Name:    "rate",
		Of:      pace(r),
		Alt:     "Strokes per second over time with their curve, and beats per minute of sixteenths beside.",
		Caption: "Speed from cycle to cycle (a downstroke and an upstroke), and its curve with how far that may be off; settled spans are shaded.",
	})
	s.List(append(items, repairWords(p.Curve)...)...)
	fastest(s, p.Fastest)
}

// driftWords tells how the speed changes over the take.
func driftWords(d tempo.Drift) []string {
	v, over := d.PerMinute, estimate.As[float64](d.Over)
	if !v.Known() {
		return []string{fmt.Sprintf("Whether the take slows down or gets quicker cannot be said: %s.", measured.Why(v.Absent))}
	}
	n := measured.Decimals(over)
	change := fmt.Sprintf("from start to end %s strokes a second, which in a minute would be %s", measured.SignedAt(over, n, ""), measured.SignedAt(v, 0, " %"))
	switch {
	case !measured.Bounded(v):
		return []string{fmt.Sprintf("The speed changes %s. How far that may be off is not known.", change)}
	case v.Low > 0:
		return []string{fmt.Sprintf("The take gets quicker: %s.", change)}
	case v.High < 0:
		return []string{fmt.Sprintf("The take slows down: %s.", change)}
	}
	return []string{fmt.Sprintf("Whether the take slows down or gets quicker cannot be said: %s.", change)}
}

// swingWords holds downstrokes against upstrokes.
func swingWords(w tempo.Swing) []string {
	v := w.Ratio
	if !v.Known() {
		return []string{fmt.Sprintf("How long downstrokes take beside upstrokes cannot be said: %s.", measured.Why(v.Absent))}
	}
	text := fmt.Sprintf("Downstrokes take %s of the time of upstrokes.", measured.Share(v))
	switch {
	case !measured.Bounded(v):
		text += " How far that may be off is not known."
	case w.Uneven && v.High < 1:
		text += " They are the shorter ones."
	case w.Uneven:
		text += " They are the longer ones."
	default:
		text += " As far as can be told they are alike."
	}
	if w.Floor > 1 {
		text += fmt.Sprintf(" The camera's frames alone can make a difference of %.2g %%, which the range holds.", 100*(w.Floor-1))
	}
	return []string{text}
}

// gridWords holds the notes against the metronome.
func gridWords(r *review.Review) []string {
	g := r.Pace.Grid
	if g.Options.BPM <= 0 {
		return nil
	}
	what := "the start of every downstroke"
	if len(r.Options.Onsets) > 0 {
		what = "every note of the list of onsets"
	}
	head := fmt.Sprintf("Against the metronome at %.4g BPM (%s): ", float64(g.Options.BPM), what)
	var parts []string
	switch v := g.Drift; {
	case !v.Known():
		return []string{head + "it cannot be said, as " + measured.Why(v.Absent) + "."}
	case !measured.Bounded(v):
		parts = append(parts, fmt.Sprintf("%s in speed", measured.SignedAt(v, 1, " %")))
	case v.Low > 0:
		parts = append(parts, fmt.Sprintf("quicker than it, by %s %%", measured.Value(v)))
	case v.High < 0:
		v.Value, v.Low, v.High = -v.Value, -v.High, -v.Low
		parts = append(parts, fmt.Sprintf("slower than it, by %s %%", measured.Value(v)))
	default:
		parts = append(parts, fmt.Sprintf("as quick as it, as far as can be told (%s)", measured.SignedAt(v, measured.Decimals(v), " %")))
	}
	if v := milliseconds(g.Offset); v.Known() {
		switch {
		case measured.Bounded(v) && v.Low > 0:
			parts = append(parts, fmt.Sprintf("after the click by %s ms", measured.Value(v)))
		case measured.Bounded(v) && v.High < 0:
			v.Value, v.Low, v.High = -v.Value, -v.High, -v.Low
			parts = append(parts, fmt.Sprintf("ahead of the click by %s ms", measured.Value(v)))
		default:
			parts = append(parts, fmt.Sprintf("%s from the click", measured.SignedAt(v, measured.Decimals(v), " ms")))
		}
	} else if r.Setup.ClickS != nil {
		parts = append(parts, "early or late cannot be said, as "+measured.Why(v.Absent))
	}
	if v := milliseconds(g.Spread); v.Known() {
		parts = append(parts, fmt.Sprintf("scattered about it by %s ms", measured.Value(v)))
	}
	return []string{head + strings.Join(parts, "; ") + "."}
}

func milliseconds(v estimate.Value[float64]) estimate.Value[float64] {
	v.Value, v.Low, v.High = 1000*v.Value, 1000*v.Low, 1000*v.High
	return v
}

// mostRepairs is how many places are told one by one.
const mostRepairs = 8

// repairWords tells where turns seem to be missed or found twice.
func repairWords(c tempo.Curve) []string {
	if len(c.Repairs) == 0 {
		return []string{"No turn seems to be missed, or found twice."}
	}
	var out []string
	for _, k := range []struct{ kind, is string }{{"missed", "seem to be missed"}, {"extra", "seem to be found twice, or a stroke falters,"}} {
		var at []string
		n := 0
		for _, x := range c.Repairs {
			if x.Kind != k.kind {
				continue
			}
			n++
			if t := fmt.Sprintf("%.1f", x.At); len(at) < mostRepairs && !slices.Contains(at, t) {
				at = append(at, t)
			}
		}
		if n == 0 {
			continue
		}
		more := ""
		if n > mostRepairs {
			more = fmt.Sprintf(" and further on, %d in all", n)
		}
		out = append(out, fmt.Sprintf("Turns %s at %s s%s: look at these places in the film.", k.is, measured.Join(at), more))
	}
	return out
}

// fastest is the table of the quickest stretches beside what chance gives. Those
// without that are left out, with the reason.
func fastest(s *notebook.Section, all []tempo.Fastest) {
	t := notebook.Table{
		Head:    []string{"Held for", "a second", "By luck", "Beyond luck"},
		Numeric: []bool{false, true, true},
	}
	var reasons []string
	what := map[string][]string{}
	strokes := 0
	for _, f := range all {
		strokes = f.Strokes / max(1, f.Beats)
		if w := whyNot(f); w != "" {
			if what[w] == nil {
				reasons = append(reasons, w)
			}
			what[w] = append(what[w], fmt.Sprint(f.Beats))
			continue
		}
		beyond := "no"
		if f.Beyond {
			beyond = "yes"
		}
		chance := estimate.As[float64](f.Chance)
		n := measured.Decimals(chance)
		t.Rows = append(t.Rows, []string{measured.Count(f.Beats, "beat"), measured.Fixed(float64(f.Rate.Value), n), measured.At(chance, n), beyond})
	}
	t.Caption = fmt.Sprintf("The quickest stretch of so many beats (%s each), in strokes a second. A take of one and the same speed has quick stretches too: beside it stands how quick the quickest is by luck, the middle and the range of nine such takes in ten. Only what lies beyond that is more than luck.", measured.Count(strokes, "stroke"))
	if len(t.Rows) > 0 {
		s.Table(t)
	}
	for _, w := range reasons {
		s.Text(fmt.Sprintf("The quickest stretch of %s beats is left out: %s.", measured.Join(what[w]), w))
	}
}

// whyNot is why a quickest stretch cannot be shown, "" if it can.
func whyNot(f tempo.Fastest) string {
	for _, v := range []estimate.Value[tempo.NotesPerSecond]{f.Rate, f.Chance} {
		if !v.Known() {
			return measured.Why(v.Absent)
		}
	}
	if math.IsNaN(float64(f.Chance.Low)) || math.IsNaN(float64(f.Chance.High)) {
		return "how quick it is by luck is not known"
	}
	return ""
}
