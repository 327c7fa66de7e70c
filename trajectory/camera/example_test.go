package camera_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// clicks are the corners of a card, filmed from behind the bridge by a camera
// that is raised by about 20 degrees: the top is foreshortened, and wider than
// the foot, since it is nearer.
var clicks = camera.Corners{{618, 540}, {1302, 540}, {1315, 119}, {605, 119}}

func ExampleNewCard() {
	card, err := camera.NewCard(clicks, camera.CardOptions{PictureWidth: 1920, PictureHeight: 1080})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f px/mm, within %.2f and %.2f\n", card.Scale.Value, card.Scale.Low, card.Scale.High)
	fmt.Printf("the strings' line is good to %.2f mm\n", card.Plane.MarkError())
	r := card.Raise
	fmt.Printf("raised by %.0f degrees, within %.0f and %.0f\n", r.Value.Degrees(), r.Low.Degrees(), r.High.Degrees())
	// Output:
	// 7.99 px/mm, within 7.96 and 8.02
	// the strings' line is good to 0.13 mm
	// raised by 20 degrees, within 16 and 24
}

func ExampleNewCard_mistakes() {
	swapped := camera.Corners{clicks[1], clicks[0], clicks[3], clicks[2]}
	_, err := camera.NewCard(swapped, camera.CardOptions{})
	fmt.Println(err)
	_, err = camera.NewCard(camera.Corners{clicks[0], clicks[1], clicks[3], clicks[2]}, camera.CardOptions{})
	fmt.Println(err)
	// Output:
	// point "card: bass foot": the card is the mirror image of one that this camera would see; either bass and treble side are swapped, or the film is mirrored, the instrument left-handed, the camera at the neck, or y grows the other way: say which, as it turns the path angle's sign
	// point "card: bass foot": the card's outline crosses itself: this corner and the treble foot, or the treble top and the bass top, are in each other's place; click the corners in order: foot on the bass side, foot on the treble side, top on the treble side, top on the bass side
}

func ExampleCard_Tilt() {
	card, err := camera.NewCard(clicks, camera.CardOptions{PictureWidth: 1920, PictureHeight: 1080})
	if err != nil {
		fmt.Println(err)
		return
	}
	degrees := func(value, half float64) estimate.Value[circular.Angle] {
		v, h := circular.Angle(value)*circular.Degree, circular.Angle(half)*circular.Degree
		return estimate.Value[circular.Angle]{Value: v, Low: v - h, High: v + h, Level: 0.95, N: 200}
	}
	seen := degrees(15, 1)
	show := func(what string, a estimate.Value[circular.Angle]) {
		fmt.Printf("%s: %.0f degrees, within %.0f and %.0f\n", what, a.Value.Degrees(), a.Low.Degrees(), a.High.Degrees())
	}
	show("seen", seen)
	show("skew not known", card.Tilt(estimate.Value[circular.Angle]{}).PathAngle(seen))
	show("skew from a take filmed from the front", card.Tilt(degrees(12, 3)).PathAngle(seen))
	// Output:
	// seen: 15 degrees, within 14 and 16
	// skew not known: 14 degrees, within 1 and 28
	// skew from a take filmed from the front: 11 degrees, within 9 and 13
}

func ExampleTilt_PathAngle() {
	seen := estimate.Value[circular.Angle]{
		Value: 15 * circular.Degree, Low: 14 * circular.Degree, High: 16 * circular.Degree, Level: 0.95, N: 200,
	}
	// An end-on film without a card: neither raise nor skew is known.
	a := camera.Tilt{}.PathAngle(seen)
	fmt.Printf("within %.0f and %.0f degrees\n", a.Low.Degrees(), a.High.Degrees())
	// The camera looked exactly along the strings.
	level := estimate.Value[circular.Angle]{Level: 0.95, N: 1}
	a = camera.Tilt{Raise: level}.PathAngle(seen)
	fmt.Printf("within %.0f and %.0f degrees\n", a.Low.Degrees(), a.High.Degrees())
	// Output:
	// within 1 and 30 degrees
	// within 14 and 16 degrees
}

func ExamplePlane_Recording() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	t := []float64{0, 0.05}
	film := &trajectory.Recording{Unit: "px", T: t, Points: []trajectory.Path{
		{Name: "tip", T: t, X: []float64{940, 1011}, Y: []float64{560, 530}},
	}}
	mm, err := card.Plane.Recording(film, "tip")
	if err != nil {
		fmt.Println(err)
		return
	}
	frame, err := trajectory.NewFrame(mm, card.Plane.FrameOptions())
	if err != nil {
		fmt.Println(err)
		return
	}
	tip, err := frame.Place(trajectory.Placed{}, mm.Points[0])
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range t {
		fmt.Printf("across %.1f %s, out %.1f %s\n", tip.Across[i], tip.Unit, tip.Out[i], tip.Unit)
	}
	fmt.Printf("angles are good to %.1f degrees, whatever the number of strokes\n", frame.AxisError.Degrees())
	// Output:
	// across -2.5 mm, out -2.7 mm
	// across 6.4 mm, out 1.3 mm
	// angles are good to 0.1 degrees, whatever the number of strokes
}

func ExamplePlane_Map() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	tip := trajectory.Path{Name: "tip", T: []float64{0, 0.01}, X: []float64{1011, math.NaN()}, Y: []float64{530, math.NaN()}}
	tip, err = card.Plane.Map(tip, tip)
	fmt.Printf("%.1f %.1f %v\n", tip.X, tip.Y, err)
	// Output:
	// [6.4 NaN] [1.3 NaN] <nil>
}

