package circular_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// Zar (2010), Biostatistical Analysis, example 27.3: no evidence against 90°.
func ExampleMeanTest() {
	angles := degrees(66, 75, 86, 88, 88, 93, 97, 101, 118, 130)
	t := circular.MeanTest(angles, 90*circular.Degree, circular.Options{})
	fmt.Printf("P %.2f\n", t.P)
	// Output:
	// P 0.49
}

// Zar (2010), example 27.2: V 9.498, u 4.248.
func ExampleVTest() {
	angles := degrees(66, 75, 86, 88, 88, 93, 97, 101, 118, 130)
	t := circular.VTest(angles, 90*circular.Degree, circular.Options{})
	fmt.Printf("u %.3f, P %.1e\n", t.Statistic, t.P)
	// Output:
	// u 4.247, P 3.0e-08
}

func ExampleWatsonU2() {
	// Phases that gather on two opposite sides of the cycle.
	phases := degrees(2, 5, 355, 8, 181, 176, 184, 190, 358, 179, 186, 1, 353, 172)
	t := circular.WatsonU2(phases, circular.Options{})
	r := circular.Directional(phases, circular.Options{})
	fmt.Printf("U² %.3f, P %.3f; Rayleigh P %.2f\n", t.Statistic, t.P, r.RayleighP)
	// Output:
	// U² 0.236, P 0.017; Rayleigh P 1.00
}

// Zar (2010), examples 26.3 and 26.5: 105 directions in twelve groups.
func ExampleGrouped() {
	counts := []float64{0, 6, 9, 13, 15, 22, 17, 12, 8, 3, 0, 0}
	mids := make([]circular.Angle, len(counts))
	for i := range mids {
		mids[i] = circular.Angle(15+30*i) * circular.Degree
	}
	s := circular.Grouped(mids, counts, 30*circular.Degree, circular.Options{})
	fmt.Printf("%d angles, mean %.0f°, r %.4f, sd %.0f°\n", s.N, s.Mean.Value.Degrees(), s.R, s.SD.Degrees())
	// Output:
	// 105 angles, mean 162°, r 0.5570, sd 62°
}

func ExampleQuantile() {
	axes := degrees(3, 179, 2, 1, 178, 4, 176)
	o := circular.Options{Axes: true}
	low, high := circular.Quantile(axes, 0.25, o), circular.Quantile(axes, 0.75, o)
	fmt.Printf("half of the strokes between %.1f° and %.1f°\n", low.Value.Degrees(), high.Value.Degrees())
	// Output:
	// half of the strokes between -1.5° and 2.5°
}

func ExampleShortestArc() {
	a := circular.ShortestArc(degrees(350, 10, 355, 5, 180, 1), 0.8, circular.Options{})
	fmt.Printf("%d of 6 within %.0f°, from %.0f°\n", a.N, a.Width.Degrees(), a.From.Degrees())
	// Output:
	// 5 of 6 within 20°, from -10°
}

// Zar (2010), example 27.8: F 1.86 on 2 and 16 degrees of freedom.
func ExampleWatsonWilliams() {
	t := circular.WatsonWilliams([][]circular.Angle{
		degrees(135, 145, 125, 140, 165, 170),
		degrees(150, 130, 175, 190, 180, 220),
		degrees(140, 165, 185, 180, 125, 175, 140),
	}, circular.Options{})
	fmt.Printf("F %.2f on %.0f and %.0f, P %.3f\n", t.Statistic, t.DF[0], t.DF[1], t.P)
	// Output:
	// F 1.86 on 2 and 16, P 0.187
}

func ExampleEqualConcentration() {
	t := circular.EqualConcentration([][]circular.Angle{
		degrees(135, 145, 125, 140, 165, 170),
		degrees(150, 130, 175, 190, 180, 220),
	}, circular.Options{})
	fmt.Printf("F %.2f, P %.2f\n", t.Statistic, t.P)
	// Output:
	// F 0.95, P 0.35
}

// Path angles of the downstrokes of two takes, of which neighbours are alike.
func ExampleMeanDifference() {
	o := circular.Options{Series: true, Axes: true}
	first := angled(series.Spec{Phi: 0.5}.Make(200, 1), 3*circular.Degree)
	second := turned(angled(series.Spec{Phi: 0.5}.Make(150, 2), 2*circular.Degree), 5*circular.Degree)
	d := circular.MeanDifference(first, second, o)
	fmt.Printf("%.0f° (%.0f° to %.0f°)\n", d.Value.Degrees(), d.Low.Degrees(), d.High.Degrees())
	// Output:
	// 5° (4° to 6°)
}

func ExampleEqualMeans() {
	o := circular.Options{Series: true, Axes: true}
	first := angled(series.Spec{Phi: 0.5}.Make(200, 1), 3*circular.Degree)
	second := angled(series.Spec{Phi: 0.5}.Make(150, 2), 6*circular.Degree)
	t := circular.EqualMeans([][]circular.Angle{first, second}, o)
	fmt.Printf("F %.2f, P %.2f\n", t.Statistic, t.P)
	// Output:
	// F 0.02, P 0.90
}

// Wind directions at 6 and at 12 o'clock: Fisher (1993), example 6.8, ρ 0.191.
func ExampleCorrelationT() {
	six := degrees(356, 97, 211, 232, 343, 292, 157, 302, 335, 302, 324, 85, 324, 340, 157, 238, 254, 146, 232, 122, 329)
	noon := degrees(119, 162, 221, 259, 270, 29, 97, 292, 40, 313, 94, 45, 47, 108, 221, 270, 119, 248, 270, 45, 23)
	fmt.Printf("ρ %.3f\n", circular.CorrelationT(six, noon, circular.Options{}).Statistic)
	// Output:
	// ρ 0.191
}

// The same: Jammalamadaka & SenGupta (2001), example 8.1, r 0.27, P 0.22.
func ExampleCorrelationSine() {
	six := degrees(356, 97, 211, 232, 343, 292, 157, 302, 335, 302, 324, 85, 324, 340, 157, 238, 254, 146, 232, 122, 329)
	noon := degrees(119, 162, 221, 259, 270, 29, 97, 292, 40, 313, 94, 45, 47, 108, 221, 270, 119, 248, 270, 45, 23)
	t := circular.CorrelationSine(six, noon, circular.Options{Draws: 9999})
	fmt.Printf("r %.2f, P %.2f\n", t.Statistic, t.P)
	// Output:
	// r 0.27, P 0.23
}

func ExampleCorrelationLinear() {
	phase := degrees(0, 45, 90, 135, 180, 225, 270, 315)
	millimetres := []float64{3.1, 2.6, 2.2, 1.4, 1.0, 1.2, 2.1, 2.8}
	t := circular.CorrelationLinear(phase, millimetres, circular.Options{})
	fmt.Printf("R² %.2f, P %.3f\n", t.Statistic, t.P)
	// Output:
	// R² 0.98, P 0.001
}
