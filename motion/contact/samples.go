package contact

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/trajectory"
)

// samples are those of a placed path that were seen.
type samples struct {
	t           []float64
	across, out []float64 // out is nil where the view does not show it
	along       []float64

	near, weights []float64 // of the last fitArc
}

func newSamples(p trajectory.Placed) *samples {
	s := &samples{}
	seen := 0
	for _, y := range p.Across {
		if y == y {
			seen++
		}
	}
	take := func(x []float64) []float64 {
		if x == nil || seen == len(x) {
			return x
		}
		kept := make([]float64, 0, seen)
		for i, v := range x {
			if y := p.Across[i]; y == y {
				kept = append(kept, v)
			}
		}
		return kept
	}
	s.t, s.across, s.out, s.along = take(p.T), take(p.Across), take(p.Out), take(p.Along)
	return s
}

// within returns the range [lo, hi) of the samples from one time to another,
// both included.
func (s *samples) within(from, to float64) (lo, hi int) {
	lo, _ = slices.BinarySearch(s.t, from)
	hi = lo
	for hi < len(s.t) && s.t[hi] <= to {
		hi++
	}
	return lo, hi
}

// prior is what the other strokes of the direction say of the second-order term
// of out over across: its mean and its scatter, +Inf without any.
type prior struct{ bend, scatter float64 }

// arc is a stroke's out about one place across, from the weighted
// least-squares parabola
//
//	out = level + slope u + bend u², u = across - place
//
// of the samples near it.
type arc struct {
	level, slope, bend float64
	levelVar           float64 // of level, in units of the samples' variance
	bendVar            float64 // of bend, likewise
	priorVar           float64 // what the prior's scatter adds to that of level
	own                float64 // weight in level of a sample at the place itself
	n                  int
}

// The fit's reach is this share of the stroke across, more where fewer than
// leastNear samples lie within it.
const (
	arcReach  = 0.45
	leastNear = 7
)

// fitArc fits the samples [lo, hi), which run through width across. sigma is
// the samples' noise, which weighs them against the prior. ok is false with
// fewer than three samples, or with all of them at one place.
func (s *samples) fitArc(lo, hi int, place, width, sigma float64, pr prior) (a arc, ok bool) {
	reach := arcReach * width
	for range 3 {
		near := 0
		for _, y := range s.across[lo:hi] {
			if math.Abs(y-place) < reach {
				near++
			}
		}
		if near >= leastNear {
			break
		}
		reach *= 1.4
	}
	var sums [5]float64 // Σ w uᵏ
	var v [3]float64
	s.near, s.weights = s.near[:0], s.weights[:0]
	for i := lo; i < hi; i++ {
		u := (s.across[i] - place) / reach
		w := tricube(u)
		if w == 0 {
			continue
		}
		s.near, s.weights = append(s.near, u), append(s.weights, w)
		x := s.out[i]
		for k := range sums {
			sums[k] += w
			if k < len(v) {
				v[k] += w * x
			}
			w *= u
		}
	}
	a.n = len(s.near)
	var m [3][3]float64
	for r := range m {
		for c := range m[r] {
			m[r][c] = sums[r+c]
		}
	}
	pull := 0.0 // the prior's weight against one sample, in reach's units
	if sd := pr.scatter * reach * reach; sigma > 0 && !math.IsInf(sd, 1) {
		pull = math.Min((sigma/sd)*(sigma/sd), 1e9)
	}
	m[2][2] += pull
	v[2] += pull * pr.bend * reach * reach
	inv, ok := invert(m)
	if !ok || a.n < 3 && pull == 0 || a.n < 2 {
		return a, false
	}
	var x [3]float64
	for r := range x {
		for c := range v {
			x[r] += inv[r][c] * v[c]
		}
	}
	for i, u := range s.near {
		w := s.weights[i]
		l := w * (inv[0][0] + inv[0][1]*u + inv[0][2]*u*u)
		b := w * (inv[2][0] + inv[2][1]*u + inv[2][2]*u*u)
		a.levelVar += l * l
		a.bendVar += b * b
	}
	if pull > 0 {
		e := inv[0][2] * pull * pr.scatter * reach * reach
		a.priorVar = e * e
	}
	a.own = inv[0][0]
	a.level, a.slope, a.bend = x[0], x[1]/reach, x[2]/(reach*reach)
	a.bendVar /= reach * reach * reach * reach
	return a, true
}

