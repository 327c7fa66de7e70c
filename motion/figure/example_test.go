package figure_test

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// words prints the texts of a figure that are no numbers.
func words(svg []byte) {
	for _, m := range regexp.MustCompile(`>([^<]*[a-z][^<]*)</text>`).FindAllSubmatch(svg, -1) {
		fmt.Printf("%s\n", m[1])
	}
}

func ExamplePaths() {
	svg := figure.SVG(figure.Paths{
		Across: []float64{-3, -1, 1, 3, 1, -1, -3},
		Out:    []float64{-0.6, 0, 0.3, 0.6, 0.2, -0.2, -0.6},
		Unit:   "mm",
		Angle: estimate.Value[circular.Angle]{
			Value: 11.3 * circular.Degree, Low: 10.9 * circular.Degree, High: 11.7 * circular.Degree, Level: 0.95, N: 6,
		},
		HeightsKnown: true,
		Strings:      []figure.Mark{{Name: "1st string", Point: figure.Point{X: 0.5}}},
	}, figure.Options{})
	words(svg)
	// Output:
	// tip
	// string plane
	// axis of the path, 11.3° (10.9° to 11.7°)
	// out from the strings, mm
	// across the strings (treble side right), mm
	// 1st string
}

func ExampleStrokesOverTime() {
	svg := figure.SVG(figure.StrokesOverTime{
		T:      []float64{0, 0.02, 0.04, 0.06, 0.08, 0.10, 0.12},
		Across: []float64{-3, 0, 3, 0, -3, 0, 3},
		Unit:   "mm",
		Strokes: []figure.Stroke{
			{Start: 0, End: 0.04},
			{Start: 0.04, End: 0.08, Settled: true},
			{Start: 0.08, End: 0.12, Settled: true},
		},
	}, figure.Options{})
	words(svg)
	// Output:
	// settled
	// searching
	// across the strings (treble side up), mm
	// time, s
}

func ExampleRateOverTime() {
	svg := figure.SVG(figure.RateOverTime{
		T:       []float64{0.1, 0.3, 0.5, 0.7},
		Rate:    []float64{10.8, 11.1, 11.0, 11.0}, // 11 a second are sixteenths at 165 BPM
		Settled: []figure.Span{{Start: 0.2, End: 0.8}},
	}, figure.Options{})
	words(svg)
	// Output:
	// one cycle
	// settled
	// notes per second
	// BPM, if sixteenths
	// time, s
}

func ExampleAngleOverTime() {
	svg := figure.SVG(figure.AngleOverTime{
		T:     []float64{0.1, 0.2, 0.3},
		Angle: []float64{11, 12, 11},
		Low:   []float64{7, 8, 7}, // wide intervals: a band stands for the points
		High:  []float64{15, 16, 15},
	}, figure.Options{})
	words(svg)
	// Output:
	// 95 % interval of a stroke
	// middle of the strokes
	// path angle, degrees
	// time, s
}

func ExampleCarryOverTime() {
	svg := figure.SVG(figure.CarryOverTime{
		T:       []float64{0.1, 0.2, 0.3, 0.4},
		Carry:   []float64{0.42, 0.4, 0.44, 0.41},
		Settled: []figure.Span{{Start: 0.05, End: 0.45}},
	}, figure.Options{})
	fmt.Println(strings.Contains(string(svg), "carry, as a share of the tip"))
	// Output: true
}

func ExampleEarlyLate() {
	svg := figure.SVG(figure.EarlyLate{Pairs: []figure.Pair{
		{Name: "path angle", Unit: "degrees", Early: []float64{8, 12, 15}, Late: []float64{11, 12, 12}},
		{Name: "length", Unit: "mm", Early: []float64{5, 7, 9}, Late: []float64{6, 6, 7}},
	}}, figure.Options{})
	words(svg)
	// Output:
	// early
	// late
	// middle half, and median
	// path angle, degrees
	// early
	// late
	// length, mm
	// early
	// late
}

func ExamplePicture() {
	svg := figure.SVG(figure.Picture{
		X: []float64{604, 640, 676}, Y: []float64{370, 360, 350}, Unit: "px",
		Arrows: []figure.Arrow{
			{Name: "treble side", X: 1, Y: -0.3},
			{Name: "outward", X: -0.3, Y: -1}, // up in a film, whose y grows downward
		},
		DownFrom: figure.Point{X: 604, Y: 370},
		DownTo:   figure.Point{X: 676, Y: 350},
		PerMM:    12,
	}, figure.Options{})
	words(svg)
	// Output:
	// tip
	// first downstroke
	// y in the film, px
	// x in the film, px
	// treble side
	// outward
	// 1 mm
}

func ExampleTurnScatter() {
	svg := figure.SVG(figure.TurnScatter{
		AfterUp:   figure.Turns{Across: []float64{-3.1, -3, -2.9}, Second: []float64{-0.6, -0.5, -0.6}},
		AfterDown: figure.Turns{Across: []float64{3, 3.2, 3.1}, Second: []float64{0.6, 0.7, 0.6}},
		Second:    "out",
		Unit:      "mm",
	}, figure.Options{})
	words(svg)
	// Output:
	// middle of the turns
	// after upstrokes
	// out, mm
	// across, mm
	// after downstrokes
	// out, mm
	// across, mm
}
