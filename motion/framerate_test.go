package motion_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestSameAngleAtEveryFrameRate films one motion at 60, 120, 240 and 1,000
// frames/s: the angle is a property of the motion, not of the film.
func TestSameAngleAtEveryFrameRate(t *testing.T) {
	for _, c := range []struct {
		angle, curvature, rate float64
		profile                simulate.Profile
	}{
		{20, 0, 6.5, simulate.HalfCosine}, {-12, 0.03, 7, simulate.MinimumJerk}, {35, -0.04, 5, simulate.HalfCosine}, {0, 0.05, 6, simulate.MinimumJerk},
	} {
		for _, noise := range []float64{0.3, 0.8} {
			for _, fps := range []float64{60, 120, 240, 1000} {
				take, m := analyze(t, simulate.Options{
					Seed: 5, Duration: 15, Rate: c.rate, PathAngle: circular.Angle(c.angle) * circular.Degree, Curvature: c.curvature,
					Profile: c.profile, Noise: noise, FrameRate: fps, Exposure: 0.5 / fps,
				})
				var x []float64
				for _, s := range m.Strokes {
					x = append(x, s.PathAngle.Degrees())
				}
				got, want := estimate.SeriesMedian(x, 0.95).Value, take.Truth.PathAngle.Degrees()
				t.Logf("%4.0f frames/s, %.1f px: %4d strokes of %4d, angle %.2f of %.2f", fps, noise, len(m.Strokes), len(take.Truth.Strokes), got, want)
				if !(math.Abs(got-want) <= 1) {
					t.Errorf("%.0f frames/s, %.1f px: angle %.2f, true %.2f", fps, noise, got, want)
				}
				if d := len(m.Strokes) - len(take.Truth.Strokes); d < -1 || d > 1 {
					t.Errorf("%.0f frames/s, %.1f px: %d strokes of %d", fps, noise, len(m.Strokes), len(take.Truth.Strokes))
				}
			}
		}
	}
}
