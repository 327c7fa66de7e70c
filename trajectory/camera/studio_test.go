package camera_test

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
)

const degree = math.Pi / 180

// studio is a camera in the instrument frame (X across, Y along, Z out, mm),
// built from positions and directions and not from the package's formulas.
type studio struct {
	eye             r3.Vec // unused when far
	right, down, to r3.Vec // the picture's axes, and the lens's axis
	focal           float64
	far             bool // without perspective; focal is then px/mm
	centre          [2]float64
	mirrored        bool
	// What is true of it.
	raise, yaw float64
	fromNeck   bool
}

// newStudio draws a camera of that raise and yaw; distance 0 is without
// perspective. scale is px/mm at the origin.
func newStudio(rng *rand.Rand, raise, yaw, distance, scale float64) studio {
	s := studio{raise: raise, yaw: yaw, far: distance == 0, centre: [2]float64{960, 540}}
	// The line of sight: turned from along by yaw about out, and down by raise.
	sight := r3.Vec{X: math.Cos(raise) * math.Sin(yaw), Y: math.Cos(raise) * math.Cos(yaw), Z: -math.Sin(raise)}
	// The lens need not point at the card.
	s.to = sight
	s.focal = scale
	if !s.far {
		s.eye = r3.Scale(-distance, sight)
		s.focal = scale * distance
		u, v := (2*rng.Float64()-1)*350/s.focal, (2*rng.Float64()-1)*250/s.focal
		side := r3.Unit(r3.Cross(sight, r3.Vec{Z: 1}))
		s.to = r3.Unit(r3.Add(sight, r3.Add(r3.Scale(u, side), r3.Scale(v, r3.Cross(sight, side)))))
	}
	roll := rng.Float64() * 2 * math.Pi
	side := r3.Unit(r3.Cross(s.to, r3.Vec{Z: 1}))
	down := r3.Cross(s.to, side)
	sin, cos := math.Sincos(roll)
	s.right = r3.Add(r3.Scale(cos, side), r3.Scale(sin, down))
	s.down = r3.Cross(s.to, s.right)
	return s
}

// from returns the camera at the nut that sees the instrument as s does from
// the bridge: along is turned round.
func (s studio) from() studio {
	for _, v := range []*r3.Vec{&s.eye, &s.right, &s.down, &s.to} {
		v.Y = -v.Y
	}
	// A real camera's axes are right-handed.
	s.right = r3.Scale(-1, s.right)
	s.fromNeck = true
	return s
}

// see returns the picture of a point, y downward.
func (s studio) see(p r3.Vec) (x, y float64) {
	q := r3.Sub(p, s.eye)
	depth := 1.0
	if !s.far {
		depth = r3.Dot(q, s.to)
	}
	x, y = s.focal*r3.Dot(q, s.right)/depth, s.focal*r3.Dot(q, s.down)/depth
	if s.mirrored {
		x = -x
	}
	return x + s.centre[0], y + s.centre[1]
}

// card returns the corners of a card that leans by these angles toward the nut
// and about out, clicked with that error.
func (s studio) card(rng *rand.Rand, foot, height, lean, twist, sd float64) (c camera.Corners) {
	along := r3.Vec{X: math.Cos(twist), Y: math.Sin(twist)}
	up := r3.Add(r3.Scale(math.Cos(lean), r3.Vec{Z: 1}), r3.Scale(math.Sin(lean), r3.Vec{X: -math.Sin(twist), Y: math.Cos(twist)}))
	for i, to := range [4][2]float64{{-foot / 2, 0}, {foot / 2, 0}, {foot / 2, height}, {-foot / 2, height}} {
		x, y := s.see(r3.Add(r3.Scale(to[0], along), r3.Scale(to[1], up)))
		c[i] = [2]float64{x + sd*rng.NormFloat64(), y + sd*rng.NormFloat64()}
	}
	return c
}

// options returns what is said of the camera.
func (s studio) options() camera.CardOptions {
	return camera.CardOptions{Orientation: trajectory.Orientation{FromNeck: s.fromNeck, Mirrored: s.mirrored}}
}

// stroke returns the direction of a downstroke of that path angle and skew.
func stroke(path, skew float64) r3.Vec {
	return r3.Vec{X: 1, Y: math.Tan(skew), Z: math.Tan(path)}
}
