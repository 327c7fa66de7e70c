package figure_test

import (
	"fmt"
	"math"
	"time"

	"github.com/plectrace/plectrace/motion/figure"
)

// rateScatter is the way of a player who got fast first and even later.
var rateScatter = func() figure.RateAgainstScatter {
	f := figure.RateAgainstScatter{Name: "scatter of durations", Unit: "% of the stroke"}
	for k := range 14 {
		x := float64(k) / 13
		f.Dates = append(f.Dates, time.Date(2025, time.October, 6+5*k, 18, 0, 0, 0, time.UTC))
		f.Rate = append(f.Rate, 6+5*math.Sqrt(x)+0.2*math.Sin(float64(k*k)))
		f.Scatter = append(f.Scatter, 12-7*x*x*x+0.4*math.Cos(float64(k*k)))
	}
	return f
}()

// The way from slow and uneven to fast and even.
func ExampleRateAgainstScatter() {
	svg := figure.SVG(rateScatter, figure.Options{})
	fmt.Println(kept("rate-scatter.svg", svg))
	// Output: rate-scatter.svg is as kept
}
