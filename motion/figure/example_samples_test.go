package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
)

// samples is a channel of a sensor on the hand with the moments of its strums.
var samples = func() figure.SamplesOverTime {
	f := figure.SamplesOverTime{
		Columns: []figure.Samples{{Name: "the channel", Line: true}, {Name: "downstroke"}, {Name: "upstroke"}},
		Name:    "channel",
	}
	value := func(t float64) float64 { return 40 * math.Sin(2*math.Pi*2*t) }
	for k := range 120 {
		t := float64(k) / 40
		y := value(t)
		if k > 70 && k < 76 {
			y = math.NaN() // not recorded
		}
		f.Columns[0].T, f.Columns[0].Y = append(f.Columns[0].T, t), append(f.Columns[0].Y, y)
	}
	for k := range 11 {
		t := float64(k+1) / 4
		c := &f.Columns[1+k%2]
		c.T, c.Y = append(c.T, t), append(c.Y, value(t))
	}
	return f
}()

// A channel of a motion sensor as a line, the strums on it as dots.
func ExampleSamplesOverTime() {
	svg := figure.SVG(samples, figure.Options{})
	fmt.Println(kept("samples.svg", svg))
	// Output: samples.svg is as kept
}
