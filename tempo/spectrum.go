package tempo

import (
	"math"
	"math/bits"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

// spectrum holds columns averaged down to hz samples per second, their
// velocity (per sample, over gaps of one or two samples too) and how many seconds
// of that are known.
type spectrum struct {
	hz       float64
	position [][]float64
	velocity [][]float64
	seconds  float64
}

func newSpectrum(columns [][]float64, by int, hz float64) *spectrum {
	p := &spectrum{hz: hz}
	for _, c := range columns {
		y := averaged(c, by)
		v, known := steps(y)
		p.position = append(p.position, y)
		p.velocity = append(p.velocity, v)
		p.seconds = max(p.seconds, float64(known)/hz)
	}
	return p
}

// steps returns the differences of y and how many of them are known. A gap of
// one or two samples is bridged: the steps over it are shared evenly.
func steps(y []float64) (v []float64, known int) {
	v = make([]float64, max(0, len(y)-1))
	last := -1 // last known sample
	for i, now := range y {
		if i > 0 {
			v[i-1] = math.NaN()
		}
		if math.IsNaN(now) {
			continue
		}
		if n := i - last; last >= 0 && n <= 3 {
			step := (now - y[last]) / float64(n)
			for k := last; k < i; k++ {
				v[k] = step
			}
			known += n
		}
		last = i
	}
	return v, known
}

// averaged returns the means of y over groups of by samples, NaN where fewer
// than half of a group are known. A last group that is not full is left out.
func averaged(y []float64, by int) []float64 {
	if by == 1 {
		return y
	}
	out := make([]float64, len(y)/by)
	for i := range out {
		var sum float64
		known := 0
		for _, v := range y[i*by : (i+1)*by] {
			if !math.IsNaN(v) {
				sum += v
				known++
			}
		}
		out[i] = math.NaN()
		if 2*known >= by {
			out[i] = sum / float64(known)
		}
	}
	return out
}

// cycle returns the frequency, in Hz, of the down-up cycle within lo and hi,
// NaN if there is no power at all.
func (p *spectrum) cycle(lo, hi float64) float64 {
	power, bin := p.power()
	half := int(0.1 / bin)
	smooth := smoothed(power, half)
	peak := func(from, to float64) int {
		first, last := max(1, int(math.Ceil(from/bin))), min(len(smooth)-1, int(to/bin))
		best := first
		for k := first; k <= last; k++ {
			if smooth[k] > smooth[best] {
				best = k
			}
		}
		return best
	}
	k := peak(lo, hi)
	if k >= len(smooth) || !(smooth[k] > 0) {
		return math.NaN()
	}
	f := float64(k) * bin
	best := f
	// The power of position is that of velocity over the frequency squared:
	// half the frequency counts with 4 times its power. A candidate has a
	// third of the amplitude or more.
	var others []float64
	near := 0.15 * f
	if at := float64(peak((f-near)/2, (f+near)/2)) * bin; f/2 >= lo && 4*smooth[int(at/bin+0.5)] > 0.1*smooth[k] {
		others = append(others, at)
	}
	if at := float64(peak(2*(f-near), 2*(f+near))) * bin; 2*f <= hi && smooth[int(at/bin+0.5)] > 0.1*smooth[k] {
		others = append(others, at)
	}
	if len(others) == 0 {
		return f
	}
	counted := p.reversals(int(math.Ceil(2*p.hz/f))) * p.hz / perCycle
	for _, other := range others {
		if math.Abs(math.Log(other/counted)) < math.Abs(math.Log(best/counted)) {
			best = other
		}
	}
	return best
}

// power returns the power spectrum of velocity, added over the columns, and
// the width of its bins in Hz.
func (p *spectrum) power() (power []float64, bin float64) {
	n := len(p.velocity[0])
	size := transformSize(n)
	fft := fourier.NewFFT(size)
	padded := make([]float64, size)
	coeff := make([]complex128, size/2+1)
	power = make([]float64, size/2+1)
	window := hann(n)
	for _, v := range p.velocity {
		var sum float64
		known := 0
		for _, x := range v {
			if !math.IsNaN(x) {
				sum += x
				known++
			}
		}
		mean := sum / float64(max(1, known))
		for i, x := range v {
			padded[i] = 0
			if !math.IsNaN(x) {
				padded[i] = (x - mean) * window[i]
			}
		}
		for k, z := range fft.Coefficients(coeff, padded) {
			power[k] += real(z * cmplx.Conj(z))
		}
	}
	return power, p.hz / float64(size)
}

// transformSize returns the number of samples to pad n to: a quick length for
// the FFT, at least 4n in a short take, whose bins would be wide otherwise.
func transformSize(n int) int {
	size := 1 << bits.Len(uint(n))
	if size < 1<<13 {
		return 4 * size
	}
	for _, parts := range [...]int{9, 10, 12, 15} { // products of 2, 3 and 5
		if n <= size/16*parts {
			return size / 16 * parts
		}
	}
	return size
}

// smoothed returns the mean of power over 2·half+1 bins, fewer at the ends.
func smoothed(power []float64, half int) []float64 {
	sum := make([]float64, len(power)+1)
	for i, v := range power {
		sum[i+1] = sum[i] + v
	}
	out := make([]float64, len(power))
	for i := range out {
		a, b := max(0, i-half), min(len(power), i+half+1)
		out[i] = (sum[b] - sum[a]) / float64(b-a)
	}
	return out
}
