package motion_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
)

// TestTurnsOfHarmonics holds turns to the extremes of a smooth motion: a cycle and
// its second and third harmonics, whose phases are drawn, at a rate that wanders.
// Nothing in it knows of strokes or of their profiles. The limits of the root mean
// square lie a fifth above what was measured, beside them; no theory gives them.
func TestTurnsOfHarmonics(t *testing.T) {
	for _, c := range []struct {
		name          string
		second, third float64 // amplitudes, of the cycle's
		fine, rude    float64 // ms, at 0.07 and 0.25 mm of noise
	}{
		{"a sine", 0, 0, 0.41, 1.16},        // 0.34, 0.97
		{"third", 0, 0.03, 0.40, 1.15},      // 0.33, 0.96
		{"more third", 0, 0.06, 0.38, 1.18}, // 0.32, 0.98
		{"second", 0.04, 0, 0.48, 1.32},     // 0.40, 1.10
		{"both", 0.04, 0.04, 0.42, 1.27},    // 0.35, 1.06
	} {
		for noise, limit := range map[float64]float64{0.07: c.fine, 0.25: c.rude} {
			sum, n := 0.0, 0.0
			for seed := range uint64(8) {
				rng := rand.New(rand.NewPCG(seed, 41))
				rate := 2.5 + 3.5*rng.Float64() // cycles/s
				second, third := 2*math.Pi*rng.Float64(), 2*math.Pi*rng.Float64()
				var drift [3]float64
				for i := range drift {
					drift[i] = 2 * math.Pi * rng.Float64()
				}
				at := func(t float64) float64 {
					phase := 2 * math.Pi * rate * t
					for i, d := range drift {
						phase += 0.15 * math.Sin(2*math.Pi*(0.2+0.3*float64(i))*t+d)
					}
					return 5 * (math.Cos(phase) + c.second*math.Cos(2*phase+second) + c.third*math.Cos(3*phase+third))
				}
				p := trajectory.Placed{Name: "tip", Unit: "mm"}
				for i := range 20 * 240 {
					x := at(float64(i) / 240)
					p.T = append(p.T, float64(i)/240)
					p.Across = append(p.Across, x+noise*rng.NormFloat64())
					p.Out = append(p.Out, 0.3*x+noise*rng.NormFloat64())
				}
				var turns []float64
				const step = 1e-4
				for i := 1; i < 20/step; i++ {
					s := float64(i) * step
					a, b, c := at(s-step), at(s), at(s+step)
					if (b-a)*(c-b) <= 0 && b != c {
						turns = append(turns, s+step/2*(a-c)/(a-2*b+c))
					}
				}
				m, err := motion.Analyze(p, motion.Options{})
				if err != nil {
					t.Fatal(err)
				}
				for _, s := range m.Strokes {
					k, _ := slices.BinarySearch(turns, s.End)
					off := math.Inf(1)
					for _, v := range turns[max(0, k-1):min(len(turns), k+1)] {
						off = min(off, 1000*math.Abs(v-s.End))
					}
					sum, n = sum+off*off, n+1
				}
			}
			if got := math.Sqrt(sum / n); n < 1000 || !(got < limit) {
				t.Errorf("%s, %g mm of noise: %.3f ms over %g turns, want %.2f", c.name, noise, got, n, limit)
			} else {
				t.Logf("%s, %g mm of noise: %.3f ms", c.name, noise, got)
			}
		}
	}
}
