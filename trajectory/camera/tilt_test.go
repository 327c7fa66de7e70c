package camera_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestPathAngleFormula holds the true angle against projections in space, and
// the signs of raise and skew with it.
func TestPathAngleFormula(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 3))
	for i := range 200 {
		path, skew := (2*rng.Float64()-1)*80*degree, (2*rng.Float64()-1)*30*degree
		raise, yaw := rng.Float64()*25*degree, (2*rng.Float64()-1)*12*degree
		s := newStudio(rng, raise, yaw, 0, 8)
		if i%2 == 0 {
			s = s.from()
		}
		// Where it is seen, in the axes of the plane: the plane's own vectors
		// in the picture are the basis.
		x0, y0 := s.see(r3.Vec{})
		vector := func(d r3.Vec) (x, y float64) {
			x, y = s.see(d)
			return x - x0, y - y0
		}
		ax, ay := vector(r3.Vec{X: 1})
		ox, oy := vector(r3.Vec{Z: 1})
		dx, dy := vector(stroke(path, skew))
		det := ax*oy - ay*ox
		across, out := (dx*oy-dy*ox)/det, (ax*dy-ay*dx)/det
		tilt := camera.Tilt{
			Raise: about(raise, 0), Yaw: about(yaw, 0), Skew: about(skew, 0),
			Rectified: true, FromNeck: s.fromNeck,
		}
		got := tilt.PathAngle(about(math.Atan2(out, across), 0))
		within(t, "rectified", got.Value.Degrees(), path/degree, 1e-7)
		within(t, "rectified, low", got.Low.Degrees(), path/degree, 1e-6)
		within(t, "rectified, high", got.High.Degrees(), path/degree, 1e-6)
		// In the picture itself, across as it is seen there.
		side := math.Copysign(1, det)
		tilt.Rectified = false
		got = tilt.PathAngle(about(math.Atan2(side*(ax*dy-ay*dx), ax*dx+ay*dy), 0))
		within(t, "scaled only", got.Value.Degrees(), path/degree, 1e-7)

		if yaw = 0; i%4 == 0 {
			tilt.Yaw = estimate.Value[circular.Angle]{}
			k := math.Tan(skew) * math.Tan(raise)
			if s.fromNeck {
				k = -k
			}
			got = tilt.PathAngle(about(math.Atan(math.Cos(raise)*(math.Tan(path)+k)), 0))
			within(t, "formula", got.Value.Degrees(), path/degree, 1e-7)
			tilt.Rectified = true
			got = tilt.PathAngle(about(math.Atan(math.Tan(path)+k), 0))
			within(t, "formula, rectified", got.Value.Degrees(), path/degree, 1e-7)
		}
	}
}

// TestSimulatedRaise holds raise and skew against their signs in takes, and a
// card in the same picture.
func TestSimulatedRaise(t *testing.T) {
	for _, c := range []struct{ path, skew, raise circular.Angle }{
		{10, 20, 20}, {10, -20, 20}, {-25, 15, 12}, {0, 30, 25}, {30, -10, 5},
	} {
		for _, orientation := range []trajectory.Orientation{{}, {FromNeck: true}, {Mirrored: true, YUp: true}, {LeftHanded: true, FromNeck: true}} {
			take, err := simulate.Make(simulate.Options{
				Seed: 3, Duration: 3, PathAngle: c.path * circular.Degree, Skew: c.skew * circular.Degree, Raise: c.raise * circular.Degree,
				Orientation: orientation, Roll: 0.3, Scale: 8, Noise: -1, Jitter: -1, AngleScatter: -1, SkewScatter: -1, LengthScatter: -1, Decimals: -1,
			})
			if err != nil {
				t.Fatal(err)
			}
			bass, treble := take.Truth.Bass, take.Truth.Treble
			f, err := trajectory.NewFrame(&take.Recording, trajectory.FrameOptions{
				View: trajectory.EndOn, Orientation: orientation, DistanceMM: take.Truth.MarkDistance,
				Marks: trajectory.Marks{Bass: trajectory.Mark{At: bass[:2]}, Treble: trajectory.Mark{At: treble[:2]}},
			})
			if err != nil {
				t.Fatal(err)
			}
			tip, _ := take.Recording.Point("tip")
			placed, err := f.Place(trajectory.Placed{}, tip)
			if err != nil {
				t.Fatal(err)
			}
			skew := about(float64(c.skew)*degree, 0)
			tilt := camera.Tilt{Raise: about(float64(c.raise)*degree, 0), Skew: skew, FromNeck: orientation.FromNeck}
			seen := trajectory.PrincipalAxis(placed.Across, placed.Out).Angle
			got := tilt.PathAngle(about(seen.Value.Radians(), 0))
			within(t, "path angle in the picture", got.Value.Degrees(), float64(c.path), 1e-3)

			// The card: its foot on the marks' line, its top out, foreshortened
			// by the raise.
			across, out, origin := f.Across(0), f.Out(0), f.Origin(0)
			var corners camera.Corners
			for i, at := range [4][2]float64{{-1, 0}, {1, 0}, {1, 1}, {-1, 1}} {
				for k := range 2 {
					corners[i][k] = origin[k] + f.UnitsPerMM*(at[0]*camera.CardLongMM/2*across[k]+
						at[1]*camera.CardShortMM*math.Cos(float64(c.raise)*degree)*out[k])
				}
			}
			card, err := camera.NewCard(corners, camera.CardOptions{Orientation: orientation, CornerError: -1, Lean: -1, PictureWidth: 1920, PictureHeight: 1080})
			if err != nil {
				t.Fatal(err)
			}
			within(t, "raise", card.Raise.Value.Degrees(), float64(c.raise), 0.01)
			mapped, err := card.Plane.Map(trajectory.Path{}, tip)
			if err != nil {
				t.Fatal(err)
			}
			seen = trajectory.PrincipalAxis(mapped.X, mapped.Y).Angle
			got = card.Tilt(skew).PathAngle(about(seen.Value.Radians(), 0))
			within(t, "path angle in the card's plane", got.Value.Degrees(), float64(c.path), 0.02)
		}
	}
}

