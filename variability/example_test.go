package variability_test

import (
	"fmt"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// strokes returns the lengths in mm of 600 strokes at 10 a second: scatter
// shrinks from 1.5 mm to 0.5 mm, and downstrokes are 2 mm longer.
func strokes() (times, lengths []float64) {
	x := autoregression(600, 0.3, 11)
	for i := range x {
		x[i] = 12 + float64(2*((i+1)%2)) + x[i]*(1.5-float64(i)/600)
	}
	return series.Times(600, 0.1), x
}

// Durations of strokes in milliseconds, known to 2 ms.
func ExampleSpreadOf() {
	durations := each(autoregression(200, 0.3, 5), func(v float64) float64 { return 95 + 6*v })
	s := variability.SpreadOf(durations, variability.Options{Noise: 2})
	fmt.Printf("SD %.1f ms (%.1f to %.1f)\n", s.SD.Value, s.SD.Low, s.SD.High)
	fmt.Printf("CV %.1f %% (%.1f to %.1f)\n", 100*s.CV.Value, 100*s.CV.Low, 100*s.CV.High)
	// Output:
	// SD 5.8 ms (5.2 to 6.7)
	// CV 6.1 % (5.5 to 6.9)
}

func ExampleAxialSpread() {
	angles := make([]circular.Angle, 200) // of strokes near 88°, some beyond 90°
	for i, v := range autoregression(200, 0.3, 5) {
		angles[i] = (circular.Angle(3*v+88) * circular.Degree).Axial()
	}
	s := variability.AxialSpread(angles, variability.Options{})
	fmt.Printf("%.1f° (%.1f° to %.1f°)\n", s.Value.Degrees(), s.Low.Degrees(), s.High.Degrees())
	// Output:
	// 3.1° (2.8° to 3.5°)
}

// Downstrokes of 14 mm, upstrokes of 12 mm: neighbours are opposites.
func ExampleAutocorrelation() {
	lengths := []float64{14, 12, 14.2, 12.1, 13.9, 11.8, 14.1, 12}
	fmt.Printf("%.2f %.2f\n", variability.Autocorrelation(lengths, 1), variability.Autocorrelation(lengths, 2))
	// Output:
	// -0.87 0.74
}

// The sleep data of Student: hours gained with two drugs.
func ExampleHedgesG() {
	a := []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2}
	b := []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	fmt.Printf("g = %.4f, δ = %.2f\n", variability.HedgesG(a, b), variability.CliffDelta(a, b))
	// Output:
	// g = 0.7969, δ = 0.49
}

func ExampleCliffDelta() {
	early := []float64{10, 10, 20, 20, 20, 30, 30, 30, 40, 50}
	late := []float64{10, 20, 30, 40, 40, 50}
	fmt.Println(variability.CliffDelta(early, late))
	// Output:
	// 0.25
}

func ExampleBrownForsythe() {
	early := []float64{0.42, 0.38, 0.51, 0.47, 0.40, 0.55, 0.36, 0.49}
	late := []float64{0.31, 0.29, 0.33, 0.30, 0.34, 0.28, 0.32, 0.31}
	fmt.Printf("W = %.4f\n", variability.BrownForsythe(early, late))
	// Output:
	// W = 15.4427
}

// Efron and Tibshirani's mouse data: survival with and without a treatment.
func ExamplePermutation() {
	treated := []float64{94, 197, 16, 38, 99, 141, 23}
	control := []float64{52, 104, 146, 10, 51, 30, 40, 27, 46}
	t := variability.Permutation(control, treated, 1, variability.Options{Draws: 11440})
	fmt.Printf("%.2f days, P = %.4f\n", t.Statistic, t.P)
	// Output:
	// 30.63 days, P = 0.2783
}

func ExampleEarlyLate() {
	times, lengths := strokes()
	c, err := variability.EarlyLate(times, lengths, variability.EarlyLateOptions{Cycles: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("scatter %.2f, then %.2f mm\n", c.Early.SD, c.Late.SD)
	fmt.Printf("ratio %.2f (%.2f to %.2f), P = %.3f\n", c.Ratio.Value, c.Ratio.Low, c.Ratio.High, c.Scatter.P)
	fmt.Printf("mean moved by %.1f mm (%.1f to %.1f)\n", c.Difference.Value, c.Difference.Low, c.Difference.High)

	c, err = variability.EarlyLate(times[:60], lengths[:60], variability.EarlyLateOptions{Cycles: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("after 6 s:", c.Ratio.Absent.Why)
	// Output:
	// scatter 0.93, then 0.61 mm
	// ratio 0.65 (0.46 to 0.92), P = 0.008
	// mean moved by -0.3 mm (-0.5 to -0.1)
	// after 6 s: the take is too short for that: a part of it holds 9 cycles, and a comparison needs 15
}
