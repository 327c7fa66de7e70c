package motion_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestExpectedNoise: strokes that are all alike scatter by as much as is expected of
// them beforehand, at 11 to 48 samples a stroke and 0.1 to 1 px of noise, each
// stroke being 120 px long. The limits are those of the doc comment, which were set
// after measuring: 420 strokes leave 3.5 % to chance.
func TestExpectedNoise(t *testing.T) {
	for _, fps := range []float64{80, 120, 240, 340} {
		for _, px := range []float64{0.1, 0.3, 1} {
			const rate, long = 7.03, 10
			_, m := analyze(t, simulate.Options{
				Seed: 5, Duration: 60, Rate: rate, Length: long, PathAngle: 15 * circular.Degree,
				Jitter: -1, LengthScatter: -1, AngleScatter: -1, SkewScatter: -1,
				Noise: px, FrameRate: fps, Decimals: -1, TimeDecimals: -1,
			})
			var square [3]float64
			n := 0.0
			for _, s := range m.Strokes {
				off := [3]float64{s.Duration()*rate - 1, s.Length/long - 1, (s.PathAngle - 15*circular.Degree).Radians()}
				if math.IsNaN(off[1]) || math.IsNaN(off[2]) {
					continue
				}
				n++
				for i := range off {
					square[i] += off[i] * off[i]
				}
			}
			e := motion.ExpectedNoise(px/(long*12), fps/rate)
			for i, want := range []float64{e.Duration, e.Length, e.Angle.Radians()} {
				what, most := []string{"duration", "length", "angle"}[i], 0.1
				if i == 0 && fps > 250 {
					most = 0.2
				}
				ratio := math.Sqrt(square[i]/n) / want
				t.Logf("%.0f frames/s, %.1f px: true over expected noise of the %s %.3f", fps, px, what, ratio)
				if !(math.Abs(ratio-1) < most) {
					t.Errorf("%.0f frames/s, %.1f px: true over expected noise of the %s %.3f", fps, px, what, ratio)
				}
			}
		}
	}
}

// TestStatedNoise: strokes that are all alike scatter by as much as the noise
// says that is stated with them, to a sixth, over three takes: the profile is learned
// from a take, and its error is that of all turns of the take.
func TestStatedNoise(t *testing.T) {
	const rate, long = 7.03, 10
	for _, fps := range []float64{60, 120, 240, 480} {
		for _, px := range []float64{0.3, 0.8, 3} {
			var true2, stated2 [3]float64
			for seed := range uint64(3) {
				_, m := analyze(t, simulate.Options{
					Seed: 3 + seed, Duration: 40, Rate: rate, Length: long, PathAngle: 15 * circular.Degree,
					Jitter: -1, LengthScatter: -1, AngleScatter: -1, SkewScatter: -1,
					Noise: px, FrameRate: fps, Decimals: -1, TimeDecimals: -1,
				})
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
