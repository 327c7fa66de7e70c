package filter

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// ErrUndecided is the error of [ResidualAnalysis] when the residuals do not
// show where the movement ends and the noise begins.
var ErrUndecided = errors.New("filter: no cut-off can be read off the residuals")

// ResidualOptions says which cut-offs [ResidualAnalysis] tries. Its zero value
// means the defaults, which for 100 to 200 samples per second are 1, 2, ...
// 40 Hz and the straight part from 20 to 40 Hz.
type ResidualOptions struct {
	// Step is the distance of the cut-offs tried, in hertz, and the lowest of
	// them. Zero means Max/40.
	Step float64
	// Max is the highest cut-off tried, in hertz. Zero means 40 Hz or a fifth
	// of the sample rate, whichever is higher, but at most two fifths of it:
	// above, the residual of white noise is no longer straight.
	Max float64
	// TailFrom is where the residual begins to hold noise alone, in hertz; the
	// line is fitted from there to Max. Zero means Max/2.
	TailFrom float64
}

// Residuals is the result of [ResidualAnalysis].
type Residuals struct {
	// Cutoff is the chosen cut-off in hertz, for LowPass.
	Cutoff float64
	// NoiseRMS is the residual at Cutoff, in the unit of x: where the line
	// through the tail meets zero hertz, an estimate of the noise.
	NoiseRMS float64
	// Slope is the slope of that line, in the unit of x per hertz.
	Slope float64
	// Hz are the cut-offs tried and RMS the residuals left by them.
	Hz, RMS []float64
	// Options are the options used, defaults filled in.
	Options ResidualOptions
}

// straight is how far, as a share of the intercept, the tail may leave its
// line. White noise stays within 0.01; a movement that reaches into the tail
// bends it.
const straight = 0.05

// visible is the residual at the lowest cut-off, as a multiple of the noise,
// from which on there is a movement to be kept.
const visible = 1.5

// ResidualAnalysis chooses a cut-off for [LowPass] from the data. It filters x
// with a range of cut-offs and takes the root mean square of what each removes.
// Noise alone leaves a straight line that falls gently with the cut-off;
// movement rises steeply above it at low cut-offs. The line is fitted to the
// upper part and extended to zero hertz, and the cut-off is where the residual
// has come down to that height: there, what is lost of the movement about
// equals what remains of the noise (Winter 2009, 3.4.4.3).
//
// x is gap free and taken at sampleHz. A few seconds of it will do: the time
// is that of 40 zero-phase passes.
//
// The tail of white noise is nearly but not quite straight: NoiseRMS comes out
// up to 4 per cent low. A harmonic of the movement that lies within the tail may
// leave it straight and pass for noise; NoiseRMS is then well above
// [NoiseLevel].
//
// The error is [ErrUndecided], wrapped, when the tail is not straight, as when
// the movement reaches into it or there is no noise; when the residual is within
// half of the noise at its first cut-off, as in noise alone; and when it comes
// down only inside the tail. The curve is then still returned, with a Cutoff
// and NoiseRMS of NaN. Other errors: options out of order, fewer than 40
// samples, or a residual that is not finite.
func ResidualAnalysis(x []float64, sampleHz float64, o ResidualOptions) (Residuals, error) {
	if o.Max == 0 {
		o.Max = min(max(40, sampleHz/5), sampleHz*2/5)
	}
	if o.Step == 0 {
		o.Step = o.Max / 40
	}
	if o.TailFrom == 0 {
		o.TailFrom = o.Max / 2
	}
	r := Residuals{Cutoff: math.NaN(), NoiseRMS: math.NaN(), Slope: math.NaN(), Options: o}
	if !(o.Step > 0 && o.Step < o.TailFrom && o.TailFrom < o.Max && o.Max < sampleHz/2) {
		return r, fmt.Errorf("filter: residual analysis needs 0 < step (%v) < tail (%v) < max (%v) < half the sample rate (%v), in Hz", o.Step, o.TailFrom, o.Max, sampleHz/2)
	}
	if len(x) < 40 {
		return r, fmt.Errorf("filter: residual analysis of %d samples, needs 40", len(x))
	}

	n := int(math.Floor(o.Max/o.Step + 1e-9))
	r.Hz, r.RMS = make([]float64, n), make([]float64, n)
	y := make([]float64, len(x))
	tail := n
	for i := range n {
		r.Hz[i] = float64(i+1) * o.Step
		f, err := LowPass(r.Hz[i], sampleHz)
		if err != nil {
			return r, err
		}
		f.ZeroPhase(y, x)
		r.RMS[i] = floats.Distance(x, y, 2) / math.Sqrt(float64(len(x)))
		if math.IsNaN(r.RMS[i]) || math.IsInf(r.RMS[i], 0) {
			return r, errors.New("filter: residual analysis of samples that are not finite")
		}
		if tail == n && r.Hz[i] >= o.TailFrom*(1-1e-9) {
			tail = i
		}
	}
	if n-tail < 3 {
		return r, fmt.Errorf("filter: %d cut-offs in the tail of the residuals, needs 3", n-tail)
	}

	height, slope := stat.LinearRegression(r.Hz[tail:], r.RMS[tail:], nil, false)
	r.Slope = slope
	var off float64
	for i := tail; i < n; i++ {
		off = max(off, math.Abs(r.RMS[i]-height-slope*r.Hz[i]))
	}
	switch {
	case !(off <= straight*height):
		return r, fmt.Errorf("%w: from %v to %v Hz they leave a straight line by %.2g of its height, more than %v; the movement reaches that far, or there is no noise", ErrUndecided, o.TailFrom, o.Max, off/height, straight)
	case r.RMS[0] <= visible*height:
		return r, fmt.Errorf("%w: at %v Hz they are down at the noise already", ErrUndecided, r.Hz[0])
	}
	i := 1
	for i < tail && r.RMS[i] > height {
		i++
	}
	if i == tail {
		return r, fmt.Errorf("%w: below %v Hz they do not come down to the noise", ErrUndecided, o.TailFrom)
	}
	share := (r.RMS[i-1] - height) / (r.RMS[i-1] - r.RMS[i])
	r.Cutoff = r.Hz[i-1] + share*(r.Hz[i]-r.Hz[i-1])
	r.NoiseRMS = height
	return r, nil
}
