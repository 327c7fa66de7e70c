package camera

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// FoundCorners are the corners of a card found in a recording.
type FoundCorners struct {
	Corners Corners
	// Error is the scatter of the tracked corners about their places, as a
	// standard deviation on each axis in pixels, NaN when none is tracked. It
	// is the measured CornerError of a card. What a tracker gets wrong in the
	// same way at every sample is not in it, so that a CornerError below 1 is
	// seldom honest.
	Error float64
	// Samples is the number of samples seen of each corner, 0 for one that is
	// not tracked.
	Samples [4]int
}

// FindCorners returns the corners of a card given as four marks in the order
// of Corners: fixed places in the picture, or names of tracked points, whose
// place is the median of the samples in which they are seen. A card need be in
// the picture for a second only.
//
// The error is a *trajectory.DataError: there are not four marks, a mark is
// missing or not in the recording, was never seen, has three axes, or wanders by
// more than a twentieth of the card's foot.
func FindCorners(rec *trajectory.Recording, marks []trajectory.Mark) (FoundCorners, error) {
	t := FoundCorners{Error: math.NaN()}
	if len(marks) != 4 {
		return t, fault(fmt.Sprintf("there are %d corners", len(marks)),
			"give four: foot on the bass side, foot on the treble side, top on the treble side, top on the bass side")
	}
	var off []float64
	scatter := [4]float64{}
	for i, m := range marks {
		bad := func(rule, hint string) (FoundCorners, error) {
			e := fault(rule, hint)
			e.Point = "card: " + cornerNames[i]
			return t, e
		}
		if m.Point == "" {
			if len(m.At) != 2 {
				return bad(fmt.Sprintf("the corner has %d coordinates", len(m.At)), "give x and y in the picture, or the name of a tracked point")
			}
			t.Corners[i] = [2]float64{m.At[0], m.At[1]}
			continue
		}
		p, ok := rec.Point(m.Point)
		switch {
		case !ok:
			return bad(fmt.Sprintf("the recording has no point %q", m.Point), "check the name in the export's header")
		case !p.Planar():
			return bad(fmt.Sprintf("the point %q has three axes", m.Point), "a card is for the coordinates of a picture, which has two")
		}
		if err := p.Validate(); err != nil {
			return t, err
		}
		for axis, col := range [2][]float64{p.X, p.Y} {
			seen := make([]float64, 0, len(col))
			for _, v := range col {
				if v == v {
					seen = append(seen, v)
				}
			}
			if len(seen) == 0 {
				return bad(fmt.Sprintf("the point %q is never seen", m.Point), "track the corners in the second in which the card stands on the strings")
			}
			t.Samples[i] = len(seen)
			t.Corners[i][axis] = robust.Median(seen)
			for _, v := range seen {
				off = append(off, v-t.Corners[i][axis])
			}
			scatter[i] = max(scatter[i], robust.ScaleInPlace(seen))
		}
	}
	if len(off) > 0 {
		t.Error = robust.ScaleInPlace(off)
	}
	foot := distance(t.Corners[0], t.Corners[1])
	for i, s := range scatter {
		if s > foot/20 {
			e := fault(fmt.Sprintf("the corner wanders by %.0f px while the card's foot is %.0f px long", s, foot),
				"hold the card still on the strings for a second, and cut the tracking to that second")
			e.Point = "card: " + cornerNames[i]
			return t, e
		}
	}
	return t, nil
}
