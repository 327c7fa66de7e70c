package cycle

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/combin"

	"github.com/plectrace/plectrace/variability/estimate"
)

// evenness fills in how far single cycles lie off the mean cycle. The squared
// distance of the samples from it holds four things: what the cycles do, the
// noise of the samples, the error of the turns' times, and less than it should
// of the first, because mean cycle and slow centre follow the samples. The
// noise is measured on what is left, where the motion no longer hides it; the
// rest is worked out.
func (c *Cycle) evenness(f *fitter, turnNoise, sampleNoise float64) {
	n := len(f.laps)
	z := make([]float64, 2*f.normal.order)
	energy := make([]float64, n)
	var left [3][]float64
	for _, a := range f.axes {
		left[a] = make([]float64, len(f.t))
		for k := range left[a] {
			left[a][k] = math.NaN() // in no lap
		}
	}
	var bins [phases]vec
	in := f.density()
	all := 0.0
	for i, l := range f.laps {
		for k := l.lo; k < l.hi; k++ {
			// In-sample residuals are too small by as much as those of the mean
			// cycle of the other laps are too large.
			x := f.residual(z, k)
			y := f.without(x, z, i)
			b := bin(f.phase[k])
			// Phases that are seen less often count as much as the others.
			w := math.Min(1/in[b], mostWeight)
			all += w
			energy[i] += w * (x.dot(x) + y.dot(y)) / 2
			for _, a := range f.axes {
				left[a][k] = x[a]
				bins[b][a] += (x[a]*x[a] + y[a]*y[a]) / 2
			}
		}
	}
	for i := range energy {
		energy[i] *= float64(n) / all
	}

	// The noise, axis by axis.
	var noise vec // variances
	noiseError := 0.0
	known := true
	for _, a := range f.axes {
		v, m := f.white(left[a])
		if m < leastDifferences {
			v, m = sampleNoise*sampleNoise, leastDifferences
		}
		known = known && v == v
		noise[a] = v
		noiseError += 2 * v * v * differencesAlike / float64(m)
	}
	sum := noise[0] + noise[1] + noise[2]
	c.Noise = math.Sqrt(sum / float64(len(f.axes)))
	if !known {
		c.Noise = math.NaN()
		c.Evenness = estimate.Missing[float64]("noise", "evenness", "the runs of samples are too short to tell noise from motion")
		for b := range c.spread {
			c.spread[b] = vec{math.NaN(), math.NaN(), math.NaN()}
		}
		return
	}

	// What the slow centre takes of the scatter of the centres.
	var taken vec
	if f.kept > 0 {
		for _, a := range f.axes {
			for i, e := range f.off[a] {
				e *= e * (1/f.kept - 1)
				energy[i] += e
				taken[a] += e / float64(n)
			}
		}
	}
	// What the error of a turn's time does to the strokes on both sides of it.
	jitter, moved := f.jitter(turnNoise)

	v := estimate.Mean(energy, 0)
	square := v.Value - sum - moved
	// A mean square scatters in proportion to itself.
	ratio := math.Exp(math.Min((v.High-v.Low)/2/v.Value, 2))
	doubt := student(max(n-1, 1)) * math.Sqrt(noiseError)
	low := math.Sqrt(math.Max(0, square-math.Hypot(v.Value-v.Value/ratio, doubt)))
	high := math.Sqrt(math.Max(0, square+math.Hypot(v.Value*ratio-v.Value, doubt)))
	if square > 0 {
		c.Evenness = estimate.Value[float64]{Value: math.Sqrt(square), Low: low, High: high, Level: 0.95, N: n}
	} else {
		c.Evenness = estimate.Missing[float64]("noise", "evenness", fmt.Sprintf(
			"the noise of the samples (%.2g %s) hides it; it is at most %.2g %[2]s", c.Noise, c.Unit, high))
	}
	for b := range c.spread {
		var s vec
		m := 3 * in[b] * float64(c.Samples) / phases
		for d := -1; d <= 1; d++ {
			k := (b + d + phases) % phases
			for a := range s {
				s[a] += bins[k][a]
			}
		}
		for a := range s {
			s[a] = s[a]/m - noise[a] - jitter[b][a] + taken[a]
			if !(s[a] >= 0) {
				s[a] = math.NaN()
			}
		}
		c.spread[b] = s
	}
}

// mostWeight bounds how much a sample at a phase that is seldom seen counts.
const mostWeight = 10

// density returns how many samples lie about every phase, as a multiple of the
// mean over the phases.
func (f *fitter) density() (d [phases]float64) {
	n := 0.0
	var in [phases]float64
	for _, l := range f.laps {
		for _, ph := range f.phase[l.lo:l.hi] {
			in[bin(ph)]++
			n++
		}
	}
	for b := range d {
		d[b] = (in[(b+phases-1)%phases] + in[b] + in[(b+1)%phases]) / 3 * phases / n
	}
	return d
}

// jitter returns the variance that turns whose times have the standard error
// se give the path at every phase, and the mean of its sum over the axes: the
// squared speed times that of the time, which between two turns is
// ((1-u)² + u²) se².
func (f *fitter) jitter(se float64) (at [phases]vec, mean float64) {
	c := f.curve()
	for b := range at {
		ph := (float64(b) + 0.5) / phases
		u := ph / f.share
		if ph >= f.share {
			u = (ph - f.share) / (1 - f.share)
		}
		_, dx, _ := c.at(ph)
		for a, v := range dx {
			v *= se / f.cycle
			at[b][a] = v * v * ((1-u)*(1-u) + u*u)
			mean += at[b][a] / phases
		}
	}
	return at, mean
}

const (
	// leastDifferences is the number of differences that a noise is worth
	// something by.
	leastDifferences = 40
	// differencesAlike is by how much neighbouring differences, which share
	// samples, add to the variance of their mean square: Σρ² over all lags,
	// 3.2 for the sixth differences.
	differencesAlike = 3.2
)

// white returns the variance of white noise in what is left of one column, by
// differences between neighbouring samples: of the sixth order, or of the
// highest from the third up for which there are enough (Gasser et al. 1986).
// Also the number of differences.
func (f *fitter) white(x []float64) (variance float64, n int) {
	step := f.cycle / float64(max(f.samplesPerLap(), 1))
	for order := 6; order >= 3; order-- {
		var w [7]float64
		for j := range order + 1 {
			w[j] = float64(combin.Binomial(order, j))
			if j%2 == 1 {
				w[j] = -w[j]
			}
		}
		sum := 0.0
		n = 0
		for k := 0; k+order < len(x); k++ {
			if f.at[k+order]-f.at[k] != order || f.t[k+order]-f.t[k] > 1.5*float64(order)*step {
				continue
			}
			d := 0.0
			for j, v := range w[:order+1] {
				d += v * x[k+j]
			}
			if d == d {
				sum += d * d
				n++
			}
		}
		if n >= leastDifferences {
			return sum / float64(n) / float64(combin.Binomial(2*order, order)), n
		}
	}
	return math.NaN(), 0
}
