package estimate_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Durations of twenty strokes in milliseconds, in the order of the take.
var strokes = []float64{
	91, 90, 92, 89, 90, 93, 94, 92, 91, 93,
	95, 96, 94, 93, 92, 90, 91, 89, 90, 88,
}

func ExampleMean() {
	v := estimate.Mean(strokes, 0)
	fmt.Printf("%.2f ms, %.2f to %.2f (%g)\n", v.Value, v.Low, v.High, v.Level)
	// Output:
	// 91.65 ms, 89.27 to 94.03 (0.95)
}

func ExampleMeanInPlace() {
	x := append([]float64(nil), strokes...) // it is overwritten
	v := estimate.MeanInPlace(x, 0)
	fmt.Printf("%.2f ms, %.2f to %.2f\n", v.Value, v.Low, v.High)
	// Output:
	// 91.65 ms, 89.27 to 94.03
}

func ExampleLongRun() {
	// How many independent strokes the twenty are worth for their mean.
	v, df := estimate.LongRun(strokes)
	var variance float64
	for _, x := range strokes {
		variance += (x - 91.65) * (x - 91.65) / 19
	}
	fmt.Printf("%.1f, %d degrees of freedom\n", 20*variance/v, df)
	// Output:
	// 6.2, 4 degrees of freedom
}

func ExampleLag1() {
	fmt.Printf("%.2f\n", estimate.Lag1(0, strokes))
	// Output:
	// 0.75
}

func ExamplePrewhitened() {
	// The standard error of the mean of the twenty.
	v, df := estimate.Prewhitened(strokes, estimate.Lag1(0, strokes), 0)
	fmt.Printf("%.1f ms, %d degrees of freedom\n", math.Sqrt(v/20), df)
	// Output:
	// 1.3 ms, 4 degrees of freedom
}

func ExampleMedianInterval() {
	// The steadiness of nine takes, one number per take.
	v := estimate.MedianInterval([]float64{3.1, 2.4, 2.9, 4.0, 2.2, 2.7, 3.3, 2.8, 3.0}, 0.95)
	fmt.Printf("%.1f, %.1f to %.1f (%.3f)\n", v.Value, v.Low, v.High, v.Level)

	v = estimate.MedianInterval([]float64{3.1, 2.4, 2.9, 4.0, 2.2}, 0.95)
	fmt.Println("five takes:", v.Value, v.Low, v.High)
	// Output:
	// 2.9, 2.4 to 3.3 (0.961)
	// five takes: 2.9 NaN NaN
}

func ExampleSeriesMedian() {
	v := estimate.SeriesMedian(strokes, 0)
	fmt.Printf("%.1f ms, %.0f to %.0f\n", v.Value, v.Low, v.High)
	// Output:
	// 91.5 ms, 88 to 96
}

func ExampleBlockLength() {
	fmt.Printf("%.1f\n", estimate.BlockLength(strokes))
	// Output:
	// 2.1
}

func ExampleBlockDraw() {
	rng := estimate.Stream(7, "example")
	fmt.Println(estimate.BlockDraw(nil, 10, 4, rng))
	// Output:
	// [5 6 7 8 5 6 7 8 4 5]
}

func ExampleStream() {
	a, b := estimate.Stream(1, "median"), estimate.Stream(1, "scatter")
	fmt.Println(a.IntN(1000), b.IntN(1000))
	// Output:
	// 38 867
}

func ExampleBootstrap() {
	// The spread of a drifting series of 240 strokes.
	rng := estimate.Stream(3, "example series")
	series := make([]float64, 240)
	drift := 0.0
	for i := range series {
		drift = 0.7*drift + rng.NormFloat64()
		series[i] = 91 + drift
	}
	sd := func(index []int) float64 {
		var sum, square float64
		for _, i := range index {
			sum += series[i]
			square += series[i] * series[i]
		}
		n := float64(len(index))
		return math.Sqrt(square/n - sum/n*sum/n)
	}
	block := int(math.Ceil(estimate.BlockLength(series)))
	v := estimate.Bootstrap(len(series), block, sd, estimate.BootstrapOptions{Seed: 1, Use: "sd"})
	fmt.Printf("%.2f ms, %.2f to %.2f, blocks of %d\n", v.Value, v.Low, v.High, block)
	// Output:
	// 1.30 ms, 1.14 to 1.42, blocks of 10
}

// The mean of a draw in blocks of 5 is that of the means of the blocks, which
// are worked out once.
func ExampleResample() {
	rng := estimate.Stream(3, "example series")
	series := make([]float64, 240)
	for i := range series {
		series[i] = 91 + rng.NormFloat64()
	}
	const block = 5
	means := make([]float64, len(series)) // of the block from each value on
	var mean float64
	for i, x := range series {
		mean += x / float64(len(series))
		for k := range block {
			means[i] += series[(i+k)%len(series)] / block
		}
	}
	draw := func(rng *rand.Rand) (m float64) {
		for range len(series) / block {
			m += means[rng.IntN(len(means))] * block / float64(len(series))
		}
		return m
	}
	v := estimate.Resample(mean, len(series), block, draw, estimate.BootstrapOptions{Seed: 1, Use: "mean"})
	fmt.Printf("%.2f ms, %.2f to %.2f\n", v.Value, v.Low, v.High)
	// Output:
	// 90.99 ms, 90.86 to 91.11
}

func ExampleAs() {
	type Milliseconds float64
	v := estimate.As[Milliseconds](estimate.Mean(strokes, -1))
	fmt.Printf("%.2f %T\n", v.Value, v.Value)
	// Output:
	// 91.65 estimate_test.Milliseconds
}

func ExampleMissing() {
	v := estimate.Missing[float64]("front-view", "path angle", "the camera faces the instrument")
	if !v.Known() {
		fmt.Printf("no %s: %s\n", v.Absent.What, v.Absent.Why)
	}
	// Output:
	// no path angle: the camera faces the instrument
}