func TestPathAngleIntervals(t *testing.T) {
	none := estimate.Value[circular.Angle]{}
	sure := about(0, 0)
	tan := func(deg float64) float64 { return math.Tan(deg * degree) }
	deg := func(tan float64) float64 { return math.Atan(tan) / degree }
	for _, c := range []struct {
		name             string
		tilt             camera.Tilt
		seen             estimate.Value[circular.Angle]
		value, low, high float64
		tolerance        float64
	}{
		{"end-on: the seen interval", camera.Tilt{Raise: sure, Rectified: true}, about(10*degree, degree), 10, 10 - 1.959964, 10 + 1.959964, 1e-6},
		{"raise 15, skew unknown", camera.Tilt{Raise: about(15*degree, 0), Rectified: true}, about(0, 0),
			0, -deg(tan(30) * tan(15)), deg(tan(30) * tan(15)), 1e-6},
		{"raise 15, skew within 20", camera.Tilt{Raise: about(15*degree, 0), Rectified: true, Within: 20 * circular.Degree}, about(0, 0),
			0, -deg(tan(20) * tan(15)), deg(tan(20) * tan(15)), 1e-6},
		{"the errors beyond the range", camera.Tilt{Raise: about(15*degree, 0), Rectified: true}, about(0, 0.1*degree),
			0, -deg(tan(30)*tan(15)) - 0.1*1.6449*math.Pow(math.Cos(math.Atan(tan(30)*tan(15))), 2), deg(tan(30)*tan(15)) + 0.1*1.6449*math.Pow(math.Cos(math.Atan(tan(30)*tan(15))), 2), 1e-2},
		{"both unknown", camera.Tilt{Rectified: true}, about(0, 0), 0, -deg(tan(30) * tan(25)), deg(tan(30) * tan(25)), 1e-6},
		{"both unknown, own bounds", camera.Tilt{Rectified: true, Within: 10 * circular.Degree, MaxRaise: 5 * circular.Degree}, about(0, 0), 0, -deg(tan(10) * tan(5)), deg(tan(10) * tan(5)), 1e-6},
		{"bounds that are none", camera.Tilt{Within: -1, MaxRaise: -1}, about(7*degree, 0), 7, 7, 7, 1e-9},
		{"skew known, raise unknown", camera.Tilt{Skew: about(20*degree, 0), Rectified: true}, about(0, 0),
			-deg(tan(20)*tan(25)) / 2, -deg(tan(20) * tan(25)), 0, 1e-6},
		{"the same from the neck", camera.Tilt{Skew: about(20*degree, 0), Rectified: true, FromNeck: true}, about(0, 0),
			deg(tan(20)*tan(25)) / 2, 0, deg(tan(20) * tan(25)), 1e-6},
		{"raise unknown in a scaled picture, steep", camera.Tilt{Skew: sure}, about(60*degree, 0),
			(60 + deg(tan(60)/math.Cos(25*degree))) / 2, 60, deg(tan(60) / math.Cos(25*degree)), 1e-6},
		// A card that shows little raise has a lopsided interval, and so has
		// what follows from it.
		{"lopsided raise", camera.Tilt{Raise: estimate.Value[circular.Angle]{Value: 0, Low: 0, High: 6 * circular.Degree, Level: 0.95, N: 4}, Skew: about(20*degree, 0), Rectified: true}, about(0, 0),
			0, -deg(tan(20) * tan(6)), 0, 1e-3},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := c.tilt.PathAngle(c.seen)
			within(t, "value", got.Value.Degrees(), c.value, c.tolerance)
			within(t, "low", got.Low.Degrees(), c.low, c.tolerance)
			within(t, "high", got.High.Degrees(), c.high, c.tolerance)
			if got.Level != 0.95 || got.N != c.seen.N || !got.Known() {
				t.Errorf("%+v", got)
			}
		})
	}
	for name, c := range map[string]struct {
		tilt camera.Tilt
		seen estimate.Value[circular.Angle]
	}{
		"seen without an interval":  {camera.Tilt{}, estimate.Value[circular.Angle]{Value: 0.1, Low: circular.Angle(math.NaN()), High: circular.Angle(math.NaN()), N: 3}},
		"raise without an interval": {camera.Tilt{Raise: estimate.Value[circular.Angle]{Value: 0.1, N: 1}}, about(0.1, 0.01)},
	} {
		got := c.tilt.PathAngle(c.seen)
		if !got.Known() || got.Level != 0 || !math.IsNaN(got.Low.Radians()) || !math.IsNaN(got.High.Radians()) {
			t.Errorf("%s: %+v", name, got)
		}
	}
	absent := estimate.Missing[circular.Angle]("few", "path angle", "there are few strokes")
	if got := (camera.Tilt{}).PathAngle(absent); got != absent {
		t.Errorf("absent becomes %+v", got)
	}
	if got := (camera.Tilt{}).PathAngle(none); got.Known() {
		t.Errorf("not measured becomes %+v", got)
	}
	// Another level of the seen angle is the same knowledge.
	wide := about(0.1, 0.02)
	narrow := wide
	narrow.Level, narrow.Low, narrow.High = 0.5, 0.1-0.6744898*0.02, 0.1+0.6744898*0.02
	a, b := (camera.Tilt{}).PathAngle(wide), (camera.Tilt{}).PathAngle(narrow)
	within(t, "low at level 0.5", b.Low.Radians(), a.Low.Radians(), 1e-7)
}

