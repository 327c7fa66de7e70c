package review_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestNoisyMarks: the noise of tracked marks moves the frame that follows them,
// and the intervals of single strokes know it, in 3-d and in the picture.
func TestNoisyMarks(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	for _, c := range []struct {
		view trajectory.View
		mark float64 // noise of the marks: mm, or px at 12 px/mm
		fps  float64
	}{
		{trajectory.Spatial, -1, 240}, {trajectory.Spatial, 0.05, 240}, {trajectory.Spatial, 0.2, 240}, {trajectory.Spatial, 0.5, 120}, {trajectory.Spatial, 1, 240},
		{trajectory.EndOn, -1, 240}, {trajectory.EndOn, 1, 240}, {trajectory.EndOn, 4, 120}, {trajectory.EndOn, 8, 240},
	} {
		held, n := 0, 0
		for seed := range uint64(6) {
			noise := 0.1
			if c.view == trajectory.EndOn {
				noise = 0.4
			}
			take, err := simulate.Make(simulate.Options{
				Seed: seed, Duration: 12, Rate: 6 + float64(seed), PathAngle: 20 * circular.Degree, View: c.view,
				TrackMarks: true, MarkNoise: c.mark, Noise: noise, FrameRate: c.fps,
			})
			if err != nil {
				t.Fatal(err)
			}
			s := setup(take)
			if c.view == trajectory.Spatial {
				s.Marks.Nut = []trajectory.Mark{{Point: "nut"}}
			}
			r, err := review.Run(&take.Recording, s, review.Options{})
			if err != nil {
				t.Fatal(err)
			}
			i := 0
			true_ := take.Truth.Strokes
			for _, st := range r.Motion.Strokes {
				for i+1 < len(true_) && math.Abs(true_[i+1].Start-st.Start) < math.Abs(true_[i].Start-st.Start) {
					i++
				}
				if math.Abs(true_[i].Start-st.Start) > 0.02 || math.IsNaN(st.PathAngle.Radians()) {
					continue
				}
				n++
				if st.PathAngleLow <= true_[i].PathAngle && true_[i].PathAngle <= st.PathAngleHigh {
					held++
				}
			}
		}
		share := float64(held) / float64(n)
		t.Logf("%v, noise of the marks %g, %g frames/s: %.3f of %d intervals hold the true angle", c.view, c.mark, c.fps, share, n)
		if !(share > 0.92) {
			t.Errorf("%v, noise of the marks %g: %.3f of %d intervals hold the true angle", c.view, c.mark, share, n)
		}
	}
}
