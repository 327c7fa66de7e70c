package cycle_test

import (
	"fmt"
	"math"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// placed makes a take of strokes at 17 degrees and places it in the instrument
// frame.
func placed(o simulate.Options) trajectory.Placed {
	take, err := simulate.Make(o)
	if err != nil {
		panic(err)
	}
	f, err := trajectory.NewFrame(&take.Recording, trajectory.FrameOptions{
		View:  trajectory.EndOn,
		Marks: trajectory.Marks{Bass: trajectory.Mark{At: take.Truth.Bass[:2]}, Treble: trajectory.Mark{At: take.Truth.Treble[:2]}}, DistanceMM: take.Truth.MarkDistance,
	})
	if err != nil {
		panic(err)
	}
	p, err := f.Place(trajectory.Placed{}, take.Recording.Points[0])
	if err != nil {
		panic(err)
	}
	return p
}

// fit returns the mean cycle of a whole take.
func fit(o simulate.Options) cycle.Cycle {
	p := placed(o)
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		panic(err)
	}
	c, err := cycle.Fit(p, m, m.Strokes, cycle.Options{View: trajectory.EndOn})
	if err != nil {
		panic(err)
	}
	return c
}

func ExampleFit() {
	p := placed(simulate.Options{PathAngle: 17 * circular.Degree, Curvature: 0.02, FrameRate: 120, Duration: 12})
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		panic(err)
	}
	c, err := cycle.Fit(p, m, m.Strokes, cycle.Options{View: trajectory.EndOn})
	if err != nil {
		panic(err)
	}
	fmt.Printf("%d cycles, %.1f strokes a second\n", c.Cycles, c.Rate.Value)
	fmt.Printf("length %.0f mm, path angle %.0f degrees, curvature %.2f/mm\n", c.Length.Value, c.PathAngle.Value.Degrees(), c.Curvature.Value)
	fmt.Println("clears the strings:", c.Clearing)
	fmt.Printf("single cycles lie %.2f mm off the mean one\n", c.Evenness.Value)
	fmt.Println("skew:", c.Skew.Absent.Why)
	// Output:
	// 60 cycles, 10.0 strokes a second
	// length 10 mm, path angle 17 degrees, curvature 0.02/mm
	// clears the strings: after downstrokes
	// single cycles lie 0.35 mm off the mean one
	// skew: this view does not show travel along the strings
}

func ExampleCycle_At() {
	c := fit(simulate.Options{PathAngle: 17 * circular.Degree, Duration: 12})
	for _, phase := range []float64{0, 0.25, 0.5} {
		x, v := c.At(phase)
		fmt.Printf("%.2f: %.0f mm across, %.0f mm/s\n", phase, x.Across, math.Round(v.Across/50)*50+0)
	}
	// Output:
	// 0.00: 0 mm across, 0 mm/s
	// 0.25: 5 mm across, 150 mm/s
	// 0.50: 10 mm across, 0 mm/s
}

func ExampleCycle_Band() {
	// More cycles know the mean cycle better.
	for _, seconds := range []float64{5, 60} {
		c := fit(simulate.Options{Duration: seconds, LengthScatter: 0.1})
		low, high := c.Band(c.DownShare.Value)
		fmt.Printf("%.0f s: known to %.2f mm either way\n", seconds, (high.Across-low.Across)/2)
	}
	// Output:
	// 5 s: known to 0.14 mm either way
	// 60 s: known to 0.05 mm either way
}

func ExampleCycle_Spread() {
	// Turns scatter, and the middle of strokes half as much.
	c := fit(simulate.Options{LengthScatter: 0.1, AngleScatter: -1, Duration: 30})
	fmt.Printf("at a turn %.1f mm, in mid-stroke %.1f mm\n", c.Spread(c.DownShare.Value).Across, c.Spread(c.DownShare.Value/2).Across)
	// Output:
	// at a turn 0.7 mm, in mid-stroke 0.5 mm
}

