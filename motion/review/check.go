package review

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
)

// Finding is one thing that a set-up can or cannot measure, and why, as parts
// of a sentence.
type Finding struct {
	Can bool
	// Aside says that the finding is worth knowing about this take, and is
	// neither something that can be measured nor something that cannot.
	Aside bool
	What  string
	Why   string
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
		fs = append(fs, Finding{Can: can, What: what, Why: fmt.Sprintf(why, args...)})
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
		why := fmt.Sprintf("%.3g units of the export are a millimetre", r.Frame.UnitsPerMM)
		if s.Marks.DistanceMM == 0 {
			why = "the export is in " + metric[r.SourceUnit]
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
			what := "the path angle of single strokes"
			switch view {
			case trajectory.Front:
				what = "the skew of single strokes"
			case trajectory.Oblique:
				what = "the picture angle of single strokes"
			}
			add(v < 3, what, "the measured noise alone scatters it by %.2g degrees", v)
		}
		add(r.Settling.Absent == nil, "settled and searching spans", "%s", settlingWhy(r))
	}
	aside := func(what, why string) { fs = append(fs, Finding{Aside: true, What: what, Why: why}) }
	aside("missing samples", fmt.Sprintf("%.1f %% of the tip's samples are missing or were cut; the longest gap lasts %.2f s", 100*r.Loss.Share(), r.Loss.LongestGap))
	for _, n := range r.Notes {
		aside("note", strings.TrimSuffix(n, "."))
	}
	return fs, nil
}

// metric are the units of an export that need no distance between the marks.
var metric = map[string]string{"mm": "millimetres", "cm": "centimetres", "m": "metres"}

func settlingWhy(r *Review) string {
	if r.Settling.Absent != nil {
		return r.Settling.Absent.Why
	}
	return "the noise is well below the tolerances"
}
