package cycle

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/estimate"
)

// SmoothOptions say how the smoothness of a run of strokes is measured. The
// zero value is the documented default of every field.
type SmoothOptions struct {
	// Strokes is the number of strokes that one index is taken over. Zero means
	// 16. Indices of different numbers do not compare.
	Strokes int `json:"strokes,omitempty"`
	// CutoffHz is the low-pass cut-off of the path before its speed is taken.
	// Zero means the one that motion.Analyze found the strokes with; negative
	// means none, for a path that is smooth already.
	CutoffHz float64 `json:"cutoff_hz,omitempty"`
	// Spectral are those of the spectral arc length.
	Spectral SpectralOptions `json:"spectral"`
}

// Smoothness holds the smoothness indices of a run of strokes.
type Smoothness struct {
	// Options are those in force, defaults filled in.
	Options SmoothOptions
	// SpectralArc and LogJerk are the medians of SpectralArcLength and
	// LogDimensionlessJerk over stretches of Options.Strokes strokes; N is the
	// number of stretches.
	SpectralArc, LogJerk estimate.Value[float64]
	// NoiseShare is the part of the squared jerk that the noise of the samples
	// leaves after the low-pass, as worked out from m.Noise.
	NoiseShare float64
	// Notes say what the reader should know of these numbers.
	Notes []string
}

// Smooth returns the smoothness of a run of strokes of p, such as a take or a
// settled span; m is what motion.Analyze found on p. The path is brought onto
// an even grid and low-passed, and the indices are taken of its speed and its
// velocity, all axes together, over stretches of the same number of strokes that follow each
// other without a pause or a gap.
//
// An error means that p itself is not usable; whatever else stands in the way
// makes the indices absent.
func Smooth(p trajectory.Placed, m *motion.Motion, strokes []motion.Stroke, o SmoothOptions) (Smoothness, error) {
	if o.Strokes <= 0 {
		o.Strokes = 16
	}
	if o.CutoffHz == 0 {
		o.CutoffHz = m.CutoffHz
	}
	o.Spectral = o.Spectral.withDefaults()
	s := Smoothness{Options: o, NoiseShare: math.NaN()}
	if err := p.Validate(); err != nil {
		return s, err
	}
	absent := func(code, why string) (Smoothness, error) {
		s.SpectralArc = estimate.Missing[float64](code, "spectral arc length", why)
		s.LogJerk = estimate.Missing[float64](code, "log dimensionless jerk", why)
		return s, nil
	}
	stretches := stretches(strokes, o.Strokes)
	if len(stretches) == 0 {
		return absent("too few", fmt.Sprintf("no %d strokes follow each other without a pause or a gap", o.Strokes))
	}
	q, _, err := trajectory.Uniform(trajectory.Placed{}, p, trajectory.UniformOptions{})
	if err != nil {
		return s, err
	}
	hz := float64(q.Len()-1) / (q.T[q.Len()-1] - q.T[0])
	var cols [][]float64
	for _, c := range [][]float64{q.Across, q.Along, q.Out} {
		if c != nil {
			cols = append(cols, c)
		}
	}
	var lp filter.Butterworth
	low := o.CutoffHz > 0 && o.CutoffHz < hz/2
	if low {
		if lp, err = filter.LowPass(o.CutoffHz, hz); err != nil {
			return s, err
		}
		s.Notes = append(s.Notes, fmt.Sprintf("The path was low-passed at %.3g Hz; indices compare only between paths smoothed alike.", o.CutoffHz))
	} else {
		s.Notes = append(s.Notes, "The path was not smoothed.")
	}
	velocity, speed := velocities(cols, lp, hz)
	part := make([][]float64, len(cols))

	var good []span
	var jerks, rates, squares []float64
	for _, t := range stretches {
		lo := max(0, int(math.Ceil((t.start-q.T[0])*hz-1e-6)))
		hi := min(len(speed), int(math.Floor((t.end-q.T[0])*hz+1e-6))+1)
		if hi-lo < 8 || slices.ContainsFunc(speed[lo:hi], math.IsNaN) {
			continue
		}
		for d := range part {
			part[d] = velocity[d][lo:hi]
		}
		good = append(good, span{lo, hi})
		jerks = append(jerks, LogDimensionlessJerk(part, hz))
		rates = append(rates, float64(o.Strokes)/(t.end-t.start))
		squares = append(squares, squaredJerk(part)/float64(hi-lo-2))
	}
	if len(good) == 0 {
		return absent("gaps", fmt.Sprintf("samples are missing in every stretch of %d strokes", o.Strokes))
	}
	s.LogJerk = estimate.SeriesMedian(jerks, 0)

	rate, fc := median(rates), o.Spectral.CutoffHz
	if rate > 0.9*fc {
		s.SpectralArc = estimate.Missing[float64]("cut-off", "spectral arc length", fmt.Sprintf(
			"its cut-off of %.3g Hz takes away the strokes themselves, of which there are %.3g a second", fc, rate))
	} else {
		var spec spectrum
		var arcs []float64
		for _, g := range good {
			arcs = append(arcs, spec.arcLength(speed[g.lo:g.hi], hz, o.Spectral))
		}
		s.SpectralArc = estimate.SeriesMedian(arcs, 0)
		if 3*rate > fc {
			s.Notes = append(s.Notes, fmt.Sprintf(
				"The spectral arc length stops at %.3g Hz, and leaves out what is rough within strokes of %.3g a second: compare it at the same rate only.", fc, rate))
		}
	}
	s.NoiseShare = float64(len(cols)) * jerkNoise(lp, low, hz) * m.Noise * m.Noise / median(squares)
	switch {
	case !(s.NoiseShare <= 0.1):
		s.LogJerk = estimate.Missing[float64]("noise", "log dimensionless jerk", noiseWhy(s.NoiseShare))
	case s.NoiseShare > 0.02:
		s.Notes = append(s.Notes, fmt.Sprintf("About %.0f %% of the squared jerk is the noise of the samples.", 100*s.NoiseShare))
	}
	s.Notes = append(s.Notes, fmt.Sprintf(
		"Both indices fall with the number of strokes they are taken over, here %d, and tell nothing of a single stroke.", o.Strokes))
	return s, nil
}

