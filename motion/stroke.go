package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
)

// Stroke is the tip's travel from one turn to the next. Lengths are in the
// unit of the placed path it was measured on, times in seconds. A quantity
// that could not be had for this stroke is NaN; [Motion.Absent] holds the
// reason for a quantity that no stroke has.
type Stroke struct {
	Direction  Direction
	Start, End float64

	// Length is the distance between the two turns.
	Length float64
	// PathAngle is the angle of the stroke's axis to the string plane, in the
	// across/out plane; positive when a downstroke ends further out; axial,
	// in (-90, 90] degrees. PathAngleLow and PathAngleHigh bound it at 95 %
	// from the measured noise and the frame's own uncertainty.
	PathAngle, PathAngleLow, PathAngleHigh circular.Angle
	// Skew is the angle of the axis to across in the across/along plane;
	// positive when a downstroke moves toward the nut.
	Skew circular.Angle
	// Curvature is signed about the chord, in 1/unit, positive when the
	// middle bulges out.
	Curvature float64
	// HeightStart and HeightEnd are the distance out from the string plane at
	// the two turns.
	HeightStart, HeightEnd float64
	// AcrossStart and AcrossEnd are where the two turns lie across the strings.
	AcrossStart, AcrossEnd float64
	// PeakSpeed is the greatest speed along the axis, in units/s.
	PeakSpeed float64

	// StartHidden and EndHidden say that the turn fell into a gap: its time
	// is interpolated, and what depends on its place is NaN.
	StartHidden, EndHidden bool
	// Bridged says that the stroke lies in a gap as a whole: that it was played
	// follows from the strokes on both sides, its turns are spaced evenly.
	Bridged bool
	// Joined is true when the stroke begins at the turn that ended the one
	// before it, without a pause or a gap between.
	Joined bool

	// Seen is what the seen part of the stroke tells of it.
	Seen Seen

	// Noise holds the standard deviation that measurement alone gives each
	// quantity, NaN where the quantity is.
	Noise StrokeNoise

	chord      chord   // on the filtered path
	bend       bend    // of the samples over the chord
	sigma      float64 // scatter of the samples about the stroke
	rise       float64 // how much further out the turn on the treble side is
	halfCosine float64 // length of the half-cosine through the samples
}

// Seen is the length and the angle of a stroke as far as its seen part tells:
// Length, and PathAngle (or Skew, where the view gives no path angle), when
// both turns were seen; otherwise the length of the half-cosine through
// the samples there are, and their direction. It is for comparing
// strokes of one take with each other. NaN where even that is not to be had.
type Seen struct {
	Length      float64
	LengthNoise float64
	Angle       circular.Angle
	AngleNoise  circular.Angle
}

// StrokeNoise is the measurement noise of one stroke, as standard deviations.
type StrokeNoise struct {
	Angle    circular.Angle // of PathAngle, or of Skew where the view gives no path angle
	Duration float64        // s
	Length   float64        // unit of the path
}

// Noise of single strokes from that of their samples, in σ/(L√n). The first is √3.3,
// as chains of strokes give it; all three are how much half-cosine strokes of
// simulated takes scatter that are all alike (TestExpectedNoise).
const (
	noiseOfAngle    = 1.82 // rad
	noiseOfDuration = 2.9  // as a share
	noiseOfLength   = 2.7  // as a share
)

// ExpectedNoise returns how much measurement alone will scatter single strokes of n
// samples each, when the tip is known to a standard deviation of ratio times their
// length on each axis: Duration and Length are shares of those of the strokes. It is
// right to 10 % at 10 to 35 samples a stroke; at 50 durations scatter by a fifth
// more. Strokes that linger at their turns have twice the noise of duration. NaN
// gives NaN.
func ExpectedNoise(ratio, n float64) StrokeNoise {
	one := ratio / math.Sqrt(n)
	return StrokeNoise{Angle: circular.Angle(noiseOfAngle * one), Duration: noiseOfDuration * one, Length: noiseOfLength * one}
}

// Duration returns the time from turn to turn in seconds.
func (s Stroke) Duration() float64 { return s.End - s.Start }

// Middle returns the time halfway between the turns.
func (s Stroke) Middle() float64 { return s.Start + (s.End-s.Start)/2 }

// TurnHidden reports whether either turn fell into a gap.
func (s Stroke) TurnHidden() bool { return s.StartHidden || s.EndHidden || s.Bridged }

// chord is the straight line from turn to turn.
type chord struct {
	run        int // of the grid
	from, axis [3]float64
	length     float64
}

// way returns the share of the chord that the filtered path has gone along it
// by the grid sample at.
func (c *chord) way(g *grid, at float64) float64 {
	r := g.runs[c.run]
	at -= float64(r.Start)
	w := 0.0
	for d, x := range g.pos {
		w += c.axis[d] * (cubic(x[r.Start:r.End], at) - c.from[d])
	}
	return w / c.length
}

// unmeasured returns a stroke all of whose quantities are NaN.
func unmeasured() Stroke {
	nan := math.NaN()
	angle := circular.Angle(nan)
	return Stroke{
		bend:   bend{nan, nan, nan},
		rise:   nan,
		Length: nan, PathAngle: angle, PathAngleLow: angle, PathAngleHigh: angle, Skew: angle,
		Curvature: nan, HeightStart: nan, HeightEnd: nan, AcrossStart: nan, AcrossEnd: nan, PeakSpeed: nan,
		Seen:  Seen{Length: nan, LengthNoise: nan, Angle: angle, AngleNoise: angle},
		Noise: StrokeNoise{Angle: angle, Duration: nan, Length: nan},
	}
}
