package circular

import "math"

// Angle is an angle in radians. Write constants as 30*circular.Degree.
type Angle float64

// Degree is π/180 radians.
const Degree Angle = math.Pi / 180

// Radians returns a in radians.
func (a Angle) Radians() float64 { return float64(a) }

// Degrees returns a in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Axial returns the axis of a: the equivalent angle modulo half a turn in
// (-π/2, π/2]. NaN and infinities give NaN.
func (a Angle) Axial() Angle {
	r := math.Remainder(float64(a), math.Pi) // in [-π/2, π/2]
	if r <= -math.Pi/2 {
		r += math.Pi
	}
	return Angle(r)
}
