package cycle

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// SpectralOptions are those of SpectralArcLength. The zero value is the
// published default of every field.
type SpectralOptions struct {
	// Padding lengthens the speed with zeros to 2^Padding times the next power
	// of two. Zero means 4; negative means none.
	Padding int `json:"padding,omitempty"`
	// CutoffHz is the highest frequency looked at. Zero means 10.
	CutoffHz float64 `json:"cutoff_hz,omitempty"`
	// Threshold is the share of the spectrum's peak below which its ends are
	// cut. Zero means 0.05; negative means none.
	Threshold float64 `json:"threshold,omitempty"`
}

func (o SpectralOptions) withDefaults() SpectralOptions {
	if o.Padding == 0 {
		o.Padding = 4
	}
	if o.CutoffHz == 0 {
		o.CutoffHz = 10
	}
	if o.Threshold == 0 {
		o.Threshold = 0.05
	}
	o.Padding, o.Threshold = max(o.Padding, 0), math.Max(o.Threshold, 0)
	return o
}

// SpectralArcLength returns the spectral arc length of a speed profile sampled
// sampleHz times a second (Balasubramanian et al. 2015):
//
//	-Σ √((Δf/(f₁-f₀))² + ΔM²)
//
// over the bins of the amplitude spectrum M, which is divided by its maximum,
// from the first to the last f up to the cut-off at which M reaches the
// threshold. It is negative, nearer zero for a smoother movement: -1.41 for a
// single minimum-jerk movement.
//
// The speed is that of one movement from rest to rest. Speeds up to half of
// sampleHz are looked at, whatever the cut-off. Special cases are: NaN for
// fewer than two samples, a speed that is zero throughout, NaN or infinity
// anywhere, and when less than two bins are left.
func SpectralArcLength(speed []float64, sampleHz float64, o SpectralOptions) float64 {
	var s spectrum
	return s.arcLength(speed, sampleHz, o.withDefaults())
}

// spectrum is room for spectral arc lengths one after another.
type spectrum struct {
	fft    *fourier.FFT
	padded []float64
	c      []complex128
	m      []float64
}

func (s *spectrum) arcLength(speed []float64, sampleHz float64, o SpectralOptions) float64 {
	n := len(speed)
	if n < 2 || !(sampleHz > 0) || o.Padding > 10 {
		return math.NaN()
	}
	size := 1
	for size < n {
		size *= 2
	}
	size <<= o.Padding
	if s.fft == nil || s.fft.Len() != size {
		*s = spectrum{fourier.NewFFT(size), make([]float64, size), make([]complex128, size/2+1), make([]float64, size/2+1)}
	}
	clear(s.padded[copy(s.padded, speed):])
	m := s.m
	peak := 0.0
	for i, v := range s.fft.Coefficients(s.c, s.padded) {
		m[i] = math.Hypot(real(v), imag(v))
		peak = math.Max(peak, m[i]) // NaN stays
	}
	if !(peak > 0) || math.IsInf(peak, 1) {
		return math.NaN()
	}
	step := sampleHz / float64(size)
	first, last := -1, -1
	for i := range m {
		m[i] /= peak
		if float64(i)*step <= o.CutoffHz && m[i] >= o.Threshold {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if last <= first {
		return math.NaN()
	}
	df := 1 / float64(last-first)
	length := 0.0
	for i := first; i < last; i++ {
		length += math.Hypot(df, m[i+1]-m[i])
	}
	return -length
}

// LogDimensionlessJerk returns the log dimensionless jerk of a movement whose
// velocity was sampled sampleHz times a second, one column for each axis
// (Balasubramanian et al. 2015):
//
//	-ln (T³/v² ∫ |d²velocity/dt²|² dt)
//
// with v the peak speed and T the duration, n/sampleHz as in the authors' own
// code. It is nearer zero for a smoother movement: -5.32 for a single
// minimum-jerk movement, at many samples. One column may be the speed of a
// movement that goes one way. That of a movement back and forth has a kink at
// every turn, whose jerk grows with the sample rate: take its velocity. The
// velocity is smoothed: of raw data the index measures the noise.
//
// Special cases are: NaN for no column, fewer than three samples, a velocity
// that is zero or changes evenly throughout, and for NaN or infinity anywhere.
// It panics if the columns differ in length.
func LogDimensionlessJerk(velocity [][]float64, sampleHz float64) float64 {
	if len(velocity) == 0 || len(velocity[0]) < 3 || !(sampleHz > 0) {
		return math.NaN()
	}
	n := len(velocity[0])
	for _, c := range velocity {
		if len(c) != n {
			panic("cycle: velocity columns differ in length")
		}
	}
	peak := 0.0
	for i := range n {
		square := 0.0
		for _, c := range velocity {
			square += c[i] * c[i]
		}
		peak = math.Max(peak, square)
	}
	// (n/fs)³ / v² Σ (d fs²)² / fs
	j := float64(n) * float64(n) * float64(n) * squaredJerk(velocity) / peak
	if !(j > 0) || math.IsInf(j, 1) {
		return math.NaN()
	}
	return -math.Log(j)
}

// squaredJerk returns the sum of the squares of the second differences of all
// columns.
func squaredJerk(velocity [][]float64) float64 {
	sum := 0.0
	for _, c := range velocity {
		for i := 2; i < len(c); i++ {
			d := c[i] - 2*c[i-1] + c[i-2]
			sum += d * d
		}
	}
	return sum
}
