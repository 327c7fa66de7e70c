package drive

import (
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// maxTerms is the number of terms of the largest fit.
const maxTerms = 3 + 2*maxHarmonics

// layout is what the fit of a window owes to which of its samples were seen,
// whatever they say. Points that were seen in the same samples share it.
type layout struct {
	window int
	seen   []int // samples, counted from the window's first
	ok     bool  // they bear a fit
	// columns are the terms of the largest fit at the samples seen: a constant,
	// one or two Legendre polynomials of time, and the cosine and the sine of
	// each harmonic. The fit has the first of them, as many as terms.
	columns     [maxTerms][]float64
	terms       int
	fundamental int // column of its cosine
	inverse     mat.SymDense
	strokes     []phaseSums // of the window's strokes

	now    []int
	normal *mat.SymDense
	chol   mat.Cholesky
}

// lay sets the layout to that of window w for a point that was seen where x is
// not NaN.
func (y *layout) lay(f *fitter, w int, x []float64) {
	y.now = y.now[:0]
	for k, v := range x[f.lo[w]:f.hi[w]] {
		if v == v {
			y.now = append(y.now, k)
		}
	}
	if w == y.window && slices.Equal(y.now, y.seen) {
		return
	}
	y.window, y.seen, y.now = w, y.now, y.seen
	win := f.windows[w]
	degree := 1
	if win.n() >= 6 {
		degree = 2
	}
	y.fundamental, y.ok = 1+degree, false
	y.fill(f, win, f.lo[w])
	for h := maxHarmonics; h >= 1 && !y.ok; h-- {
		y.terms = 1 + degree + 2*h
		y.ok = y.invert()
	}
	if y.ok {
		y.sum(f, win)
	}
}

// fill writes the columns.
func (y *layout) fill(f *fitter, win window, lo int) {
	most := y.fundamental + 2*maxHarmonics
	for i := range y.columns[:most] {
		y.columns[i] = slices.Grow(y.columns[i][:0], len(y.seen))[:len(y.seen)]
	}
	for j, k := range y.seen {
		k += lo
		u := (2*f.t[k] - win.start - win.end) / (win.end - win.start)
		y.columns[0][j], y.columns[1][j] = 1, u
		if y.fundamental == 3 {
			y.columns[2][j] = (3*u*u - 1) / 2
		}
		c1, s1 := f.cos[k], f.sin[k]
		c, s := c1, s1
		for i := y.fundamental; i < most; i += 2 {
			y.columns[i][j], y.columns[i+1][j] = c, s
			c, s = c*c1-s*s1, s*c1+c*s1
		}
	}
}

// invert inverts the normal matrix of the fit with that number of terms, and
// reports whether the samples bear it.
func (y *layout) invert() bool {
	n := len(y.seen)
	if n < y.terms+2 {
		return false
	}
	if y.normal == nil || y.normal.SymmetricDim() != y.terms {
		y.normal = mat.NewSymDense(y.terms, nil)
		y.inverse.Reset()
	}
	for i := range y.terms {
		for j := i; j < y.terms; j++ {
			y.normal.SetSym(i, j, floats.Dot(y.columns[i], y.columns[j]))
		}
	}
	if !y.chol.Factorize(y.normal) || !(y.chol.Cond() < 1e8) || y.chol.InverseTo(&y.inverse) != nil {
		return false
	}
	at := y.fundamental
	return (y.inverse.At(at, at)+y.inverse.At(at+1, at+1))*float64(n)/4 <= maxInflation
}

// sum writes the sums over the samples of each stroke.
func (y *layout) sum(f *fitter, win window) {
	y.strokes = y.strokes[:0]
	j, end := 0, 0
	for i := win.from; i < win.to; i++ {
		end += f.samples[i]
		var q phaseSums
		for ; j < len(y.seen) && y.seen[j] < end; j++ {
			c, s := y.columns[y.fundamental][j], y.columns[y.fundamental+1][j]
			q.n++
			q.c += c
			q.s += s
			q.cc += c * c
			q.cs += c * s
			q.ss += s * s
		}
		y.strokes = append(y.strokes, q)
	}
}
