package drive

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Posture is how the forearm lies over the strings, the mean over the strokes.
type Posture struct {
	// Roll is the angle of the forearm's flat, the line from WristInner to
	// WristOuter as seen along the forearm, to the string plane: axial, in
	// (-90, 90] degrees, zero when the flat lies parallel to the plane and
	// positive when its outer side is raised.
	Roll estimate.Value[circular.Angle]
	// Pitch is the angle of the line from elbow to wrist to the string plane,
	// positive when the wrist is the further out.
	Pitch estimate.Value[circular.Angle]
}

// posture measures the mean posture on the fits of all windows.
func (a *analysis) posture() Posture {
	const roll, pitch = "roll of the forearm", "pitch of the forearm"
	missing := estimate.Missing[circular.Angle]
	inner, outer, elbow, wrist := a.points[WristInner], a.points[WristOuter], a.points[Elbow], a.points[Wrist]
	sides := inner != nil && outer != nil
	if a.chain.planar {
		const why = "one picture does not show it: use a source with three axes"
		return Posture{missing("view", roll, why), missing("view", pitch, why)}
	}
	if elbow == nil || wrist == nil && !sides {
		const why = "it takes landmarks at the elbow and at the wrist"
		return Posture{missing("landmarks", roll, why), missing("landmarks", pitch, why)}
	}
	var rolls, pitches []float64
	var levels, heights []float64 // of the flat, in the string plane and above it
	side := 0.0
	up := r3.Vec{Z: 1}
	for w := range a.windows {
		if !elbow.waves[w].ok {
			continue
		}
		var end, flat r3.Vec
		both := sides && inner.waves[w].ok && outer.waves[w].ok
		if both {
			flat = r3.Sub(outer.waves[w].mean, inner.waves[w].mean)
		}
		switch {
		case wrist != nil && wrist.waves[w].ok:
			end = wrist.waves[w].mean
		case both:
			end = r3.Scale(0.5, r3.Add(outer.waves[w].mean, inner.waves[w].mean))
		default:
			continue
		}
		l := r3.Unit(r3.Sub(end, elbow.waves[w].mean))
		pitches = append(pitches, math.Asin(min(1, max(-1, l.Z))))
		if both {
			level := r3.Unit(r3.Cross(up, l)) // in the string plane, across the forearm
			raised := r3.Cross(l, level)
			levels, heights = append(levels, r3.Dot(flat, level)), append(heights, r3.Dot(flat, raised))
			side += levels[len(levels)-1]
		}
	}
	for i, h := range heights { // positive when the outer side is raised
		rolls = append(rolls, math.Atan2(h, math.Copysign(1, side)*levels[i]))
	}
	p := Posture{Roll: axialMean(roll, rolls), Pitch: axialMean(pitch, pitches)}
	if !sides {
		p.Roll = missing("landmarks", roll, "it takes landmarks on both sides of the wrist, inner and outer")
	}
	return p
}

// axialMean returns the mean of axial angles in time order.
func axialMean(what string, xs []float64) estimate.Value[circular.Angle] {
	const least = 4
	if len(xs) < least {
		return estimate.Missing[circular.Angle](codeFewCycles, what, fmt.Sprintf(
			"%d stretches of a few strokes in which its landmarks were seen; it takes %d", len(xs), least))
	}
	var s, c float64
	for _, x := range xs {
		sin, cos := math.Sincos(2 * x)
		s, c = s+sin, c+cos
	}
	mid := math.Atan2(s, c) / 2
	for i, x := range xs {
		xs[i] = float64(circular.Angle(x - mid).Axial())
	}
	m := estimate.Mean(xs, 0)
	v := estimate.As[circular.Angle](m)
	v.Value = (v.Value + circular.Angle(mid)).Axial()
	v.Low += v.Value - circular.Angle(m.Value)
	v.High += v.Value - circular.Angle(m.Value)
	return v
}
