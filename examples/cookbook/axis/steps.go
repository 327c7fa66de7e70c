package main

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// ontoPlane turns a path so that the string plane lies level: across to the right, out
// upward.
func ontoPlane(x, y []float64, plane circular.Angle, yDown bool) (across, out []float64) {
	sin, cos := math.Sincos(plane.Radians())
	for i := range x {
		up := y[i]
		if yDown {
			up = -up
		}
		across = append(across, cos*x[i]+sin*up)
		out = append(out, cos*up-sin*x[i])
	}
	return across, out
}

// piece is the axis of a part of the path.
type piece struct {
	start float64
	short bool // less than the seconds of a part
	trajectory.Axis
}

// pieces cuts a path into parts of so many seconds and puts an axis through each,
// about its own middle: a hand that wanders turns the axis of the whole, but not these.
// Parts before a jump in the times, and the last one, may be short.
func pieces(t, across, out []float64, seconds float64) []piece {
	var all []piece
	var apart []float64
	for i := 1; i < len(t); i++ {
		apart = append(apart, t[i]-t[i-1])
	}
	whole := 0.9*seconds - robust.Median(apart) // from the first sample of a part to its last
	for from, to := 0, 0; from < len(t); from = to {
		for to < len(t) && t[to] < t[from]+seconds {
			to++
		}
		short := from > 0 && t[to-1]-t[from] <= whole
		if short && to == len(t) && t[to-1]-t[from] < seconds/10 {
			break // a sample or a few are left over at the end
		}
		all = append(all, piece{t[from], short, trajectory.PrincipalAxis(across[from:to], out[from:to])})
	}
	return all
}

// played leaves out the parts that are short or have no axis, and those in which the
// point hardly moves: less than a third as far as it mostly does.
func played(all []piece) []piece {
	var straight []piece
	var far []float64
	for _, p := range all {
		if !p.short && p.Angle.Known() {
			straight, far = append(straight, p), append(far, math.Sqrt(p.Lambda1))
		}
	}
	least := robust.Median(far) / 3
	return slices.DeleteFunc(straight, func(p piece) bool { return math.Sqrt(p.Lambda1) < least })
}

// meanAngle is the mean of the parts' angles. The angles are those of axes, for which
// -89 and 89 degrees are neighbours: so the mean is taken of what they differ by from
// their median axis. Its interval allows for parts that are like the ones before them.
func meanAngle(parts []piece) estimate.Value[circular.Angle] {
	if len(parts) == 0 {
		return estimate.Missing[circular.Angle]("no-axis", "the angle of the path", "no part of the path has one direction")
	}
	var angles []circular.Angle
	for _, p := range parts {
		angles = append(angles, p.Angle.Value)
	}
	middle := circular.MedianAxis(angles).Value
	var off []float64
	for _, a := range angles {
		off = append(off, (a - middle).Axial().Radians())
	}
	v := estimate.As[circular.Angle](estimate.Mean(off, 0.95))
	turn := (middle + v.Value).Axial() - v.Value
	v.Value, v.Low, v.High = v.Value+turn, v.Low+turn, v.High+turn
	return v
}

// cloud is the axis of all points at once, with the textbook interval that takes every
// point for an observation of its own.
func cloud(across, out []float64) trajectory.Axis { return trajectory.PrincipalAxis(across, out) }

// inDegrees is an angle for a reader.
func inDegrees(v estimate.Value[circular.Angle]) estimate.Value[float64] {
	d := estimate.As[float64](v)
	d.Value, d.Low, d.High = v.Value.Degrees(), v.Low.Degrees(), v.High.Degrees()
	return d
}

// drawn is the path along the strings with its axis.
func drawn(across, out []float64, angle estimate.Value[circular.Angle]) figure.Figure {
	return figure.Paths{Across: across, Out: out, Angle: angle}
}