func ExamplePlane_AngleError() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("a path of 30 degrees is good to %.2f degrees\n", card.Plane.AngleError(30*circular.Degree).Degrees())
	// Output:
	// a path of 30 degrees is good to 0.13 degrees
}

func ExamplePlane_MarkError() {
	card, err := camera.NewCard(clicks, camera.CardOptions{CornerError: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("clicks that are good to 2 px leave heights good to %.2f mm\n", card.Plane.MarkError())
	// Output:
	// clicks that are good to 2 px leave heights good to 0.27 mm
}

func ExampleCard_Marks() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := card.Marks()
	fmt.Println(m.Bass, m.Treble)
	// Output:
	// [618 540] [1302 540]
}

func ExampleFindCorners() {
	t := []float64{0, 0.5, 1, 1.5}
	nan := math.NaN()
	corner := func(name string, x, y float64) trajectory.Path {
		return trajectory.Path{Name: name, T: t, X: []float64{x - 0.5, x, x + 0.5, nan}, Y: []float64{y, y + 0.5, y - 0.5, nan}}
	}
	rec := &trajectory.Recording{Unit: "px", T: t, Points: []trajectory.Path{
		corner("foot_bass", 618, 540), corner("foot_treble", 1302, 540), corner("top_treble", 1315, 119),
	}}
	found, err := camera.FindCorners(rec, []trajectory.Mark{
		{Point: "foot_bass"}, {Point: "foot_treble"}, {Point: "top_treble"}, {At: []float64{605, 119}}, // the last was clicked
	})
	fmt.Println(found.Corners, err)
	fmt.Printf("they shake by %.1f px\n", found.Error)
	// Output:
	// [[618 540] [1302 540] [1315 119] [605 119]] <nil>
	// they shake by 0.7 px
}

func ExampleFitHomography() {
	// Four pegs of a tuner plate, in the picture and on a drawing in mm, and a
	// fifth that shows how well they fit.
	fit, err := camera.FitHomography([]camera.Pair{
		{From: [2]float64{120, 340}, To: [2]float64{0, 0}},
		{From: [2]float64{610, 355}, To: [2]float64{300, 0}},
		{From: [2]float64{540, 80}, To: [2]float64{300, 200}},
		{From: [2]float64{180, 70}, To: [2]float64{0, 200}},
		{From: [2]float64{362, 192}, To: [2]float64{150, 100}},
	}, camera.FitOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	x, y := fit.At(400, 300)
	xx, _, yy := fit.Covariance(400, 300)
	fmt.Printf("(400, 300) is at %.1f ± %.1f, %.1f ± %.1f mm\n", x, math.Sqrt(xx), y, math.Sqrt(yy))
	fmt.Printf("residual %.1f px\n", fit.ResidualFrom.Value)
	// Output:
	// (400, 300) is at 173.3 ± 0.6, 27.7 ± 0.3 mm
	// residual 0.6 px
}

func ExampleHomography_Inverse() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	// Where in the picture is the point 10 mm over the strings?
	x, y := card.Plane.Inverse().At(0, 10)
	fmt.Printf("%.0f, %.0f\n", x, y)
	// Output:
	// 960, 464
}

func ExampleHomography_Apply() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	across, out := card.Plane.Apply(nil, nil, []float64{940, 618}, []float64{465, 540})
	for i := range across {
		fmt.Printf("%.1f, %.1f mm\n", across[i], math.Abs(out[i]))
	}
	// Output:
	// -2.5, 9.9 mm
	// -42.8, 0.0 mm
}

func ExampleHomography_Elements() {
	// A square of 100 px is one of 10 mm: the matrix scales by a tenth.
	fit, err := camera.FitHomography([]camera.Pair{
		{From: [2]float64{100, 100}, To: [2]float64{0, 0}},
		{From: [2]float64{200, 100}, To: [2]float64{10, 0}},
		{From: [2]float64{200, 200}, To: [2]float64{10, 10}},
		{From: [2]float64{100, 200}, To: [2]float64{0, 10}},
	}, camera.FitOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	h := fit.Elements()
	fmt.Printf("across = %.2f x + %.2f\n", h[0], h[2])
	fmt.Printf("out = %.2f y + %.2f\n", h[4], h[5])
	// Output:
	// across = 0.10 x + -10.00
	// out = 0.10 y + -10.00
}

func ExampleHomography_Covariance() {
	card, err := camera.NewCard(clicks, camera.CardOptions{CornerError: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	// What the clicks leave open of a place at the strings, and of one far above
	// the card.
	for _, y := range []float64{540, 0} {
		across, _, out := card.Plane.Covariance(960, y)
		fmt.Printf("y = %.0f px: ±%.2f mm across, ±%.2f mm out\n", y, math.Sqrt(across), math.Sqrt(out))
	}
	// Output:
	// y = 540 px: ±0.27 mm across, ±0.19 mm out
	// y = 0 px: ±0.30 mm across, ±0.25 mm out
}

func ExamplePlane_FrameOptions() {
	card, err := camera.NewCard(clicks, camera.CardOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	o := card.Plane.FrameOptions()
	fmt.Println("view:", o.View)
	fmt.Printf("marks at %.1f and %.1f mm across, good to %.2f mm\n", o.Marks.Bass.At[0], o.Marks.Treble.At[0], o.MarkError)
	// Output:
	// view: end-on
	// marks at -42.8 and 42.8 mm across, good to 0.13 mm
}
