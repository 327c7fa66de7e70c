package tempo

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
)

// SpectralOptions are the settings of [Spectral].
type SpectralOptions struct {
	// Low and High bound the rates that are searched. Zero means 1 and 30
	// notes per second. High is never above
	// sampleHz/MinSamplesSpectral.
	Low, High NotesPerSecond
	// Level of the interval. Zero means 0.95, negative means no interval.
	Level float64
}

// MinSamplesSpectral is the fewest samples of a stroke from which a spectrum tells the
// rate: two are the limit of Nyquist and Shannon, with a margin for the width of the
// peak.
const MinSamplesSpectral = 2.2

// Spectral limits.
const (
	minCycles  = 4    // cycles a rate needs
	partCycles = 24   // cycles in each part of a long take
	fewCycles  = 6    // and at least in each part of a short one
	falseAlarm = 1e-3 // probability at which a peak is no longer chance
)

// Spectral returns the rate from the spectrum of position, independent of any
// detection of turns: an estimate to hold beside that of [FromTurns].
//
// Each column is one coordinate of the same point, evenly sampled at sampleHz
// with missing samples as NaN; their powers are added, so that no coordinate
// has to be chosen. The method is:
//
//  1. Columns are averaged down to the band, and differenced: velocity keeps
//     the strokes and lets changes of string and of posture fall away.
//  2. The peak of the velocity spectrum (FFT, Hann window, zero padding, gaps
//     as zeros), smoothed over 0.2 Hz, gives the frequency of the cycle. If
//     half or twice of it is a candidate too, the number of reversals larger
//     than 0.2 of the travel decides between them, in the column that
//     travels furthest.
//  3. The take is cut in parts of 24 cycles (6 in a short take). In each, the
//     Lomb-Scargle periodogram of the known samples, Hann-weighted, is
//     maximised near that frequency. Parts without a peak above chance
//     (probability 0.001) are dropped.
//  4. The rate is twice the mean frequency of the parts, with the interval of
//     [estimate.Mean] over them. N counts the parts.
//
// Under 24 cycles there is one part and no interval: Low and High are NaN and
// Level is 0.
//
// The rate is absent for fewer than 2.2 samples per stroke of Low, fewer than
// 4 cycles of known samples, or if fewer than half of the parts have a peak.
// It panics if the columns differ in length.
func Spectral(columns [][]float64, sampleHz float64, o SpectralOptions) estimate.Value[NotesPerSecond] {
	var w Workspace
	return w.Spectral(columns, sampleHz, o)
}

// Workspace is memory for taking one spectral rate after another, as a program does
// that looks at the last seconds of a stream again and again. Its zero value is ready
// for use. Columns of a length that it has seen allocate nothing.
type Workspace struct{ spectrum spectrum }

// Spectral does what the function [Spectral] does.
func (w *Workspace) Spectral(columns [][]float64, sampleHz float64, o SpectralOptions) estimate.Value[NotesPerSecond] {
	for _, c := range columns {
		if len(c) != len(columns[0]) {
			panic("tempo: lengths of columns differ")
		}
	}
	lo, hi := band(sampleHz, o)
	if !(lo < hi) {
		return fewSamples
	}
	if len(columns) == 0 || len(columns[0]) < 2 {
		return tooShort
	}
	by := max(1, int(sampleHz/(4*hi)))
	p := &w.spectrum
	p.load(columns, by, sampleHz/float64(by))
	if p.seconds*hi < minCycles {
		return tooShort
	}
	f := p.cycle(lo, hi)
	switch {
	case math.IsNaN(f):
		return noPeak
	case p.seconds*f < minCycles:
		return tooShort
	}
	found, parts := p.refine(f, lo, hi)
	if len(found) == 0 || 2*len(found) < parts {
		return noPeak
	}
	n := len(found)
	v := estimate.MeanInPlace(found, o.Level)
	v.Value, v.Low, v.High = perCycle*v.Value, perCycle*v.Low, perCycle*v.High
	if n < 4 {
		v.Low, v.High, v.Level = math.NaN(), math.NaN(), 0
	}
	return estimate.As[NotesPerSecond](v)
}

// Why there is no rate.
var (
	fewSamples = estimate.Missing[NotesPerSecond]("too-few-samples", "spectral rate", "the lowest rate searched has fewer than 2.2 samples per stroke")
	tooShort   = estimate.Missing[NotesPerSecond]("too-short", "spectral rate", "the known samples span fewer than 4 cycles")
	noPeak     = estimate.Missing[NotesPerSecond]("no-peak", "spectral rate", "no frequency stands out of the spectrum")
)

