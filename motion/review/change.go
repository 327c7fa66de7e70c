package review

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Change is one quantity of the strokes, early against late in the take.
type Change struct {
	Name, Title, Unit string
	// Times and Values are the strokes', in order; NaN where one has none.
	Times, Values []float64
	variability.Change
}

// early compares the first third of the take with the last.
func (r *Review) early() error {
	angle, what, title, name := r.unwrapped(pathAngleOf), "path angle", "path angle", "path_angle_deg"
	switch {
	case !r.Frame.View.HasOut():
		angle, what, title, name = r.unwrapped(skewOf), "skew", "skew", "skew_deg"
	case r.Frame.View == trajectory.Oblique:
		title, name = "picture angle", "picture_angle_deg"
	}
	noise := func(f func(motion.StrokeNoise) float64) float64 {
		var known []float64
		for _, s := range r.Motion.Strokes {
			if v := f(s.Noise); v == v {
				known = append(known, v)
			}
		}
		return medianOf(known)
	}
	times := r.column(motion.Stroke.Middle)
	var changes []float64 // of span
	for i, s := range r.Spans {
		if i > 0 {
			changes = append(changes, s.Start)
		}
	}
	for _, c := range []struct {
		name, title, unit string
		what              string // to package motion, which says why there is none
		f                 func(motion.Stroke) float64
		noise             float64
	}{
		{name, title, "degrees", what, angle, noise(func(n motion.StrokeNoise) float64 { return n.Angle.Degrees() })},
		// Two strokes in a row share a turn, whose error leaves their mean
		// duration alone.
		{"duration_s", "stroke duration", "s", "strokes", motion.Stroke.Duration, noise(func(n motion.StrokeNoise) float64 { return n.Duration }) / math.Sqrt2},
		{"length", "stroke length", r.lengthUnit(), "strokes", func(s motion.Stroke) float64 { return s.Length }, noise(func(n motion.StrokeNoise) float64 { return n.Length })},
	} {
		x := r.column(c.f)
		v, err := variability.EarlyLate(times, x, variability.EarlyLateOptions{
			Cycles: true, Changes: changes, Options: variability.Options{Noise: c.noise, Seed: r.Options.Seed},
		})
		if err != nil {
			return err
		}
		if a := v.Ratio.Absent; a != nil && a.Code == "noise" {
			a.Why = "in one part of the take it scatters no more than the measurement's own noise"
		}
		known := 0
		for _, v := range x {
			if v == v {
				known++
			}
		}
		if a := v.Ratio.Absent; a != nil && 2*known < len(x) {
			// Not a matter of how long the take is.
			why := fmt.Sprintf("only %d of %d strokes have one", known, len(x))
			if known == 0 {
				why = r.whyNo(c.what, "no stroke has one")
			}
			for _, w := range []*estimate.Value[float64]{&v.Difference, &v.Trimmed, &v.Ratio, &v.RobustRatio, &v.G, &v.Delta} {
				if w.Absent != nil {
					*w = estimate.Missing[float64]("few-known", w.Absent.What, why)
				}
			}
		}
		r.EarlyLate = append(r.EarlyLate, Change{c.name, c.title, c.unit, times, x, v})
	}
	return nil
}