// TestSteepPaths goes through 90 degrees, where the tangent jumps.
func TestSteepPaths(t *testing.T) {
	tilt := camera.Tilt{Raise: about(20*degree, degree), Skew: about(25*degree, degree), Rectified: true}
	last := math.NaN()
	for seen := -200.0; seen <= 200; seen++ {
		got := tilt.PathAngle(about(seen*degree, degree))
		if !(got.Low < got.Value && got.Value < got.High) || got.High-got.Low > 8*circular.Degree {
			t.Errorf("%v: %v within %v and %v", seen, got.Value.Degrees(), got.Low.Degrees(), got.High.Degrees())
		}
		if !(got.Value > -math.Pi/2 && got.Value <= math.Pi/2) {
			t.Errorf("%v: %v is no axis", seen, got.Value.Degrees())
		}
		if step := math.Remainder(got.Value.Degrees()-last, 180); step < 0.5 || step > 2 {
			t.Errorf("%v: a step of %v", seen, step)
		}
		last = got.Value.Degrees()
	}
}

// TestCoverageFactor holds the reach beyond a range against scipy.
func TestCoverageFactor(t *testing.T) {
	for _, f := range references(t).Factors {
		// A range as wide as that many standard errors of the seen angle, small
		// enough for tangents to be angles.
		const sd = 1e-4
		raise := math.Pi / 4
		skew := math.Atan(f.Width * sd / 2)
		tilt := camera.Tilt{Raise: about(raise, 0), Skew: about(0, 0), Rectified: true}
		if f.Width > 0 {
			tilt.Skew, tilt.Within = estimate.Value[circular.Angle]{}, circular.Angle(skew)
		}
		got := tilt.PathAngle(about(0, sd))
		within(t, "c", (got.High.Radians()-f.Width*sd/2)/sd, f.C, 1e-3)
	}
}
