package filter

import "math"

// Gain returns the share of the amplitude that [SavitzkyGolay.Apply] keeps, away
// from the ends, of an oscillation at hz in samples taken at sampleHz: of its
// value for derivative 0, and of its derivative of that order above. It is 1 at
// zero, and negative where the oscillation comes out upside down.
//
// Of a cycle of p samples the defaults and [Derivative] keep
//
//	p              24      16      12      10      8       6       4
//	value          0.998   0.990   0.971   0.943   0.872   0.667   0.048
//	derivative 1   0.999   0.995   0.986   0.971   0.934   0.820   0.404
//	derivative 2   0.946   0.883   0.799   0.720   0.591   0.369   0.039
//	Derivative     0.989   0.974   0.955   0.935   0.900   0.827   0.637
//
// The result is NaN where Coefficients returns an error, or for a rate that is
// not positive.
func (f SavitzkyGolay) Gain(derivative int, hz, sampleHz float64) float64 {
	window, _, err := f.setup(derivative)
	if err != nil || !(sampleHz > 0) {
		return math.NaN()
	}
	var array [stackTaps]float64
	taps := array[:]
	if window > stackTaps {
		taps = make([]float64, window)
	}
	taps, _ = f.Coefficients(taps[:window], derivative)
	return response(taps, derivative, 2*math.Pi*hz/sampleHz)
}

// Cutoff returns the frequency in hertz at which a smoothed oscillation keeps
// 1/√2 of its amplitude, so that [LowPass] with that cut-off compares. With the
// defaults it is 0.160 sampleHz; with degree 3 and wide windows about
// 1.06 sampleHz/Window. It is infinite where Window is Degree+1, which smooths
// nothing, and NaN where Coefficients returns an error, or for a rate that is
// not positive.
func (f SavitzkyGolay) Cutoff(sampleHz float64) float64 {
	window, degree, err := f.setup(0)
	if err != nil || !(sampleHz > 0) {
		return math.NaN()
	}
	if degree == window-1 {
		return math.Inf(1)
	}
	taps, _ := f.Coefficients(nil, 0)
	// The gain falls monotonically to its first zero, which is wider than the
	// steps of this search.
	step := math.Pi / float64(8*window)
	low, high := 0.0, step
	for response(taps, 0, high) > math.Sqrt2/2 && high < math.Pi {
		low, high = high, high+step
	}
	for range 60 {
		middle := (low + high) / 2
		if response(taps, 0, middle) > math.Sqrt2/2 {
			low = middle
		} else {
			high = middle
		}
	}
	return low / (2 * math.Pi) * sampleHz
}

// NoiseGain returns the standard deviation of what [SavitzkyGolay.Apply] makes,
// away from the ends, of white noise of standard deviation 1: the root of the
// sum of the squared coefficients, per second to the power of derivative. With
// the defaults it is 0.577 for the smoothed value and 0.512 sampleHz for the
// first derivative, of which [Derivative] makes 0.707 sampleHz. The result is
// NaN where Coefficients returns an error.
func (f SavitzkyGolay) NoiseGain(derivative int, sampleHz float64) float64 {
	taps, err := f.Coefficients(nil, derivative)
	if err != nil {
		return math.NaN()
	}
	var sum float64
	for _, v := range taps {
		sum += v * v
	}
	gain := math.Sqrt(sum)
	for range derivative {
		gain *= sampleHz
	}
	return gain
}

// response returns the share that weights of samples -m to m for a derivative
// keep of an oscillation of w radians per sample.
func response(taps []float64, derivative int, w float64) float64 {
	m := len(taps) / 2
	var sum float64
	for i, c := range taps {
		j := float64(i - m)
		sum += c * math.Pow(j, float64(derivative)) * wave(derivative, j*w)
	}
	return sum
}

// wave returns the power series of cos x or of sin x from the term of x^d on,
// over x^d and beginning with a positive term: 1/d! - x²/(d+2)! + ... The
// weights for a derivative make nothing of the terms before, which would drown
// the others at low frequencies.
func wave(d int, x float64) float64 {
	if math.Abs(x) < 2 {
		term := 1.0
		for k := 2; k <= d; k++ {
			term /= float64(k)
		}
		var sum float64
		for k := d; sum+term != sum; k += 2 {
			sum += term
			term *= -x * x / float64((k+1)*(k+2))
		}
		return sum
	}
	v := math.Cos(x)
	if d%2 == 1 {
		v = math.Sin(x)
	}
	// Take off the terms of x^k for k < d, with v turned about so that the
	// first term left is positive.
	term := 1.0
	for k := range d + 1 {
		if k%2 == d%2 {
			if k > 1 {
				v = -v
			}
			if k < d {
				v -= term
			}
		}
		term *= x / float64(k+1)
	}
	return v / math.Pow(x, float64(d))
}
