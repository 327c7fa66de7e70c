package filter_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

func TestGradientReference(t *testing.T) {
	ref := readReference(t)
	for _, c := range ref.Gradient {
		allNear(t, "uneven", filter.Gradient(nil, c.T, c.X), c.Y, 1e-12)
	}
	allNear(t, "even", filter.Derivative(nil, ref.Even.X, ref.Even.FS), ref.Even.Y, 1e-12)
}

// Closed form: x = t² + 1 has the derivative 2t on any times.
func TestGradientParabola(t *testing.T) {
	times := []float64{0, 0.1, 0.25, 0.3, 0.5}
	x, want := make([]float64, 5), make([]float64, 5)
	for i, v := range times {
		x[i], want[i] = v*v+1, 2*v
	}
	allNear(t, "parabola", filter.Gradient(nil, times, x), want, 1e-14)
}

func TestDerivative(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name    string
		x, want []float64
	}{
		{"none", []float64{}, []float64{}},
		{"one", []float64{3}, []float64{nan}},
		{"two", []float64{3, 5}, []float64{20, 20}},
		{"three, a parabola", []float64{0, 1, 4}, []float64{0, 20, 40}},
		{"line", []float64{1, 3, 5, 7, 9}, []float64{20, 20, 20, 20, 20}},
		{"constant", []float64{7, 7, 7, 7}, []float64{0, 0, 0, 0}},
		{"missing at the start", []float64{nan, 1, 4, 9}, []float64{nan, nan, 40, 60}},
	} {
		times := make([]float64, len(tc.x))
		for i := range times {
			times[i] = float64(i) / 10
		}
		allNear(t, tc.name, filter.Derivative(nil, tc.x, 10), tc.want, 1e-12)
		allNear(t, tc.name+", Gradient", filter.Gradient(nil, times, tc.x), tc.want, 1e-12)
		inPlace := append([]float64{}, tc.x...)
		allNear(t, tc.name+", in place", filter.Derivative(inPlace, inPlace, 10), tc.want, 1e-12)
		inPlace = append([]float64{}, tc.x...)
		allNear(t, tc.name+", Gradient in place", filter.Gradient(inPlace, times, inPlace), tc.want, 1e-12)
	}
}

// Closed form: a central difference keeps sin φ/φ of an oscillation.
func TestDerivativeGain(t *testing.T) {
	const rate, hz, n = 80.0, 10.0, 41
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Sin(2 * math.Pi * hz * float64(i) / rate)
	}
	phi := 2 * math.Pi * hz / rate
	v := filter.Derivative(nil, x, rate)
	for i := 1; i < n-1; i++ {
		want := 2 * math.Pi * hz * math.Cos(phi*float64(i)) * math.Sin(phi) / phi
		if !near(v[i], want, 1e-9) {
			t.Fatalf("sample %d is %v, want %v", i, v[i], want)
		}
	}
}
