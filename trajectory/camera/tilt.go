package camera

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Tilt is what turns a path angle as seen into the true one: how the line of
// sight is tilted against the plane of across and out, and how far the strokes
// leave that plane. Its zero value is an end-on camera of which nothing is
// known.
type Tilt struct {
	// Raise and Yaw are those of the camera, as a Card has them. A raise that
	// is not known is bounded by MaxRaise; a yaw that is not known is taken as
	// none.
	Raise, Yaw estimate.Value[circular.Angle]
	// Skew of the strokes: the skew that a review of a front-on take of the
	// same player gives. Not known, it is bounded by Within.
	Skew estimate.Value[circular.Angle]
	// Rectified says that the paths were mapped by a Plane. Otherwise they are
	// those of a picture that was only scaled.
	Rectified bool
	// FromNeck says that the camera stands at the nut.
	FromNeck bool
	// Lean is the standard deviation of the angles by which the plane of a
	// rectified picture leans from that of across and out, as in CardOptions,
	// while Raise and Yaw are to that plane as it stood. Zero means none.
	Lean circular.Angle
	// Within bounds a skew that is not known, on either side. Zero means 30
	// degrees; negative means none. Most players keep within 20 degrees, but
	// an interval built on that misses those who do not.
	Within circular.Angle
	// MaxRaise bounds a raise that is not known: 0 to MaxRaise. Zero means 25
	// degrees; negative means none.
	MaxRaise circular.Angle
}

// PathAngle returns the true path angle behind one that is seen.
//
// In a rectified picture, with raise ρ, yaw ψ and skew κ (negative from the
// neck),
//
//	tan(true) = tan(seen) (1 - tan κ tan ψ) - tan κ tan ρ / cos ψ
//
// which without yaw is tan(seen) = tan(true) + tan κ tan ρ. In a picture that
// was only scaled, across is seen at an angle β to the horizontal of the camera,
//
//	tan(true) = (tan(seen+β) (cos ψ - tan κ sin ψ) - sin ρ (sin ψ + tan κ cos ψ)) / cos ρ
//	tan β     = tan ψ sin ρ
//
// which without yaw is tan(seen) = cos ρ (tan(true) + tan κ tan ρ).
//
// A bound is not an error that averages out. What is not known spans a range of
// true angles; the interval reaches beyond each end of it by what is known with
// an error (the seen angle, and raise, yaw and skew where given), in the
// quantity c that Imbens & Manski (2004) give: 1.96 standard errors where
// nothing is unknown, down to 1.645 for a wide range. So it holds the true
// angle in at least 95 per cent of takes whatever the unknown is within its
// bounds. Value is the middle of the range, but where neither is known it
// is the angle for a level camera: most people try to hold theirs so. At each end the errors are combined
// by the distances from their own values to their own bounds, in quadrature
// (Zou & Donner 2008), so that lopsided intervals stay so.
//
// Value is in (-π/2, π/2]; the bounds are not wrapped: Low <= Value <= High.
//
// Special cases are: seen not known is returned as it is; seen, or a given
// raise, yaw or skew, without an interval gives none, since its error is not
// known.
//
// # References
//
//   - G. W. Imbens and C. F. Manski (2004), Confidence intervals for partially
//     identified parameters. Econometrica 72(6), 1845-1857.
//   - G. Y. Zou and A. Donner (2008), Construction of confidence limits about
//     effect measures: a general approach. Stat. Med. 27(10), 1693-1702.
func (t Tilt) PathAngle(seen estimate.Value[circular.Angle]) estimate.Value[circular.Angle] {
	if !seen.Known() || math.IsNaN(seen.Value.Radians()) {
		return seen
	}
	lean := input{under: max(t.Lean, 0).Radians(), over: max(t.Lean, 0).Radians()}
	in := [inputs]input{inSeen: measured(seen), inRaise: t.raise(), inSkew: t.skew(), inLean: lean, inTwist: lean}
	if t.Yaw.Known() {
		in[inYaw] = measured(t.Yaw)
	}
	low, high := t.extremes(&in)
	under, over := t.reach(&in, low, -1), t.reach(&in, high, 1)
	value := circular.Angle((low.angle + high.angle) / 2)
	if !t.Raise.Known() && !t.Skew.Known() {
		at := [inputs]float64{inSeen: in[inSeen].low, inYaw: in[inYaw].low}
		value = circular.Angle(t.truth(at))
	}
	out := estimate.Value[circular.Angle]{Value: value, Level: 0.95, N: seen.N}
	out.Low, out.High = circular.Angle(math.NaN()), circular.Angle(math.NaN())
	if under == under && over == over {
		c := imbensManski((high.angle - low.angle) / max(under, over)) // standard errors
		out.Low, out.High = circular.Angle(low.angle-c*under), circular.Angle(high.angle+c*over)
	} else {
		out.Level = 0
	}
	// Back to the range of axes, bounds and all.
	shift := value.Axial() - value
	out.Value += shift
	out.Low += shift
	out.High += shift
	return out
}

// input is what is known of one angle: a value with standard errors on either
// side, or a range, of which each value is possible.
type input struct {
	low, high   float64 // of the range; equal when there is none
	under, over float64 // standard errors
}

