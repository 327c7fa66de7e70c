package robust_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability/robust"
)

// Stroke durations in milliseconds; at 182 the tracker lost the tip.
var durations = []float64{91, 90, 92, 89, 90, 182, 94, 92, 91, 93}

func ExampleMedian() {
	fmt.Println(robust.Median(durations))
	// Output:
	// 91.5
}

func ExampleMedianInPlace() {
	xs := []float64{5, 1, 3}
	fmt.Println(robust.MedianInPlace(xs))
	// Output:
	// 3
}

// The third smallest of five; the two before it are smaller.
func ExampleSelect() {
	xs := []float64{5, 1, 4, 2, 3}
	fmt.Println(robust.Select(xs, 2))
	fmt.Println(max(xs[0], xs[1]) < xs[2], min(xs[3], xs[4]) > xs[2])
	// Output:
	// 3
	// true true
}

// Type 7 of the nine types, as R and numpy have it by default.
func ExampleQuantile() {
	xs := []float64{2.1, 3.4, 1.9, 5.6, 7.8, 4.4, 3.3, 9.1, 2.8, 6.0}
	fmt.Printf("%.3f %.2f\n", robust.Quantile(0.25, xs), robust.Quantile(0.9, xs))
	// Output:
	// 2.925 7.93
}

// A wild value moves none of the medians about it.
func ExampleRollingMedian() {
	fmt.Println(robust.RollingMedian(nil, durations, 1))
	// Output:
	// [90.5 91 90 90 90 94 94 92 92 92]
}

func ExampleMAD() {
	fmt.Println(robust.MAD(durations))
	// Output:
	// 1.5
}

func ExampleScale() {
	fmt.Printf("%.2f ms\n", robust.Scale(durations))
	// Output:
	// 2.22 ms
}

// The three without allocation reorder or overwrite what they are given.
func ExampleQuantileInPlace() {
	fmt.Println(robust.QuantileInPlace(0.75, []float64{5, 1, 4, 2, 3}))
	// Output:
	// 4
}

func ExampleMADInPlace() {
	fmt.Println(robust.MADInPlace([]float64{5, 1, 4, 2, 3}))
	// Output:
	// 1
}

func ExampleScaleInPlace() {
	fmt.Printf("%.3f\n", robust.ScaleInPlace([]float64{5, 1, 4, 2, 3}))
	// Output:
	// 1.483
}

// Annual precipitation of a cloud seeding experiment, seeded over unseeded, in
// five years: Hollander & Wolfe (1973), where the slope is -0.056.
func ExampleTheilSen() {
	l := robust.TheilSen([]float64{1, 2, 3, 4, 5}, []float64{1.26, 1.27, 1.12, 1.16, 1.03})
	fmt.Printf("%.3f, %.3f to %.3f\n", l.Slope, l.SlopeLow, l.SlopeHigh)
	// Output:
	// -0.056, -0.150 to 0.040
}

func ExampleLine_At() {
	l := robust.TheilSen([]float64{0, 1, 2, 3, 4}, []float64{1, 3, 5, 70, 9})
	fmt.Println(l.At(3))
	// Output:
	// 7
}

// The same five years: 14 of the 120 orders of five values fall as much.
func ExampleMannKendall() {
	t := robust.MannKendall([]float64{1.26, 1.27, 1.12, 1.16, 1.03})
	fmt.Printf("S = %v, P = %.4f, exact %t\n", t.S, t.P, t.Exact)
	// Output:
	// S = -6, P = 0.2333, exact true
}

// Four of nine values are wild, and yet the line is that of the others.
func ExampleRepeatedMedian() {
	l := robust.RepeatedMedian([]float64{0, 1, 2, 3, 4, 5, 6, 7, 8}, []float64{0, 2, 4, 6, 8, 90, -50, 70, -10})
	fmt.Println(l.Slope, l.Intercept)
	// Output:
	// 2 0
}

// Of the ten slopes of the cloud seeding data, the least, the greatest and the
// two in the middle.
func ExampleSlopesAt() {
	for _, s := range robust.SlopesAt([]float64{1, 2, 3, 4, 5}, []float64{1.26, 1.27, 1.12, 1.16, 1.03}, 0, 4, 5, 9) {
		fmt.Printf("%.3f ", s)
	}
	fmt.Println()
	// Output:
	// -0.150 -0.057 -0.055 0.040
}

// All pairs of five takes rise: 2 of 120 orders are as orderly.
func ExampleKendallP() {
	fmt.Printf("%.4f\n", robust.KendallP(5, 10))
	// Output:
	// 0.0167
}
