package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// earlyLate is a path angle and a duration that get steadier, and a length that
// does not.
var earlyLate = func() figure.EarlyLate {
	pair := func(name, unit string, middle, early, late float64) figure.Pair {
		p := figure.Pair{Name: name, Unit: unit}
		for k := range 60 {
			p.Early = append(p.Early, middle+early*math.Sin(float64(k*k)))
			p.Late = append(p.Late, middle+late*math.Cos(float64(3*k*k)))
		}
		return p
	}
	return figure.EarlyLate{Pairs: []figure.Pair{
		pair("path angle", "degrees", 12, 6, 2),
		pair("stroke duration", "ms", 91, 14, 6),
		pair("stroke length", "mm", 10, 1, 1),
	}}
}()

// The first part of a take beside the last.
func ExampleEarlyLate() {
	svg := figure.SVG(earlyLate, figure.Options{})
	fmt.Println(kept("early-late.svg", svg))
	// Output: early-late.svg is as kept
}
