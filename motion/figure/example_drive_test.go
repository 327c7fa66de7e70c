package figure_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/estimate"
)

// drive is a motion out of the wrist, with some rotation of the forearm.
var drive = func() figure.DriveOverTime {
	f := figure.DriveOverTime{Settled: []figure.Span{{Start: 5, End: 14}}}
	for k := range 140 {
		f.T = append(f.T, float64(k)/10)
	}
	for i, c := range []struct {
		name  string
		share float64
	}{{"elbow", 0.1}, {"forearm rotation", 0.25}, {"wrist", 0.6}, {"fingers and grip", 0.05}} {
		s := figure.Share{Name: c.name, Value: estimate.Value[float64]{Value: c.share, Low: c.share - 0.06, High: c.share + 0.05, Level: 0.95, N: 140}}
		for k := range f.T {
			s.Strokes = append(s.Strokes, c.share+0.05*math.Sin(float64((k+i)*(k+2*i))))
		}
		f.Shares = append(f.Shares, s)
	}
	return f
}()

// What moves the tip, stroke by stroke.
func ExampleDriveOverTime() {
	svg := figure.SVG(drive, figure.Options{})
	fmt.Println(kept("drive.svg", svg))
	// Output: drive.svg is as kept
}
