package camera_test

import (
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestSimulatedCards goes from a simulated film of a card and the strokes after
// it to the true path angle.
func TestSimulatedCards(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	marks := []trajectory.Mark{{Point: "card_foot_bass"}, {Point: "card_foot_treble"}, {Point: "card_top_treble"}, {Point: "card_top_bass"}}
	var raise, skewUnknown, skewKnown tally
	for i := range rows(90) {
		skew := (2*rng.Float64() - 1) * 30 * degree
		o := simulate.Options{
			Seed: uint64(i), Duration: 5, PathAngle: circular.Angle(2*rng.Float64()-1) * 30 * circular.Degree, Skew: circular.Angle(skew),
			Raise: circular.Angle(25*rng.Float64()) * circular.Degree, Roll: circular.Angle(6*rng.Float64() - 3), Scale: 8,
			Card: true, CardLean: circular.Angle(2*rng.NormFloat64()) * circular.Degree,
			Orientation: trajectory.Orientation{FromNeck: i%4 < 2, Mirrored: i%3 == 0},
		}
		if i%2 == 0 {
			o.Distance = 300 + 600*rng.Float64()
			o.SpotX, o.SpotY = 400*rng.Float64()-200, 200*rng.Float64()-100
		}
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		found, err := camera.FindCorners(&take.Recording, marks)
		if err != nil {
			t.Fatal(err)
		}
		card, err := camera.NewCard(found.Corners, camera.CardOptions{Orientation: o.Orientation, PictureWidth: 1920, PictureHeight: 1080})
		if err != nil {
			t.Fatal(err)
		}
		raise.add(card.Raise, o.Raise.Radians())

		tip, _ := take.Recording.Point("tip")
		mapped, err := card.Plane.Map(trajectory.Path{}, tip)
		if err != nil {
			t.Fatal(err)
		}
		first := 0 // of the strokes, after the hand has come
		for mapped.T[first] < 2.5 {
			first++
		}
		axis := trajectory.PrincipalAxis(mapped.X[first:], mapped.Y[first:]).Angle.Value
		seen := about(axis.Radians(), card.Plane.AngleError(axis).Radians()+0.2*degree)
		truth := take.Truth.PathAngle.Radians()
		skewUnknown.add(card.Tilt(estimate.Value[circular.Angle]{}).PathAngle(seen), truth)
		skewKnown.add(card.Tilt(about(skew+2*degree*rng.NormFloat64(), 2*degree)).PathAngle(seen), truth)
	}
	t.Logf("raise %.3f, half-width %.2f; path angle, skew unknown %.3f, %.2f, skew known %.3f, %.2f",
		raise.share(), raise.halfWidth(), skewUnknown.share(), skewUnknown.halfWidth(), skewKnown.share(), skewKnown.halfWidth())
	raise.holds(t, "raise", 0.95)
	skewUnknown.holds(t, "path angle, skew unknown", 0.95)
	skewKnown.holds(t, "path angle, skew known", 0.95)
}
