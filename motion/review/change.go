package review

import (
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability"
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
	angle, angleTitle := func(s motion.Stroke) float64 { return s.PathAngle.Degrees() }, "path angle"
	name := "path_angle_deg"
	if !r.Frame.View.HasOut() {
		angle, angleTitle, name = func(s motion.Stroke) float64 { return s.Skew.Degrees() }, "skew", "skew_deg"
	}
	times := r.column(motion.Stroke.Middle)
	// Long takes need fewer draws: their windows hold more blocks each.
	draws := min(999, max(199, 400_000/max(1, len(times))))
	for _, c := range []struct {
		name, title, unit string
		f                 func(motion.Stroke) float64
	}{
		{name, angleTitle, "degrees", angle},
		{"duration_s", "stroke duration", "s", motion.Stroke.Duration},
		{"length", "stroke length", r.Unit, func(s motion.Stroke) float64 { return s.Length }},
	} {
		x := r.column(c.f)
		v, err := variability.EarlyLate(times, x, variability.EarlyLateOptions{
			Cycles: true, Options: variability.Options{Seed: r.Options.Seed, Draws: draws},
		})
		if err != nil {
			return err
		}
		r.EarlyLate = append(r.EarlyLate, Change{c.name, c.title, c.unit, times, x, v})
	}
	return nil
}
