package camera

import "math"

// Homography maps one plane onto another as a pinhole camera does:
//
//	u = (h11 x + h12 y + h13) / w,  v = (h21 x + h22 y + h23) / w
//	w = h31 x + h32 y + h33
//
// Make one with FitHomography. Its zero value maps nothing: every result is
// NaN.
type Homography struct {
	h   [9]float64   // row by row, scaled so that w is 1 amid the fitted points
	cov *[81]float64 // covariance of h; nil when the pairs carry no error
}

// Elements returns h11, h12, h13, h21, ... h33, scaled so that w is 1 at the
// mean of the points that the homography was fitted to.
func (h Homography) Elements() [9]float64 { return h.h }

// w returns the denominator, which falls from 1 amid the fitted points to 0 at
// the horizon, the line that is infinitely far in the other plane.
func (h Homography) w(x, y float64) float64 { return h.h[6]*x + h.h[7]*y + h.h[8] }

// At returns the place of (x, y) in the other plane.
//
// Special cases are: NaN for a point on the horizon or beyond it, which is not
// in the other plane, and for a NaN or infinite coordinate.
func (h Homography) At(x, y float64) (u, v float64) {
	m := &h.h
	w := m[6]*x + m[7]*y + m[8]
	if !(w > 0) || w > math.MaxFloat64 {
		return math.NaN(), math.NaN()
	}
	return (m[0]*x + m[1]*y + m[2]) / w, (m[3]*x + m[4]*y + m[5]) / w
}

// Apply maps points given as columns, as At does, into dstU and dstV, which may
// be x and y themselves. Where they are nil they are allocated; otherwise, and
// for x and y, all lengths must be equal, or Apply panics.
func (h Homography) Apply(dstU, dstV, x, y []float64) (u, v []float64) {
	if len(x) != len(y) {
		panic("camera: coordinates of unequal length")
	}
	if dstU == nil {
		dstU = make([]float64, len(x))
	}
	if dstV == nil {
		dstV = make([]float64, len(x))
	}
	if len(dstU) != len(x) || len(dstV) != len(x) {
		panic("camera: destination of unequal length")
	}
	for i := range x {
		dstU[i], dstV[i] = h.At(x[i], y[i])
	}
	return dstU, dstV
}

// Inverse returns the homography from the other plane back to this one, with
// the errors that the same pairs give it.
func (h Homography) Inverse() Homography {
	m := h.h
	// The adjugate is the inverse up to scale, and scale does not matter.
	inv := [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	det := m[0]*inv[0] + m[1]*inv[3] + m[2]*inv[6]
	// With w = 1 amid the points on one side, the true inverse has w = 1 amid
	// them on the other.
	for i := range inv {
		inv[i] /= det
	}
	out := Homography{h: inv}
	if h.cov != nil {
		// d(H⁻¹) = -H⁻¹ dH H⁻¹, row by row.
		var k [81]float64
		for r := range 3 {
			for c := range 3 {
				for i := range 3 {
					for j := range 3 {
						k[9*(3*r+c)+3*i+j] = -inv[3*r+i] * inv[3*j+c]
					}
				}
			}
		}
		out.cov = sandwich(&k, h.cov)
	}
	return out
}

// Covariance returns the variances and the covariance of the place that At
// gives for an exact point (x, y), in the square of the other plane's unit, to
// first order of the errors of the pairs. They are zero when the pairs carry
// no error, and NaN where At is.
func (h Homography) Covariance(x, y float64) (uu, uv, vv float64) {
	u, v := h.At(x, y)
	if u != u {
		return u, u, u
	}
	if h.cov == nil {
		return 0, 0, 0
	}
	w := h.w(x, y)
	p := [3]float64{x / w, y / w, 1 / w}
	var du, dv [9]float64
	for k := range 3 {
		du[k], dv[3+k] = p[k], p[k]
		du[6+k], dv[6+k] = -u*p[k], -v*p[k]
	}
	return h.between(&du, &du), h.between(&du, &dv), h.between(&dv, &dv)
}

// between returns the covariance of two linear functions of the elements.
func (h Homography) between(a, b *[9]float64) (sum float64) {
	for i, x := range a {
		for j, y := range b {
			sum += x * h.cov[9*i+j] * y
		}
	}
	return sum
}

// spread returns the standard deviation of a smooth function of the elements,
// to first order.
func (h Homography) spread(f func(m Homography) float64) float64 {
	if h.cov == nil {
		return 0
	}
	var g [9]float64
	for i := range g {
		step := 1e-3 * math.Sqrt(h.cov[10*i])
		if !(step > 0) {
			continue
		}
		up, down := Homography{h: h.h}, Homography{h: h.h}
		up.h[i] += step
		down.h[i] -= step
		g[i] = (f(up) - f(down)) / (2 * step)
	}
	return math.Sqrt(max(0, h.between(&g, &g)))
}

// jacobian returns the derivative of At at (x, y): du/dx, du/dy, dv/dx, dv/dy.
func (h Homography) jacobian(x, y float64) [4]float64 {
	u, v := h.At(x, y)
	w := h.w(x, y)
	m := &h.h
	return [4]float64{
		(m[0] - u*m[6]) / w, (m[1] - u*m[7]) / w,
		(m[3] - v*m[6]) / w, (m[4] - v*m[7]) / w,
	}
}

// sandwich returns K S Kᵀ for 9 x 9 matrices.
func sandwich(k, s *[81]float64) *[81]float64 {
	var t, out [81]float64
	for r := range 9 {
		for j := range 9 {
			if a := k[9*r+j]; a != 0 {
				for c := range 9 {
					t[9*r+c] += a * s[9*j+c]
				}
			}
		}
	}
	for r := range 9 {
		for c := range 9 {
			var sum float64
			for j := range 9 {
				sum += t[9*r+j] * k[9*c+j]
			}
			out[9*r+c] = sum
		}
	}
	return &out
}
