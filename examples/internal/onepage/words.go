package onepage

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Summary is the review in a few lines for a terminal: the questions, the findings
// without their details, and what to work on.
func Summary(r *review.Review, about About) []string {
	lines := []string{""}
	add := func(items ...string) {
		for _, item := range items {
			lines = append(lines, "- "+item)
		}
	}
	a := counsel(r, about.player())
	add(a.Stop...)
	add(r.Questions...)
	for _, f := range findings(r) {
		if !f.detail {
			add(f.text)
		}
	}
	if l := r.Loss.Share(); l > 0.02 {
		add(fmt.Sprintf("%s of the tip's samples are missing or were cut.", measured.Percent(l)))
	}
	for _, n := range r.Notes {
		add("Note: " + n)
	}
	if len(a.Stop) == 0 {
		add(workWords(about, a)...)
	}
	return lines
}

// finding is one that the page tells, and the summary too unless it is a detail.
type finding struct {
	text   string
	detail bool
}

// findings are the findings in words that a teacher uses.
func findings(r *review.Review) []finding {
	var out []finding
	more := func(detail bool, texts []string) {
		for _, t := range texts {
			out = append(out, finding{t, detail})
		}
	}
	add := func(format string, args ...any) { more(false, []string{fmt.Sprintf(format, args...)}) }
	rate, angle, _ := headline(r)
	settled := r.Value("settled_notes_per_second")
	paces := changesPace(r)
	switch {
	case paces: // times and rates say nothing, and a question says so
		if len(r.Motion.Strokes) == 0 {
			add("Nothing can be told of this take before it is cut where its pace changes.")
			return out
		}
	case rate.Known():
		over := "over"
		if few(rate) {
			over = "over only"
		}
		add("Speed: %s strokes a second, which is %s, %s %s.",
			measured.Value(rate), inTempo(r, rate.Value), over, measured.Count(len(r.Motion.Strokes), "stroke"))
		more(false, agreement(r))
		if settled.Known() && r.Settling.Share.Known() && r.Settling.Share.Value < 0.98 {
			more(true, []string{fmt.Sprintf("In the settled spans alone: %s strokes a second (%s).", measured.Value(settled), inTempo(r, settled.Value))})
		}
	default:
		if s := r.Value("spectral_notes_per_second"); s.Known() {
			add("Speed: about %.3g strokes a second (%s), from the spectrum alone. Single strokes could not be told apart: %s.",
				s.Value, inTempo(r, s.Value), measured.Why(rate.Absent))
		} else {
			add("The speed could not be measured: %s.", measured.Why(rate.Absent))
		}
		for _, a := range r.Motion.Absent {
			if a.Code == "no strokes" || a.Code == "no motion" {
				add("Look at the film and at the picture of the path: is %q the point that follows the pick, and is the player playing?", r.Setup.Tip)
			}
		}
		return out
	}

	if a := angle; a.Known() {
		lean := ""
		switch {
		case few(a): // nothing follows
		case a.Low <= -90 || a.High >= 90:
			lean = " That is close to straight out, so that downstrokes and upstrokes can hardly be told apart."
		case a.Low > 0:
			lean = " A downstroke ends further out from the instrument than it begins."
		case a.High < 0:
			lean = " A downstroke ends nearer to the instrument than it begins."
		default:
			lean = leanByRise(r.Value("rise"))
		}
		what := "Path"
		if r.Frame.View == trajectory.Oblique {
			what = "Path in the picture (an oblique view; compare it only within this set-up)"
		}
		digits := angleDecimals(r)
		add("%s: %s degrees to the strings%s%s.%s", what, measured.Fixed(a.Value, digits), interval(r, a, digits), from(a), lean)
	} else if k := r.Value("skew_deg"); k.Known() {
		add("Skew: the strokes run %s degrees off square to the strings%s. This view shows no path angle.", measured.Value(k), from(k))
	}

	switch c := r.Clearing; c.Clearing {
	case motion.ClearsAfterDownstrokes:
		h := lengths(r, c.AfterDown)
		add("After a downstroke the tip turns out of the strings' way, %s above them; after an upstroke it turns among them.", h[0])
	case motion.ClearsAfterUpstrokes:
		h := lengths(r, c.AfterUp)
		add("After an upstroke the tip turns out of the strings' way, %s above them; after a downstroke it turns among them.", h[0])
	case motion.ClearsBoth:
		add("The tip turns out of the strings' way after both strokes.")
	case motion.ClearsNeither:
		add("The tip turns among the strings after both strokes.")
	}

	more(false, carryWords(r))
	more(true, driveWords(r))
	if !paces {
		more(false, settlingWords(r))
		more(false, referenceWords(r))
	}
	more(false, stringWords(r))
	more(true, stringDetails(r))
	more(false, soundWords(r))
	more(true, soundDetails(r))

	d, u := r.Value("turn_scatter_down"), r.Value("turn_scatter_up")
	if d.Known() && u.Known() {
		scatter := lengths(r, d, u)
		more(true, []string{fmt.Sprintf("The turns scatter by %s on the treble side and %s on the bass side.", scatter[0], scatter[1])})
	}
	return out
}

// angleDecimals is how many to tell of the path angle.
func angleDecimals(r *review.Review) int {
	if p := r.Value("picture_angle_deg"); r.Frame.View == trajectory.EndOn && p.Known() {
		return measured.Decimals(p) // takes of one set-up are compared by it
	}
	return measured.Decimals(r.Angle())
}

