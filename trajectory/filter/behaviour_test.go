package filter_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// smoothers are all ways in which the package turns samples into cleaner
// samples.
func smoothers(t testing.TB) map[string]func(dst, x []float64) []float64 {
	hampel := func(h filter.Hampel) func(dst, x []float64) []float64 {
		return func(dst, x []float64) []float64 {
			dst, _ = h.Apply(dst, nil, x)
			return dst
		}
	}
	push := func(f filter.Butterworth) func(dst, x []float64) []float64 {
		return func(dst, x []float64) []float64 {
			if dst == nil {
				dst = make([]float64, len(x))
			}
			s := f.Start()
			for i, v := range x {
				dst[i] = s.Push(v)
			}
			return dst
		}
	}
	return map[string]func(dst, x []float64) []float64{
		"zero phase 6 of 100 Hz":    lowPass(t, 6, 100).ZeroPhase,
		"zero phase 40 of 100 Hz":   lowPass(t, 40, 100).ZeroPhase,
		"zero phase uncorrected":    once(t, 10, 100).ZeroPhase,
		"zero phase of no filter":   filter.Butterworth{}.ZeroPhase,
		"causal 10 of 100 Hz":       push(once(t, 10, 100)),
		"causal of no filter":       push(filter.Butterworth{}),
		"outliers, 7 samples":       hampel(filter.Hampel{}),
		"outliers, 5 samples":       hampel(filter.Hampel{HalfWidth: 2, Threshold: 2}),
		"outliers, running median":  hampel(filter.Hampel{HalfWidth: 1, Threshold: -1}),
		"outliers, 81 samples":      hampel(filter.Hampel{HalfWidth: 40}),
		"outliers, no outlier test": hampel(filter.Hampel{HalfWidth: -1}),
	}
}

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

// TestSmoothers holds what every smoother must do, whatever it is.
func TestSmoothers(t *testing.T) {
	lengths := []int{0, 1, 2, 3, 4, 7, 8, 9, 10, 11, 19, 100, 257}
	for name, smooth := range smoothers(t) {
		t.Run(name, func(t *testing.T) {
			for _, n := range lengths {
				x := wander(n)
				kept := slices.Clone(x)
				y := smooth(nil, x)
				if len(y) != n || y == nil {
					t.Fatalf("%d samples give %d", n, len(y))
				}
				if !slices.Equal(x, kept) {
					t.Fatalf("%d samples: the input was changed", n)
				}
				for i, v := range y {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						t.Fatalf("%d samples: sample %d is %v", n, i, v)
					}
				}

				dst := make([]float64, n)
				if got := smooth(dst, x); !slices.Equal(got, y) || n > 0 && &got[0] != &dst[0] {
					t.Errorf("%d samples: another result in a dst", n)
				}
				if got := smooth(kept, kept); !slices.Equal(got, y) {
					t.Errorf("%d samples: another result in place", n)
				}

				// A shift of the origin and a change of unit come through.
				moved := make([]float64, n)
				for i, v := range x {
					moved[i] = 25.4*v - 300
				}
				want := make([]float64, n)
				for i, v := range y {
					want[i] = 25.4*v - 300
				}
				allNear(t, "moved and scaled", smooth(nil, moved), want, 1e-9)

				for i := range moved {
					moved[i] = -12.34
				}
				allNear(t, "constant", smooth(nil, moved), moved, 1e-12)
				if n == 1 && y[0] != x[0] {
					t.Errorf("one sample %v gives %v", x[0], y[0])
				}
			}
		})
	}
}

func TestMissingSamples(t *testing.T) {
	nan := math.NaN()
	x := wander(60)
	x[30] = nan
	missing := func(y []float64) []int {
		var at []int
		for i, v := range y {
			if math.IsNaN(v) {
				at = append(at, i)
			}
		}
		return at
	}
	all := func(from, to int) []int {
		var at []int
		for i := from; i < to; i++ {
			at = append(at, i)
		}
		return at
	}
	for name, want := range map[string][]int{
		"zero phase 6 of 100 Hz":   all(0, 60),
		"zero phase 40 of 100 Hz":  all(0, 60),
		"zero phase uncorrected":   all(0, 60),
		"causal 10 of 100 Hz":      all(30, 60),
		"outliers, 7 samples":      {30},
		"outliers, 5 samples":      {30},
		"outliers, running median": {30},
	} {
		if got := missing(smoothers(t)[name](nil, x)); !slices.Equal(got, want) {
			t.Errorf("%s: NaN at %v, want %v", name, got, want)
		}
	}
	if got := missing(filter.Derivative(nil, x, 100)); !slices.Equal(got, []int{29, 31}) {
		t.Errorf("Derivative: NaN at %v, want 29 and 31", got)
	}
	if got := filter.NoiseLevel(x); !math.IsNaN(got) {
		t.Errorf("NoiseLevel: %v, want NaN", got)
	}
	if _, err := filter.ResidualAnalysis(x, 100, filter.ResidualOptions{}); err == nil {
		t.Error("ResidualAnalysis: no error")
	}
}

func TestNoAllocation(t *testing.T) {
	x := wander(500)
	dst := make([]float64, len(x))
	times := make([]float64, len(x))
	for i := range times {
		times[i] = float64(i)
	}
	check := func(name string, f func()) {
		if n := testing.AllocsPerRun(20, f); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
	for name, smooth := range smoothers(t) {
		if name != "outliers, 81 samples" { // wider than the stack window
			check(name, func() { smooth(dst, x) })
		}
	}
	check("Derivative", func() { filter.Derivative(dst, x, 100) })
	check("Gradient", func() { filter.Gradient(dst, times, x) })
}

func TestLengthPanics(t *testing.T) {
	x, short := make([]float64, 9), make([]float64, 8)
	for name, f := range map[string]func(){
		"ZeroPhase":    func() { filter.Butterworth{}.ZeroPhase(short, x) },
		"Hampel dst":   func() { filter.Hampel{}.Apply(short, nil, x) },
		"Hampel flags": func() { filter.Hampel{}.Apply(nil, make([]bool, 8), x) },
		"Derivative":   func() { filter.Derivative(short, x, 1) },
		"Gradient":     func() { filter.Gradient(short, x, x) },
		"Gradient t":   func() { filter.Gradient(nil, short, x) },
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
