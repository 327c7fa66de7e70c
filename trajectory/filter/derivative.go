package filter

import "math"

// Derivative returns the rate of change of x, in units of x per second, by
// central differences,
//
//	dst[i] = (x[i+1] - x[i-1]) sampleHz / 2
//
// and at the ends by the parabola through the three end samples. It is exact
// for parabolas. Of an oscillation at f hertz it keeps the share
// sin(φ)/φ, φ = 2πf/sampleHz: 0.90 at 8 samples per cycle. Noise of standard
// deviation σ becomes σ sampleHz/√2.
//
// Special cases are: one sample gives NaN, two give the slope between them,
// twice. A NaN makes NaN of the samples that use it. dst may be nil or x; it
// panics if dst is of another length than x.
func Derivative(dst, x []float64, sampleHz float64) []float64 {
	dst = destination(dst, len(x))
	n := len(x)
	switch n {
	case 0:
	case 1:
		dst[0] = math.NaN()
	case 2:
		d := (x[1] - x[0]) * sampleHz
		dst[0], dst[1] = d, d
	default:
		half := sampleHz / 2
		last := (3*(x[n-1]-x[n-2]) - (x[n-2] - x[n-3])) * half
		before := x[0]
		dst[0] = (3*(x[1]-x[0]) - (x[2] - x[1])) * half
		for i := 1; i < n-1; i++ {
			d := (x[i+1] - before) * half
			before = x[i]
			dst[i] = d
		}
		dst[n-1] = last
	}
	return dst
}

// Gradient returns the rate of change of x with t on uneven times. Inside it
// is the slope at t[i] of the parabola through three neighbours,
//
//	dst[i] = (h₂ s₁ + h₁ s₂) / (h₁ + h₂)
//
// with h₁, h₂ the steps before and after and s₁, s₂ the slopes over them; at
// the ends it is the slope there of the outermost parabola. These are the
// values of numpy.gradient(x, t, edge_order=2), and on even times those of
// [Derivative].
//
// t must be strictly increasing: two equal times give NaN or an infinity.
// Special cases are those of Derivative. dst may be nil, or x; it panics if
// the slices differ in length.
func Gradient(dst, t, x []float64) []float64 {
	if len(t) != len(x) {
		panic("filter: length of t is not the length of x")
	}
	dst = destination(dst, len(x))
	n := len(x)
	switch n {
	case 0:
		return dst
	case 1:
		dst[0] = math.NaN()
		return dst
	}
	h1 := t[1] - t[0]
	s1 := (x[1] - x[0]) / h1
	if n == 2 {
		dst[0], dst[1] = s1, s1
		return dst
	}
	for i := 1; i < n-1; i++ {
		h2 := t[i+1] - t[i]
		s2 := (x[i+1] - x[i]) / h2
		if i == 1 {
			dst[0] = s1 + (s1-s2)*h1/(h1+h2)
		}
		last := s2 + (s2-s1)*h2/(h1+h2)
		dst[i] = (h2*s1 + h1*s2) / (h1 + h2)
		if i == n-2 {
			dst[n-1] = last
		}
		h1, s1 = h2, s2
	}
	return dst
}
