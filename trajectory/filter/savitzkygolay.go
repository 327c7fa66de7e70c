package filter

import (
	"fmt"
	"math"
)

// SavitzkyGolay smooths by polynomials: each sample becomes the value, or a
// derivative, at its own time of the polynomial that fits the samples around it
// by least squares (Savitzky & Golay 1964). The zero value fits cubics to 7
// samples.
//
// Polynomials up to Degree come through unchanged. Up to its cut-off, which
// [SavitzkyGolay.Cutoff] tells, a filter of degree 3 keeps the same shares of an
// oscillation as [Butterworth.ZeroPhase] with that cut-off, to 0.011, and leaves
// as much of white noise, to 2 per cent. One of degree 5 is flatter: 0.99 in
// place of 0.98 at half the cut-off. What differs is the rest. A sample depends
// on its window alone, so that a jump or a NaN does not reach farther; the
// derivatives are exact for the fitted polynomial; and above the cut-off the
// gain falls in lobes, the first of them turned about: with the defaults an
// oscillation at a third of the sample rate keeps -0.29 of its amplitude.
//
// A filter for the value is the same for an even degree and for the odd one
// above it, except at the ends; so it is for every derivative of even order, and
// for those of odd order with an odd degree and the even one above it.
type SavitzkyGolay struct {
	// Window is the number of samples in a fit, an odd number greater than
	// Degree. Zero means 7.
	Window int
	// Degree of the polynomial, at most 12. Zero means 3; negative means a
	// constant, which is the moving average.
	Degree int
}

// maxPolynomial is the highest degree. There the coefficients still hold 12
// digits; movement needs no higher one.
const maxPolynomial = 12

// stackTaps is the widest window that needs no allocation.
const stackTaps = 63

// setup returns the window and the degree, defaults filled in.
func (f SavitzkyGolay) setup(derivative int) (window, degree int, err error) {
	window, degree = f.Window, f.Degree
	if window == 0 {
		window = 7
	}
	switch {
	case degree == 0:
		degree = 3
	case degree < 0:
		degree = 0
	}
	switch {
	case window < 0 || window%2 == 0:
		return 0, 0, fmt.Errorf("filter: a window of %d samples has no middle one: give an odd number", window)
	case degree > maxPolynomial:
		return 0, 0, fmt.Errorf("filter: degree %d is above %d", degree, maxPolynomial)
	case degree >= window:
		return 0, 0, fmt.Errorf("filter: a polynomial of degree %d needs a window of more than %d samples", degree, window)
	case derivative < 0 || derivative > degree:
		return 0, 0, fmt.Errorf("filter: a polynomial of degree %d has no derivative of order %d to estimate", degree, derivative)
	}
	return window, degree, nil
}

// Coefficients returns the weights of the samples of a window, the earliest
// first, whose sum is the derivative of that order at the middle, per sample
// interval to that power; order 0 is the smoothed value. They are those of
// Savitzky & Golay (1964), as corrected by Steinier, Termonia & Deltour
// (1972), and of scipy.signal.savgol_coeffs with use="dot".
//
// A nil dst allocates; it panics if dst has another length than the window.
// The error says which option is out of range: a window that is even or not
// wider than Degree, a degree above 12, a derivative above Degree.
func (f SavitzkyGolay) Coefficients(dst []float64, derivative int) ([]float64, error) {
	window, degree, err := f.setup(derivative)
	if err != nil {
		return dst, err
	}
	if dst == nil {
		dst = make([]float64, window)
	}
	if len(dst) != window {
		panic("filter: length of dst is not that of the window")
	}
	var middle, at gram
	middle.evaluate(window, degree, derivative, 0)
	for i := range dst {
		at.evaluate(window, degree, 0, float64(i)-float64(window-1)/2)
		var w float64
		for k := range degree + 1 {
			w += weight(k, window) * at.p[k][0] * middle.p[k][derivative]
		}
		dst[i] = w
	}
	return dst, nil
}