func ExampleSmooth() {
	p := placed(simulate.Options{Rate: 4, Duration: 40, Noise: 0.05})
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		panic(err)
	}
	s, err := cycle.Smooth(p, m, m.Strokes, cycle.SmoothOptions{})
	if err != nil {
		panic(err)
	}
	fmt.Printf("log dimensionless jerk %.1f over %d stretches of %d strokes\n", s.LogJerk.Value, s.LogJerk.N, s.Options.Strokes)

	// Fast strokes lie beyond the published cut-off of the other index.
	p = placed(simulate.Options{Rate: 12})
	if m, err = motion.Analyze(p, motion.Options{}); err != nil {
		panic(err)
	}
	if s, err = cycle.Smooth(p, m, m.Strokes, cycle.SmoothOptions{}); err != nil {
		panic(err)
	}
	fmt.Println("spectral arc length:", s.SpectralArc.Absent.Why)
	// Output:
	// log dimensionless jerk -14.8 over 10 stretches of 16 strokes
	// spectral arc length: its cut-off of 10 Hz takes away the strokes themselves, of which there are 12 a second
}

// The bell exp(-5t²) of the authors' documentation.
func ExampleSpectralArcLength() {
	speed := make([]float64, 200)
	for i := range speed {
		t := -1 + 0.01*float64(i)
		speed[i] = math.Exp(-5 * t * t)
	}
	fmt.Printf("%.5f\n", cycle.SpectralArcLength(speed, 100, cycle.SpectralOptions{}))
	fmt.Printf("%.5f\n", cycle.LogDimensionlessJerk([][]float64{speed}, 100))
	// Output:
	// -1.41403
	// -5.81636
}

// A minimum-jerk movement, against its closed form -ln(1024/5) = -5.3220.
func ExampleLogDimensionlessJerk() {
	speed := make([]float64, 1001)
	for i := range speed {
		u := float64(i) / 1000
		speed[i] = 30 * u * u * (1 - u) * (1 - u)
	}
	fmt.Printf("%.4f\n", cycle.LogDimensionlessJerk([][]float64{speed}, 1000))
	// Output:
	// -5.3200
}

func ExampleFromCycle() {
	tutor := fit(simulate.Options{Seed: 1, PathAngle: 17 * circular.Degree, Duration: 12})
	ref, err := cycle.FromCycle(tutor, "slow sixteenths, close to the strings", cycle.Margins{PathAngle: 2 * circular.Degree})
	if err != nil {
		panic(err)
	}
	b, err := ref.JSON()
	if err != nil {
		panic(err)
	}
	fmt.Println(strings.Join(strings.Split(string(b), "\n")[:4], "\n"))

	pupil := fit(simulate.Options{Seed: 2, PathAngle: 25 * circular.Degree, Rate: 7, Duration: 12})
	angle, _ := ref.Distance(pupil).Component("path angle")
	fmt.Printf("the pupil's path angle is %.0f degrees more: %v\n", angle.Difference.Value, angle.Answer)
	// Output:
	// {
	//   "schema": "plectrace/reference/1",
	//   "note": "slow sixteenths, close to the strings",
	//   "view": "end-on",
	// the pupil's path angle is 8 degrees more: outside
}

// The turns of a reference lie one length apart.
func ExampleShape_At() {
	ref, err := cycle.FromCycle(fit(simulate.Options{PathAngle: 20 * circular.Degree}), "", cycle.Margins{})
	if err != nil {
		panic(err)
	}
	from, to := ref.Shape.At(0), ref.Shape.At(ref.Shape.DownShare)
	fmt.Printf("a downstroke goes %.2f across and %.2f out, lengths of a stroke\n", to.Across-from.Across, to.Out-from.Out)
	fmt.Println("along:", to.Along)
	// Output:
	// a downstroke goes 0.94 across and 0.34 out, lengths of a stroke
	// along: NaN
}

