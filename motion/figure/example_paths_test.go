package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// paths is a tip that goes along an axis of 12 degrees, one string below it.
var paths = func() figure.Paths {
	f := figure.Paths{
		Unit: "mm", HeightsKnown: true,
		Angle: estimate.Value[circular.Angle]{
			Value: 12 * circular.Degree, Low: 11.6 * circular.Degree, High: 12.3 * circular.Degree, Level: 0.95, N: 50,
		},
		Strings: []figure.Mark{
			{Name: "string 2", Point: figure.Point{X: -9}},
			{Name: "string 1", Point: figure.Point{X: 0.5}},
		},
	}
	for i := range 1000 {
		phase := 2 * math.Pi * float64(i) / 20
		across := -5*math.Cos(phase) + 0.3*math.Sin(phase/9)
		f.Across = append(f.Across, across)
		f.Out = append(f.Out, across*math.Tan(12*math.Pi/180)+0.4*math.Sin(phase)+0.2*math.Sin(phase/7))
	}
	return f
}()

// The path as seen along the strings.
func ExamplePaths() {
	svg := figure.SVG(paths, figure.Options{})
	fmt.Println(kept("paths.svg", svg))
	// Output: paths.svg is as kept
}
