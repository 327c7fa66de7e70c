package filter_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// What every smoother must do, whatever it is, is tested for all of them at
// once in package trajectory, which sees the resampling too.

// wander returns n samples of an oscillation with noise and a few jumps.
func wander(n int) []float64 {
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	x := make([]float64, n)
	for i := range x {
		x[i] = 5*math.Sin(float64(i)/4) + 0.3*rng.NormFloat64()
		if rng.IntN(20) == 0 {
			x[i] += 40
		}
	}
	return x
}

// A kernel with a destination allocates nothing.
func TestNoAllocation(t *testing.T) {
	x := wander(500)
	dst := make([]float64, len(x))
	flags := make([]bool, len(x))
	times := make([]float64, len(x))
	for i := range times {
		times[i] = float64(i)
	}
	lp, state := lowPass(t, 6, 100), once(t, 10, 100).Start()
	for name, f := range map[string]func(){
		"ZeroPhase":               func() { lp.ZeroPhase(dst, x) },
		"ZeroPhase, in place":     func() { lp.ZeroPhase(dst, dst) },
		"Push":                    func() { dst[0] = state.Push(x[0]) },
		"SavitzkyGolay":           func() { _, _ = filter.SavitzkyGolay{Window: 63, Degree: 12}.Apply(dst, x, 2, 100) },
		"SavitzkyGolay, in place": func() { _, _ = filter.SavitzkyGolay{}.Apply(dst, dst, 0, 0) },
		"SavitzkyGolay, short":    func() { _, _ = filter.SavitzkyGolay{Window: 9}.Apply(dst[:6], x[:6], 1, 100) },
		"Gain":                    func() { dst[0] = filter.SavitzkyGolay{Window: 63}.Gain(1, 6, 100) },
		"Hampel":                  func() { filter.Hampel{HalfWidth: 31}.Apply(dst, flags, x) },
		"Derivative":              func() { filter.Derivative(dst, x, 100) },
		"Gradient":                func() { filter.Gradient(dst, times, x) },
	} {
		if n := testing.AllocsPerRun(20, f); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

// What returns a number has no sample to be missing in.
func TestMissingSamples(t *testing.T) {
	x := wander(60)
	x[30] = math.NaN()
	if got := filter.NoiseLevel(x); !math.IsNaN(got) {
		t.Errorf("NoiseLevel: %v, want NaN", got)
	}
	if _, err := filter.ResidualAnalysis(x, 100, filter.ResidualOptions{}); err == nil {
		t.Error("ResidualAnalysis: no error")
	}
}

func TestLengthPanics(t *testing.T) {
	x, short := make([]float64, 9), make([]float64, 8)
	for name, f := range map[string]func(){
		"ZeroPhase":     func() { filter.Butterworth{}.ZeroPhase(short, x) },
		"Hampel dst":    func() { filter.Hampel{}.Apply(short, nil, x) },
		"Hampel flags":  func() { filter.Hampel{}.Apply(nil, make([]bool, 8), x) },
		"Derivative":    func() { filter.Derivative(short, x, 1) },
		"SavitzkyGolay": func() { _, _ = filter.SavitzkyGolay{}.Apply(short, x, 0, 1) },
		"Coefficients":  func() { _, _ = filter.SavitzkyGolay{}.Coefficients(short, 0) },
		"Gradient":      func() { filter.Gradient(short, x, x) },
		"Gradient t":    func() { filter.Gradient(nil, short, x) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			f()
		}()
	}
}
