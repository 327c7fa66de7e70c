package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// rate is about 11 notes a second, which are sixteenths at 165 BPM, and rises.
var rate = func() figure.RateOverTime {
	f := figure.RateOverTime{Settled: []figure.Span{{Start: 4, End: 12}}, Typical: 11}
	for k := range 160 {
		t := float64(k) / 11
		middle := 10.7 + 0.04*t
		f.T = append(f.T, t)
		f.Rate = append(f.Rate, middle+0.3*math.Sin(float64(k*k)))
		f.Curve.X, f.Curve.Y = append(f.Curve.X, t), append(f.Curve.Y, middle)
		f.Curve.Low, f.Curve.High = append(f.Curve.Low, middle-0.15), append(f.Curve.High, middle+0.15)
	}
	return f
}()

// Notes per second over a take.
func ExampleRateOverTime() {
	svg := figure.SVG(rate, figure.Options{})
	fmt.Println(kept("rate.svg", svg))
	// Output: rate.svg is as kept
}
