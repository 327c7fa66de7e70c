package progress

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// End-on pictures of two set-ups hide raise and skew: of the path angle nothing
// is told, while those of one set-up are held against each other as they are.
func TestMotionDistance(t *testing.T) {
	angle := 10 * circular.Degree
	sin, cos := math.Sincos(angle.Radians())
	ref := cycle.Reference{View: trajectory.EndOn, PathAngle: &angle, Cycles: 40, Errors: cycle.Errors{PathAngle: 0.5 * circular.Degree, Shape: 0.01},
		Shape: &cycle.Shape{DownShare: 0.5, Across: [][2]float64{{-cos / 2, 0}}, Out: [][2]float64{{-sin / 2, 0}}}}
	take := func(setup string) Take {
		kept := ref
		kept.Setup = setup
		return Take{Summary: &review.Summary{Setup: setup, Motion: &kept}}
	}
	for _, c := range []struct {
		first, second string
		want          cycle.Answer
	}{{"A", "A", cycle.Inside}, {"A", "B", cycle.CannotSay}} {
		d := motionDistance(take(c.first), take(c.second))
		k, ok := d.Component("path angle")
		if !ok || k.Answer != c.want {
			t.Errorf("set-ups %s and %s: %+v, want %v", c.first, c.second, k, c.want)
		}
	}
	if d := motionDistance(take("A"), Take{Summary: &review.Summary{}}); d != nil {
		t.Errorf("a take without a mean cycle: %+v", d)
	}
}
