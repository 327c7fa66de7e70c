package estimate_test

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat/distuv"
)

// calibrate is the number of series in each row of the calibration; 0 makes few.
var calibrate = flag.Int("calibrate", 0, "number of made series in each row of the calibration; 0 makes few")

// TestPrewhitenedFormula sums the cosines of the definition one by one, forward and
// backward.
func TestPrewhitenedFormula(t *testing.T) {
	for _, n := range []int{6, 7, 15, 66, 67, 100, 401, 3000} {
		for degree := range 2 {
			xs := autoregressive(n, 0.6, "prewhitened")
			var mean float64
			for _, x := range xs {
				mean += x / float64(n)
			}
			const r = 0.55
			q := min(max(4, int(math.Round(0.55*math.Sqrt(float64(n))))), 6)
			var want float64
			for j := 1; j <= q; j++ {
				var forward, backward float64
				for i := range n - 1 {
					c := math.Sqrt(2/float64(n-1)) * math.Cos(math.Pi*float64(j)*(float64(i)+0.5)/float64(n-1))
					a, b := xs[i]-mean, xs[i+1]-mean
					forward += c * (b - r*a)
					backward += c * (a - r*b)
				}
				want += (forward*forward + backward*backward) / 2
			}
			want /= float64(q-degree) * (1 - r) * (1 - r)
			with := slices.Insert(slices.Clone(xs), n/2, math.NaN())
			got, df := estimate.Prewhitened(with, r, degree)
			if !near(got, want, 1e-10) || df != q-degree { // rounding of the sums
				t.Errorf("n=%d: %v with %d degrees of freedom, want %v with %d", n, got, df, want, q-degree)
			}
			slices.Reverse(xs)
			if back, _ := estimate.Prewhitened(xs, r, degree); !near(back, want, 1e-10) {
				t.Errorf("n=%d, read backward: %v, want %v", n, back, want)
			}
		}
	}
}

func TestPrewhitenedSmall(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		xs     []float64
		r      float64
		degree int
		v      float64
		df     int
	}{
		{nil, 0, 0, nan, 0},
		{[]float64{1, 2, 3, 4, 5, nan}, 0, 0, nan, 0},
		{[]float64{1, 2, 3, 4, 5, 6}, 1, 0, nan, 0},
		{[]float64{1, 2, 3, 4, 5, 6}, nan, 0, nan, 0},
		{[]float64{7, 7, 7, 7, 7, 7}, 0.5, 0, 0, 4},
		{[]float64{7, 7, 7, 7, 7, 7}, 0.5, 1, 0, 3},
	} {
		v, df := estimate.Prewhitened(c.xs, c.r, c.degree)
		if df != c.df || v != c.v && !(math.IsNaN(v) && math.IsNaN(c.v)) {
			t.Errorf("%v, r %v, degree %d: %v, %d; want %v, %d", c.xs, c.r, c.degree, v, df, c.v, c.df)
		}
	}
	for _, columns := range [][][]float64{nil, {nil}, {{3}}, {{2, 2, 2}}, {{nan, nan}, {1}}} {
		if r := estimate.Lag1(0, columns...); r != 0 {
			t.Errorf("%v: r = %v, want 0", columns, r)
		}
	}
	// 1, -1, 1, -1: r(1) = -3/4, and (1 - 3)/4 off; from a line (2 - 3)/4.
	if a, b := estimate.Lag1(0, []float64{1, -1, 1, -1}), estimate.Lag1(1, []float64{1, -1, 1, -1}); a != -0.97 || b != -0.97 {
		t.Errorf("alternating: %v, %v", a, b)
	}
	// 1, 2, 3 … 8, by hand: Σ d² = 42, Σ d d' = 26.25.
	const r1 = 26.25 / 42
	if r := estimate.Lag1(1, []float64{1, 2, 3, 4, nan, 5, 6, 7, 8}, []float64{2, 1, 0, -1, -2, -3, -4, -5}); !near(r, min(0.97, r1+(2+4*r1)/8), 1e-14) {
		t.Errorf("two lines: %v", r)
	}
}

// TestLag1Bias holds the mean of r over many series against the truth, which it
// should meet to order 1/n² (Kendall 1954): without the correction it would be 0.11
// too small at ρ = 0.6 and n = 30.
func TestLag1Bias(t *testing.T) {
	const n, runs = 30, 2000
	for _, rho := range []float64{0, 0.3, 0.6} {
		var mean float64
		for k := range runs {
			mean += estimate.Lag1(0, autoregressive(n, rho, fmt.Sprint("bias", k))) / runs
		}
		if math.Abs(mean-rho) > 0.03 { // n⁻² terms and 3 standard errors, 0.012
			t.Errorf("ρ = %v: mean r %v", rho, mean)
		}
	}
}

// TestCalibratePrewhitened counts how often mean ± t √(V/n) holds the truth.
func TestCalibratePrewhitened(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	runs, use := 400, "quick"
	if *calibrate > 0 {
		runs, use = *calibrate, "prewhitened figures"
	}
	for _, n := range []int{20, 60, 240, 1000} {
		for _, rho := range []float64{0, 0.3, 0.6, 0.9} {
			held := 0
			for k := range runs {
				xs := autoregressive(n, rho, fmt.Sprint(use, k))
				v, df := estimate.Prewhitened(xs, estimate.Lag1(0, xs), 0)
				var mean float64
				for _, x := range xs {
					mean += x / float64(n)
				}
				if math.Abs(mean) <= (distuv.StudentsT{Sigma: 1, Nu: float64(df)}).Quantile(0.975)*math.Sqrt(v/float64(n)) {
					held++
				}
			}
			share := float64(held) / float64(runs)
			t.Logf("n=%4d, ρ %v: %.1f %%", n, rho, 100*share)
			low := 0.93
			switch { // so few do not show a likeness so strong, as the comment says
			case rho > 0.6 && n < 60:
				low = 0.83
			case rho > 0.6 && n < 240:
				low = 0.915
			}
			slack := 3 * math.Sqrt(low*(1-low)/float64(runs)) // three standard errors
			if share < low-slack || share > 0.97+slack {
				t.Errorf("n=%d, ρ=%v: the interval holds in %.1f %% of %d", n, rho, 100*share, runs)
			}
		}
	}
}
