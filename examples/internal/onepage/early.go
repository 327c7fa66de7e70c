package onepage

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/review"
)

// compares is the section that holds the first third of the take against its last.
func compares(s *notebook.Section, r *review.Review) {
	s.Text(parts(r))
	s.Text(warnings(r)...)
	s.List(changes(r)...)
	s.Step(steps.Of(beginAndEnd), notebook.Figure{
		Name:    "early-late",
		Of:      beginAndEnd(r),
		Alt:     "Distributions of the strokes' measures in the first and the last third of the take.",
		Caption: "Each dot is a stroke; the box holds the middle half, the line in it is the median.",
	})
}

// parts tells which parts of the take are held against each other.
func parts(r *review.Review) string {
	text := "The first third of the take beside its last third."
	if len(r.EarlyLate) > 0 {
		if t := r.EarlyLate[0].Tail; t >= 0.1 {
			text += fmt.Sprintf(" The last %.1f s are left out: there players look up, and reach for the camera.", t)
		}
	}
	return text
}

// warnings tells what to bear in mind, once for all that is compared.
func warnings(r *review.Review) []string {
	var out []string
	for _, c := range r.EarlyLate {
		if c.Warning != "" && !slices.Contains(out, c.Warning) {
			out = append(out, c.Warning)
		}
	}
	return out
}

// changes tells how the late part of the take differs from the early one.
func changes(r *review.Review) []string {
	var out []string
	for _, c := range r.EarlyLate {
		switch v := c.Ratio; {
		case !v.Known():
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said: %s.", c.Title, measured.Why(v.Absent)))
		case math.IsNaN(v.Low) || math.IsNaN(v.High):
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said from this take: its late scatter is %s of the early one, and how far that may be off is not known.",
				c.Title, measured.Percent(v.Value)))
		case v.High < 1:
			out = append(out, fmt.Sprintf("The %s is steadier late in the take: its scatter is %s of the early one (%s to %s).%s",
				c.Title, measured.Percent(v.Value), measured.Percent(v.Low), measured.Percent(v.High), byFew(c)))
		case v.Low > 1:
			out = append(out, fmt.Sprintf("The %s scatters more late in the take: %.2g times as much (%.2g to %.2g).%s", c.Title, v.Value, v.Low, v.High, byFew(c)))
		default:
			out = append(out, fmt.Sprintf("Whether the %s got steadier cannot be said from this take: its late scatter is %s of the early one, but could be anything from %s to %s.",
				c.Title, measured.Percent(v.Value), measured.Percent(v.Low), measured.Percent(v.High)))
		}
		if text := moved(c); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// byFew says where a few wild strokes may make the difference in scatter: without
// them it is not certain.
func byFew(c review.Change) string {
	v := c.RobustRatio
	if v.Known() && measured.Bounded(v) && (v.High < 1 || v.Low > 1) && (v.Value < 1) == (c.Ratio.Value < 1) {
		return ""
	}
	return " That may be a few wild strokes: without them it is not certain."
}

// moved tells by how much the middle of a quantity moves, where it certainly does.
func moved(c review.Change) string {
	v := c.Trimmed
	if !v.Known() || !measured.Bounded(v) || v.Low <= 0 && v.High >= 0 {
		return ""
	}
	unit := c.Unit
	if unit == "s" {
		v, unit = milliseconds(v), "ms"
	}
	return fmt.Sprintf("The middle of the %s moves by %s from early to late.", c.Title, measured.SignedAt(v, measured.Decimals(v), " "+unit))
}
