package live

import (
	"cmp"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/settling"
)

// Plan is what is to be expected of a camera and a player before any sample comes.
type Plan struct {
	// FrameRate is in frames a second.
	FrameRate float64
	// NotesPerSecond is the rate of strokes. Zero means 12.
	NotesPerSecond tempo.NotesPerSecond
	// Noise is the standard deviation of the tracked tip on one axis, and
	// StrokeLength the length of strokes, both in the samples' unit. Zero means
	// not known.
	Noise, StrokeLength float64
}

// Allowance says whether something can be told in a setup, and what decides it.
type Allowance struct {
	What string
	Can  bool
	Why  string
}

// Allows says what a tracker with these options will be able to tell, by the
// samples per stroke, the view and the noise. The error is about the plan, or the
// options.
func (o Options) Allows(p Plan) ([]Allowance, error) {
	o = o.withDefaults()
	if err := o.validate(); err != nil {
		return nil, err
	}
	if p.NotesPerSecond == 0 {
		p.NotesPerSecond = 12
	}
	for _, q := range []struct {
		what string
		x    float64
		must bool
	}{{"the frame rate", p.FrameRate, true}, {"the rate of strokes", float64(p.NotesPerSecond), true}, {"the noise", p.Noise, false}, {"the length of strokes", p.StrokeLength, false}} {
		if !(q.x >= 0) || math.IsInf(q.x, 0) || q.must && q.x == 0 {
			return nil, fmt.Errorf("live: %s is %g: give a positive number", q.what, q.x)
		}
	}
	per := p.FrameRate / float64(p.NotesPerSecond)
	var list []Allowance
	add := func(what string, need float64, sees bool) {
		a := Allowance{What: what, Can: sees && per >= need}
		switch {
		case !sees:
			a.Why = fmt.Sprintf("the %v view does not show it", o.Frame.View)
		case a.Can:
			a.Why = fmt.Sprintf("%.1f samples per stroke, %g are needed", per, need)
		default:
			a.Why = tooFew(per, need, p)
		}
		list = append(list, a)
	}
	v := o.Frame.View
	out, along := v != trajectory.Front, v == trajectory.Front || v == trajectory.Spatial
	add("rate", tempo.MinSamplesSpectral, true)
	add("turns, strokes and their timing", motion.MinSamplesStrokes, true)
	angle := "path angle"
	if v == trajectory.Oblique {
		angle = "picture angle" // which compares only within one setup
	}
	add(angle, motion.MinSamplesAngles, out)
	add("skew", motion.MinSamplesAngles, along)
	add("curvature", motion.MinSamplesShape, out)
	add("heights", motion.MinSamplesShape, out && v != trajectory.Oblique)
	if h := &list[len(list)-1]; h.Can && o.Motion.Relative {
		h.Can, h.Why = false, cmp.Or(o.Motion.RelativeWhy, "it is not known where they begin")
	}
	return append(list, o.settles(p, per)), nil
}

// settles says whether settled and searching can be told: the noise of strokes
// must be within half the tolerances (see settling.Find).
func (o Options) settles(p Plan, per float64) Allowance {
	a := Allowance{What: "settled and searching"}
	limit := settling.NewWatch(o.Settling).Options().Tolerances
	noise := motion.StrokeNoise{}
	if p.StrokeLength > 0 {
		noise = motion.ExpectedNoise(p.Noise/p.StrokeLength, per)
	}
	above := func(what string, noise, limit float64, unit string) {
		a.Why = fmt.Sprintf("the noise of the %s will be about %.2g %s, more than half its tolerance of %.2g %s: film from nearer", what, noise, unit, limit, unit)
	}
	switch {
	case per < motion.MinSamplesStrokes:
		a.Why = tooFew(per, motion.MinSamplesStrokes, p)
	case limit.Angle > 0 && per >= motion.MinSamplesAngles && noise.Angle > limit.Angle/2:
		above("angle", noise.Angle.Degrees(), limit.Angle.Degrees(), "degrees")
	case noise.Length > limit.Length/2:
		above("length", 100*noise.Length, 100*limit.Length, "%")
	case noise.Duration > limit.Duration/2:
		above("duration", 100*noise.Duration, 100*limit.Duration, "%")
	case p.Noise == 0 || p.StrokeLength == 0:
		a.Can, a.Why = true, "if the noise of the tracked tip is not above some hundredths of a stroke's length"
	default:
		a.Can, a.Why = true, fmt.Sprintf("the noise of the angle will be about %.2g degrees, that of the length %.2g %% and of the duration %.2g %%", noise.Angle.Degrees(), 100*noise.Length, 100*noise.Duration)
	}
	return a
}

// tooFew says that strokes have too few samples, and what would give enough.
func tooFew(per, need float64, p Plan) string {
	return fmt.Sprintf("%.1f samples per stroke, %g are needed: film at %.0f frames/s, or play slower", per, need, math.Ceil(need*float64(p.NotesPerSecond)))
}
