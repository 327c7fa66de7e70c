package motion_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestStatedNoise: strokes that are all alike scatter by as much as the noise
// says that is stated with them, to a sixth.
func TestStatedNoise(t *testing.T) {
	const rate, long = 7.03, 10
	for _, fps := range []float64{60, 120, 240, 480} {
		for _, px := range []float64{0.3, 0.8, 3} {
			_, m := analyze(t, simulate.Options{
				Seed: 3, Duration: 40, Rate: rate, Length: long, PathAngle: 15 * circular.Degree,
				Jitter: -1, LengthScatter: -1, AngleScatter: -1, SkewScatter: -1,
				Noise: px, FrameRate: fps, Decimals: -1, TimeDecimals: -1,
			})
			var true2, stated2 [3]float64
			for _, s := range m.Strokes {
				off := [3]float64{s.Duration() - 1/rate, s.Length - long, (s.PathAngle - 15*circular.Degree).Radians()}
				own := [3]float64{s.Noise.Duration, s.Noise.Length, s.Noise.Angle.Radians()}
				if math.IsNaN(off[1]) || math.IsNaN(off[2]) {
					continue
				}
				for i := range off {
					true2[i] += off[i] * off[i]
					stated2[i] += own[i] * own[i]
				}
			}
			for i, what := range []string{"duration", "length", "angle"} {
				if what == "angle" && fps == 60 {
					continue // 8.5 samples a stroke: by their phase some have too few
				}
				ratio := math.Sqrt(true2[i] / stated2[i])
				t.Logf("%3.0f frames/s, %.1f px: true over stated noise of the %s %.2f", fps, px, what, ratio)
				if !(ratio > 5./6 && ratio < 7./6) {
					t.Errorf("%.0f frames/s, %.1f px: true over stated noise of the %s %.2f", fps, px, what, ratio)
				}
			}
		}
	}
}
