package drive

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
)

const (
	// maxHarmonics is the number of harmonics of the cycle that are fitted.
	maxHarmonics = 3
	// maxInflation is by how much hidden samples may raise the variance of the
	// fundamental before the fit does with fewer harmonics, or is given up.
	maxInflation = 25
	// minInStroke is the share of the spread of a stroke's travel that its
	// seen samples must have, to say something of this stroke alone.
	minInStroke = 0.3
)

// wave is the fit of one window of a point,
//
//	x(t) = mean + slope P1 + bend P2 + Σ cos[k] cos kφ + sin[k] sin kφ
//
// of which the mean and the fundamental are kept.
type wave struct {
	ok         bool
	mean       r3.Vec
	cos, sin   r3.Vec
	vcos, vsin float64 // variance of cos and sin for unit noise
	sigma      float64 // scatter of the samples about the fit, per axis
	free       int     // samples less terms
}

// point is a tracked point with its fits. Axes that the view lacks are nil.
type point struct {
	cols  [3][]float64
	waves []wave
	noise float64      // white noise per axis; +Inf where no run is long enough to show it
	rest  [3][]float64 // samples less their fit, NaN where there is none
}

// fitter fits points on one time base.
type fitter struct {
	*course
	t      []float64
	lo, hi []int     // of each window
	stroke []int     // of each sample, -1 outside the windows
	phi    []float64 // phase of each sample

	normal *mat.SymDense
	chol   mat.Cholesky
	inv    mat.SymDense
}

func newFitter(c *course, t []float64) *fitter {
	f := &fitter{course: c, t: t, stroke: make([]int, len(t)), phi: make([]float64, len(t))}
	for i := range f.stroke {
		f.stroke[i] = -1
	}
	for _, w := range c.windows {
		lo := sort.SearchFloat64s(t, w.start)
		k := lo
		for i := w.from; i < w.to; i++ {
			for k < len(t) && (t[k] < c.strokes[i].End || i == w.to-1 && t[k] == w.end) {
				f.stroke[k], f.phi[k] = i, c.phase(i, t[k])
				k++
			}
		}
		f.lo, f.hi = append(f.lo, lo), append(f.hi, k)
	}
	return f
}

// fit fits all windows of a point.
func (f *fitter) fit(cols [3][]float64) *point {
	p := &point{cols: cols, waves: make([]wave, len(f.windows))}
	for d, x := range cols {
		if x == nil {
			continue
		}
		p.rest[d] = make([]float64, len(f.t))
		for i := range p.rest[d] {
			p.rest[d][i] = math.NaN()
		}
	}
	p.noise = noiseLevel(cols)
	for w := range f.windows {
		for h := maxHarmonics; h >= 1 && !p.waves[w].ok; h-- {
			p.waves[w] = f.window(p, w, h)
		}
	}
	return p
}

