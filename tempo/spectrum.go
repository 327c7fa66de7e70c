package tempo

import (
	"math"
	"math/bits"
	"math/cmplx"
	"slices"

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

	// What is worked out of them, and memory for it.
	means, padded, window, sum, smooth, ranges, found []float64
	total                                             []float64 // power
	coeff                                             []complex128
	fft                                               *fourier.FFT
	part                                              joint
	windows                                           [2][]float64
}

// load takes columns averaged over groups of by samples.
func (p *spectrum) load(columns [][]float64, by int, hz float64) {
	n := len(columns[0]) / by
	p.hz, p.seconds, p.position = hz, 0, p.position[:0]
	p.means = slices.Grow(p.means[:0], n*len(columns))
	for len(p.velocity) < len(columns) {
		p.velocity = append(p.velocity, nil)
	}
	p.velocity = p.velocity[:len(columns)]
	for i, c := range columns {
		y := c
		if by > 1 {
			p.means = appendMeans(p.means, c, by)
			y = p.means[i*n:]
		}
		var known int
		p.velocity[i], known = steps(p.velocity[i], y)
		p.position = append(p.position, y)
		p.seconds = max(p.seconds, float64(known)/hz)
	}
}

// steps returns the differences of y, in the memory of v, and how many of them are
// known. A gap of one or two samples is bridged: the steps over it are shared evenly.
func steps(v, y []float64) (_ []float64, known int) {
	n := max(0, len(y)-1)
	v = slices.Grow(v[:0], n)[:n]
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

// appendMeans appends to dst the means of y over groups of by samples, NaN where fewer
// than half of a group are known. A last group that is not full is left out.
func appendMeans(dst, y []float64, by int) []float64 {
	for i := range len(y) / by {
		var sum float64
		known := 0
		for _, v := range y[i*by : (i+1)*by] {
			if !math.IsNaN(v) {
				sum += v
				known++
			}
		}
		mean := math.NaN()
		if 2*known >= by {
			mean = sum / float64(known)
		}
		dst = append(dst, mean)
	}
	return dst
}

// cycle returns the frequency, in Hz, of the down-up cycle within lo and hi,
// NaN if there is no power at all.
func (p *spectrum) cycle(lo, hi float64) float64 {
	power, bin := p.power()
	half := int(0.1 / bin)
	p.smooth, p.sum = smoothed(p.smooth, p.sum, power, half)
	smooth := p.smooth
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
	var array [2]float64
	others := array[:0]
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
	if p.fft == nil || p.fft.Len() != size {
		p.fft = fourier.NewFFT(size)
	}
	p.padded = slices.Grow(p.padded[:0], size)[:size]
	p.coeff = slices.Grow(p.coeff[:0], size/2+1)[:size/2+1]
	p.total = slices.Grow(p.total[:0], size/2+1)[:size/2+1]
	p.window = hann(p.window, n)
	padded, window := p.padded, p.window
	clear(padded)
	power = p.total
	clear(power)
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
		for k, z := range p.fft.Coefficients(p.coeff, padded) {
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

// smoothed returns the mean of power over 2·half+1 bins, fewer at the ends, and its
// sums up to each bin, in the memory of out and sum.
func smoothed(out, sum, power []float64, half int) (_, _ []float64) {
	n := len(power)
	out, sum = slices.Grow(out[:0], n)[:n], slices.Grow(sum[:0], n+1)[:n+1]
	sum[0] = 0
	for i, v := range power {
		sum[i+1] = sum[i] + v
	}
	for i := range out {
		a, b := max(0, i-half), min(len(power), i+half+1)
		out[i] = (sum[b] - sum[a]) / float64(b-a)
	}
	return out, sum
}
