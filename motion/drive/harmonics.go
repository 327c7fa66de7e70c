package drive

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/floats"
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
}

// point is a tracked point with its fits. Axes that the view lacks are nil.
type point struct {
	cols    [3][]float64
	waves   []wave
	strokes []moments
	noise   float64 // white noise per axis: see noiseLevel
}

// moments are the sums over the seen samples of one stroke that tell how it
// strays from the fit of its window, e, in step with the cycle: c and s are the
// cosine and the sine of the phase. They are zero where there is no fit.
type moments struct {
	phaseSums
	e, ec, es [3]float64 // Σ e, Σ e c, Σ e s on each axis
}

type phaseSums struct{ n, c, s, cc, cs, ss float64 }

// fitter fits points on one time base.
type fitter struct {
	*phases
	t        []float64
	lo, hi   []int     // of each window
	samples  []int     // of each stroke in a window
	cos, sin []float64 // of the phase of each sample in a window
	layout   layout
	x, e     []float64 // the samples seen in a window, and these less their fit
}

func newFitter(c *phases, t []float64) *fitter {
	f := &fitter{phases: c, t: t, samples: make([]int, len(c.strokes)), cos: make([]float64, len(t)), sin: make([]float64, len(t))}
	f.layout.window = -1
	for _, w := range c.windows {
		lo := sort.SearchFloat64s(t, w.start)
		k := lo
		for i := w.from; i < w.to; i++ {
			first := k
			for k < len(t) && (t[k] < c.strokes[i].End || i == w.to-1 && t[k] == w.end) {
				f.sin[k], f.cos[k] = math.Sincos(c.phase(i, t[k]))
				k++
			}
			f.samples[i] = k - first
		}
		f.lo, f.hi = append(f.lo, lo), append(f.hi, k)
	}
	return f
}

// fit fits all windows of the points.
func (f *fitter) fit(points ...*point) {
	for _, p := range points {
		p.waves, p.strokes = make([]wave, len(f.windows)), make([]moments, len(f.strokes))
	}
	for w := range f.windows {
		for _, p := range points {
			f.window(p, w)
		}
	}
}

// noiseLevel returns the white noise of the columns: the root mean square over
// their axes and runs, as many of those, spread over the take, as make it precise
// to a per cent or two. It is +Inf where no run is long enough to show it.
func noiseLevel(cols [3][]float64) float64 {
	var sum, n, looked, seen float64
	share := min(1, 20000/float64(len(cols[0])))
	for start, end := range trajectory.Runs(cols[0]) {
		g := float64(end - start)
		if seen += g; looked > share*seen {
			continue
		}
		for d, x := range cols {
			if x == nil {
				continue
			}
			if s := filter.NoiseLevel(x[start:end]); s == s {
				sum, n = sum+g*s*s, n+g
				if d == 0 {
					looked += g
				}
			}
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(sum / n)
}

// window fits window w of a point.
func (f *fitter) window(p *point, w int) {
	y := &f.layout
	y.lay(f, w, p.cols[0])
	if !y.ok {
		return
	}
	out := &p.waves[w]
	var mean, cos, sin [3]float64
	var rss, axes float64
	for d, x := range p.cols {
		if x == nil {
			continue
		}
		axes++
		if x = x[f.lo[w]:f.hi[w]]; len(y.seen) < len(x) {
			f.x = f.x[:0]
			for _, k := range y.seen {
				f.x = append(f.x, x[k])
			}
			x = f.x
		}
		var rhs [maxTerms]float64
		for i := range y.terms {
			rhs[i] = floats.Dot(y.columns[i], x)
		}
		f.e = append(f.e[:0], x...)
		for i := range y.terms {
			v := 0.0
			for j := range y.terms {
				v += y.inverse.At(i, j) * rhs[j]
			}
			switch i {
			case 0:
				mean[d] = v
			case y.fundamental:
				cos[d] = v
			case y.fundamental + 1:
				sin[d] = v
			}
			floats.AddScaled(f.e, -v, y.columns[i])
		}
		rss += floats.Dot(f.e, f.e)
		k := 0
		for i, sums := range y.strokes {
			m := &p.strokes[f.windows[w].from+i]
			m.phaseSums = sums
			var e, ec, es float64
			for end := k + int(sums.n); k < end; k++ {
				v := f.e[k]
				e += v
				ec += v * y.columns[y.fundamental][k]
				es += v * y.columns[y.fundamental+1][k]
			}
			m.e[d], m.ec[d], m.es[d] = e, ec, es
		}
	}
	out.mean, out.cos, out.sin = vec(mean), vec(cos), vec(sin)
	out.vcos, out.vsin = y.inverse.At(y.fundamental, y.fundamental), y.inverse.At(y.fundamental+1, y.fundamental+1)
	out.sigma = math.Sqrt(rss / (axes * float64(len(y.seen)-y.terms)))
	out.ok = true
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

// ofStroke returns by how much more than the fit of its window the point
// travelled in phase with b, the window's beat, in stroke i, and the variance of
// that for unit noise; ok is false where too little of the stroke was seen.
func (f *fitter) ofStroke(p *point, b beat, i int) (more r3.Vec, variance float64, ok bool) {
	q := &p.strokes[i]
	if q.n < 3 {
		return r3.Vec{}, 0, false
	}
	mean := (b.cos*q.c + b.sin*q.s) / q.n
	d := b.cos*b.cos*q.cc + 2*b.cos*b.sin*q.cs + b.sin*b.sin*q.ss - mean*mean*q.n
	if !(d > minInStroke*float64(f.samples[i])/2) {
		return r3.Vec{}, 0, false
	}
	var x [3]float64
	for k := range x {
		x[k] = (b.cos*q.ec[k] + b.sin*q.es[k] - mean*q.e[k]) / d
	}
	return vec(x), 1 / d, true
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
