package series

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Spec says what a series is made of. The zero value of a field leaves that
// part out, so that Spec{} makes independent standard normal values.
type Spec struct {
	// Phi is the lag-1 autocorrelation of the first-order autoregression
	// underneath, which has mean 0 and variance 1 and starts in its stationary
	// law. It lies in (-1, 1).
	Phi float64
	// Cube raises its values to the third power, over √15, which keeps the
	// variance at 1 and makes long tails (kurtosis 46).
	Cube bool
	// Alternate is the mean of the values 0, 2, 4, ... less that of the values
	// 1, 3, 5, ...: downstrokes against upstrokes.
	Alternate float64
	// Drift is by how much the mean rises, evenly, from the first value to the
	// last.
	Drift float64
	// Spans switches between settled and searching spans.
	Spans Spans
	// Noise is the standard deviation of independent normal noise added last.
	Noise float64
}

// Spans are the settled and searching spans of a series. Their lengths are
// geometric, so that the series is stationary.
type Spans struct {
	// Settled and Searching are the mean lengths, in values. No spans if either
	// is below 1.
	Settled, Searching float64
	// Level is the standard deviation of the level that each span has of its
	// own.
	Level float64
	// Scatter is what a searching span multiplies the values by. Zero means 1.
	Scatter float64
}

// Make returns n values. The same seed gives the same ones.
func (s Spec) Make(n int, seed uint64) []float64 {
	return s.Draw(n, estimate.Stream(seed, "made series"))
}

// Draw returns n values made with numbers from rng.
func (s Spec) Draw(n int, rng *rand.Rand) []float64 {
	x := make([]float64, n)
	v, step := rng.NormFloat64(), math.Sqrt(1-s.Phi*s.Phi)
	for i := range x {
		x[i] = v
		if s.Cube {
			x[i] *= v * v / math.Sqrt(15)
		}
		v = s.Phi*v + step*rng.NormFloat64()
	}
	s.Spans.apply(x, rng)
	for i := range x {
		x[i] += s.Alternate * (0.5 - float64(i%2))
		if n > 1 {
			x[i] += s.Drift * (float64(i)/float64(n-1) - 0.5)
		}
		if s.Noise > 0 {
			x[i] += s.Noise * rng.NormFloat64()
		}
	}
	return x
}

// apply turns values into those of spans.
func (s Spans) apply(x []float64, rng *rand.Rand) {
	if s.Settled < 1 || s.Searching < 1 {
		return
	}
	scatter := s.Scatter
	if scatter == 0 {
		scatter = 1
	}
	searching := rng.Float64() < s.Searching/(s.Settled+s.Searching)
	level := s.Level * rng.NormFloat64()
	for i := range x {
		if searching {
			x[i] *= scatter
		}
		x[i] += level
		mean := s.Settled
		if searching {
			mean = s.Searching
		}
		if rng.Float64() < 1/mean {
			searching = !searching
			level = s.Level * rng.NormFloat64()
		}
	}
}

// String names the parts, for tables.
func (s Spec) String() string {
	parts := []string{fmt.Sprintf("AR %g", s.Phi)}
	add := func(on bool, format string, a ...any) {
		if on {
			parts = append(parts, fmt.Sprintf(format, a...))
		}
	}
	add(s.Cube, "cubed")
	add(s.Alternate != 0, "down/up %g", s.Alternate)
	add(s.Drift != 0, "drift %g", s.Drift)
	add(s.Spans.Settled >= 1 && s.Spans.Searching >= 1, "spans %g/%g level %g scatter %g",
		s.Spans.Settled, s.Spans.Searching, s.Spans.Level, s.Spans.Scatter)
	add(s.Noise > 0, "noise %g", s.Noise)
	return strings.Join(parts, ", ")
}

// Times returns n times in seconds, evenly spaced from 0.
func Times(n int, step float64) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = float64(i) * step
	}
	return t
}