// Apply writes the smoothed x, or its derivative of that order in units of x
// per second to that power, to dst and returns it. Half a window at each end
// has no full window around it: there the polynomial through the outermost
// window is evaluated, as by scipy.signal.savgol_filter with mode="interp".
// Noise counts for more there: with the defaults the first sample keeps 0.96 of
// it, and one in the middle 0.58; of derivative 1 the first has 3 times as much.
//
// Special cases are:
//
//   - an x shorter than the window is fitted by one polynomial as a whole, of
//     Degree or of as much as its samples determine: up to Degree+1 samples are
//     returned as they are;
//   - a derivative that needs more samples than there are is NaN, so that of a
//     single sample is;
//   - a NaN or an infinity spoils the samples that use it: half a window to
//     each side, and all of the half window at an end if it lies in the
//     outermost window. They are NaN, or infinite.
//
// sampleHz is the sample rate; order 0 takes no notice of it. dst may be nil or
// x; it panics if dst is of another length than x. Errors are those of
// [SavitzkyGolay.Coefficients], and a sample rate that is not a positive
// number. Nothing is allocated up to a window of 63.
func (f SavitzkyGolay) Apply(dst, x []float64, derivative int, sampleHz float64) ([]float64, error) {
	window, degree, err := f.setup(derivative)
	if err != nil {
		return dst, err
	}
	if derivative > 0 && (!(sampleHz > 0) || math.IsInf(sampleHz, 1)) {
		return dst, fmt.Errorf("filter: sample rate %v Hz is not a positive number", sampleHz)
	}
	dst = destination(dst, len(x))
	n := len(x)
	if n == 0 {
		return dst, nil
	}
	perSecond := 1.0
	for range derivative {
		perSecond *= sampleHz
	}
	if n < window {
		if n <= degree+1 && derivative == 0 {
			copy(dst, x)
			return dst, nil
		}
		var fit polynomial
		fit.to(x, min(degree, n-1))
		for i := range dst {
			dst[i] = fit.derivative(derivative, float64(i)-float64(n-1)/2) * perSecond
		}
		return dst, nil
	}

	var array [2*stackTaps + block]float64
	scratch := array[:]
	if window > stackTaps {
		scratch = make([]float64, 2*window+block)
	}
	taps, scratch := scratch[:window], scratch[window:]
	if _, err := f.Coefficients(taps, derivative); err != nil {
		return dst, err
	}
	for i := range taps {
		taps[i] *= perSecond
	}
	var head, tail polynomial // before dst, which may be x, is written
	head.to(x[:window], degree)
	tail.to(x[n-window:], degree)

	half := window / 2
	convolve(dst[half:n-half], x, taps[half:], derivative%2 == 1, scratch)
	for i := range half {
		at := float64(i - half)
		dst[i] = head.derivative(derivative, at) * perSecond
		dst[n-1-i] = tail.derivative(derivative, -at) * perSecond
	}
	return dst, nil
}

// block is how many samples convolve copies at a time.
const block = 256

// convolve sets dst[i] to the sum over a window of x that begins at i, with the
// weights of its right half, the middle one first; those of the left half are
// the same, or the opposite if odd. scratch has room for a window and a block;
// it holds the samples, as dst may overlap x.
func convolve(dst, x, right []float64, odd bool, scratch []float64) {
	half := len(right) - 1
	sign := 1.0
	if odd {
		sign = -1
	}
	kept := copy(scratch[:2*half], x)
	x = x[kept:]
	for len(dst) > 0 {
		n := min(block, len(dst))
		copy(scratch[2*half:], x[:n])
		i := 0
		for ; i+4 <= n; i += 4 { // four at a time, as each addition waits for the last
			// Pairs from the middle outward; what is one's right neighbour now is the
			// next one's right neighbour after.
			before := scratch[i : i+half+3]
			after := scratch[i+half+1:]
			after = after[:len(before)]
			c := right[0]
			m := scratch[i+half:][:4]
			s0, s1, s2, s3 := c*m[0], c*m[1], c*m[2], c*m[3]
			b1, b2, b3 := m[0], m[1], m[2]
			a0, a1, a2 := m[1], m[2], m[3]
			for j, c := range right[1:] {
				b0 := before[half-1-j]
				a3 := after[j+3]
				s0 += c * (a0 + sign*b0)
				s1 += c * (a1 + sign*b1)
				s2 += c * (a2 + sign*b2)
				s3 += c * (a3 + sign*b3)
				b1, b2, b3 = b0, b1, b2
				a0, a1, a2 = a1, a2, a3
			}
			dst[i], dst[i+1], dst[i+2], dst[i+3] = s0, s1, s2, s3
		}
		for ; i < n; i++ {
			sum := right[0] * scratch[i+half]
			for j := 1; j < len(right); j++ {
				sum += right[j] * (scratch[i+half+j] + sign*scratch[i+half-j])
			}
			dst[i] = sum
		}
		copy(scratch[:2*half], scratch[n:])
		dst, x = dst[n:], x[n:]
	}
}