// measured returns the input of a value with its interval.
func measured(v estimate.Value[circular.Angle]) input {
	x := v.Value.Radians()
	z := distuv.UnitNormal.Quantile((1 + v.Level) / 2)
	in := input{low: x, high: x, under: (x - v.Low.Radians()) / z, over: (v.High.Radians() - x) / z}
	if !(v.Level > 0 && v.Level < 1) {
		in.under, in.over = math.NaN(), math.NaN()
	}
	return in
}

func (t Tilt) raise() input {
	if t.Raise.Known() {
		return measured(t.Raise)
	}
	return input{high: bound(t.MaxRaise, 25*circular.Degree)}
}

func (t Tilt) skew() input {
	if t.Skew.Known() {
		return measured(t.Skew)
	}
	w := bound(t.Within, 30*circular.Degree)
	return input{low: -w, high: w}
}

// bound returns an angle, or what it stands for when zero or negative.
func bound(a, zero circular.Angle) float64 {
	if a == 0 {
		a = zero
	}
	return max(a, 0).Radians()
}

// The angles that the true one depends on.
const (
	inSeen = iota
	inRaise
	inYaw
	inSkew
	inLean
	inTwist
	inputs
)

// place is a set of those angles with the true one that it gives.
type place struct {
	at    [inputs]float64
	angle float64
}

// extremes returns the places within the ranges with the least and the greatest
// true angle. The true angle is monotonic in skew; in raise it may turn once,
// so that its range is searched.
func (t Tilt) extremes(in *[inputs]input) (low, high place) {
	steps := 0
	if in[inRaise].high > in[inRaise].low {
		steps = 10
	}
	low.angle, high.angle = math.Inf(1), math.Inf(-1)
	for i := range steps + 1 {
		for _, skew := range [2]float64{in[inSkew].low, in[inSkew].high} {
			var p place
			for k := range in {
				p.at[k] = in[k].low
			}
			p.at[inSkew] = skew
			if steps > 0 {
				p.at[inRaise] += (in[inRaise].high - in[inRaise].low) * float64(i) / float64(steps)
			}
			p.angle = t.truth(p.at)
			if p.angle < low.angle {
				low = p
			}
			if p.angle > high.angle {
				high = p
			}
		}
	}
	return low, high
}

// reach returns the standard error of the true angle at an end of its range,
// toward the side.
func (t Tilt) reach(in *[inputs]input, end place, side float64) float64 {
	var sum float64
	for k, x := range in {
		if x.low != x.high {
			continue
		}
		var most float64
		for _, d := range [2]float64{-x.under, x.over} {
			at := end.at
			// Two standard errors, where curvature counts.
			at[k] += z95 * d
			most = max(most, side*(t.truth(at)-end.angle)/z95)
			if d != d {
				return d
			}
		}
		sum += most * most
	}
	return math.Sqrt(sum)
}

// truth returns the true path angle for seen, raise, yaw, skew, lean and twist,
// within a quarter turn of seen. The strokes' direction is (1, tan κ, tan true),
// and where it is seen is linear in the unknown tan true.
func (t Tilt) truth(at [inputs]float64) float64 {
	k := math.Tan(at[inSkew])
	if t.FromNeck {
		k = -k
	}
	sinR, cosR := math.Sincos(at[inRaise])
	sinY, cosY := math.Sincos(at[inYaw])
	sin, cos := math.Sincos(at[inSeen])
	var off [2]float64 // from the line of sight of the seen angle, of (1, k, 0) and of (0, 0, 1)
	for i, d := range [2][3]float64{{1, k, 0}, {0, 0, 1}} {
		if t.Rectified {
			across, along, out := leant(d, at[inLean], at[inTwist])
			x, y := across-along*sinY/cosY, out+along*sinR/cosR/cosY
			off[i] = y*cos - x*sin
			continue
		}
		x, y := d[0]*cosY-d[1]*sinY, d[0]*sinY*sinR+d[1]*cosY*sinR+d[2]*cosR
		sinB, cosB := math.Sincos(at[inSeen] + math.Atan2(sinY*sinR, cosY))
		off[i] = y*cosB - x*sinB
	}
	// The turn from seen, so that the result does not jump at 90 degrees.
	return at[inSeen] + math.Atan2(-off[0]*cos-off[1]*sin, off[1]*cos-off[0]*sin)
}

// leant returns a direction in the axes of a card that leans toward the nut by
// lean and is turned about out by twist.
func leant(d [3]float64, lean, twist float64) (across, along, out float64) {
	sinL, cosL := math.Sincos(lean)
	sinT, cosT := math.Sincos(twist)
	across = d[0]*cosT + d[1]*sinT
	level := d[1]*cosT - d[0]*sinT
	return across, level*cosL - d[2]*sinL, d[2]*cosL + level*sinL
}

// imbensManski returns c with Φ(c + width) - Φ(-c) = 0.95: the standard errors
// by which an interval reaches beyond both ends of a range, of that width in
// standard errors, to hold each value of it with that probability.
func imbensManski(width float64) float64 {
	if width != width { // no range and no error
		return z95
	}
	low, high := 1.644, 1.96
	for range 40 {
		c := (low + high) / 2
		if distuv.UnitNormal.CDF(c+width)-distuv.UnitNormal.CDF(-c) < 0.95 {
			low = c
		} else {
			high = c
		}
	}
	return high
}
