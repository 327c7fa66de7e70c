package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// cohort is an evening class of two groups, in which those who scatter more early
// gain more later.
var cohort = func() figure.CohortScatter {
	f := figure.CohortScatter{
		Groups: []figure.Players{{Name: "Monday class"}, {Name: "Thursday class"}},
		XName:  "early scatter of the path angle", XUnit: "degrees", YName: "gain in settled share", YUnit: "points",
	}
	for k := range 30 {
		g := &f.Groups[k%2]
		x := 5 + 3*math.Sin(float64(k*k))
		y := 4*x - 6 + 9*math.Cos(float64(3*k*k))
		g.X, g.Y = append(g.X, x), append(g.Y, y)
		g.YLow, g.YHigh = append(g.YLow, y-5), append(g.YHigh, y+5)
	}
	for x := 2.0; x <= 8; x++ {
		half := 3 + math.Abs(x-5)
		f.Fitted.X, f.Fitted.Y = append(f.Fitted.X, x), append(f.Fitted.Y, 4*x-6)
		f.Fitted.Low, f.Fitted.High = append(f.Fitted.Low, 4*x-6-half), append(f.Fitted.High, 4*x-6+half)
	}
	return f
}()

// A study: early variability against later gain.
func ExampleCohortScatter() {
	svg := figure.SVG(cohort, figure.Options{})
	fmt.Println(kept("cohort.svg", svg))
	// Output: cohort.svg is as kept
}
