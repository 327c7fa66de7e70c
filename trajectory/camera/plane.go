package camera

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// Plane takes picture coordinates to millimetres in the across/out plane: x is
// across from the foot's middle, positive toward the treble side, and y is out
// from the string line, so that y is up. A Card has one; another homography
// onto a rectangle that stands on the strings makes one too.
type Plane struct {
	Homography
	// FootMM is the length of the edge on the string line, from
	// (-FootMM/2, 0) to (FootMM/2, 0).
	FootMM float64
}

// horizon is the least denominator of the homography at which a point is
// mapped, where it is 1 amid the card. A pixel there spans a hundred times as
// much as at the card.
const horizon = 0.1

// Map returns the path in millimetres in the plane. Missing samples stay
// missing. The columns of dst are reused where they have room, and dst may be p
// itself; T and Confidence are shared with p.
//
// The error is a *trajectory.DataError: the path has three axes, columns of
// unequal length or an infinite coordinate, or a sample lies near the horizon
// of the plane or beyond it.
func (pl Plane) Map(dst, p trajectory.Path) (trajectory.Path, error) {
	n := p.Len()
	if !p.Planar() {
		e := fault("the path has three axes", "a card is for the coordinates of a picture, which has two")
		e.Point = p.Name
		return dst, e
	}
	if n > 0 && (len(p.X) != n || len(p.Y) != n) {
		return dst, p.Validate()
	}
	for i := range n {
		if p.X[i] != p.X[i] || p.Y[i] != p.Y[i] {
			continue
		}
		if w := pl.w(p.X[i], p.Y[i]); !(w >= horizon) || !finite(p.X[i], p.Y[i]) {
			return dst, &trajectory.DataError{
				Point: p.Name, Sample: i, Time: p.T[i],
				Rule: fmt.Sprintf("(%.5g, %.5g) lies too far from the card to be mapped to its plane", p.X[i], p.Y[i]),
				Hint: "the point is not near the card's plane, or the card's corners are wrong: map only points near the picking spot",
			}
		}
	}
	out := trajectory.Path{Name: p.Name, T: p.T, X: resize(dst.X, n), Y: resize(dst.Y, n), Confidence: p.Confidence}
	pl.Apply(out.X, out.Y, p.X, p.Y)
	return out, nil
}

func resize(x []float64, n int) []float64 {
	if x == nil || cap(x) < n {
		return make([]float64, n)
	}
	return x[:n]
}

// Recording returns the recording with those of its points mapped that are
// named, or with all of them when no name is given, in millimetres. Points that
// are not named are left out. It shares T, and Confidence, with rec.
//
// The error is a *trajectory.DataError: that of Map, or a name that the
// recording has no point for.
func (pl Plane) Recording(rec *trajectory.Recording, names ...string) (*trajectory.Recording, error) {
	points := rec.Points
	if len(names) > 0 {
		points = make([]trajectory.Path, len(names))
		for i, name := range names {
			p, ok := rec.Point(name)
			if !ok {
				e := fault("the recording has no such point", "check the name in the export's header")
				e.Point = name
				return nil, e
			}
			points[i] = p
		}
	}
	out := &trajectory.Recording{Source: rec.Source, Unit: "mm", T: rec.T, Points: make([]trajectory.Path, len(points))}
	for i, p := range points {
		var err error
		if out.Points[i], err = pl.Map(trajectory.Path{}, p); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// MarkError returns the standard error of heights over the string line near the
// ends of the foot, in millimetres, that the errors of the corners cause. It is
// one error for all samples.
func (pl Plane) MarkError() float64 {
	g := pl.Inverse()
	var sum float64
	for _, x := range [2]float64{-pl.FootMM / 2, pl.FootMM / 2} {
		u, v := g.At(x, 0)
		_, _, vv := pl.Covariance(u, v)
		sum += vv
	}
	return math.Sqrt(sum / 2)
}

// AngleError returns the standard error of a path angle measured in the plane at
// the foot's middle that the errors of the corners cause: through the direction
// of the string line, the proportion of the plane's axes and the angle between
// them. It is one error for all strokes, and averaging does not make it
// smaller.
func (pl Plane) AngleError(path circular.Angle) circular.Angle {
	g := pl.Inverse()
	u, v := g.At(0, 0)
	sin, cos := math.Sincos(path.Radians())
	j := g.jacobian(0, 0)
	qu, qv := j[0]*cos+j[1]*sin, j[2]*cos+j[3]*sin // the path in the picture
	return circular.Angle(pl.spread(func(h Homography) float64 {
		j := h.jacobian(u, v)
		x, y := j[0]*qu+j[1]*qv, j[2]*qu+j[3]*qv
		return math.Atan2(y*cos-x*sin, x*cos+y*sin)
	}))
}

// FrameOptions returns the options with which trajectory.NewFrame makes the
// instrument frame of a recording that Recording returned: the view is end-on,
// the marks are the ends of the foot, no orientation is left to consider, and
// the marks' error makes the frame's AxisError the largest AngleError of path
// angles up to 45 degrees.
func (pl Plane) FrameOptions() trajectory.FrameOptions {
	var worst float64
	for _, a := range [5]circular.Angle{-45, -22.5, 0, 22.5, 45} {
		worst = max(worst, pl.AngleError(a*circular.Degree).Radians())
	}
	o := trajectory.FrameOptions{
		View:        trajectory.EndOn,
		Orientation: trajectory.Orientation{YUp: true},
		DistanceMM:  pl.FootMM,
		Marks: trajectory.Marks{
			Bass:   trajectory.Mark{At: []float64{-pl.FootMM / 2, 0}},
			Treble: trajectory.Mark{At: []float64{pl.FootMM / 2, 0}},
		},
		MarkError: math.Tan(worst) * pl.FootMM / math.Sqrt2,
	}
	if o.MarkError == 0 {
		o.MarkError = -1
	}
	return o
}
