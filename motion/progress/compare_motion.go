package progress

import (
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
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
		a, b = review.AnySetup(a), review.AnySetup(b)
	}
	d := a.To(b)
	return &d
}
