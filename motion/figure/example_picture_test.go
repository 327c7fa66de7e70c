package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// film is an end-on film at 12 px/mm, its y downward, as most films have it.
var film = func() figure.Picture {
	f := figure.Picture{
		Unit: "px", PerMM: 12,
		Arrows: []figure.Arrow{
			{Name: "treble side", X: 0.97, Y: -0.26},
			{Name: "outward", X: -0.26, Y: -0.97},
		},
		Marks: []figure.Mark{
			{Name: "bass mark", Point: figure.Point{X: 560, Y: 405}},
			{Name: "treble mark", Point: figure.Point{X: 720, Y: 362}},
		},
	}
	for i := range 400 {
		phase := 2 * math.Pi * float64(i) / 20
		across, out := -5*math.Cos(phase), -math.Cos(phase)+0.4*math.Sin(phase)+0.2*math.Sin(phase/7)
		f.X = append(f.X, 640+12*(0.97*across-0.26*out))
		f.Y = append(f.Y, 372-12*(0.26*across+0.97*out))
	}
	f.DownFrom, f.DownTo = figure.Point{X: f.X[0], Y: f.Y[0]}, figure.Point{X: f.X[10], Y: f.Y[10]}
	return f
}()

// What to hold beside the film before any finding is read.
func ExamplePicture() {
	svg := figure.SVG(film, figure.Options{})
	fmt.Println(kept("picture.svg", svg))
	// Output: picture.svg is as kept
}
