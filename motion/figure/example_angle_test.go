package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// angle is a path angle that searches for four seconds and then holds.
var angle = func() figure.AngleOverTime {
	f := figure.AngleOverTime{Settled: []figure.Span{{Start: 4, End: 14}}}
	for k := range 140 {
		t, spread := float64(k)/10, 1.0
		if t < 4 {
			spread = 6
		}
		v := 12 + spread*math.Sin(float64(k*k))
		f.T, f.Angle = append(f.T, t), append(f.Angle, v)
		f.Low, f.High = append(f.Low, v-0.4), append(f.High, v+0.4)
	}
	return f
}()

// The path angle of every stroke over a take.
func ExampleAngleOverTime() {
	svg := figure.SVG(angle, figure.Options{})
	fmt.Println(kept("angle.svg", svg))
	// Output: angle.svg is as kept
}
