package simulate

import (
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/spatial/r3"
)

// orientations are all sixteen.
func orientations() (all []trajectory.Orientation) {
	for i := range 16 {
		all = append(all, trajectory.Orientation{YUp: i&1 != 0, LeftHanded: i&2 != 0, Mirrored: i&4 != 0, FromNeck: i&8 != 0})
	}
	return all
}

// What the camera shows, package trajectory puts back where it was: in every
// view and orientation, with fixed marks and with marks that sway.
func TestFrameGivesTheTipBack(t *testing.T) {
	for _, view := range []trajectory.View{trajectory.EndOn, trajectory.Front, trajectory.Spatial} {
		for _, or := range orientations() {
			for _, tracked := range []bool{false, true} {
				o := exact(Options{
					Duration: 2, View: view, Orientation: or, Roll: 0.7, PathAngle: 0.3, Skew: -0.4, Changes: []Change{{At: 1, By: 2}},
				})
				if tracked {
					o.TrackMarks = true
					if view != trajectory.Spatial { // its marks are smoothed, so a sway would leave a trace
						o.Sway, o.SwayAngle = 20, 0.04
					}
				}
				name := fmt.Sprintf("%v %+v tracked %v", view, or, tracked)
				k := mustMake(t, o)
				frame, err := trajectory.NewFrame(&k.Recording, frameOptions(k))
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				tip, _ := k.Recording.Point("tip")
				placed, err := frame.Place(trajectory.Placed{}, tip)
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				at, _ := motion(t, o)
				tolerance := 1e-6
				if o.Sway > 0 {
					tolerance = 0.02 // mm, of the smoothed marks
				}
				for i := 24; i < len(tip.T)-24; i += 7 {
					p := at(tip.T[i])
					for _, c := range []struct {
						axis string
						got  []float64
						want float64
						has  bool
					}{
						{"across", placed.Across, p.X, true},
						{"along", placed.Along, p.Y, view.HasAlong()},
						{"out", placed.Out, p.Z, view.HasOut()},
					} {
						switch {
						case (c.got != nil) != c.has:
							t.Fatalf("%s: axis %s is there: %v", name, c.axis, c.got != nil)
						case c.has:
							near(t, name+" "+c.axis, c.got[i], c.want, tolerance)
						}
					}
					if t.Failed() {
						return
					}
				}
			}
		}
	}
}

// frameOptions is the set-up that fits a take.
func frameOptions(k *Take) trajectory.FrameOptions {
	o := trajectory.FrameOptions{View: k.Options.View, Orientation: k.Options.Orientation, DistanceMM: k.Truth.MarkDistance}
	n := 2
	if k.Options.View == trajectory.Spatial {
		n = 3
		o.Marks.Nut = []trajectory.Mark{{At: k.Truth.Nut[:]}}
	}
	o.Marks.Bass.At, o.Marks.Treble.At = k.Truth.Bass[:n], k.Truth.Treble[:n]
	if k.Options.TrackMarks {
		o.Marks = trajectory.Marks{Bass: trajectory.Mark{Point: "bass"}, Treble: trajectory.Mark{Point: "treble"}}
		if n == 3 {
			o.Marks.Nut = []trajectory.Mark{{Point: "nut"}}
		}
	}
	return o
}

// A camera raised by r sees tan(seen) = cos r (tan(true) + tan(skew) tan r).
func TestRaise(t *testing.T) {
	const deg = circular.Degree
	for _, c := range []struct{ true, skew, raise circular.Angle }{
		{20 * deg, 0, 15 * deg}, {20 * deg, -17 * deg, 10 * deg}, {-12 * deg, 25 * deg, 30 * deg}, {5 * deg, -17 * deg, 0},
	} {
		o := quiet(Options{PathAngle: c.true, Skew: c.skew, Raise: c.raise})
		k := mustMake(t, o)
		tip := point(t, k, "tip")
		i, j := 0, 0
		for n := range tip {
			if tip[n].X < tip[i].X {
				i = n
			}
			if tip[n].X > tip[j].X {
				j = n
			}
		}
		seen := -(tip[j].Y - tip[i].Y) / (tip[j].X - tip[i].X) // y grows downward
		want := math.Cos(float64(c.raise)) * (math.Tan(float64(c.true)) + math.Tan(float64(c.skew))*math.Tan(float64(c.raise)))
		near(t, "slope seen", seen, want, 1e-9)
		first := math.Tan(float64(c.true)) + math.Tan(float64(c.skew))*math.Tan(float64(c.raise))
		near(t, "to first order", seen, first, float64(c.raise*c.raise)*math.Abs(first)+1e-9)
	}
	if o := mustMake(t, Options{View: trajectory.Oblique}).Options; o.Raise != 25*deg {
		t.Errorf("an oblique view is raised by %v degrees", o.Raise.Degrees())
	}
}

func TestPicture(t *testing.T) {
	k := mustMake(t, Options{Scale: 2.5, Roll: -90 * circular.Degree})
	// Rolled clockwise by a quarter turn, across points down the picture.
	for i, want := range [3]float64{960, 540 - 62.5, 0} {
		near(t, "bass", k.Truth.Bass[i], want, 1e-9)
	}
	for i, want := range [3]float64{960, 540 + 62.5, 0} {
		near(t, "treble", k.Truth.Treble[i], want, 1e-9)
	}
	p := mustMake(t, exact(Options{Scale: 2.5, Roll: -90 * circular.Degree, Depth: -8}))
	for _, v := range point(t, p, "tip") {
		if v.X < 960 { // out points right
			t.Fatalf("a tip above the strings at x %v", v.X)
		}
	}
	s := mustMake(t, Options{View: trajectory.Spatial, Roll: 0.3, Raise: 0.5})
	b, u, n := r3.Vec{X: s.Truth.Bass[0], Y: s.Truth.Bass[1], Z: s.Truth.Bass[2]}, r3.Vec{X: s.Truth.Treble[0], Y: s.Truth.Treble[1], Z: s.Truth.Treble[2]},
		r3.Vec{X: s.Truth.Nut[0], Y: s.Truth.Nut[1], Z: s.Truth.Nut[2]}
	near(t, "marks in space", r3.Norm(r3.Sub(u, b)), 50, 1e-9)
	middle := r3.Scale(0.5, r3.Add(b, u))
	near(t, "nut mark", r3.Norm(r3.Sub(n, middle)), nutAlong, 1e-9)
	near(t, "square", r3.Dot(r3.Sub(n, middle), r3.Sub(u, b)), 0, 1e-9)
}