// tricube is Cleveland's weight (W. S. Cleveland, J. Am. Stat. Assoc. 74 (1979)
// 829-836): (1-|u|³)³.
func tricube(u float64) float64 {
	u = math.Abs(u)
	if !(u < 1) {
		return 0
	}
	w := 1 - u*u*u
	return w * w * w
}

// invert returns the inverse of a symmetric matrix by cofactors.
func invert(m [3][3]float64) (inv [3][3]float64, ok bool) {
	for r := range 3 {
		for c := range 3 {
			r1, r2, c1, c2 := (r+1)%3, (r+2)%3, (c+1)%3, (c+2)%3
			inv[c][r] = m[r1][c1]*m[r2][c2] - m[r1][c2]*m[r2][c1]
		}
	}
	det := m[0][0]*inv[0][0] + m[0][1]*inv[1][0] + m[0][2]*inv[2][0]
	if !(math.Abs(det) > 1e-12*m[0][0]*m[1][1]*m[2][2]) {
		return inv, false
	}
	for r := range 3 {
		for c := range 3 {
			inv[r][c] /= det
		}
	}
	return inv, true
}

// moment is a column over time about one moment, as the least-squares
// polynomial of at most the third order:
//
//	x = c₀ + c₁ τ + c₂ τ² + c₃ τ³, τ = (t - at)/span
type moment struct {
	at, span float64
	c        [4]float64
	inv      [4][4]float64 // of the normal matrix
	order    int
}

// newMoment returns the frame of a fit to samples at times t: of the third
// order, below six samples the second, below four the first.
func newMoment(t []float64, at, span float64) (moment, bool) {
	order := 3
	switch n := len(t); {
	case n < 4:
		order = 1
	case n < 6:
		order = 2
	}
	return newMomentOf(order, t, at, span)
}

// newLine returns the frame of a straight line.
func newLine(t []float64, at float64) (moment, bool) {
	if len(t) < 2 {
		return moment{}, false
	}
	return newMomentOf(1, t, at, t[len(t)-1]-t[0])
}

func newMomentOf(order int, t []float64, at, span float64) (moment, bool) {
	k := moment{at: at, span: span, order: order}
	n := k.order + 1
	if len(t) < n {
		return k, false
	}
	var m [4][8]float64
	for _, t := range t {
		f := k.basis(t)
		for r := range n {
			for c := range n {
				m[r][c] += f[r] * f[c]
			}
		}
	}
	for r := range n {
		m[r][4+r] = 1
	}
	for p := range n { // Gauss-Jordan; the matrix is positive definite
		d := m[p][p]
		if !(d > 1e-12) {
			return k, false
		}
		for c := range m[p] {
			m[p][c] /= d
		}
		for r := range n {
			if f := m[r][p]; r != p && f != 0 {
				for c := range m[r] {
					m[r][c] -= f * m[p][c]
				}
			}
		}
	}
	for r := range n {
		for c := range n {
			k.inv[r][c] = m[r][4+c]
		}
	}
	return k, true
}

func (k *moment) basis(t float64) [4]float64 {
	u := (t - k.at) / k.span
	return [4]float64{1, u, u * u, u * u * u}
}

// fit sets the coefficients to those of one column.
func (k *moment) fit(t, x []float64) {
	var v [4]float64
	for i, x := range x {
		f := k.basis(t[i])
		for r := range f {
			v[r] += f[r] * x
		}
	}
	k.c = [4]float64{}
	for r := range k.order + 1 {
		for c := range k.order + 1 {
			k.c[r] += k.inv[r][c] * v[c]
		}
	}
}

// value and rate are the column and its rate of change at t.
func (k *moment) value(t float64) float64 {
	u := (t - k.at) / k.span
	return k.c[0] + u*(k.c[1]+u*(k.c[2]+u*k.c[3]))
}

func (k *moment) rate(t float64) float64 {
	u := (t - k.at) / k.span
	return (k.c[1] + u*(2*k.c[2]+u*3*k.c[3])) / k.span
}

// valueVar is the variance of value in units of that of the samples.
func (k *moment) valueVar(t float64) float64 {
	f := k.basis(t)
	s := 0.0
	for r := range k.order + 1 {
		for c := range k.order + 1 {
			s += f[r] * k.inv[r][c] * f[c]
		}
	}
	return s
}