// band returns the cycle frequencies to search.
func band(sampleHz float64, o SpectralOptions) (lo, hi float64) {
	low, high := o.Low, o.High
	if low == 0 {
		low = 1
	}
	if high == 0 {
		high = 30
	}
	return low.Hz(), min(high, NotesPerSecond(sampleHz/MinSamplesSpectral)).Hz()
}

// refine returns the frequencies of the parts that have a peak near f, and how
// many parts there are.
func (p *spectrum) refine(f, lo, hi float64) (found []float64, parts int) {
	n := len(p.velocity[0])
	total := float64(n) / p.hz * f // cycles
	cut := max(1, int(total/max(fewCycles, min(partCycles, total/4))))
	part := &p.part
	found = p.found[:0]
	for k := range p.windows {
		p.windows[k] = hann(p.windows[k], n/cut+k) // lengths of parts differ by one at most
	}
	for k := range cut {
		from, to := k*n/cut, (k+1)*n/cut
		part.load(p.velocity, from, to, p.windows[to-from-n/cut])
		if 4*part.known < to-from {
			continue // mostly a gap: neither for nor against
		}
		parts++
		if peak := part.nearest(f, lo, hi, p.hz); !math.IsNaN(peak) {
			found = append(found, peak)
		}
	}
	p.found = found
	return found, parts
}

// joint fits one frequency to the same part of several columns.
type joint struct {
	fits   []fitter
	alike  bool // the same samples are missing from all
	wave   wave
	n      int
	known  int     // samples in the column that has most
	square float64 // sum of the fits' squares
}

func (j *joint) load(columns [][]float64, from, to int, window []float64) {
	if cap(j.fits) < len(columns) {
		j.fits = make([]fitter, len(columns))
	}
	j.fits = j.fits[:len(columns)]
	j.alike, j.n, j.known, j.square = true, to-from, 0, 0
	for i := range j.fits {
		f := &j.fits[i]
		f.load(columns[i][from:to], window)
		j.known = max(j.known, f.known)
		j.square += f.square
		j.alike = j.alike && f.w.equal(&j.fits[0].w)
	}
}

// power returns the powers of all columns together at a frequency in cycles
// per sample.
func (j *joint) power(frequency float64) (sum float64) {
	j.wave.set(frequency, j.n)
	var m moments
	for i := range j.fits {
		f := &j.fits[i]
		if i == 0 || !j.alike {
			m = f.moments(&j.wave)
		}
		if f.square > 0 {
			sum += f.power(&j.wave, m)
		}
	}
	return sum
}

// nearest returns the frequency near f, in Hz, at which the power is largest,
// NaN if that is at the edge of the range or no more than chance would give.
func (j *joint) nearest(f, lo, hi, hz float64) float64 {
	power := func(at float64) float64 { return j.power(at / hz) }
	step := 0.7 * hz / float64(j.n)
	first := max(f/1.25, lo/1.1)
	count := int((min(1.25*f, 1.1*hi)-first)/step) + 1
	best, at := -1.0, -1
	for i := range count {
		if v := power(first + float64(i)*step); v > best {
			best, at = v, i
		}
	}
	if at <= 0 || at == count-1 {
		return math.NaN()
	}
	peak := first + float64(at)*step
	for range 3 { // vertex of the parabola through three points, ever closer
		below, above := power(peak-step), power(peak+step)
		if bend := below - 2*best + above; bend < 0 {
			peak += step * max(-1, min(1, 0.5*(below-above)/bend))
			best = power(peak)
		}
		step /= 6
	}
	// A share z of the variance of n samples is exceeded by chance at one of
	// count frequencies with probability count (1-z)^((n-3)/2) at most. The
	// Hann weights leave two thirds of the samples. What belongs to the second
	// harmonic is no noise.
	square := j.square
	if 4*peak < hz {
		square -= power(2 * peak)
	}
	free := max(0, (2*float64(j.known)/3-3)/2)
	if float64(count)*math.Pow(1-min(1, best/square), free) > falseAlarm {
		return math.NaN()
	}
	return peak
}

// hann returns n weights that are 0 just outside its ends, in the memory of w.
func hann(w []float64, n int) []float64 {
	w = slices.Grow(w[:0], n)[:n]
	for i := range (n + 1) / 2 {
		s := math.Sin(math.Pi * (float64(i) + 0.5) / float64(n))
		w[i], w[n-1-i] = s*s, s*s
	}
	return w
}
