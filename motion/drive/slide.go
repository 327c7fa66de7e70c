package drive

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// slideShare is the half-travel that a landmark is taken to slide, as a
	// share of the tip's, when nothing shows how far it does.
	slideShare = 0.1
	// blindSpot stands for the directions in which a segment does not show that
	// one of its landmarks slides. A slide in an unknown direction of which one
	// component is seen lies within 12.7 times that component in 95 of 100
	// cases (Student's t with one degree of freedom).
	blindSpot = 1 / (12.706 * 12.706)
)

// stiff is one segment with what its landmarks show of their sliding.
type stiff struct {
	turning
	list   []Landmark
	at     []r3.Vec
	excess float64 // misfit beyond that of the noise
}

// stiffness returns the segments of the chain that have enough landmarks to
// show whether those keep their distances. noise is the variance of each
// landmark's half-travel on one axis.
func (a *analysis) stiffness(p *pose, noise [landmarks]float64) []stiff {
	if a.chain.planar {
		return nil // distances in a picture also change with what turns out of it
	}
	var out []stiff
	for _, list := range [][]Landmark{upperList, a.chain.foreParts(), palmList, pickList} {
		b, ok := a.chain.body(p, list)
		if !ok || b.spare < 1 {
			continue
		}
		s := stiff{turning: b}
		expected := 0.0
		for _, l := range list {
			if a.chain.has[l] {
				s.list = append(s.list, l)
				s.at = append(s.at, p.at[l])
				expected += noise[l] * mat.Trace(b.hold(p.at[l]))
			}
		}
		chi := distuv.ChiSquared{K: float64(b.spare)}
		if b.misfit > expected*chi.Quantile(0.95)/float64(b.spare) {
			s.excess = b.misfit - expected
		}
		out = append(out, s)
	}
	return out
}

// misfit returns the root mean square of the segments' misfits on one axis.
func misfit(bodies []stiff) float64 {
	sum, n := 0.0, 0
	for _, b := range bodies {
		sum += b.misfit
		n += b.spare
	}
	return math.Sqrt(sum / float64(n))
}

// assumed returns how far a landmark is taken to slide when no segment shows
// it: slideShare of the tip's half-travel size, and seen from the front no less
// than the length of the forearm changes.
func (c *chain) assumed(p *pose, size float64) float64 {
	slide := slideShare * size
	if c.front && c.has[Elbow] && c.has[Wrist] {
		l := r3.Unit(r3.Sub(p.at[Wrist], p.at[Elbow]))
		slide = max(slide, 1.96/math.Sqrt2*math.Abs(r3.Dot(l, r3.Sub(p.by[Wrist], p.by[Elbow]))))
	}
	return slide
}

// slideBound returns the half-width of a 95 % interval that the sliding of
// landmarks gives a share whose slope with each landmark's half-travel is
// steep. known is the slide that the user states, and assumed that which counts
// when nothing shows any.
//
// Otherwise it is the greater of two. If all landmarks slide alike, the misfit
// m of all segments, with n degrees of freedom, gives their variance on one
// axis, and the share has Student's t:
//
//	t(n) √(m/n) |steep|
//
// If single landmarks slide, each can have made what the misfit of its segment
// has beyond that of the others, in any direction e that leaves eᵀ hold e = m:
//
//	√(m steepᵀ (hold + blindSpot)⁻¹ steep), squares summed over the landmarks
//
// Slopes hold for slides that are small against the tip's half-travel, which is
// size: the share has that in its denominator, and may have it smaller by a
// slide. Beyond half of it there is no bound.
func slideBound(bodies []stiff, steep *[landmarks]r3.Vec, size, known, assumed float64) float64 {
	if known < 0 {
		return 0
	}
	norm := 0.0
	for _, g := range steep {
		norm += r3.Norm2(g)
	}
	norm = math.Sqrt(norm)
	// A slide of known length in an unknown direction has a third of its square
	// on each axis: 1.96/√3 = 1.13.
	each := 1.2 * known
	var all, single float64
	spare := 0
	for k, b := range bodies {
		all += b.excess
		spare += b.spare
		m := b.beyond(bodies, k)
		if m == 0 {
			continue
		}
		for i, l := range b.list {
			single += m * inverse(b.hold(b.at[i]), steep[l])
		}
	}
	if spare == 0 {
		each = max(each, assumed)
	} else {
		t := distuv.StudentsT{Sigma: 1, Nu: float64(spare)}
		each = max(each, t.Quantile(0.975)*math.Sqrt(all/float64(spare)))
	}
	if each > size/2 {
		return math.Inf(1)
	}
	return max(each*norm/(1-each/size), math.Sqrt(single))
}

// beyond returns what the misfit of segment k of bodies, which is b, has beyond
// that of the segments which share no landmark with it; 0 if those explain it
// (F test at 0.05).
func (b stiff) beyond(bodies []stiff, k int) float64 {
	var sum float64
	n := 0
	for i, o := range bodies {
		if i != k && !slices.ContainsFunc(o.list, func(l Landmark) bool { return slices.Contains(b.list, l) }) {
			sum += o.excess
			n += o.spare
		}
	}
	if n == 0 || sum == 0 {
		return b.excess
	}
	others := sum / float64(n)
	own := b.excess / float64(b.spare)
	if f := (distuv.F{D1: float64(b.spare), D2: float64(n)}); own <= others*f.Quantile(0.95) {
		return 0
	}
	return b.excess - others*float64(b.spare)
}

// inverse returns gᵀ (m + blindSpot)⁻¹ g.
func inverse(m *mat.SymDense, g r3.Vec) float64 {
	for i := range 3 {
		m.SetSym(i, i, m.At(i, i)+blindSpot)
	}
	var c mat.Cholesky
	if !c.Factorize(m) {
		return r3.Norm2(g) / blindSpot
	}
	v := mat.NewVecDense(3, []float64{g.X, g.Y, g.Z})
	var x mat.VecDense
	if err := c.SolveVecTo(&x, v); err != nil {
		return r3.Norm2(g) / blindSpot
	}
	return mat.Dot(v, &x)
}
