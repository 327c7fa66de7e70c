package simulate

import (
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// A pinhole at C that looks at the origin, upright: right is look x up, and a
// place is seen at focal length times the tangents. From the definitions of
// raise and yaw alone, in spherical coordinates.
func TestPinhole(t *testing.T) {
	const deg = circular.Degree
	places := []r3.Vec{{}, {X: 10}, {Y: 10}, {Z: 10}, {X: -30, Y: 20, Z: 40}, {X: 55, Y: -80, Z: 5}}
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front} {
		for _, or := range orientations() {
			for _, c := range []struct {
				raise, yaw circular.Angle
				distance   float64
			}{{0, 0, 300}, {15 * deg, 0, 400}, {20 * deg, -12 * deg, 600}, {-10 * deg, 25 * deg, 1000}} {
				o := Options{View: view, Orientation: or, Raise: c.raise, Yaw: c.yaw, Distance: c.distance, Scale: 5}.withDefaults().resolved()
				cam := newCamera(o)
				sinR, cosR := math.Sincos(float64(c.raise))
				sinY, cosY := math.Sincos(float64(c.yaw))
				at, vertical := r3.Vec{X: -cosR * sinY, Y: -cosR * cosY, Z: sinR}, r3.Vec{Z: 1}
				switch {
				case view == trajectory.Front:
					at, vertical = r3.Vec{X: -cosR * sinY, Y: sinR, Z: cosR * cosY}, r3.Vec{Y: 1}
				case or.FromNeck:
					at.Y = -at.Y
				}
				at = r3.Scale(c.distance, at)
				look := r3.Scale(-1, r3.Unit(at))
				right := r3.Unit(r3.Cross(look, vertical))
				up := r3.Cross(right, look)
				if or.LeftHanded != or.Mirrored {
					right = r3.Scale(-1, right)
				}
				for _, p := range places {
					ray := r3.Sub(p, at)
					focal := 5 * c.distance / r3.Dot(ray, look)
					y := focal * r3.Dot(ray, up)
					if !or.YUp {
						y = -y
					}
					got, name := cam.see(p, 3), fmt.Sprintf("%v %+v %+v", view, or, c)
					near(t, name+" x", got.X, 960+focal*r3.Dot(ray, right), 1e-9)
					near(t, name+" y", got.Y, 540+y, 1e-9)
				}
				// Turned away and rolled, it shows the spot where it is told to.
				o.SpotX, o.SpotY, o.Roll = 310, -120, 0.6
				spot := newCamera(o).still(r3.Vec{})
				near(t, "spot x", spot[0], 960+310, 1e-9)
				near(t, "spot y", spot[1], 540-120, 1e-9)
				behind := r3.Scale(1.1, at)
				if got := cam.see(behind, 0); !math.IsNaN(got.X) || !math.IsNaN(got.Y) {
					t.Errorf("a place behind the camera is seen at %v", got)
				}
			}
		}
	}
}

// From far away there is no perspective.
func TestFarAway(t *testing.T) {
	o := exact(Options{PathAngle: 0.3, Skew: -0.3, Raise: 0.2, Yaw: 0.1, Roll: 0.4, Duration: 2})
	far := o
	far.Distance = 1e6
	a, b := point(t, mustMake(t, o), "tip"), point(t, mustMake(t, far), "tip")
	for i := range a {
		near(t, "tip", r3.Norm(r3.Sub(a[i], b[i])), 0, 12*10*20/1e6) // px/mm, mm, and mm deep over the distance
	}
	k := mustMake(t, far)
	near(t, "focal length", k.Truth.Focal, 12e6, 1e-6)
	// A camera from afar that is turned away shifts the picture.
	o.SpotX, o.SpotY = 100, -40
	for i, p := range point(t, mustMake(t, o), "tip") {
		near(t, "shifted", r3.Norm(r3.Sub(p, r3.Add(a[i], r3.Vec{X: 100, Y: -40}))), 0, 1e-9)
	}
	for _, c := range []Options{{Distance: 50}, {SpotX: 3, View: trajectory.Spatial}, {Distance: 500, View: trajectory.Spatial}, {Distance: -1}} {
		if _, err := Make(c); err == nil {
			t.Errorf("a distance of %v in a %v view is taken", c.Distance, c.View)
		}
	}
}

