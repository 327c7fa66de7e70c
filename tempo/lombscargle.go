package tempo

import (
	"math"
	"slices"
)

// LombScargle returns the periodogram of y, sampled at sampleHz with missing
// samples as NaN, at each of the frequencies hz: the share, in [0, 1], of the
// variance of the known samples that a sinusoid of that frequency and a
// constant explain together (the standard normalisation with a floating mean,
// Zechmeister and Kürster 2009). It is stored in dst, whose length must be
// that of hz; if dst is nil a slice is allocated.
//
// Time is O(len(y)·len(hz)): it is meant for a few dozen frequencies about one
// that is nearly known.
//
// Special cases are: NaN for a frequency that is not positive and finite, and
// everywhere if fewer than four samples are known or all are equal.
//
// # References
//
//   - N. R. Lomb (1976), Least-squares frequency analysis of unequally spaced
//     data. Astrophysics and Space Science 39, 447-462.
//   - J. D. Scargle (1982), Studies in astronomical time series analysis II.
//     Astrophysical Journal 263, 835-853.
//   - M. Zechmeister and M. Kürster (2009), The generalised Lomb-Scargle
//     periodogram. Astronomy & Astrophysics 496, 577-584, (4)-(15).
func LombScargle(dst, y []float64, sampleHz float64, hz []float64) []float64 {
	if dst == nil {
		dst = make([]float64, len(hz))
	}
	if len(dst) != len(hz) {
		panic("tempo: lengths of dst and hz differ")
	}
	var f fitter
	f.load(y, nil)
	var w wave
	for i, h := range hz {
		if h > 0 && !math.IsInf(h, 1) && f.known >= 4 && f.square > 0 {
			w.set(h/sampleHz, len(y))
			dst[i] = f.power(&w, f.moments(&w)) / f.square
		} else {
			dst[i] = math.NaN()
		}
	}
	return dst
}

// wave is a sinusoid about the middle of a number of samples: cosine and sine
// at each sample from there on, 0, 1 … samples away, or 1/2, 3/2 … if the
// number is even.
type wave struct{ cos, sin []float64 }

// set makes w the sinusoid of that frequency, in cycles per sample, over n
// samples.
func (w *wave) set(frequency float64, n int) {
	// Few of them are worked out: the others are those, turned as a whole.
	const few, stretch = 8, 32
	count := (n + 1) / 2
	w.cos, w.sin = slices.Grow(w.cos[:0], count)[:count], slices.Grow(w.sin[:0], count)[:count]
	omega := 2 * math.Pi * frequency
	first := 0.5 * float64(1-n%2)
	for i := range min(few, count) {
		w.sin[i], w.cos[i] = math.Sincos(omega * (float64(i) + first))
	}
	for at := few; at < count; at += min(at, stretch) {
		sin, cos := math.Sincos(omega * float64(at))
		c, s := w.cos[at:min(2*at, at+stretch, count)], w.sin[at:min(2*at, at+stretch, count)]
		c0, s0 := w.cos[:len(c)], w.sin[:len(c)]
		for i := range c {
			c[i], s[i] = c0[i]*cos-s0[i]*sin, s0[i]*cos+c0[i]*sin
		}
	}
}

// fitter fits sinusoids and a constant to weighted samples on an even grid. It
// keeps them folded about their middle: the sums, and the differences later
// less earlier, of the two samples at each distance of [wave], since a cosine
// sees the ones only and a sine the others.
type fitter struct {
	w      pairs   // weights, 0 where missing
	wy     pairs   // weighted samples about their mean
	known  int     // samples
	weight float64 // sum of the weights
	square float64 // weighted sum of squares about the mean
	buf    []float64
}

// pairs are samples folded about their middle.
type pairs struct{ sum, difference []float64 }

func (p *pairs) fold(xs []float64) {
	n := len(xs)
	p.sum, p.difference = p.sum[:0], p.difference[:0]
	later, earlier := n/2, n/2-1+n%2
	if later == earlier { // the middle one
		p.sum, p.difference = append(p.sum, xs[later]), append(p.difference, 0)
		later, earlier = later+1, earlier-1
	}
	for ; later < n; later, earlier = later+1, earlier-1 {
		p.sum = append(p.sum, xs[later]+xs[earlier])
		p.difference = append(p.difference, xs[later]-xs[earlier])
	}
}

func (p *pairs) equal(q *pairs) bool {
	return slices.Equal(p.sum, q.sum) && slices.Equal(p.difference, q.difference)
}

// load takes samples, NaN where missing, and their weights, nil for 1.
func (f *fitter) load(y, w []float64) {
	f.buf = slices.Grow(f.buf[:0], len(y))[:len(y)]
	f.known, f.weight, f.square = 0, 0, 0
	var sum float64
	for i, v := range y {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		if math.IsNaN(v) {
			wi = 0
		} else {
			f.known++
			f.weight += wi
			sum += wi * v
		}
		f.buf[i] = wi
	}
	f.w.fold(f.buf)
	mean := sum / f.weight
	for i, v := range y {
		if f.buf[i] == 0 {
			continue
		}
		d := v - mean
		f.buf[i] *= d
		f.square += f.buf[i] * d
	}
	f.wy.fold(f.buf)
}

// moments are the weighted sums of the squares of the cosine and the sine of a
// [wave], and of their product, about their means.
type moments struct{ cc, ss, cs float64 }

// moments returns those of w under the weights of f.
func (f *fitter) moments(w *wave) moments {
	cos, sin := w.cos, w.sin[:len(w.cos)]
	sums, differences := f.w.sum[:len(cos)], f.w.difference[:len(cos)]
	var c, s, ss, cs float64
	for i, x := range cos {
		y := sin[i]
		even, odd := sums[i], differences[i]*y
		c += even * x
		s += odd
		ss += even * y * y
		cs += odd * x
	}
	return moments{
		cc: f.weight - ss - c*c/f.weight,
		ss: ss - s*s/f.weight,
		cs: cs - c*s/f.weight,
	}
}

// power returns by how much w, of which m are the moments, lowers the weighted
// sum of squares.
func (f *fitter) power(w *wave, m moments) float64 {
	cos, sin := w.cos, w.sin[:len(w.cos)]
	sums, differences := f.wy.sum[:len(cos)], f.wy.difference[:len(cos)]
	var yc, ys, yc2, ys2 float64 // two sums of each keep the processor busier
	for i := 1; i < len(cos); i += 2 {
		yc += sums[i-1] * cos[i-1]
		ys += differences[i-1] * sin[i-1]
		yc2 += sums[i] * cos[i]
		ys2 += differences[i] * sin[i]
	}
	if i := len(cos) - 1; i%2 == 0 {
		yc += sums[i] * cos[i]
		ys += differences[i] * sin[i]
	}
	yc, ys = yc+yc2, ys+ys2
	det := m.cc*m.ss - m.cs*m.cs
	if !(det > 1e-12*f.weight*f.weight) { // cosine and sine not told apart
		both := m.cc + m.ss
		if both <= 0 {
			return 0
		}
		return (yc*yc + ys*ys) / both
	}
	return (m.ss*yc*yc + m.cc*ys*ys - 2*m.cs*yc*ys) / det
}
