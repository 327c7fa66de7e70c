package drive

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// minOffLine is how far the points of a segment must lie off one line, as a
// root mean square relative to their extent along it, for the rotation about
// that line to be read from them.
const minOffLine = 0.02

// turning is the displacement of a rigid body,
//
//	d(x) = shift + spin × (x - centre)
//
// When full is false the rotation about the line through its points is not
// known, and left out of spin.
type turning struct {
	centre, shift, spin r3.Vec
	full                bool
	misfit              float64 // sum of squared differences of the points to it
	spare               int     // degrees of freedom that the misfit has

	axes  [3]r3.Vec  // principal axes of the points
	loose [3]float64 // 1/moment of inertia about them, 0 where not known
	n     int
}

func (b turning) at(x r3.Vec) r3.Vec {
	return r3.Add(b.shift, r3.Cross(b.spin, r3.Sub(x, b.centre)))
}

// rigid returns the displacement of a rigid body that fits those of its points
// best, by least squares:
//
//	(Σ |r|² 1 - r rᵀ) spin = Σ r × d,  r and d less their means
//
// at holds the points in the middle of the displacement and by how far they
// move to either side of it. Then spin = tan(θ/2) n for a rotation by θ about
// n from one end to the other, exactly and for any θ (Rodrigues 1840; Cayley's
// form of a rotation). A reflection cannot come out.
// It takes two points that do not coincide.
func rigid(at, by []r3.Vec) (turning, bool) {
	n := len(at)
	if n < 2 {
		return turning{}, false
	}
	b := turning{n: n}
	for i := range at {
		b.centre = r3.Add(b.centre, at[i])
		b.shift = r3.Add(b.shift, by[i])
	}
	b.centre = r3.Scale(1/float64(n), b.centre)
	b.shift = r3.Scale(1/float64(n), b.shift)
	var m [6]float64 // scatter of the points: xx, yy, zz, xy, xz, yz
	var turn r3.Vec
	for i := range at {
		r, d := r3.Sub(at[i], b.centre), r3.Sub(by[i], b.shift)
		m[0] += r.X * r.X
		m[1] += r.Y * r.Y
		m[2] += r.Z * r.Z
		m[3] += r.X * r.Y
		m[4] += r.X * r.Z
		m[5] += r.Y * r.Z
		turn = r3.Add(turn, r3.Cross(r, d))
	}
	var e mat.EigenSym
	trace := m[0] + m[1] + m[2]
	if !(trace > 0) ||
		!e.Factorize(mat.NewSymDense(3, []float64{m[0], m[3], m[4], m[3], m[1], m[5], m[4], m[5], m[2]}), true) {
		return turning{}, false
	}
	values := e.Values(nil)
	var v mat.Dense
	e.VectorsTo(&v)
	b.full = values[0]+values[1] > minOffLine*minOffLine*trace
	for k := range 3 {
		if k == 2 && !b.full {
			break // about the line itself
		}
		axis := r3.Vec{X: v.At(0, k), Y: v.At(1, k), Z: v.At(2, k)}
		b.axes[k], b.loose[k] = axis, 1/(trace-values[k])
		b.spin = r3.Add(b.spin, r3.Scale(b.loose[k]*r3.Dot(axis, turn), axis))
	}
	for i := range at {
		b.misfit += r3.Norm2(r3.Sub(by[i], b.at(at[i])))
	}
	b.spare = 3*n - 6
	if !b.full {
		b.spare = 3*n - 5
	}
	return b, !math.IsNaN(trace)
}

// hold returns the matrix that says how far a displacement e of the point at x
// alone, one of those of the body, shows in the misfit, as eᵀ hold e: the
// identity less the point's block of the hat matrix of the fit.
func (b turning) hold(x r3.Vec) *mat.SymDense {
	m := mat.NewSymDense(3, nil)
	for i := range 3 {
		m.SetSym(i, i, 1-1/float64(b.n))
	}
	r := r3.Sub(x, b.centre)
	for k, axis := range b.axes {
		c := r3.Cross(axis, r)
		m.SymRankOne(m, -b.loose[k], mat.NewVecDense(3, []float64{c.X, c.Y, c.Z}))
	}
	return m
}
