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
	for i, h := range hz {
		if h > 0 && !math.IsInf(h, 1) && f.known >= 4 && f.square > 0 {
			dst[i] = f.power(h/sampleHz) / f.square
		} else {
			dst[i] = math.NaN()
		}
	}
	return dst
}

// fitter fits sinusoids and a constant to weighted samples on an even grid.
type fitter struct {
	w, wy  []float64 // weights, 0 where missing, and weighted samples about their mean
	known  int
	weight float64 // sum of the weights
	square float64 // weighted sum of squares about the mean
}

// load takes samples, NaN where missing, and their weights, nil for 1.
func (f *fitter) load(y, w []float64) {
	f.w, f.wy = slices.Grow(f.w[:0], len(y)), slices.Grow(f.wy[:0], len(y))
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
		f.w = append(f.w, wi)
	}
	mean := sum / f.weight
	for i, v := range y {
		if f.w[i] == 0 {
			f.wy = append(f.wy, 0)
			continue
		}
		d := v - mean
		f.wy = append(f.wy, f.w[i]*d)
		f.square += f.w[i] * d * d
	}
}

// power returns by how much a sinusoid of that frequency, in cycles per
// sample, lowers the weighted sum of squares.
func (f *fitter) power(frequency float64) float64 {
	// One stretch of the sinusoid serves all: the sums over a stretch are
	// turned to its place as a whole.
	const stretch = 64
	var cos1, sin1, cos2, sin2 [stretch]float64 // of the angle, of twice the angle
	omega := 2 * math.Pi * frequency
	for i := range min(stretch, len(f.w)) {
		sin1[i], cos1[i] = math.Sincos(omega * float64(i))
		sin2[i], cos2[i] = 2*sin1[i]*cos1[i], 1-2*sin1[i]*sin1[i]
	}
	var c, s, c2, s2, yc, ys float64
	for at := 0; at < len(f.w); at += stretch {
		end := min(at+stretch, len(f.w))
		wy := f.wy[at:end]
		var pc, ps, qc, qs, zc, zs float64
		for i, w := range f.w[at:end] {
			y := wy[i]
			pc += w * cos1[i]
			ps += w * sin1[i]
			qc += w * cos2[i]
			qs += w * sin2[i]
			zc += y * cos1[i]
			zs += y * sin1[i]
		}
		sin, cos := math.Sincos(omega * float64(at))
		c += pc*cos - ps*sin
		s += pc*sin + ps*cos
		yc += zc*cos - zs*sin
		ys += zc*sin + zs*cos
		sin, cos = 2*sin*cos, 1-2*sin*sin
		c2 += qc*cos - qs*sin
		s2 += qc*sin + qs*cos
	}
	cc, cs := (f.weight+c2)/2, s2/2
	ss := f.weight - cc
	cc -= c * c / f.weight
	ss -= s * s / f.weight
	cs -= c * s / f.weight
	det := cc*ss - cs*cs
	if !(det > 1e-12*f.weight*f.weight) { // cosine and sine not told apart
		if cc += ss; cc <= 0 {
			return 0
		}
		return (yc*yc + ys*ys) / cc
	}
	return (ss*yc*yc + cc*ys*ys - 2*cs*yc*ys) / det
}
