package main

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// summary is what the program prints: the questions and findings of the page,
// shorter.
func summary(r *review.Review) []string {
	lines := []string{""}
	for _, f := range append(slices.Clone(r.Questions), findings(r)...) {
		lines = append(lines, "- "+f)
	}
	if l := r.Loss.Share(); l > 0.02 {
		lines = append(lines, fmt.Sprintf("- %s of the tip's samples are missing or were cut.", percent(l)))
	}
	for _, n := range r.Notes {
		lines = append(lines, "- Note: "+n)
	}
	return lines
}

// findings are the findings in words that a teacher uses.
func findings(r *review.Review) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	rate, settled := r.Value("notes_per_second"), r.Value("settled_notes_per_second")
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
		add("Speed: %s strokes a second, which is %s in sixteenths, %s %s.",
			between(rate), bpm(rate.Value), over, count(len(r.Motion.Strokes), "stroke"))
		out = append(out, agreement(r)...)
		if settled.Known() && r.Settling.Share.Known() && r.Settling.Share.Value < 0.98 {
			add("In the settled spans alone: %s strokes a second (%s in sixteenths).", between(settled), bpm(settled.Value))
		}
	default:
		if s := r.Value("spectral_notes_per_second"); s.Known() {
			add("Speed: about %.3g strokes a second (%s in sixteenths), from the spectrum alone. Single strokes could not be told apart: %s.",
				s.Value, bpm(s.Value), why(rate))
		} else {
			add("The speed could not be measured: %s.", why(rate))
		}
		for _, a := range r.Motion.Absent {
			if a.Code == "no strokes" || a.Code == "no motion" {
				add("Look at the film and at the picture of the path: is %q the point that follows the pick, and is the player playing?", r.Setup.Tip)
			}
		}
		return out
	}

	if a := r.Value("path_angle_deg"); a.Known() {
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
			lean = " That is level with the strings, as far as can be told."
		}
		what := "Path"
		if r.Frame.View == trajectory.Oblique {
			what = "Path in the picture (an oblique view; compare it only within this set-up)"
		}
		digits := decimals(a)
		if p := r.Value("picture_angle_deg"); r.Frame.View == trajectory.EndOn && p.Known() {
			digits = decimals(p) // takes of one set-up are compared by it
		}
		add("%s: %s degrees to the strings%s%s.%s", what, fixed(a.Value, digits), interval(r, a, digits), from(a), lean)
	} else if k := r.Value("skew_deg"); k.Known() {
		add("Skew: the strokes run %s degrees off square to the strings%s. This view shows no path angle.", between(k), from(k))
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

	out = append(out, carryWords(r)...)
	out = append(out, driveWords(r)...)
	if !paces {
		out = append(out, settlingWords(r)...)
		out = append(out, referenceWords(r)...)
	}
	out = append(out, stringWords(r)...)
	out = append(out, soundWords(r)...)

	d, u := r.Value("turn_scatter_down"), r.Value("turn_scatter_up")
	if d.Known() && u.Known() {
		scatter := lengths(r, d, u)
		add("The turns scatter by %s on the treble side and %s on the bass side.", scatter[0], scatter[1])
	}
	return out
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
	wide := rangeAt(a, decimals)
	switch {
	case wide == "":
		return ""
	case r.Frame.View != trajectory.EndOn || few(p):
		return " (" + wide + ")"
	case r.Setup.SkewDeg != nil && (r.Card != nil || r.Setup.RaiseDeg != nil):
		return " (" + wide + ", raise and skew taken into account)"
	}
	return fmt.Sprintf(" (as seen in this picture %s; %s with what the camera's raise and the strokes' skew can hide)", rangeAt(p, decimals), wide)
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
	return ", from only " + count(v.N, "stroke")
}

// agreement says where the rate of the strokes and that of the spectrum do not
// bear each other out.
func agreement(r *review.Review) []string {
	rate, s := r.Value("notes_per_second"), r.Value("spectral_notes_per_second")
	if !s.Known() {
		return []string{fmt.Sprintf("The speed could not be measured in a second way, from the spectrum (%s): treat it with care.", why(s))}
	}
	ratio := s.Value / rate.Value
	near := func(x float64) bool { return math.Abs(ratio/x-1) <= 0.1 }
	shows := fmt.Sprintf("%.3g strokes a second", s.Value)
	switch {
	case near(1):
		return nil
	case near(2):
		shows += ", twice as many"
	case near(0.5):
		shows += ", half as many"
	}
	return []string{fmt.Sprintf("The two ways of measuring the speed do not agree: the spectrum shows %s. Treat the speed with care.", shows)}
}

// settlingWords tells where the motion holds and where it wanders.
func settlingWords(r *review.Review) []string {
	if a := r.Settling.Absent; a != nil {
		return []string{fmt.Sprintf("Whether the motion settles could not be judged: %s.", a.Why)}
	}
	var n int
	var longest review.Span
	for _, s := range r.Spans {
		if s.Settled {
			n++
			if s.End-s.Start > longest.End-longest.Start {
				longest = s
			}
		}
	}
	holds := fmt.Sprintf("the longest holds for %.1f s (%s)", longest.End-longest.Start, count(longest.Strokes, "stroke"))
	switch share := r.Settling.Share; {
	case n == 0:
		return []string{"The player is searching throughout: no stretch of a second or more keeps one motion. That is usual and useful early on."}
	case n == 1 && share.Value > 0.98:
		return []string{"The motion is settled throughout: one motion from start to end."}
	case n == len(r.Spans):
		return []string{fmt.Sprintf("The motion is settled in all %d stretches of playing; %s.", n, holds)}
	default:
		return []string{fmt.Sprintf("The motion is settled for %s of the playing time, in %s; %s. In between the player is searching, which is usual and useful early on.",
			percent(share.Value), count(n, "span"), holds)}
	}
}

// changes tells how the late part of the take differs from the early one.
func changes(r *review.Review) []string {
	var out []string
	for _, c := range r.EarlyLate {
		switch v := c.Ratio; {
		case !v.Known():
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said: %s.", c.Title, why(v)))
		case math.IsNaN(v.Low) || math.IsNaN(v.High):
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said from this take: its late scatter is %s of the early one, and how far that may be off is not known.",
				c.Title, percent(v.Value)))
		case v.High < 1:
			out = append(out, fmt.Sprintf("The %s is steadier late in the take: its scatter is %s of the early one (%s to %s).",
				c.Title, percent(v.Value), percent(v.Low), percent(v.High)))
		case v.Low > 1:
			out = append(out, fmt.Sprintf("The %s scatters more late in the take: %.2g times as much (%.2g to %.2g).", c.Title, v.Value, v.Low, v.High))
		default:
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said from this take: its late scatter is %s of the early one, but could be anything from %s to %s.",
				c.Title, percent(v.Value), percent(v.Low), percent(v.High)))
		}
	}
	return out
}

func why[T ~float64](v estimate.Value[T]) string {
	if v.Absent != nil {
		return plain(*v.Absent)
	}
	return "there were too few strokes"
}

// plain is a reason in words that a teacher uses. The one in review.json is
// exact.
func plain(a estimate.Absence) string {
	if a.Code == "few-blocks" {
		return "the take is too short for that"
	}
	return a.Why
}

func bpm(nps float64) string {
	return fmt.Sprintf("%.0f BPM", float64(tempo.NotesPerSecond(nps).BPM(tempo.Sixteenth)))
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
