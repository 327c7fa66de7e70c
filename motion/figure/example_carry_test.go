package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// carry falls from 0.7 to 0.3: what began in the arm ends in the wrist.
var carry = func() figure.CarryOverTime {
	f := figure.CarryOverTime{Settled: []figure.Span{{Start: 6, End: 14}}}
	for k := range 140 {
		t := float64(k) / 10
		f.T = append(f.T, t)
		f.Carry = append(f.Carry, 0.5+0.2*math.Cos(t/4.5)+0.04*math.Sin(float64(k*k)))
	}
	return f
}()

// How far the hand goes along with the tip, stroke by stroke.
func ExampleCarryOverTime() {
	svg := figure.SVG(carry, figure.Options{})
	fmt.Println(kept("carry.svg", svg))
	// Output: carry.svg is as kept
}
