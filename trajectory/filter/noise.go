package filter

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// NoiseLevel returns the standard deviation of the measurement noise in x, in
// the unit of x. It takes sixth differences
//
//	d[i] = (x[i] - 6x[i+1] + 15x[i+2] - 20x[i+3] + 15x[i+4] - 6x[i+5] + x[i+6]) / √924
//
// which keep the variance of white noise and all but remove a smooth movement,
// and returns median|d|/Φ⁻¹(3/4), so that single jumps hardly count. Of a long
// x it takes 16381 differences, spread evenly, which leave an error of 1 per
// cent; 500 samples leave 7.
//
// What it assumes is that the noise is white and that the movement is well
// sampled. An oscillation of amplitude A leaks into d with amplitude
// A (2 sin π/p)⁶/√924 at p samples per cycle: 1.2e-4 A at 16, 0.0066 A at 8
// and 0.26 A at 4, so below about 8 samples per cycle the result is too high.
// Smoothing done by the tracker, and held samples, make it too low; coordinates
// rounded to whole pixels put a floor of 0.29 pixels under it while the point
// moves.
//
// Special cases are: fewer than 7 samples, or a NaN or an infinity in x, give
// NaN.
func NoiseLevel(x []float64) float64 { return NoiseLevelIn(nil, x) }

// NoiseLevelIn is [NoiseLevel] with the differences in scratch, which is
// overwritten, and allocated where it is shorter than x.
func NoiseLevelIn(scratch, x []float64) float64 {
	if len(x) < 7 {
		return math.NaN()
	}
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return math.NaN()
		}
	}
	starts := len(x) - 6
	n := min(starts, maxDifferences)
	if len(scratch) < n {
		scratch = make([]float64, n)
	}
	d := scratch[:n]
	for i := range d {
		at := int(int64(i) * int64(starts) / int64(len(d))) // 32 bits would overflow
		w := x[at : at+7]
		d[i] = math.Abs((w[0] + w[6]) - 6*(w[1]+w[5]) + 15*(w[2]+w[4]) - 20*w[3])
	}
	return normalMAD * robust.MedianInPlace(d) / math.Sqrt(924)
}

// maxDifferences bounds the work of NoiseLevel. It is a prime, so that the step
// between differences is no whole number of samples and meets all parts of a
// cycle.
const maxDifferences = 16381
