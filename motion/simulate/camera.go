package simulate

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/spatial/r3"
)

// camera turns places in the instrument frame into places in the recording's.
type camera struct {
	o Options
	// right, up and near are the picture's axes in the instrument frame, before
	// roll; near points from the instrument to the camera.
	right, up, near r3.Vec
	scale           float64
	middle          r3.Vec // of the recording's frame
	sway            sway
}

// newCamera returns the camera of o.
//
// End-on, from behind the bridge, a right-handed player's across points right
// and out points up in a picture that is not rolled: seen so, out is across
// turned a quarter counter-clockwise. A left-handed instrument, a mirrored
// picture and a camera at the neck each turn right and left about. A camera
// raised by r from the string plane sees out cos r + along sin r as up, from
// the neck out cos r - along sin r.
//
// Facing the instrument (front), across points right and along up. Raised, the
// camera leans toward the nut and sees along cos r - out sin r as up.
func newCamera(o Options) *camera {
	across, along, out := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	sin, cos := math.Sincos(float64(o.Raise))
	c := &camera{o: o, scale: o.Scale, right: across, sway: newSway(o)}
	flip := o.Orientation.LeftHanded != o.Orientation.Mirrored
	switch o.View {
	case trajectory.Front:
		c.up = r3.Sub(r3.Scale(cos, along), r3.Scale(sin, out))
		c.near = r3.Add(r3.Scale(cos, out), r3.Scale(sin, along))
	case trajectory.Spatial:
		c.up, c.near = along, out
		c.middle = r3.Vec{X: 200, Y: 100, Z: 900}
	default:
		if o.Orientation.FromNeck {
			flip = !flip
			sin = -sin
		}
		c.up = r3.Add(r3.Scale(cos, out), r3.Scale(sin, along))
	}
	if flip {
		c.right = r3.Scale(-1, c.right)
	}
	if o.View != trajectory.Spatial {
		c.middle = r3.Vec{X: 960, Y: 540}
	}
	return c
}

// see returns the place of p in the recording's frame at time t.
func (c *camera) see(p r3.Vec, t float64) r3.Vec {
	q := r3.Vec{X: r3.Dot(p, c.right), Y: r3.Dot(p, c.up), Z: r3.Dot(p, c.near)}
	move, turn := c.sway.at(t)
	roll := float64(c.o.Roll)
	if c.o.View == trajectory.Spatial {
		// The volume's axes are turned about all three of the instrument's.
		q = turnAbout(q, r3.Vec{Z: 1}, roll+turn.Z)
		q = turnAbout(q, r3.Vec{X: 1}, float64(c.o.Raise)+turn.X)
		q = turnAbout(q, r3.Vec{Y: 1}, turn.Y)
		return r3.Add(r3.Add(r3.Scale(c.scale, q), c.middle), move)
	}
	sin, cos := math.Sincos(roll + turn.Z)
	x, up := cos*q.X-sin*q.Y, sin*q.X+cos*q.Y
	if !c.o.Orientation.YUp {
		up = -up
	}
	return r3.Vec{X: c.scale*x + c.middle.X + move.X, Y: c.scale*up + c.middle.Y + move.Y}
}

// still returns the place of p with the camera at rest.
func (c *camera) still(p r3.Vec) [3]float64 {
	rest := *c
	rest.sway = sway{}
	q := rest.see(p, 0)
	return [3]float64{q.X, q.Y, q.Z}
}

func turnAbout(p, axis r3.Vec, angle float64) r3.Vec {
	if angle == 0 {
		return p
	}
	return r3.NewRotation(angle, axis).Rotate(p)
}

// sway is a slow movement: on each axis a sum of three sines between 0.08 and
// 0.7 Hz whose amplitudes add up to the bound.
type sway struct {
	move [3][]sine
	turn [3][]sine
}

type sine struct{ amplitude, hz, phase float64 }

func newSway(o Options) sway {
	rng := estimate.Stream(o.Seed, "simulate/sway")
	var s sway
	for i := range s.move {
		s.move[i] = drawSines(rng, o.Sway)
		s.turn[i] = drawSines(rng, float64(o.SwayAngle))
	}
	return s
}

func drawSines(rng *rand.Rand, bound float64) []sine {
	s := make([]sine, 3)
	for i, share := range []float64{0.5, 0.3, 0.2} {
		s[i] = sine{share * bound, []float64{0.08, 0.2, 0.4}[i] * (1 + 0.75*rng.Float64()), 2 * math.Pi * rng.Float64()}
	}
	if bound == 0 {
		return nil
	}
	return s
}

func (s sway) at(t float64) (move, turn r3.Vec) {
	value := func(sines []sine) (v float64) {
		for _, k := range sines {
			v += k.amplitude * math.Sin(2*math.Pi*k.hz*t+k.phase)
		}
		return v
	}
	return r3.Vec{X: value(s.move[0]), Y: value(s.move[1]), Z: value(s.move[2])},
		r3.Vec{X: value(s.turn[0]), Y: value(s.turn[1]), Z: value(s.turn[2])}
}