// The card's corners alone, with the focal length, give the raise, the yaw, the
// roll, the scale and the distance back: the columns of K⁻¹H are across, out
// and the foot's middle in the camera's axes (R. Hartley and A. Zisserman,
// Multiple View Geometry, 2nd ed. (2004) section 8.1).
func TestCardGivesTheCamera(t *testing.T) {
	const deg = circular.Degree
	for _, c := range []struct {
		raise, yaw, roll circular.Angle
		distance, crown  float64
		x, y             float64 // of the picking spot
		lean             circular.Angle
	}{
		{distance: 500}, {raise: 12 * deg, roll: 5 * deg, distance: 400}, {raise: 25 * deg, yaw: -10 * deg, roll: -20 * deg, distance: 700},
		{raise: 18 * deg, yaw: 14 * deg, roll: 3 * deg, distance: 350, crown: 254}, {raise: 10 * deg, roll: 30 * deg, distance: 450, x: 400, y: -250},
		{raise: 15 * deg, yaw: 5 * deg, distance: 600, x: -500, y: 100, lean: 4 * deg}, {raise: 15 * deg, distance: 600, lean: -7 * deg},
	} {
		o := exact(Options{
			Card: true, CardNoise: -1, CardLean: c.lean, Raise: c.raise, Yaw: c.yaw, Roll: c.roll, Distance: c.distance, SpotX: c.x, SpotY: c.y,
			CrownRadius: c.crown, Scale: 6, Duration: 4,
		})
		tr := mustMake(t, o).Truth
		near(t, "foot", tr.CardFoot, o.withDefaults().crown(5), 1e-12)
		plane := [4][2]float64{{-cardWide / 2, 0}, {cardWide / 2, 0}, {cardWide / 2, cardHigh}, {-cardWide / 2, cardHigh}}
		// Eight equations for a homography whose last number is 1.
		a, rhs := mat.NewDense(8, 8, nil), mat.NewVecDense(8, nil)
		for i, p := range plane {
			u, v := tr.Card[i][0]-960, tr.Card[i][1]-540
			a.SetRow(2*i, []float64{p[0], p[1], 1, 0, 0, 0, -u * p[0], -u * p[1]})
			a.SetRow(2*i+1, []float64{0, 0, 0, p[0], p[1], 1, -v * p[0], -v * p[1]})
			rhs.SetVec(2*i, u)
			rhs.SetVec(2*i+1, v)
		}
		var h mat.VecDense
		if err := h.SolveVec(a, rhs); err != nil {
			t.Fatal(err)
		}
		column := func(i int, last float64) r3.Vec {
			return r3.Vec{X: h.AtVec(i) / tr.Focal, Y: h.AtVec(3+i) / tr.Focal, Z: last}
		}
		across, out, foot := column(0, h.AtVec(6)), column(1, h.AtVec(7)), column(2, 1)
		near(t, "across and out have one length", r3.Norm(out)/r3.Norm(across), 1, 1e-9)
		near(t, "across and out are square", r3.Cos(across, out), 0, 1e-9)
		scale := r3.Norm(across)
		across, out, foot = r3.Unit(across), r3.Unit(out), r3.Scale(1/scale, foot)
		back := r3.Cross(across, out) // y grows downward, so this is backward
		// A card that leans by a toward the nut is the one turned about across.
		sin, cos := math.Sincos(float64(c.lean))
		out, back = r3.Add(r3.Scale(cos, out), r3.Scale(sin, back)), r3.Sub(r3.Scale(cos, back), r3.Scale(sin, out))
		// The picking spot lies below the foot.
		spot := r3.Sub(foot, r3.Scale(tr.CardFoot, out))
		near(t, "distance", r3.Norm(spot), c.distance, 1e-6)
		near(t, "x of the spot", tr.Focal*spot.X/spot.Z, c.x, 1e-6)
		near(t, "y of the spot", tr.Focal*spot.Y/spot.Z, c.y, 1e-6)
		toward := r3.Scale(-1, r3.Unit(spot)) // the camera, from the spot
		near(t, "raise", circular.Angle(math.Asin(r3.Dot(toward, out))).Degrees(), c.raise.Degrees(), 1e-6)
		near(t, "yaw", circular.Angle(math.Atan2(-r3.Dot(toward, across), math.Abs(r3.Dot(toward, back)))).Degrees(), c.yaw.Degrees(), 1e-6)
	}
}

func TestCard(t *testing.T) {
	k := mustMake(t, exact(Options{Card: true, CardNoise: -1, Raise: 0.3, Duration: 6}))
	c := k.Truth.Card
	near(t, "width", c[1][0]-c[0][0], 12*85.60, 1e-9)
	near(t, "width at the top", c[2][0]-c[3][0], 12*85.60, 1e-9)
	near(t, "height", c[1][1]-c[2][1], 12*53.98*math.Cos(0.3), 1e-9)
	near(t, "foot on the strings", c[0][1], 540, 1e-9)
	for i, name := range []string{"card_foot_bass", "card_foot_treble", "card_top_treble", "card_top_bass"} {
		for j, p := range point(t, k, name) {
			seen := k.Recording.T[j] < 1
			if seen == math.IsNaN(p.X) {
				t.Fatalf("%s at %v s is seen: %v", name, k.Recording.T[j], !seen)
			}
			if seen {
				near(t, name, math.Hypot(p.X-c[i][0], p.Y-c[i][1]), 0, 1e-9)
			}
		}
	}
	for j, p := range point(t, k, "tip") {
		if hidden := k.Recording.T[j] < 1.3; hidden != math.IsNaN(p.X) {
			t.Fatalf("the tip at %v s is at %v", k.Recording.T[j], p)
		}
	}
	if f := k.Truth.Faults[0]; f.Kind != "out of sight" || f.First != 0 || f.Last != 311 { // 1.3 s at 240 frames/s
		t.Errorf("%+v", f)
	}
	if !math.IsNaN(k.Truth.TouchAt) || k.Truth.TouchString != 0 {
		t.Errorf("a touch at %v", k.Truth.TouchAt)
	}
	// The corners' constant errors scatter over takes as stated; the noise of
	// the frames comes on top.
	var e []float64
	for seed := range uint64(100) {
		k := mustMake(t, Options{Seed: seed, Card: true, CardNoise: 2, Duration: 2, CardFor: 0.5, Raise: 0.3, FrameRate: 60})
		for i := range k.Truth.Card {
			e = append(e, k.Truth.Card[i][0]-c[i][0], k.Truth.Card[i][1]-c[i][1])
		}
		p, _ := k.Recording.Point("card_top_bass")
		near(t, "tracked about the click", stat.Mean(p.X[:30], nil), k.Truth.Card[3][0], 0.4) // 5 standard errors of 30 samples
	}
	mean, sd := stat.MeanStdDev(e, nil)
	near(t, "clicks", mean, 0, 0.25)
	near(t, "their error", sd, 2, 0.2) // 4 standard errors of 800
}
