package progress

import (
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// motionDistance returns how far the mean cycle of the second take lies from
// that of the first, nil where one has none.
func motionDistance(first, second Take) *cycle.Distance {
	if first.Summary.Motion == nil || second.Summary.Motion == nil {
		return nil
	}
	a, b := *first.Summary.Motion, *second.Summary.Motion
	a.Setup, b.Setup = setupOf(first), setupOf(second)
	if a.Setup == "" || a.Setup != b.Setup {
		// What the pictures of two set-ups may hide counts.
		a, b = unseen(a), unseen(b)
	}
	d := a.To(b)
	return &d
}

// unseen widens the path angle of an end-on picture by what raise and skew may
// hide of it, for a motion that was kept as its picture showed it.
func unseen(r cycle.Reference) cycle.Reference {
	if r.Setup == "" || r.View != trajectory.EndOn || r.PathAngle == nil {
		return r
	}
	at, err := *r.PathAngle, r.Errors.PathAngle
	v := camera.Tilt{}.PathAngle(estimate.Value[circular.Angle]{Value: at, Low: at - err, High: at + err, Level: 0.95, N: 1})
	r.Errors.PathAngle = max(at-v.Low, v.High-at)
	return r
}
