package review

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
)

// Finding is one thing that a set-up can or cannot measure, and why, as parts
// of a sentence.
type Finding struct {
	Can  bool
	What string
	Why  string
}

// Check says what the set-up behind a recording can and cannot measure, before
// a lesson is spent on it. It is an error when nothing could be measured at
// all.
func Check(rec *trajectory.Recording, s Setup, o Options) ([]Finding, error) {
	r, err := Run(rec, s, o)
	if err != nil {
		return nil, err
	}
	var fs []Finding
	add := func(can bool, what, why string, args ...any) {
		fs = append(fs, Finding{can, what, fmt.Sprintf(why, args...)})
	}
	m := r.Motion
	hz := m.SampleHz
	spectral := r.rates.spectral
	per := m.SamplesPerStroke
	if math.IsNaN(per) && spectral.Known() {
		per = hz / float64(spectral.Value)
	}
	enough := func(what string, need int) {
		limit := hz / float64(need)
		switch {
		case math.IsNaN(per):
			add(false, what, "no strokes were found; at %.4g samples/s it is possible up to %.3g strokes/s", hz, limit)
		case per >= float64(need):
			add(true, what, "%.3g samples per stroke at %.4g samples/s, %d are needed; possible up to %.3g strokes/s", per, hz, need, limit)
		default:
			add(false, what, "%.3g samples per stroke at %.4g samples/s, %d are needed; possible up to %.3g strokes/s, or film at %.0f frames/s or more", per, hz, need, limit, math.Ceil(hz/per*float64(need)))
		}
	}
	if spectral.Known() {
		add(true, "rate alone, from the spectrum", "it shows %.3g strokes/s", float64(spectral.Value))
	}
	enough("strokes, rate and timing", motion.MinSamplesStrokes)
	view := r.Frame.View
	switch {
	case view == trajectory.Front:
		add(false, "path angle and heights", "a camera that faces the instrument does not see how far out the tip is; film end-on")
		enough("skew", motion.MinSamplesAngles)
	default:
		if view == trajectory.Oblique {
			enough("a picture angle, which compares only within this set-up", motion.MinSamplesAngles)
		} else {
			enough("path angle", motion.MinSamplesAngles)
		}
		enough("curvature", motion.MinSamplesShape)
		if why := r.relativeWhy(); why != "" {
			add(false, "heights and clearing", "%s", why)
		} else {
			enough("heights and clearing", motion.MinSamplesShape)
		}
		if view == trajectory.Spatial {
			enough("skew", motion.MinSamplesAngles)
		} else {
			add(false, "skew", "this view does not see travel along the strings; one front-on take of the same player gives it")
		}
	}
	if r.Unit == "mm" {
		why := "the source is in millimetres"
		if r.Frame.UnitsPerMM > 0 && s.Marks.DistanceMM > 0 {
			why = fmt.Sprintf("%.3g units of the picture are a millimetre", r.Frame.UnitsPerMM)
		}
		add(true, "lengths in millimetres", "%s", why)
	} else {
		add(false, "lengths in millimetres", "the distance between the marks is not given (distance_mm)")
	}
	if len(m.Strokes) > 0 {
		var noise []float64
		for _, st := range m.Strokes {
			if d := st.Noise.Angle.Degrees(); d == d {
				noise = append(noise, d)
			}
		}
		if v := medianOf(noise); v == v {
			add(v < 3, "the path angle of single strokes", "the measured noise alone scatters it by %.2g degrees", v)
		}
		add(r.Settling.Absent == nil, "settled and searching spans", "%s", settlingWhy(r))
	}
	lost := r.Loss.Share()
	add(lost < 0.2, "the take as a whole", "%.1f %% of the tip's samples are missing or were cut; the longest gap lasts %.2f s", 100*lost, r.Loss.LongestGap)
	return fs, nil
}

func settlingWhy(r *Review) string {
	if r.Settling.Absent != nil {
		return r.Settling.Absent.Why
	}
	return "the noise is well below the tolerances"
}