func ExampleReference_JSON() {
	angle := 20 * circular.Degree
	b, err := cycle.Reference{Note: "steep", PathAngle: &angle}.JSON()
	if err != nil {
		panic(err)
	}
	fmt.Print(string(b))
	// Output:
	// {
	//   "schema": "plectrace/reference/1",
	//   "note": "steep",
	//   "angle_deg": 20
	// }
}

func ExampleReference_Distance() {
	angle, curvature := 20*circular.Degree, 0.02
	ref := cycle.Reference{View: trajectory.EndOn, PathAngle: &angle, Curvature: &curvature}
	d := ref.Distance(fit(simulate.Options{PathAngle: 26 * circular.Degree, Curvature: 0.02, Duration: 12}))
	for _, c := range d.Components {
		fmt.Printf("%s: %v\n", c.Name, c.Answer)
	}
	fmt.Println("together:", d.Answer)

	// Two seconds are too short to tell 17 degrees from 20 give or take 3.
	d = ref.Distance(fit(simulate.Options{PathAngle: 17 * circular.Degree, Curvature: 0.02, Duration: 2}))
	c, _ := d.Component("path angle")
	fmt.Println("of two seconds:", c.Answer)
	// Output:
	// path angle: outside
	// curvature: inside
	// together: outside
	// of two seconds: cannot say
}

func ExampleParseReference() {
	ref, err := cycle.ParseReference(strings.NewReader(`{
		"schema": "plectrace/reference/1",
		"note": "steep enough to clear after downstrokes",
		"angle_deg": 20,
		"clearing": "after downstrokes",
		"margin": {"angle_deg": 4}
	}`))
	if err != nil {
		panic(err)
	}
	d := ref.Distance(fit(simulate.Options{PathAngle: 21 * circular.Degree, Duration: 12}))
	for _, c := range d.Components {
		fmt.Println(c.Name, c.Answer)
	}
	fmt.Println("on the whole", d.Answer)

	_, err = cycle.ParseReference(strings.NewReader("{\n\"angel_deg\": 20}"))
	fmt.Println(err)
	// Output:
	// path angle inside
	// clearing inside
	// on the whole inside
	// line 2: there is no key "angel_deg"
}

func ExampleReference_Follow() {
	// A take that finds its angle after six seconds.
	p := placed(simulate.Options{Duration: 18, Plan: []simulate.Stretch{
		{AngleBy: 5 * circular.Degree}, {Start: 6, AngleBy: 20 * circular.Degree, RateBy: 0.9},
	}})
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		panic(err)
	}
	var spans []cycle.Cycle
	for _, part := range [][]motion.Stroke{m.Strokes[:60], m.Strokes[62:]} {
		c, err := cycle.Fit(p, m, part, cycle.Options{View: trajectory.EndOn})
		if err != nil {
			panic(err)
		}
		spans = append(spans, c)
	}
	angle := 20 * circular.Degree
	ref := cycle.Reference{PathAngle: &angle, View: trajectory.EndOn}
	f := ref.Follow(spans, m.Strokes[len(m.Strokes)-1].End)
	fmt.Printf("inside from %.0f s on at %.0f strokes a second, for %.0f s; to the end of the take: %t\n",
		f.First.Value, f.FirstRate.Value, f.Total, f.Censored)
	// Output:
	// inside from 6 s on at 9 strokes a second, for 12 s; to the end of the take: true
}

// Only the angle counts, to within two degrees.
func ExampleMargins_WithDefaults() {
	m := cycle.Margins{PathAngle: 2 * circular.Degree, Skew: -1, Curvature: -1, Shape: -1}.WithDefaults()
	fmt.Printf("%.0f degrees; judged: curvature %t, curvature times length %t\n", m.PathAngle.Degrees(), m.Curvature >= 0, m.CurvatureLength >= 0)
	// Output: 2 degrees; judged: curvature false, curvature times length false
}
