package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// meanCycle is a cycle of an axis of 14 degrees against a flatter reference.
var meanCycle = func() figure.MeanCycle {
	loop := func(degrees, width, half float64) figure.Loop {
		l := figure.Loop{Down: 36}
		for i := range 72 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 72)
			across := -5 * cos
			l.Across = append(l.Across, across)
			l.Second = append(l.Second, across*math.Tan(degrees*math.Pi/180)+width*sin-0.3)
			l.HalfAcross, l.HalfSecond = append(l.HalfAcross, half), append(l.HalfSecond, half)
		}
		return l
	}
	return figure.MeanCycle{
		Mean: loop(14, 0.5, 0.12), Reference: loop(9, 0.2, 0.5),
		Second: "out", Unit: "mm", HeightsKnown: true,
		Strings: []figure.Mark{{Name: "string 1", Point: figure.Point{X: 1}}},
	}
}()

// The mean cycle of a settled span beside that of the tutor.
func ExampleMeanCycle() {
	svg := figure.SVG(meanCycle, figure.Options{})
	fmt.Println(kept("cycle.svg", svg))
	// Output: cycle.svg is as kept
}