// leanByRise tells which way a downstroke goes where what raise and skew can hide
// leaves the path angle open. The rise supposes a camera held about level, as the
// heights do that stand beside it.
func leanByRise(rise estimate.Value[float64]) string {
	const level = ", if the camera looks about level along the strings."
	switch {
	case rise.Known() && rise.Low > 0:
		return " A downstroke ends further out from the instrument than it begins" + level
	case rise.Known() && rise.High < 0:
		return " A downstroke ends nearer to the instrument than it begins" + level
	}
	return " That is level with the strings, as far as can be told."
}

// movingWords tells of a take that is steady from stroke to stroke and drifts.
func movingWords(r *review.Review) string {
	text := "The strokes are alike from one to the next, and change slowly: no one motion is kept, and nothing is searched for."
	if v := r.Value("rate_drift_percent_per_minute"); v.Known() && (v.Low > 0 || v.High < 0) {
		text += " See the pace."
	}
	return text
}

// changesPace reports whether the pace changes within the take as that of a film
// does which goes over to slow motion. The first of r.Questions then asks about
// it.
func changesPace(r *review.Review) bool {
	return len(r.Jumps) > 0
}

// interval is that of the path angle: in an end-on picture also the one that
// leaves out what raise and skew can hide, as for comparing takes of one set-up.
func interval(r *review.Review, a estimate.Value[float64], decimals int) string {
	p := r.Value("picture_angle_deg")
	wide := measured.Range(a, decimals)
	switch {
	case wide == "":
		return ""
	case r.Frame.View != trajectory.EndOn || few(p):
		return " (" + wide + ")"
	case r.Setup.SkewDeg != nil && (r.Card != nil || r.Setup.RaiseDeg != nil):
		return " (" + wide + ", raise and skew taken into account)"
	}
	return fmt.Sprintf(" (as seen in this picture %s; %s with what the camera's raise and the strokes' skew can hide)", measured.Range(p, decimals), wide)
}

// few reports whether a value rests on too little for anything to follow from
// it.
func few(v estimate.Value[float64]) bool {
	return v.N < 6 || math.IsNaN(v.Low) || math.IsNaN(v.High)
}

// from says how many strokes a value rests on, where those are few.
func from(v estimate.Value[float64]) string {
	if !few(v) {
		return ""
	}
	return ", from only " + measured.Count(v.N, "stroke")
}

// agreement says where the rate of the strokes and that of the spectrum do not
// bear each other out.
func agreement(r *review.Review) []string {
	s := r.Value("spectral_notes_per_second")
	if !s.Known() {
		return []string{fmt.Sprintf("The speed could not be measured in a second way, from the spectrum (%s): treat it with care.", measured.Why(s.Absent))}
	}
	a := r.Pace.Agreement
	if a.Verdict == tempo.RatesAgree {
		return nil
	}
	text := fmt.Sprintf("The two ways of measuring the speed do not agree: the spectrum shows %.3g strokes a second. Treat the speed with care.", s.Value)
	if a.Why != "" {
		text += " " + measured.Upper(a.Why) + "."
	}
	return []string{text}
}

// settlingWords tells where the motion holds and where it wanders.
func settlingWords(r *review.Review) []string {
	if a := r.Settling.Absent; a != nil {
		return []string{fmt.Sprintf("Whether the motion settles could not be judged: %s.", a.Why)}
	}
	n, holds := 0, ""
	for _, s := range r.Spans {
		if s.Settled {
			n++
		}
	}
	if l := r.Longest(); l != nil {
		holds = fmt.Sprintf("the longest holds for %.1f s (%s)", l.End-l.Start, measured.Count(l.Strokes, "stroke"))
	}
	switch share, changes := r.Settling.Share, r.History.Switches; {
	case n == 0 && r.Value("moving_share").Value > 0.5:
		return []string{movingWords(r)}
	case n == 0:
		return []string{"The player is searching throughout: no stretch of a second or more keeps one motion. That is usual and useful early on."}
	case n == 1 && share.Value > 0.98:
		return []string{"The motion is settled throughout: one motion from start to end, as far as stretches of searching are long enough to be told."}
	case n == len(r.Spans) && changes > 0:
		return []string{fmt.Sprintf("The motion is settled throughout, and changes from one to another %s; %s.", times(changes), holds)}
	case n == len(r.Spans):
		return []string{fmt.Sprintf("The motion is settled in all %d stretches of playing; %s.", n, holds)}
	default:
		return []string{fmt.Sprintf("The motion is settled for %s of the playing time, in %s; %s. In between the player is searching, which is usual and useful early on.",
			measured.Percent(share.Value), measured.Count(n, "span"), holds)}
	}
}

// lengths are lengths with interval and unit, with equal digits.
func lengths(r *review.Review, vs ...estimate.Value[float64]) []string {
	d := measured.Decimals(vs...)
	var out []string
	for _, v := range vs {
		out = append(out, measured.At(v, d)+" "+unit(r))
	}
	return out
}

// noteOf is the note value that a stroke counts as: that of the settings, or a
// sixteenth.
func noteOf(r *review.Review) tempo.NoteValue {
	if n := r.Setup.TempoNote; n != nil {
		return *n
	}
	return tempo.Sixteenth
}

// inTempo is the tempo that a rate makes.
func inTempo(r *review.Review, nps float64) string {
	return fmt.Sprintf("%.0f BPM in %s", float64(tempo.NotesPerSecond(nps).BPM(noteOf(r))), noteOf(r).Plural())
}
