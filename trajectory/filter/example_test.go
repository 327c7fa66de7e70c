package filter_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// trace is 10 seconds of a tip at 240 samples per second: 5 cycles per second,
// 8 mm to each side, with a jitter of 0.1 mm.
func trace() []float64 {
	rng := rand.New(rand.NewPCG(1, 1))
	x := make([]float64, 2400)
	for i := range x {
		x[i] = 8*math.Sin(2*math.Pi*5*float64(i)/240) + 0.1*rng.NormFloat64()
	}
	return x
}

// The coefficients for 6 Hz at 60 Hz that textbooks print.
func ExampleOnce() {
	f, err := filter.Once(6, 60)
	if err != nil {
		fmt.Println(err)
		return
	}
	b, a := f.Coefficients()
	fmt.Printf("b %.5f\na %.5f\n", b, a)
	fmt.Printf("late by %.1f samples\n", f.Delay())
	// Output:
	// b [0.06746 0.13491 0.06746]
	// a [1.00000 -1.14298 0.41280]
	// late by 2.2 samples
}

func ExampleLowPass() {
	f, err := filter.LowPass(12, 240)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, hz := range []float64{3, 6, 12, 24} {
		once := f.Gain(hz, 240)
		fmt.Printf("%2g Hz: keeps %.0f %%\n", hz, 100*once*once)
	}
	_, err = filter.LowPass(40, 60)
	fmt.Println(err)
	// Output:
	//  3 Hz: keeps 100 %
	//  6 Hz: keeps 98 %
	// 12 Hz: keeps 71 %
	// 24 Hz: keeps 12 %
	// filter: cut-off 40 Hz is not between 0 and 30 Hz, half the sample rate
}

func ExampleButterworth_ZeroPhase() {
	f, err := filter.LowPass(18, 240)
	if err != nil {
		fmt.Println(err)
		return
	}
	x := trace()
	y := f.ZeroPhase(nil, x)
	var raw, smooth float64
	for i := range x {
		tip := 8 * math.Sin(2*math.Pi*5*float64(i)/240)
		raw += (x[i] - tip) * (x[i] - tip)
		smooth += (y[i] - tip) * (y[i] - tip)
	}
	n := float64(len(x))
	fmt.Printf("off by %.2f mm raw, %.2f mm smooth\n", math.Sqrt(raw/n), math.Sqrt(smooth/n))
	// Output:
	// off by 0.10 mm raw, 0.04 mm smooth
}

func ExampleButterworth_Start() {
	f, err := filter.Once(12, 240)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := f.Start()
	for _, x := range []float64{5, 5, 6, 6, 6, 6} {
		fmt.Printf("%.3f ", s.Push(x))
	}
	// Output:
	// 5.000 5.000 5.020 5.092 5.210 5.350
}

// The table for 5 samples, and what it does to a column: a parabola is kept.
func ExampleSavitzkyGolay_Coefficients() {
	f := filter.SavitzkyGolay{Window: 5, Degree: 2}
	w, err := f.Coefficients(nil, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range w {
		w[i] *= 35
	}
	fmt.Printf("%.0f / 35\n", w)
	_, err = filter.SavitzkyGolay{Window: 8}.Coefficients(nil, 0)
	fmt.Println(err)
	// Output:
	// [-3 12 17 12 -3] / 35
	// filter: a window of 8 samples has no middle one: give an odd number
}

// Speed off a jittering position, by neighbours and by fitted cubics.
func ExampleSavitzkyGolay_Apply() {
	f := filter.SavitzkyGolay{Window: 15}
	x := trace()
	v, err := f.Apply(nil, x, 1, 240)
	if err != nil {
		fmt.Println(err)
		return
	}
	raw := filter.Derivative(nil, x, 240)
	var offRaw, off float64
	for i := range x {
		tip := 8 * 2 * math.Pi * 5 * math.Cos(2*math.Pi*5*float64(i)/240)
		offRaw += (raw[i] - tip) * (raw[i] - tip)
		off += (v[i] - tip) * (v[i] - tip)
	}
	n := float64(len(x))
	fmt.Printf("off by %.0f mm/s raw, %.0f mm/s smooth\n", math.Sqrt(offRaw/n), math.Sqrt(off/n))
	// Output:
	// off by 17 mm/s raw, 4 mm/s smooth
}

// What smoothing leaves of a cycle, and of noise.
func ExampleSavitzkyGolay_Gain() {
	f := filter.SavitzkyGolay{Window: 15}
	fmt.Printf("as a low-pass at %.0f Hz\n", f.Cutoff(240))
	for _, hz := range []float64{5, 10, 20} {
		fmt.Printf("%2g Hz: keeps %.0f %% of the way, %.0f %% of the speed\n", hz, 100*f.Gain(0, hz, 240), 100*f.Gain(1, hz, 240))
	}
	fmt.Printf("leaves %.0f %% of white noise\n", 100*f.NoiseGain(0, 240))
	// Output:
	// as a low-pass at 17 Hz
	//  5 Hz: keeps 100 % of the way, 100 % of the speed
	// 10 Hz: keeps 96 % of the way, 98 % of the speed
	// 20 Hz: keeps 54 % of the way, 72 % of the speed
	// leaves 39 % of white noise
}

// A jump of 4 mm in a moving point, and one of 0.01 mm in a resting one.
func ExampleHampel_Apply() {
	x := []float64{0, 1, 2, 7, 4, 5, 6, 6, 6, 6.01, 6, 6, 6}
	flags := make([]bool, len(x))
	y, n := filter.Hampel{HalfWidth: 2}.Apply(nil, flags, x)
	fmt.Println(n, y)
	y, n = filter.Hampel{HalfWidth: 2, Floor: 0.5}.Apply(nil, flags, x)
	fmt.Println(n, y)
	// Output:
	// 1 [0 1 2 7 4 5 6 6 6 6 6 6 6]
	// 0 [0 1 2 7 4 5 6 6 6 6.01 6 6 6]
}

func ExampleResidualAnalysis() {
	r, err := filter.ResidualAnalysis(trace(), 240, filter.ResidualOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut-off %.1f Hz, noise %.2f mm\n", r.Cutoff, r.NoiseRMS)
	// Output:
	// cut-off 13.9 Hz, noise 0.10 mm
}

func ExampleNoiseShare() {
	// Of 0.5 px of noise in each of 120 frames/s, after a low-pass at 10 Hz:
	fmt.Printf("%.2f px\n", 0.5*math.Sqrt(filter.NoiseShare(10, 120)))
	// Output: 0.21 px
}

func ExampleNoiseLevelIn() {
	x := trace()
	scratch := make([]float64, len(x)) // for any number of columns
	fmt.Printf("%.1f mm\n", filter.NoiseLevelIn(scratch, x))
	// Output: 0.1 mm
}

func ExampleNoiseLevel() {
	fmt.Printf("%.1f mm\n", filter.NoiseLevel(trace()))
	// Output:
	// 0.1 mm
}

func ExampleDerivative() {
	fmt.Printf("%.0f mm/s\n", filter.Derivative(nil, []float64{0, 1, 4, 9, 16}, 10))
	// Output:
	// [0 20 40 60 80] mm/s
}

func ExampleGradient() {
	t := []float64{0, 0.1, 0.25, 0.3, 0.5}
	x := []float64{1, 1.01, 1.0625, 1.09, 1.25} // t² + 1
	fmt.Printf("%.1f\n", filter.Gradient(nil, t, x)[1:])
	// Output:
	// [0.2 0.5 0.6 1.0]
}
