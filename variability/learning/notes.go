package learning

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// note says what bears on the result.
func (r *Result) note(j *judgement) {
	add := func(format string, a ...any) { r.Notes = append(r.Notes, fmt.Sprintf(format, a...)) }
	if r.Missing > 0 {
		add("%s left out: x or y is missing.", count(r.Missing, "value"))
	}
	if c := r.Curve(Power); c.Absent != nil && c.Absent.Code == "x-not-positive" {
		add("No power curve: %s.", c.Absent.Why)
	}
	if r.Verdict == TooFew {
		return
	}
	if r.Between > 0 {
		add("Days scatter by %s beyond the standard errors given.", short(r.Between))
	}
	if v := r.Likeness; v.Known() && v.Value >= 0.5 {
		add("The scatter of neighbours is alike (%.1f): the %d values tell about as much as %.0f independent ones.",
			v.Value, r.N, math.Max(1, float64(r.N)*(1-v.Value)/(1+v.Value)))
	}
	if len(r.Alike) > 1 {
		text := ""
		for i, k := range r.Alike {
			switch {
			case i > 0 && i == len(r.Alike)-1:
				text += " and "
			case i > 0:
				text += ", "
			}
			text += k.String()
		}
		add("The values cannot tell these curves apart: %s.", text)
	}
	if n := len(r.Outliers); n > 0 {
		add("Far off and pulled in: %s.", count(n, "value"))
	} else if best := j.fits[r.Best]; best != nil && !r.Options.Robust && j.standsOut(best) {
		add("A value lies far off the curve and bears on it: compare with Options.Robust.")
	}
}

// standsOut reports whether a residual is more than five robust standard
// deviations off. One in a million normal values is.
func (j *judgement) standsOut(f *fitted) bool {
	res := f.residuals(j.p)
	scale := robust.Scale(res)
	if !(scale*scale*float64(len(res)) > j.p.floor) {
		return false
	}
	for _, v := range res {
		if math.Abs(v) > 5*scale {
			return true
		}
	}
	return false
}
