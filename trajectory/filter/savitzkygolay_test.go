package filter_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// polynomial returns the options for a window and a degree, zero included.
func polynomial(window, degree int) filter.SavitzkyGolay {
	if degree == 0 {
		degree = -1
	}
	return filter.SavitzkyGolay{Window: window, Degree: degree}
}

func weights(t testing.TB, f filter.SavitzkyGolay, derivative int) []float64 {
	t.Helper()
	w, err := f.Coefficients(nil, derivative)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func apply(t testing.TB, f filter.SavitzkyGolay, x []float64, derivative int, rate float64) []float64 {
	t.Helper()
	y, err := f.Apply(nil, x, derivative, rate)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// The tables of Savitzky & Golay (1964) with the corrections of Steinier,
// Termonia & Deltour (1972), in whole numbers.
func TestSavitzkyGolayTables(t *testing.T) {
	ref := readReference(t)
	if len(ref.SavgolTables) != 44 {
		t.Fatalf("%d tables", len(ref.SavgolTables))
	}
	for _, c := range ref.SavgolTables {
		name := fmt.Sprintf("window %d, degree %d, derivative %d", c.Window, c.Degree, c.Derivative)
		w := weights(t, polynomial(c.Window, c.Degree), c.Derivative)
		for i := range w {
			w[i] *= c.Denominator
		}
		allNear(t, name, w, c.Numerators, 1e-11)
	}
}

// Wide windows and high degrees, by exact arithmetic in filter.py.
func TestSavitzkyGolayExact(t *testing.T) {
	for _, c := range readReference(t).SavgolExact {
		name := fmt.Sprintf("window %d, degree %d, derivative %d", c.Window, c.Degree, c.Derivative)
		w := weights(t, polynomial(c.Window, c.Degree), c.Derivative)
		allNear(t, name, w, c.Coefficients, 2e-13*floats.Norm(c.Coefficients, math.Inf(1)))
	}
}

// scipy.signal.savgol_filter with mode="interp", and for columns shorter than
// the window numpy's polynomial fit.
func TestSavitzkyGolayReference(t *testing.T) {
	for _, c := range readReference(t).Savgol {
		name := fmt.Sprintf("window %d, degree %d, derivative %d, %d samples", c.Window, c.Degree, c.Derivative, len(c.X))
		y := apply(t, polynomial(c.Window, c.Degree), c.X, c.Derivative, c.FS)
		allNear(t, name, y, c.Y, 1e-13*floats.Norm(c.Y, math.Inf(1)))
	}
}

// Closed form: polynomials up to the degree, and their derivatives, come
// through, at the ends and in columns shorter than the window too.
func TestSavitzkyGolayPolynomials(t *testing.T) {
	const rate = 240.0
	for _, window := range []int{1, 3, 5, 7, 15, 63, 65, 101} {
		for degree := range min(window, 7) {
			for _, n := range []int{degree + 1, degree + 2, window - 1, window, window + 1, 2*window + 1, 700} {
				if n <= degree {
					continue
				}
				for derivative := range degree + 1 {
					x, want := make([]float64, n), make([]float64, n)
					for i := range x {
						u := float64(i)/float64(n) - 0.4 // t in units of n samples
						for k := range degree + 1 {
							c := float64(1 - 2*(k%2)) // of u^k
							x[i] += c * math.Pow(u, float64(k))
							for s := range derivative {
								c *= float64(k - s)
							}
							if k >= derivative {
								want[i] += c * math.Pow(u, float64(k-derivative)) * math.Pow(rate/float64(n), float64(derivative))
							}
						}
					}
					name := fmt.Sprintf("window %d, degree %d, derivative %d, %d samples", window, degree, derivative, n)
					y := apply(t, polynomial(window, degree), x, derivative, rate)
					// Rounding of x counts by the noise gain, largest at the ends.
					tolerance := 1e-14 * math.Pow(rate, float64(derivative)) * math.Pow(float64(derivative+1), 6)
					if n > 100 {
						tolerance *= 10
					}
					allNear(t, name, y, want, tolerance)
				}
			}
		}
	}
}

func TestSavitzkyGolayDefaults(t *testing.T) {
	allNear(t, "defaults", weights(t, filter.SavitzkyGolay{}, 0), weights(t, filter.SavitzkyGolay{Window: 7, Degree: 3}, 0), 0)
	allNear(t, "moving average", weights(t, filter.SavitzkyGolay{Window: 5, Degree: -1}, 0), []float64{0.2, 0.2, 0.2, 0.2, 0.2}, 1e-15)
	dst := make([]float64, 7)
	if got, _ := (filter.SavitzkyGolay{}).Coefficients(dst, 1); &got[0] != &dst[0] {
		t.Error("dst is not used")
	}
}

func TestSavitzkyGolayErrors(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		f          filter.SavitzkyGolay
		derivative int
		rate       float64
		says       string
	}{
		{filter.SavitzkyGolay{Window: 6}, 0, 1, "odd"},
		{filter.SavitzkyGolay{Window: -7}, 0, 1, "odd"},
		{filter.SavitzkyGolay{Window: 3}, 0, 1, "more than 3 samples"},
		{filter.SavitzkyGolay{Window: 5, Degree: 5}, 0, 1, "more than 5 samples"},
		{filter.SavitzkyGolay{Window: 15, Degree: 13}, 0, 1, "above 12"},
		{filter.SavitzkyGolay{}, 4, 1, "derivative of order 4"},
		{filter.SavitzkyGolay{}, -1, 1, "derivative of order -1"},
		{filter.SavitzkyGolay{Degree: -1}, 1, 1, "derivative of order 1"},
		{filter.SavitzkyGolay{}, 1, 0, "sample rate"},
		{filter.SavitzkyGolay{}, 1, -3, "sample rate"},
		{filter.SavitzkyGolay{}, 1, nan, "sample rate"},
		{filter.SavitzkyGolay{}, 1, math.Inf(1), "sample rate"},
	} {
		x := []float64{1, 2, 3}
		y, err := tc.f.Apply(x, x, tc.derivative, tc.rate)
		if err == nil || !strings.Contains(err.Error(), tc.says) || !slices.Equal(y, []float64{1, 2, 3}) {
			t.Errorf("%+v, derivative %d at %v Hz: %v, error %v, want one with %q", tc.f, tc.derivative, tc.rate, y, err, tc.says)
		}
		if tc.says != "sample rate" {
			if _, err := tc.f.Coefficients(nil, tc.derivative); err == nil {
				t.Errorf("%+v, derivative %d: coefficients", tc.f, tc.derivative)
			}
			if g := tc.f.NoiseGain(tc.derivative, 1); !math.IsNaN(g) {
				t.Errorf("%+v, derivative %d: noise gain %v", tc.f, tc.derivative, g)
			}
		}
		if g := tc.f.Gain(tc.derivative, 0.1, tc.rate); !math.IsNaN(g) && !math.IsInf(tc.rate, 1) {
			t.Errorf("%+v, derivative %d: gain %v", tc.f, tc.derivative, g)
		}
	}
	if _, err := (filter.SavitzkyGolay{}).Apply(nil, []float64{1, 2}, 0, nan); err != nil {
		t.Errorf("the value needs no rate: %v", err)
	}
	for _, f := range []filter.SavitzkyGolay{{Window: 4}, {Degree: 7}} {
		if c := f.Cutoff(100); !math.IsNaN(c) {
			t.Errorf("%+v: cut-off %v", f, c)
		}
	}
	if c := (filter.SavitzkyGolay{}).Cutoff(0); !math.IsNaN(c) {
		t.Errorf("no rate: cut-off %v", c)
	}
}

// What Gain says is what an oscillation keeps, at its peak and in its
// derivatives.
func TestSavitzkyGolayGain(t *testing.T) {
	const n, rate = 401, 240.0
	x := make([]float64, n)
	for _, f := range []filter.SavitzkyGolay{{}, {Window: 5, Degree: 2}, {Window: 21, Degree: 5}, {Window: 9, Degree: -1}, {Window: 101, Degree: 4}} {
		for derivative := range 6 {
			if _, err := f.Coefficients(nil, derivative); err != nil {
				continue
			}
			if g := f.Gain(derivative, 0, rate); !near(g, 1, 1e-12) {
				t.Errorf("%+v, derivative %d: gain %v at zero", f, derivative, g)
			}
			for _, hz := range []float64{0.01, 1, 6, 15, 40, 80, 119} {
				w := 2 * math.Pi * hz / rate
				phase := -math.Pi / 2 * float64(derivative) // the derivative has its peak at the middle
				for i := range x {
					x[i] = math.Cos(w*float64(i-n/2) + phase)
				}
				got := apply(t, f, x, derivative, rate)[n/2] / math.Pow(2*math.Pi*hz, float64(derivative))
				// x is rounded, which the derivative of a slow oscillation sees.
				tolerance := 1e-15 * f.NoiseGain(derivative, rate) / math.Pow(2*math.Pi*hz, float64(derivative))
				if g := f.Gain(derivative, hz, rate); !near(got, g, 1e-9+20*tolerance) {
					t.Errorf("%+v, derivative %d: keeps %v at %v Hz, Gain says %v", f, derivative, got, hz, g)
				}
			}
		}
	}
	// Closed form: the moving average of 2m+1 samples keeps
	// sin((2m+1)w/2)/((2m+1) sin(w/2)).
	f := filter.SavitzkyGolay{Window: 9, Degree: -1}
	for _, hz := range []float64{3, 20, 77} {
		w := math.Pi * hz / rate
		if g, want := f.Gain(0, hz, rate), math.Sin(9*w)/(9*math.Sin(w)); !near(g, want, 1e-14) {
			t.Errorf("moving average keeps %v at %v Hz, want %v", g, hz, want)
		}
	}
}

// The figures that the documentation states.
func TestSavitzkyGolayDocumented(t *testing.T) {
	var f filter.SavitzkyGolay
	cycles := []float64{24, 16, 12, 10, 8, 6, 4}
	for derivative, want := range [][]float64{
		{0.998, 0.990, 0.971, 0.943, 0.872, 0.667, 0.048},
		{0.999, 0.995, 0.986, 0.971, 0.934, 0.820, 0.404},
		{0.946, 0.883, 0.799, 0.720, 0.591, 0.369, 0.039},
	} {
		got := make([]float64, len(cycles))
		for i, p := range cycles {
			got[i] = f.Gain(derivative, 1, p)
		}
		allNear(t, fmt.Sprint("derivative ", derivative), got, want, 0.0005)
	}
	for name, c := range map[string][2]float64{
		"third of the rate": {f.Gain(0, 1, 3), -0.286},
		"cut-off":           {f.Cutoff(1), 0.160},
		"wide cut-off":      {filter.SavitzkyGolay{Window: 101}.Cutoff(101), 1.06},
		"noise, value":      {f.NoiseGain(0, 240), 0.577},
		"noise, speed":      {f.NoiseGain(1, 240) / 240, 0.512},
	} {
		if !near(c[0], c[1], 0.005) {
			t.Errorf("%s: %v, documented %v", name, c[0], c[1])
		}
	}
	if c := (filter.SavitzkyGolay{Window: 5, Degree: 4}).Cutoff(100); !math.IsInf(c, 1) {
		t.Errorf("a filter that smooths nothing has a cut-off of %v", c)
	}

	// The weights behind the first sample, read off one impulse at a time.
	for derivative, want := range []float64{0.964, 1.522} {
		var sum float64
		for i := range 7 {
			impulse := make([]float64, 9)
			impulse[i] = 1
			v := apply(t, f, impulse, derivative, 1)[0]
			sum += v * v
		}
		if got := math.Sqrt(sum); !near(got, want, 0.0005) {
			t.Errorf("noise of derivative %d at the end is %v, documented %v", derivative, got, want)
		}
	}
}

// In the pass band a cubic filter equals the low-pass of the same cut-off.
func TestSavitzkyGolayPassBand(t *testing.T) {
	for _, window := range []int{7, 9, 11, 15, 21, 31, 51, 101} {
		f := filter.SavitzkyGolay{Window: window}
		fc := f.Cutoff(240)
		if g := f.Gain(0, fc, 240); !near(g, math.Sqrt2/2, 1e-12) {
			t.Errorf("window %d: gain %v at the cut-off", window, g)
		}
		lp := lowPass(t, fc, 240)
		for hz := 0.0; hz <= fc; hz += fc / 50 {
			once := lp.Gain(hz, 240)
			if g := f.Gain(0, hz, 240); !near(g, once*once, 0.011) {
				t.Errorf("window %d: keeps %v at %v Hz, the low-pass %v", window, g, hz, once*once)
			}
		}
		impulse := make([]float64, 1001)
		impulse[500] = 1
		noise := floats.Norm(lp.ZeroPhase(nil, impulse), 2)
		if g := f.NoiseGain(0, 240); !near(g/noise, 1, 0.02) {
			t.Errorf("window %d: leaves %v of the noise, the low-pass %v", window, g, noise)
		}
		flat := filter.SavitzkyGolay{Window: window, Degree: 5}
		if g := flat.Gain(0, flat.Cutoff(240)/2, 240); !near(g, 0.99, 0.005) {
			t.Errorf("window %d, degree 5: keeps %v at half the cut-off", window, g)
		}
	}
}
