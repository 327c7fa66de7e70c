package variability_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability"
)

// Hollander and Wolfe (1973), as in R's page on cor.test: ρ 0.6, P 0.0968.
func ExampleSpearman() {
	x := []float64{44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1}
	y := []float64{2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8}
	c := variability.Spearman(x, y, variability.Options{})
	fmt.Printf("ρ %.2f (%.2f to %.2f), P %.4f\n", c.R.Value, c.R.Low, c.R.High, c.P)
	// Output:
	// ρ 0.60 (-0.17 to 0.92), P 0.0968
}

// Do rough timing and a steep path go together, or do both only go with the rate?
func ExamplePartialSpearman() {
	rate := []float64{5, 6, 6.5, 7, 8, 8.5, 9, 10, 11, 12}
	timing := []float64{8, 9, 8.5, 11, 12, 11, 14, 15, 15.5, 18}
	angle := []float64{4, 5, 6, 5.5, 8, 7.5, 7, 10, 9, 11}
	all := variability.Spearman(timing, angle, variability.Options{})
	rest := variability.PartialSpearman(timing, angle, [][]float64{rate}, variability.Options{})
	fmt.Printf("ρ %.2f, with the rate held constant %.2f\n", all.R.Value, rest.R.Value)
	// Output:
	// ρ 0.90, with the rate held constant 0.04
}

func ExamplePartialCorrelation() {
	rate := []float64{5, 6, 6.5, 7, 8, 8.5, 9, 10, 11, 12}
	timing := []float64{8, 9, 8.5, 11, 12, 11, 14, 15, 15.5, 18}
	angle := []float64{4, 5, 6, 5.5, 8, 7.5, 7, 10, 9, 11}
	c := variability.PartialCorrelation(timing, angle, [][]float64{rate}, variability.Options{})
	fmt.Printf("r %.2f (%.2f to %.2f), P %.2f\n", c.R.Value, c.R.Low, c.R.High, c.P)
	// Output:
	// r -0.10 (-0.72 to 0.60), P 0.79
}

// Bland and Altman (1996): four readings of each of 20 children, here of five.
func ExampleRepeatability() {
	r := variability.Repeatability([][]float64{
		{190, 220, 200, 200}, {220, 200, 240, 230}, {260, 260, 240, 280}, {210, 300, 280, 265}, {270, 265, 280, 270},
	}, variability.Options{})
	fmt.Printf("within %.0f (%.0f to %.0f), ICC %.2f\n", r.Within.Value, r.Within.Low, r.Within.High, r.ICC.Value)
	fmt.Printf("a change has to exceed %.0f\n", r.SmallestChange)
	// Output:
	// within 21 (16 to 33), ICC 0.63
	// a change has to exceed 64
}

// Shrout and Fleiss (1979): six targets, four judges; ICC(2,1) 0.29.
func ExampleAgreement() {
	v := variability.Agreement([][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}, variability.Options{})
	fmt.Printf("%.2f (%.2f to %.2f)\n", v.Value, v.Low, v.High)
	// Output:
	// 0.29 (0.03 to 0.75)
}

func ExampleSplitHalf() {
	odd := []float64{3.1, 4.0, 2.2, 5.1, 3.8, 4.4, 2.9, 3.5}
	even := []float64{2.9, 4.3, 2.5, 4.8, 4.1, 4.0, 3.2, 3.1}
	v := variability.SplitHalf(odd, even, variability.Options{})
	fmt.Printf("%.2f (%.2f to %.2f)\n", v.Value, v.Low, v.High)
	// Output:
	// 0.96 (0.79 to 0.99)
}
