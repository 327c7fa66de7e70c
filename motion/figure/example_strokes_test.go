package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// strokes are 14 s at 10 strokes a second: searching, settled, a rest, settled.
var strokes = func() figure.StrokesOverTime {
	f := figure.StrokesOverTime{Unit: "mm"}
	for k := range 140 {
		if k >= 70 && k < 85 {
			continue // a rest
		}
		f.Strokes = append(f.Strokes, figure.Stroke{
			Start: float64(k) / 10, End: float64(k+1) / 10, Settled: k >= 30, EndHidden: k%23 == 5, StartHidden: k%23 == 6,
		})
	}
	for i := range 14 * 60 {
		t := float64(i) / 60
		size := 5.0
		if t < 3 {
			size += 2 * math.Sin(7*t)
		}
		f.T = append(f.T, t)
		f.Across = append(f.Across, -size*math.Cos(10*math.Pi*t)+0.6*math.Sin(t/2))
	}
	return f
}()

// The tip across the strings over time.
func ExampleStrokesOverTime() {
	svg := figure.SVG(strokes, figure.Options{})
	fmt.Println(kept("strokes.svg", svg))
	// Output: strokes.svg is as kept
}
