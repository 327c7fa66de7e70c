package review

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestUnwrapped: near straight out, angles on both sides of 90 degrees are
// neighbours.
func TestUnwrapped(t *testing.T) {
	nan := circular.Angle(math.NaN())
	strokes := []motion.Stroke{{PathAngle: 89 * circular.Degree}, {PathAngle: -89 * circular.Degree}, {PathAngle: nan}, {PathAngle: 87 * circular.Degree}}
	r := &Review{Motion: &motion.Motion{Strokes: strokes}}
	f := r.unwrapped(pathAngleOf)
	if d := f(strokes[1]) - f(strokes[0]); math.Abs(d-2) > 1e-9 {
		t.Errorf("89 and -89 degrees are %.3g degrees apart, want 2", d)
	}
	if d := f(strokes[3]) - f(strokes[0]); math.Abs(d+2) > 1e-9 {
		t.Errorf("89 and 87 degrees are %.3g degrees apart, want -2", d)
	}
	if v := f(strokes[2]); v == v {
		t.Errorf("a missing angle is %v", v)
	}
}
