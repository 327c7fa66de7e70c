package tempo

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"
)

// A surrogate makes series that have the power of another at every frequency
// but are put together anew, as those of Theiler et al. (1992): so they have
// its scatter and its memory, as they came out in this take. Here each cosine
// component keeps its size and gets a sign by chance. For a stationary normal
// series the components are independent and their signs even, so that the
// series itself is no different from its surrogates.
//
// The transform is of a length without large factors, at most a twelfth
// shorter than the series, which would take long otherwise; a surrogate goes on
// beyond as its own mirror image, as the cosines do.
type surrogate struct {
	c     []float64
	low   float64 // sd of the lowest component
	fft   *fourier.FFT
	turn  []complex128
	coeff []complex128
	sign  []float64 // components of one draw
	v     []float64
}

// newSurrogate takes strokes about their line. The line took the lowest
// component with it: it is drawn with the power that a [player] of such strokes
// gives it.
func newSurrogate(y []float64) *surrogate {
	c := cosines(y)
	n := len(c)
	s := &surrogate{
		c: c, low: math.Sqrt(playerOf(c, 2, clocks).low()),
		fft: fourier.NewFFT(n), turn: make([]complex128, n/2+1), coeff: make([]complex128, n/2+1),
		sign: make([]float64, n+1), v: make([]float64, n),
	}
	for j := range s.turn {
		s.turn[j] = cmplx.Rect(1/math.Sqrt(2*float64(n)), math.Pi*float64(j)/float64(2*n))
	}
	return s
}

// draw fills d with a surrogate, by a cosine transform (type III) through one
// half as long as that of [cosines] (Makhoul 1980).
func (s *surrogate) draw(d []float64, rng *rand.Rand) {
	n := len(s.v)
	var bits uint64
	for j := 1; j < n; j++ {
		if j%64 == 1 {
			bits = rng.Uint64()
		}
		s.sign[j] = s.c[j]
		if bits&1 == 1 {
			s.sign[j] = -s.c[j]
		}
		bits >>= 1
	}
	s.sign[1] = s.low * rng.NormFloat64()
	for j := range s.coeff {
		s.coeff[j] = s.turn[j] * complex(s.sign[j], -s.sign[n-j])
	}
	s.fft.Sequence(s.v, s.coeff)
	for i := range d {
		at := i
		if i >= n {
			at = 2*n - 1 - i
		}
		if at%2 == 0 {
			d[i] = s.v[at/2]
		} else {
			d[i] = s.v[n-1-at/2]
		}
	}
}
