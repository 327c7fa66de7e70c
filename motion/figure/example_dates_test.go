package figure_test

import (
	"fmt"
	"math"
	"time"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/estimate"
)

// dates is a settled share that grows over ten weeks.
var dates = func() figure.OverDates {
	f := figure.OverDates{Name: "settled share", Unit: "%", Pain: []time.Time{time.Date(2025, time.November, 24, 0, 0, 0, 0, time.UTC)}}
	for k := range 20 {
		x := 3.5 * float64(k) // days
		line := 25 + 0.6*x
		v := line + 6*math.Sin(float64(k*k))
		f.Dates = append(f.Dates, time.Date(2025, time.October, 6, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(x)))
		f.Value, f.Low, f.High = append(f.Value, v), append(f.Low, v-7), append(f.High, v+6)
		f.Trend.X, f.Trend.Y = append(f.Trend.X, x), append(f.Trend.Y, line)
		half := 2 + math.Abs(x-33)/8
		f.Trend.Low, f.Trend.High = append(f.Trend.Low, line-half), append(f.Trend.High, line+half)
	}
	return f
}()

// A measure over weeks of practice, with its trend.
func ExampleOverDates() {
	svg := figure.SVG(dates, figure.Options{})
	fmt.Println(kept("dates.svg", svg))
	// Output: dates.svg is as kept
}

// levelling is a share that levels off, with the level that it tends to.
var levelling = func() figure.OverDates {
	f := dates
	f.Value, f.Low, f.High, f.Pain, f.Trend = nil, nil, nil, nil, figure.Curve{}
	for k := range f.Dates {
		x := 3.5 * float64(k)
		line := 80 - 50*math.Exp(-x/15)
		f.Value = append(f.Value, line+3*math.Sin(float64(k*k)))
		f.Trend.X, f.Trend.Y = append(f.Trend.X, x), append(f.Trend.Y, line)
		f.Trend.Low, f.Trend.High = append(f.Trend.Low, line-3), append(f.Trend.High, line+3)
	}
	f.Level = estimate.Value[float64]{Value: 80, Low: 76, High: 86, Level: 0.95, N: 20}
	return f
}()

// A learning curve with the level that it tends to.
func ExampleOverDates_level() {
	svg := figure.SVG(levelling, figure.Options{})
	fmt.Println(kept("dates-level.svg", svg))
	// Output: dates-level.svg is as kept
}
