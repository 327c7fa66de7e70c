package review

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// joint measures how the strokes scatter in all their quantities at once, in
// units of the tolerances of settled spans: path angle, skew, log duration, log
// length and the height of the turn, as far as the view shows them. Of the noise
// of skew in a 3-d view, and of heights, the strokes say nothing: they are taken
// from that of the path angle and of the length.
func (r *Review) joint() error {
	strokes := r.Motion.Strokes
	if len(strokes) == 0 || len(r.Jumps) > 0 {
		return nil
	}
	t := r.Settling.Options.Tolerances
	angle := t.Angle.Degrees()
	length := estimate.SeriesMedian(r.column(lengthOf), -1)
	logs := func(f func(motion.Stroke) float64) func(motion.Stroke) float64 {
		return func(s motion.Stroke) float64 { return math.Log(f(s)) }
	}
	var columns []variability.Column
	for _, c := range []struct {
		name          string
		f, noise      func(motion.Stroke) float64
		scale, period float64
	}{
		{"path angle", func(s motion.Stroke) float64 { return s.PathAngle.Degrees() }, func(s motion.Stroke) float64 { return s.Noise.Angle.Degrees() }, angle, 180},
		{"skew", func(s motion.Stroke) float64 { return s.Skew.Degrees() }, func(s motion.Stroke) float64 { return s.Noise.Angle.Degrees() }, angle, 180},
		{"log duration", logs(motion.Stroke.Duration), func(s motion.Stroke) float64 { return s.Noise.Duration / s.Duration() }, t.Duration, 0},
		{"log length", logs(lengthOf), func(s motion.Stroke) float64 { return s.Noise.Length / s.Length }, t.Length, 0},
		{"height", func(s motion.Stroke) float64 { return s.HeightEnd }, heightNoise, t.Length * length.Value, 0},
	} {
		x := r.column(c.f)
		known := 0
		for i, v := range x {
			if math.IsInf(v, 0) {
				x[i] = nan
			}
			if x[i] == x[i] {
				known++
			}
		}
		// What half of the strokes lack would leave out the other half's strokes.
		if 2*known < len(x) || !(c.scale > 0) {
			continue
		}
		noises := r.column(c.noise)
		if !estimate.SeriesMedian(noises, -1).Known() {
			noises = nil
		}
		columns = append(columns, variability.Column{Name: c.name, Values: x, Scale: c.scale, Period: c.period, Noises: noises})
	}
	if len(columns) < 2 {
		return nil
	}
	groups := make([]int, len(strokes))
	for i, s := range strokes {
		if s.Direction == motion.Up {
			groups[i] = 1
		}
	}
	j, err := variability.JointSpread(columns, variability.JointOptions{Groups: groups})
	if err != nil {
		return err
	}
	r.Joint = &j
	return nil
}

// heightNoise is the noise of the height of one turn: a length has two.
func heightNoise(s motion.Stroke) float64 { return s.Noise.Length / math.Sqrt2 }

// ofJoint returns a measure of the joint spread.
func ofJoint(what string, get func(*variability.Joint) estimate.Value[float64]) func(*Review) estimate.Value[float64] {
	return inTime(what, func(r *Review) estimate.Value[float64] {
		if r.Joint == nil {
			return estimate.Missing[float64]("too few", what, r.whyNo("strokes", "fewer than two of angle, duration, length and height are known of the strokes"))
		}
		return get(r.Joint)
	})
}