// noiseLevel returns the noise of the columns, the root mean square over their
// axes and runs.
func noiseLevel(cols [3][]float64) float64 {
	var sum, n float64
	for start, end := range trajectory.Runs(cols[0]) {
		for _, x := range cols {
			if x == nil {
				continue
			}
			if s := filter.NoiseLevel(x[start:end]); s == s {
				g := float64(end - start)
				sum, n = sum+g*s*s, n+g
			}
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(sum / n)
}

// maxTerms is the number of terms of the largest fit.
const maxTerms = 3 + 2*maxHarmonics

// terms returns the terms of the fit at sample k of window w:
// a constant, one or two Legendre polynomials of time, harmonics.
func (f *fitter) terms(k, w, degree, harmonics int) (b [maxTerms]float64) {
	win := f.windows[w]
	u := (2*f.t[k] - win.start - win.end) / (win.end - win.start)
	b[0], b[1] = 1, u
	if degree == 2 {
		b[2] = (3*u*u - 1) / 2
	}
	s1, c1 := math.Sincos(f.phi[k])
	s, c := s1, c1
	for h := range harmonics {
		b[1+degree+2*h], b[2+degree+2*h] = c, s
		c, s = c*c1-s*s1, s*c1+c*s1
	}
	return b
}

// window fits window w with the given number of harmonics.
func (f *fitter) window(p *point, w, harmonics int) wave {
	degree := 1
	if f.windows[w].n() >= 6 {
		degree = 2
	}
	terms := 1 + degree + 2*harmonics
	var normal [maxTerms][maxTerms]float64
	var rhs [3][maxTerms]float64
	n := 0
	for k := f.lo[w]; k < f.hi[w]; k++ {
		if x := p.cols[0][k]; x != x {
			continue
		}
		n++
		b := f.terms(k, w, degree, harmonics)
		for i := range terms {
			bi := b[i]
			for j := i; j < terms; j++ {
				normal[i][j] += bi * b[j]
			}
			for d, x := range p.cols {
				if x != nil {
					rhs[d][i] += bi * x[k]
				}
			}
		}
	}
	out := wave{free: n - terms}
	if n < terms+2 || !f.invert(&normal, terms) {
		return out
	}
	at := 1 + degree // of the cosine of the fundamental
	out.vcos, out.vsin = f.inv.At(at, at), f.inv.At(at+1, at+1)
	if (out.vcos+out.vsin)*float64(n)/4 > maxInflation {
		return out
	}
	var mean, cos, sin [3]float64
	var sol [3][maxTerms]float64
	axes := 0
	for d, x := range p.cols {
		if x == nil {
			continue
		}
		axes++
		for i := range terms {
			for j := range terms {
				sol[d][i] += f.inv.At(i, j) * rhs[d][j]
			}
		}
		mean[d], cos[d], sin[d] = sol[d][0], sol[d][at], sol[d][at+1]
	}
	rss := 0.0
	for k := f.lo[w]; k < f.hi[w]; k++ {
		if x := p.cols[0][k]; x != x {
			continue
		}
		b := f.terms(k, w, degree, harmonics)
		for d, x := range p.cols {
			if x == nil {
				continue
			}
			e := x[k]
			for i := range terms {
				e -= b[i] * sol[d][i]
			}
			p.rest[d][k] = e
			rss += e * e
		}
	}
	out.mean, out.cos, out.sin = vec(mean), vec(cos), vec(sin)
	out.sigma = math.Sqrt(rss / float64(axes*out.free))
	out.ok = true
	return out
}

// invert sets f.inv to the inverse of the upper triangle given.
func (f *fitter) invert(normal *[maxTerms][maxTerms]float64, terms int) bool {
	if f.normal == nil || f.normal.SymmetricDim() != terms {
		f.normal = mat.NewSymDense(terms, nil)
		f.inv.Reset()
	}
	for i := range terms {
		for j := i; j < terms; j++ {
			f.normal.SetSym(i, j, normal[i][j])
		}
	}
	return f.chol.Factorize(f.normal) && f.chol.Cond() < 1e8 && f.chol.InverseTo(&f.inv) == nil
}

// beat is the reference of one window: the tip's own oscillation along its
// axis,
//
//	amplitude cos(φ - lag)
type beat struct {
	ok             bool
	axis           r3.Vec
	amplitude, lag float64
	cos, sin       float64 // of the lag
	bias           float64 // what noise adds to the square of the amplitude
}

// beats returns the reference of every window of the tip. The axis is the
// principal axis of the fundamental over the window and two on either side.
func (f *fitter) beats(tip *point) []beat {
	out := make([]beat, len(f.windows))
	var last r3.Vec // the axes of all windows point the same way
	for w, q := range tip.waves {
		if !q.ok {
			continue
		}
		var m [6]float64 // xx, yy, zz, xy, xz, yz
		for v := max(0, w-2); v < min(len(tip.waves), w+3); v++ {
			if o := tip.waves[v]; o.ok {
				for _, x := range [2]r3.Vec{o.cos, o.sin} {
					g := float64(f.windows[v].n())
					m[0] += g * x.X * x.X
					m[1] += g * x.Y * x.Y
					m[2] += g * x.Z * x.Z
					m[3] += g * x.X * x.Y
					m[4] += g * x.X * x.Z
					m[5] += g * x.Y * x.Z
				}
			}
		}
		a, ok := principal(m)
		if !ok {
			continue
		}
		if r3.Dot(a, last) < 0 {
			a = r3.Scale(-1, a)
		}
		last = a
		b := beat{axis: a, cos: r3.Dot(a, q.cos), sin: r3.Dot(a, q.sin)}
		b.amplitude = math.Hypot(b.cos, b.sin)
		b.bias = q.sigma * q.sigma * (q.vcos + q.vsin)
		if !(b.amplitude*b.amplitude > 4*b.bias) {
			continue
		}
		b.lag = math.Atan2(b.sin, b.cos)
		b.cos, b.sin, b.ok = b.cos/b.amplitude, b.sin/b.amplitude, true
		out[w] = b
	}
	return out
}

// inPhase returns the half-travel of the fit q in phase with b, and that a
// quarter cycle behind it.
func (b beat) inPhase(q wave) (with, behind r3.Vec) {
	with = r3.Add(r3.Scale(b.cos, q.cos), r3.Scale(b.sin, q.sin))
	behind = r3.Sub(r3.Scale(b.cos, q.sin), r3.Scale(b.sin, q.cos))
	return with, behind
}

// ofStroke returns by how much more than the fit of window w the point
// travelled in phase with b in stroke i, and the variance of that for unit
// noise; ok is false where too little of the stroke was seen.
func (f *fitter) ofStroke(p *point, w int, b beat, i int) (more r3.Vec, variance float64, ok bool) {
	s := &f.strokes[i]
	lo := f.lo[w] + sort.SearchFloat64s(f.t[f.lo[w]:f.hi[w]], s.Start)
	var n, sc, scc float64
	var sx, scx [3]float64
	all := 0
	for k := lo; k < f.hi[w] && f.stroke[k] <= i; k++ {
		if f.stroke[k] != i {
			continue
		}
		all++
		if e := p.rest[0][k]; e != e {
			continue
		}
		c := math.Cos(f.phi[k] - b.lag)
		n++
		sc += c
		scc += c * c
		for d, x := range p.rest {
			if x != nil {
				sx[d] += x[k]
				scx[d] += c * x[k]
			}
		}
	}
	if n < 3 {
		return r3.Vec{}, 0, false
	}
	d := scc - sc*sc/n
	if !(d > minInStroke*float64(all)/2) {
		return r3.Vec{}, 0, false
	}
	for k := range sx {
		scx[k] = (scx[k] - sc*sx[k]/n) / d
	}
	return vec(scx), 1 / d, true
}

func vec(x [3]float64) r3.Vec { return r3.Vec{X: x[0], Y: x[1], Z: x[2]} }

// principal returns the first eigenvector of the symmetric matrix with entries
// xx, yy, zz, xy, xz, yz, turned so that its largest component is positive.
func principal(m [6]float64) (r3.Vec, bool) {
	var e mat.EigenSym
	if !(m[0]+m[1]+m[2] > 0) ||
		!e.Factorize(mat.NewSymDense(3, []float64{m[0], m[3], m[4], m[3], m[1], m[5], m[4], m[5], m[2]}), true) {
		return r3.Vec{}, false
	}
	var v mat.Dense
	e.VectorsTo(&v)
	a := [3]float64{v.At(0, 2), v.At(1, 2), v.At(2, 2)}
	big := 0
	for d := range a {
		if math.Abs(a[d]) > math.Abs(a[big]) {
			big = d
		}
	}
	if a[big] < 0 {
		for d := range a {
			a[d] = -a[d]
		}
	}
	return vec(a), true
}
