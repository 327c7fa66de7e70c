package learning

import "math"

// problem is what curves are fitted to: values in order of x, scaled.
type problem struct {
	x      []float64
	y      []float64 // (value - mid) / scale
	whole  []float64 // value / scale, for a curve without a constant
	root   []float64 // square roots of the weights, whose mean is 1
	mid    float64
	scale  float64
	floor  float64 // sum of squares that is rounding
	factor float64 // of standard errors, above 1 if values were pulled in
}

// node is the linear least squares fit at one κ and ρ.
type node struct {
	u, kappa      float64
	rss           float64 // whitened
	b0, b1        float64 // coefficients of 1 and of the column
	v00, v01, v11 float64 // their covariance over the variance
}

// solver fits a shape under errors whose correlation between neighbours is ρ.
//
// The errors, times the square roots of the weights, are u(1), u(2) …, a
// first-order autoregression of variance 1:
//
//	e(1) = u(1), e(i) = (u(i) - ρ u(i-1)) / √(1-ρ²)
//
// are independent with variance 1, and least squares is done on those.
type solver struct {
	s        *shape
	p        *problem
	rho      float64
	one      []float64 // whitened column of ones, length 1; nil without
	oneNorm  float64
	oneY     float64   // one'y
	y        []float64 // whitened, orthogonal to one
	col, tmp []float64
}

func newSolver(s *shape, p *problem, rho float64) *solver {
	n := len(p.y)
	v := &solver{s: s, p: p, rho: rho, y: make([]float64, n), col: make([]float64, n), tmp: make([]float64, n)}
	if !s.intercept() {
		v.whiten(v.y, p.whole)
		return v
	}
	v.whiten(v.y, p.y)
	v.one = make([]float64, n)
	for i := range v.tmp {
		v.tmp[i] = 1
	}
	v.whiten(v.one, v.tmp)
	v.oneNorm = math.Sqrt(dot(v.one, v.one))
	for i := range v.one {
		v.one[i] /= v.oneNorm
	}
	v.oneY = v.sweep(v.y)
	return v
}

// whiten sets dst to the independent parts of col. They must not overlap.
func (v *solver) whiten(dst, col []float64) {
	f := 1 / math.Sqrt(1-v.rho*v.rho)
	before := 0.0
	for i, c := range col {
		c *= v.p.root[i]
		dst[i] = (c - v.rho*before) * f
		before = c
	}
	dst[0] = col[0] * v.p.root[0]
}

// sweep takes the part along one out of col and returns its size.
func (v *solver) sweep(col []float64) float64 {
	along := dot(v.one, col)
	for i, o := range v.one {
		col[i] -= along * o
	}
	return along
}

// at fits at u.
func (v *solver) at(u float64) node {
	kappa := 0.0
	if v.s.searched() {
		kappa = v.s.kappa(u)
	}
	v.s.columns(v.tmp, kappa)
	return v.with(u, v.tmp)
}

// with fits at u, of which col are the shape's columns. They must not be v.col.
func (v *solver) with(u float64, col []float64) node {
	nd := node{u: u, kappa: v.s.kappa(u)}
	if v.s.kind == Constant {
		nd.rss = dot(v.y, v.y) + v.p.floor
		nd.b0, nd.v00 = v.oneY/v.oneNorm, 1/(v.oneNorm*v.oneNorm)
		return nd
	}
	if !v.s.searched() {
		nd.kappa = 0
	}
	v.whiten(v.col, col)
	var along float64
	if v.one != nil {
		along = v.sweep(v.col)
	}
	square := dot(v.col, v.col)
	nd.b1, nd.v11 = dot(v.col, v.y)/square, 1/square
	for i, c := range v.col {
		r := v.y[i] - nd.b1*c
		nd.rss += r * r
	}
	nd.rss += v.p.floor
	if v.one != nil {
		nd.b0 = (v.oneY - along*nd.b1) / v.oneNorm
		nd.v01 = -along / (v.oneNorm * square)
		nd.v00 = 1/(v.oneNorm*v.oneNorm) + along*along/(v.oneNorm*v.oneNorm*square)
	}
	return nd
}

