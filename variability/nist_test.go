package variability_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability"
)

// Certified values of the NIST Statistical Reference Datasets. The files
// NumAcc1 to NumAcc4 are lists of two alternating values. Data with 8 and 9
// digits before the scatter leave 8 digits of it in double precision.
func TestNIST(t *testing.T) {
	alternating := func(first, low, high float64) []float64 {
		y := []float64{first}
		for range 500 {
			y = append(y, low, high)
		}
		return y
	}
	for _, tc := range []struct {
		nistSet
		tol float64
	}{
		{readNIST(t, "Lew"), 1e-13},
		{readNIST(t, "Lottery"), 1e-13},
		{readNIST(t, "Mavro"), 1e-12}, // 4 digits of scatter after 3 of mean
		{readNIST(t, "Michelso"), 1e-12},
		{nistSet{"NumAcc1", 10000002, 1, -0.5, []float64{10000001, 10000003, 10000002}}, 1e-13},
		{nistSet{"NumAcc2", 1.2, 0.1, -0.999, alternating(1.2, 1.1, 1.3)}, 1e-13},
		{nistSet{"NumAcc3", 1000000.2, 0.1, -0.999, alternating(1000000.2, 1000000.1, 1000000.3)}, 1e-8},
		{nistSet{"NumAcc4", 10000000.2, 0.1, -0.999, alternating(10000000.2, 10000000.1, 10000000.3)}, 1e-8},
	} {
		s := variability.SpreadOf(tc.y, variability.Options{})
		if got := s.SD.Value; math.Abs(got/tc.sd-1) > tc.tol {
			t.Errorf("%s: standard deviation %v, certified %v", tc.name, got, tc.sd)
		}
		if tc.y[0] > 0 && tc.mean > 1000 {
			if got := s.CV.Value; math.Abs(got/(tc.sd/tc.mean)-1) > tc.tol {
				t.Errorf("%s: coefficient of variation %v, certified %v", tc.name, got, tc.sd/tc.mean)
			}
		}
		if got := variability.Autocorrelation(tc.y, 1); math.Abs(got/tc.r1-1) > tc.tol {
			t.Errorf("%s: autocorrelation %v, certified %v", tc.name, got, tc.r1)
		}
	}
}

func TestAutocorrelation(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name string
		x    []float64
		lag  int
		want float64
	}{
		{"lag 0", []float64{3, 1, 4, 1, 5}, 0, 1},
		// m = 2: Σ products (-1)(0)+(0)(1) = 0 at lag 1, (-1)(1) = -1 at lag 2, Σ squares 2.
		{"lag 1 of three", []float64{1, 2, 3}, 1, 0},
		{"lag 2 of three", []float64{1, 2, 3}, 2, -0.5},
		{"lag of the length", []float64{1, 2, 3}, 3, nan},
		{"negative lag", []float64{1, 2, 3}, -1, nan},
		{"none", nil, 0, nan},
		{"one", []float64{4}, 0, nan},
		{"equal", []float64{4, 4, 4}, 1, nan},
		// Mean 0, mean square 1; mean product -1 of the two pairs, times (6-1)/6.
		{"missing keeps its place", []float64{1, -1, nan, nan, 1, -1}, 1, -5. / 6},
		// The one pair is that of the two -1, three apart: times (6-3)/6.
		{"missing, lag 3", []float64{1, nan, -1, nan, 1, -1}, 3, 0.5},
		{"all missing", []float64{nan, nan}, 0, nan},
	} {
		if got := variability.Autocorrelation(tc.x, tc.lag); !near(got, tc.want, 1e-15) {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
	// A first-order autoregression has r(k) = φᵏ.
	x := autoregression(20000, 0.7, 1)
	for lag, want := range []float64{1, 0.7, 0.49, 0.343} {
		if got := variability.Autocorrelation(x, lag); !near(got, want, 0.03) {
			t.Errorf("autoregression, lag %d: %v, want %v", lag, got, want)
		}
	}
}
