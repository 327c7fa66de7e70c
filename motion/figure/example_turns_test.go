package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// turns are tighter on the treble side than on the bass side.
var turns = func() figure.TurnScatter {
	f := figure.TurnScatter{Second: "out", Unit: "mm"}
	for k := range 80 {
		a, b := math.Sin(float64(k*k)), math.Cos(float64(3*k*k))
		f.AfterUp.Across = append(f.AfterUp.Across, -5+0.6*a)
		f.AfterUp.Second = append(f.AfterUp.Second, -1.1+0.4*b)
		f.AfterDown.Across = append(f.AfterDown.Across, 5+0.3*b)
		f.AfterDown.Second = append(f.AfterDown.Second, 1.1+0.2*a)
	}
	return f
}()

// Where the strokes turn, on each side of the strings.
func ExampleTurnScatter() {
	svg := figure.SVG(turns, figure.Options{})
	fmt.Println(kept("turns.svg", svg))
	// Output: turns.svg is as kept
}