func noiseWhy(share float64) string {
	if share != share {
		return "the noise of the samples is not known, and the jerk of a noisy path is mostly noise"
	}
	return fmt.Sprintf("about %.0f %% of the squared jerk would be the noise of the samples", 100*math.Min(share, 1))
}

type stretch struct{ start, end float64 }

type span struct{ lo, hi int } // of samples

// stretches returns the stretches of n strokes that follow each other.
func stretches(strokes []motion.Stroke, n int) []stretch {
	var all []stretch
	from := 0
	for i, s := range strokes {
		if i > from && !s.Joined || s.Bridged {
			from = i
			if s.Bridged {
				from = i + 1
				continue
			}
		}
		if i-from+1 == n {
			all = append(all, stretch{strokes[from].Start, s.End})
			from = i + 1
		}
	}
	return all
}

// velocities returns the velocity of a path on an even grid, run by run
// low-passed, and its speed; NaN in gaps.
func velocities(cols [][]float64, lp filter.Butterworth, hz float64) (velocity [][]float64, speed []float64) {
	n := len(cols[0])
	speed = make([]float64, n)
	for _, c := range cols {
		v := make([]float64, n)
		copy(v, c)
		for start, end := range trajectory.Runs(c) {
			lp.ZeroPhase(v[start:end], v[start:end])
			filter.Derivative(v[start:end], v[start:end], hz)
		}
		for i, d := range v {
			speed[i] = math.Hypot(speed[i], d)
		}
		velocity = append(velocity, v)
	}
	return velocity, speed
}

// jerkNoise returns the variance of the second differences of a velocity that
// white noise of variance 1 leaves: the gains of the two passes, the central
// difference and the second difference, over all frequencies.
func jerkNoise(lp filter.Butterworth, low bool, hz float64) float64 {
	const steps = 512
	sum := 0.0
	for i := range steps {
		w := math.Pi * (float64(i) + 0.5) / steps
		g := 1.0
		if low {
			g = lp.Gain(w/(2*math.Pi)*hz, hz)
			g *= g
		}
		d := math.Sin(w) * hz * (2 - 2*math.Cos(w)) * g
		sum += d * d / steps
	}
	return sum
}