// polish improves a minimum by Gauss-Newton steps in u: the part of the
// residuals along the derivative of the curve, other parameters swept out.
// Search by sums of squares alone finds half the digits.
func (v *solver) polish(nd node) node {
	slope := make([]float64, len(v.y))
	for range 50 {
		for i, z := range v.s.z {
			v.tmp[i] = nd.b1 * v.s.columnSlope(z, nd.kappa)
		}
		v.whiten(slope, v.tmp)
		v.at(nd.u) // leaves the swept column in col
		if v.one != nil {
			v.sweep(slope)
		}
		along := dot(v.col, slope) * nd.v11
		var size, step float64
		for i, c := range v.col {
			d := slope[i] - along*c
			size += d * d
			step += d * (v.y[i] - nd.b1*c)
		}
		step /= size
		u := min(max(nd.u+step, v.s.low), v.s.high)
		next := v.at(u)
		// Rounding moves sums of squares by less than this.
		if !(next.rss <= nd.rss*(1+1e-13)) {
			return nd
		}
		done := math.Abs(u-nd.u) <= 1e-15*(1+math.Abs(u))
		nd = next
		if done {
			return nd
		}
	}
	return nd
}

// coarse is the number of grid points over all of u.
const coarse = 48

// wide fits at even points over all of u, whose columns are the same for every ρ.
func (v *solver) wide() []node {
	if v.s.table == nil {
		v.s.table = make([][]float64, coarse)
		for i := range v.s.table {
			v.s.table[i] = make([]float64, len(v.s.z))
			v.s.columns(v.s.table[i], v.s.kappa(spot(v.s.low, v.s.high, i, coarse)))
		}
	}
	nodes := make([]node, coarse)
	for i, col := range v.s.table {
		nodes[i] = v.with(spot(v.s.low, v.s.high, i, coarse), col)
	}
	return nodes
}

// best returns the fit with the least sum of squares: every minimum of an even
// grid over all of u is a start.
func (v *solver) best() node {
	if !v.s.searched() {
		return v.at(0)
	}
	nodes := v.wide()
	best := nodes[0]
	for i, nd := range nodes {
		if i > 0 && nodes[i-1].rss < nd.rss || i < len(nodes)-1 && nodes[i+1].rss < nd.rss {
			continue
		}
		lo, hi := nodes[max(i-1, 0)].u, nodes[min(i+1, len(nodes)-1)].u
		rss := func(u float64) float64 { return v.at(u).rss }
		if m := v.at(minimise(rss, lo, nd.u, hi, nd.rss, 1e-7*(1+math.Abs(nd.u)))); m.rss < best.rss {
			best = m
		}
	}
	return best
}

func (v *solver) grid(lo, hi float64, n int) []node {
	nodes := make([]node, n)
	for i := range nodes {
		nodes[i] = v.at(spot(lo, hi, i, n))
	}
	return nodes
}

// spot is point i of n evenly from lo to hi.
func spot(lo, hi float64, i, n int) float64 { return lo + (hi-lo)*float64(i)/float64(n-1) }

// minimise returns where f, whose value at mid is fm, is least between lo and
// hi: golden section, with the vertex of the parabola through the best three
// points where that lies inside (Brent 1973, 5). It stops at tol.
// gonum has no bounded minimum of one variable.
func minimise(f func(u float64) float64, lo, mid, hi, fm, tol float64) float64 {
	const golden = 0.381966011250105 // (3-√5)/2
	second, third, fs, ft := mid, mid, fm, fm
	var step, before float64
	for range 60 {
		if hi-lo <= 2*tol || max(hi-mid, mid-lo) <= 2*tol {
			break
		}
		u := vertex(mid, fm, second, fs, third, ft)
		if !(u > lo && u < hi) || !(math.Abs(u-mid) < math.Abs(before)/2) {
			if before = lo - mid; mid-lo < hi-mid {
				before = hi - mid
			}
			u = mid + golden*before
		} else {
			before = step
		}
		step = u - mid
		if math.Abs(step) < tol {
			step = math.Copysign(tol, step)
			if mid+step >= hi || mid+step <= lo {
				step = -step
			}
			u = mid + step
		}
		fu := f(u)
		if fu <= fm {
			if u < mid {
				hi = mid
			} else {
				lo = mid
			}
			third, ft, second, fs, mid, fm = second, fs, mid, fm, u, fu
			continue
		}
		if u < mid {
			lo = u
		} else {
			hi = u
		}
		if fu <= fs || second == mid {
			third, ft, second, fs = second, fs, u, fu
		} else if fu <= ft || third == mid || third == second {
			third, ft = u, fu
		}
	}
	return mid
}

// vertex returns where the parabola through three points has its extreme.
func vertex(a, fa, b, fb, c, fc float64) float64 {
	p := (b-a)*(b-a)*(fb-fc) - (b-c)*(b-c)*(fb-fa)
	q := (b-a)*(fb-fc) - (b-c)*(fb-fa)
	return b - p/(2*q)
}

func dot(a, b []float64) (s float64) {
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
