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
	middle          r3.Vec      // of the recording's frame
	away            r3.Rotation // of a pinhole camera from the picking spot
	sway            sway
}

// newCamera returns the camera of o.
//
// Its line of sight is given by b, where a camera stands that is neither raised
// nor turned, and v, toward which it is raised: in an end-on or oblique view b
// is back from the picking spot (behind the bridge; at the neck the other way)
// and v out; in a front view b is out and v along. Turned by the yaw y and
// raised by r it stands toward
//
//	near = cos r (cos y b - sin y across) + sin r v
//
// right is square to near and v, up to near and right: without yaw a camera
// behind the bridge sees across to the right and out cos r + along sin r up. A
// left-handed instrument and a mirrored picture each turn right and left about.
func newCamera(o Options) *camera {
	across, along, out := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	c := &camera{o: o, scale: o.Scale, sway: newSway(o)}
	flip := o.Orientation.LeftHanded != o.Orientation.Mirrored
	b, v := r3.Scale(-1, along), out
	switch {
	case o.View == trajectory.Spatial:
		c.right, c.up, c.near = across, along, out
		c.middle = r3.Vec{X: 200, Y: 100, Z: 900}
	case o.View == trajectory.Front:
		b, v = out, along
	case o.Orientation.FromNeck:
		b = along
	}
	if o.View != trajectory.Spatial {
		c.middle = r3.Vec{X: 960, Y: rows / 2}
		sin, cos := math.Sincos(float64(o.Yaw))
		level := r3.Sub(r3.Scale(cos, b), r3.Scale(sin, across))
		sin, cos = math.Sincos(float64(o.Raise))
		c.right = r3.Cross(v, level)
		c.up = r3.Sub(r3.Scale(cos, v), r3.Scale(sin, level))
		c.near = r3.Add(r3.Scale(cos, level), r3.Scale(sin, v))
	}
	if flip {
		c.right = r3.Scale(-1, c.right)
	}
	c.turnAway()
	return c
}

// turnAway puts the picking spot where SpotX and SpotY have it: by a turn of a
// pinhole camera about its centre, from the line of sight to where a ray to
// that place in the picture goes; by a shift of a camera from afar.
func (c *camera) turnAway() {
	x, up := c.o.SpotX, -c.o.SpotY
	if c.o.Orientation.YUp {
		up = -up
	}
	if c.o.Distance == 0 {
		c.middle = r3.Add(c.middle, r3.Vec{X: c.o.SpotX, Y: c.o.SpotY})
		return
	}
	sin, cos := math.Sincos(float64(c.o.Roll))
	sight := r3.Vec{Z: -1}
	ray := r3.Unit(r3.Vec{X: cos*x + sin*up, Y: cos*up - sin*x, Z: -c.scale * c.o.Distance})
	axis := r3.Cross(sight, ray)
	c.away = r3.NewRotation(math.Atan2(r3.Norm(axis), r3.Dot(sight, ray)), axis)
}

// rows is the number of rows of a picture.
const rows = 1080

// see returns the place of p in the recording's frame at time t. It is NaN for
// what is behind the camera, or so near that no lens shows it.
func (c *camera) see(p r3.Vec, t float64) r3.Vec {
	q := r3.Vec{X: r3.Dot(p, c.right), Y: r3.Dot(p, c.up), Z: r3.Dot(p, c.near)}
	move, turn := c.sway.at(t)
	roll := float64(c.o.Roll)
	if c.o.View == trajectory.Spatial {
		// The volume's axes are turned about all three of the instrument's.
		q = turnAbout(q, r3.Vec{Z: 1}, roll+turn.Z)
		q = turnAbout(q, r3.Vec{X: 1}, float64(c.o.Raise)+turn.X)
		q = turnAbout(q, r3.Vec{Y: 1}, float64(c.o.Yaw)+turn.Y)
		return r3.Add(r3.Add(r3.Scale(c.scale, q), c.middle), move)
	}
	if d := c.o.Distance; d > 0 {
		q.Z -= d // from the camera
		if c.o.SpotX != 0 || c.o.SpotY != 0 {
			q = c.away.Rotate(q)
		}
		if q.Z > -d/20 {
			return r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
		}
		q = r3.Scale(-d/q.Z, q)
	}
	sin, cos := math.Sincos(roll + turn.Z)
	x, up := cos*q.X-sin*q.Y, sin*q.X+cos*q.Y
	if !c.o.Orientation.YUp {
		up = -up
	}
	return r3.Vec{X: c.scale*x + c.middle.X + move.X, Y: c.scale*up + c.middle.Y + move.Y}
}

// readAt returns by how much later than the middle of the picture the row of
// the place q is read.
func (c *camera) readAt(q r3.Vec) float64 {
	down := q.Y/rows - 0.5
	if c.o.Orientation.YUp {
		down = -down
	}
	return c.o.Readout * down
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
