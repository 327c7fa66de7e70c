package simulate

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// spatialArm is a take in the instrument frame itself: a 3-d view that is not
// turned.
func spatialArm(o Options) Options {
	o.Arm, o.View = true, trajectory.Spatial
	return exact(o)
}

// chain gives the places of all points of an arm at time t.
func chain(t *testing.T, o Options) (at func(float64) map[string]r3.Vec, tr Truth) {
	t.Helper()
	o = o.withDefaults().resolved()
	b, err := newBuilder(o)
	if err != nil {
		t.Fatal(err)
	}
	knots := b.build()
	p := tip{legs: b.legs(knots), g: timing{o.Profile, o.Lead}}
	return func(at float64) map[string]r3.Vec {
		l := p.leg(at)
		m := map[string]r3.Vec{"tip": l.at(at, p.g)}
		c := b.arm.at(l.joints(at, p.g), l.handAt(at))
		for _, k := range landmarks {
			m[k.name] = b.arm.place(k.name, c, m["tip"])
		}
		return m
	}, b.truth(knots, p.legs)
}

var mixes = []Shares{
	{0.05, 0.2, 0.3, 0.35, 0.1}, {1, 0, 0, 0, 0}, {0, 1, 0, 0, 0}, {0, 0, 1, 0, 0}, {0, 0, 0, 1, 0}, {0, 0, 0, 0, 1},
	{-0.1, 0.6, 0.1, 0.5, -0.1}, {0.1, 0.1, 0.5, 0.1, 0.2},
}

// The parts of the arm keep their lengths, move without a leap and carry the
// tip along the path that it has without an arm.
func TestArmIsRigid(t *testing.T) {
	o := busy()
	o.TouchFor = 0.5
	free, _ := motion(t, o)
	o.Arm = true
	at, _ := chain(t, o)
	dist := func(m map[string]r3.Vec, a, b string) float64 { return r3.Norm(r3.Sub(m[a], m[b])) }
	first := at(0)
	for _, c := range []struct {
		a, b string
		want float64 // 0: whatever it is at the start
	}{
		{"shoulder", "elbow", 300}, {"elbow", "wrist", 250}, {"wrist_inner", "wrist_outer", 56}, {"wrist_inner", "wrist", 28},
		{"knuckle_1", "knuckle_2", 60}, {"wrist", "knuckle_1", 0}, {"wrist", "knuckle_2", 0}, {"elbow", "wrist_inner", 0}, {"tip", "pick_base", 0},
	} {
		if c.want == 0 {
			c.want = dist(first, c.a, c.b)
		}
		for s := 0.0; s < 20; s += 0.0071 {
			near(t, c.a+" to "+c.b, dist(at(s), c.a, c.b), c.want, 1e-9)
		}
	}
	// The elbow is a hinge: the forearm swings in the plane of the two.
	hinge := r3.Unit(r3.Cross(r3.Sub(first["shoulder"], first["elbow"]), r3.Sub(first["wrist"], first["elbow"])))
	for s := 0.0; s < 20; s += 0.0071 {
		m := at(s)
		near(t, "out of the hinge's plane", r3.Dot(hinge, r3.Unit(r3.Sub(m["wrist"], m["elbow"]))), 0, 1e-12)
		near(t, "upper arm", r3.Norm(r3.Sub(r3.Sub(m["shoulder"], m["elbow"]), r3.Sub(first["shoulder"], first["elbow"]))), 0, 1e-9)
	}
	last := at(0)
	for s := 0.0; s < 19; s += 5e-4 {
		m := at(s)
		near(t, "tip", r3.Norm(r3.Sub(m["tip"], free(s))), 0, 1e-12)
		for name, p := range m {
			if v := r3.Norm(r3.Sub(p, last[name])) / 5e-4; v > 1000 {
				t.Fatalf("%s leaps at %v s: %v mm/s", name, s, v)
			}
		}
		last = m
	}
}

// Without scatter the strokes' shares are those asked for, to the second order
// of the joints' turns, on whatever path.
func TestSharesAsAsked(t *testing.T) {
	for _, mix := range mixes {
		for _, o := range []Options{
			{}, {PathAngle: 0.35, Skew: -0.3}, {PathAngle: -0.2, Skew: 0.25, Curvature: 0.04, Profile: MinimumJerk, Lead: 0.3, ForearmAngle: 0.7, ForearmRoll: 0.3},
		} {
			o = spatialArm(quiet(o))
			o.Shares, o.ShareScatter = mix, -1
			_, tr := chain(t, o)
			for _, s := range tr.Strokes {
				got, want := s.Shares.list(), mix.list()
				sum := 0.0
				for i := range got {
					near(t, "share", got[i], want[i], 0.015)
					sum += got[i]
				}
				near(t, "sum of the shares", sum, 1, 1e-12)
			}
			for i, v := range tr.Shares.list() {
				near(t, "share of the take", v, mix.list()[i], 0.015)
			}
		}
	}
}

// frameOf returns the axes of a rigid part: along a, and b made square to it.
func frameOf(a, b r3.Vec) [3]r3.Vec {
	a = r3.Unit(a)
	b = r3.Unit(r3.Sub(b, r3.Scale(r3.Dot(a, b), a)))
	return [3]r3.Vec{a, b, r3.Cross(a, b)}
}

// turnBetween returns the rotation vector from one set of axes to another.
func turnBetween(from, to [3]r3.Vec) r3.Vec {
	r := mat.NewDense(3, 3, nil)
	for i, p := range from {
		q := to[i]
		for a, x := range []float64{q.X, q.Y, q.Z} {
			for b, y := range []float64{p.X, p.Y, p.Z} {
				r.Set(a, b, r.At(a, b)+x*y)
			}
		}
	}
	v := r3.Vec{X: r.At(2, 1) - r.At(1, 2), Y: r.At(0, 2) - r.At(2, 0), Z: r.At(1, 0) - r.At(0, 1)}
	sin := r3.Norm(v) / 2
	if sin == 0 {
		return r3.Vec{}
	}
	return r3.Scale(math.Asin(sin)/(2*sin), v)
}

// The landmarks alone tell the shares of every stroke: from the turns of the
// forearm and the hand between two turns of the tip, about joints and a tip in
// the middle of where they were. None of it uses the chain's own joints.
func TestLandmarksTellTheShares(t *testing.T) {
	for i, mix := range mixes {
		o := spatialArm(Options{
			Seed: uint64(i), Shares: mix, ShareScatter: 0.05, PathAngle: 0.3, Skew: -0.2, Duration: 10, HandWander: 0.2, ForearmRoll: 0.2,
			Changes: []Change{{At: 5, By: 1}},
		})
		at, tr := chain(t, o)
		for _, s := range tr.Strokes {
			a, b := at(s.Start), at(s.End-1e-12)
			mid := func(name string) r3.Vec { return r3.Scale(0.5, r3.Add(a[name], b[name])) }
			lower := func(m map[string]r3.Vec) [3]r3.Vec {
				return frameOf(r3.Sub(m["wrist"], m["elbow"]), r3.Sub(m["wrist_inner"], m["wrist_outer"]))
			}
			palm := func(m map[string]r3.Vec) [3]r3.Vec {
				k := r3.Scale(0.5, r3.Add(m["knuckle_1"], m["knuckle_2"]))
				return frameOf(r3.Sub(k, m["wrist"]), r3.Sub(m["knuckle_1"], m["knuckle_2"]))
			}
			arm, hand := turnBetween(lower(a), lower(b)), turnBetween(palm(a), palm(b))
			long := r3.Unit(r3.Sub(mid("wrist"), mid("elbow")))
			roll := r3.Scale(r3.Dot(arm, long), long)
			chord := r3.Sub(b["tip"], a["tip"])
			share := func(v r3.Vec) float64 { return r3.Dot(v, chord) / r3.Norm2(chord) }
			want := Shares{
				Shoulder: share(r3.Sub(b["elbow"], a["elbow"])),
				Elbow:    share(r3.Cross(r3.Sub(arm, roll), r3.Sub(mid("tip"), mid("elbow")))),
				Forearm:  share(r3.Cross(roll, r3.Sub(mid("tip"), mid("wrist")))),
				Wrist:    share(r3.Cross(r3.Sub(hand, arm), r3.Sub(mid("tip"), mid("wrist")))),
			}
			want.Fingers = 1 - want.Shoulder - want.Elbow - want.Forearm - want.Wrist
			for j, v := range s.Shares.list() {
				near(t, "share", v, want.list()[j], 0.012)
			}
		}
		if t.Failed() {
			t.Fatalf("mix %+v", mix)
		}
	}
}

func TestShareScatter(t *testing.T) {
	o := spatialArm(Options{Duration: 200, ShareScatter: 0.06, AngleScatter: -1, LengthScatter: -1, SkewScatter: -1})
	_, tr := chain(t, o)
	var columns [5][]float64
	for _, s := range tr.Strokes {
		for i, v := range s.Shares.list() {
			columns[i] = append(columns[i], v)
		}
	}
	for i, c := range columns {
		mean, sd := stat.MeanStdDev(c, nil)
		near(t, "mean", mean, Shares{0.05, 0.2, 0.3, 0.35, 0.1}.list()[i], 0.01)
		want := 0.06
		if i == 4 {
			want *= 2 // what four joints leave over
		}
		near(t, "scatter", sd, want, 0.06*want)
	}
}

// In phase with the tip, the wrist goes its carry.
func TestCarryOfAnArm(t *testing.T) {
	for _, mix := range mixes {
		o := spatialArm(quiet(Options{Shares: mix, ShareScatter: -1, PathAngle: 0.2, Skew: 0.2, Duration: 3}))
		at, tr := chain(t, o)
		u := direction(o.PathAngle, o.Skew)
		var x, y []float64
		for s := 0.5; s < 2.5; s += 0.001 {
			m := at(s)
			x, y = append(x, r3.Dot(u, m["tip"])), append(y, r3.Dot(u, m["wrist"]))
		}
		_, slope := stat.LinearRegression(x, y, nil, false)
		near(t, "carry", tr.Carry, slope, 0.003)
	}
	near(t, "carry of a wrist", mustMake(t, Options{Wrist: true, Carry: 0.4}).Truth.Carry, 0.4, 0)
	if tr := mustMake(t, Options{}).Truth; tr.Carry != 0 || tr.Shares != (Shares{}) || tr.Strokes[0].Shares != (Shares{}) {
		t.Errorf("no arm: %+v %v", tr.Shares, tr.Carry)
	}
}

// The forearm lies and is rolled as stated, in the middle of the path.
func TestForearm(t *testing.T) {
	const deg = circular.Degree
	for _, c := range []struct{ angle, roll circular.Angle }{{0, 0}, {25 * deg, 15 * deg}, {45 * deg, -30 * deg}} {
		o := spatialArm(quiet(Options{ForearmAngle: c.angle, ForearmRoll: c.roll, ShareScatter: -1}))
		if c.angle == 0 {
			o.ForearmAngle = -1
		}
		at, tr := chain(t, o)
		var long, side r3.Vec
		for s := tr.Turns[0].T; s < tr.Turns[100].T; s += 1e-3 { // whole cycles
			m := at(s)
			long, side = r3.Add(long, r3.Unit(r3.Sub(m["wrist"], m["elbow"]))), r3.Add(side, r3.Unit(r3.Sub(m["wrist_inner"], m["wrist_outer"])))
		}
		long = r3.Unit(long)
		near(t, "angle to along", math.Atan2(long.X, long.Y)*180/math.Pi, c.angle.Degrees(), 0.1)
		near(t, "down to the strings", -math.Asin(long.Z)*180/math.Pi, 5, 0.1)
		level := r3.Unit(r3.Cross(r3.Vec{Z: 1}, long)) // square to the forearm, in the string plane, to the lowest string's side
		near(t, "roll", math.Atan2(-r3.Dot(side, r3.Cross(long, level)), r3.Dot(side, level))*180/math.Pi, c.roll.Degrees(), 0.2)
	}
}

// Landmarks have the stated noise, and slide in phase with the stroke by the
// stated way, each in its own direction; the tip and the pick do not slide.
func TestLandmarkErrors(t *testing.T) {
	o := spatialArm(quiet(Options{Duration: 20, ShareScatter: -1}))
	clean := mustMake(t, o)
	o.SkinError = 8
	slid := mustMake(t, o)
	o.SkinError, o.LandmarkNoise, o.Decimals = 0, 0.7, -1
	noisy := mustMake(t, o)
	u := direction(o.PathAngle, o.Skew)
	tip := point(t, clean, "tip")
	directions := map[string]r3.Vec{}
	for _, name := range []string{"tip", "shoulder", "elbow", "wrist", "wrist_inner", "wrist_outer", "knuckle_1", "knuckle_2", "pick_base"} {
		a, b, c := point(t, clean, name), point(t, slid, name), point(t, noisy, name)
		most := 0.0
		var e []float64
		for i := range a {
			d := r3.Sub(b[i], a[i])
			most = math.Max(most, r3.Norm(d))
			far := r3.Dot(u, r3.Sub(tip[i], r3.Vec{X: 200 + 5, Y: 100, Z: 900 - 1})) // the middle of the path on the string at 5 mm
			if name != "tip" && name != "pick_base" {
				near(t, name+" slides in phase", r3.Norm(d), 8*math.Abs(far)/5, 1e-9)
				if far > 4 {
					directions[name] = r3.Unit(d)
				}
			}
			e = append(e, c[i].X-a[i].X, c[i].Y-a[i].Y, c[i].Z-a[i].Z)
		}
		if name == "tip" || name == "pick_base" {
			near(t, name+" does not slide", most, 0, 1e-12)
		}
		if name != "tip" {
			mean, sd := stat.MeanStdDev(e, nil)
			near(t, name+" noise", sd, 0.7, 0.02)
			near(t, name+" mean", mean, 0, 0.03)
		}
	}
	for a, p := range directions {
		for b, q := range directions {
			if a < b && r3.Cos(p, q) > 0.999 {
				t.Errorf("%s and %s slide the same way", a, b)
			}
		}
	}
}

// A picture shows the arm where the camera sees it, and an arm leaves the rest
// of the take as it was.
func TestArmInPictures(t *testing.T) {
	o := exact(Options{PathAngle: 0.3, Raise: 0.2, Distance: 1500, Duration: 3, Scale: 3})
	plain := mustMake(t, o)
	o.Arm = true
	k := mustMake(t, o)
	at, _ := chain(t, o)
	cam := newCamera(o.withDefaults().resolved())
	for _, m := range landmarks {
		for i, p := range point(t, k, m.name) {
			s := k.Recording.T[i]
			near(t, m.name, r3.Norm(r3.Sub(p, cam.see(at(s)[m.name], s))), 0, 1e-9)
		}
	}
	a, b := point(t, plain, "tip"), point(t, k, "tip")
	for i := range a {
		if a[i] != b[i] {
			t.Fatal("the tip is another")
		}
	}
	for _, c := range []struct {
		want string
		o    Options
	}{
		{"Shares", Options{Arm: true, Shares: Shares{Wrist: 0.5}}}, {"Shares", Options{Arm: true, Shares: Shares{Wrist: math.NaN()}}},
		{"Wrist", Options{Arm: true, Wrist: true}}, {"forearm cannot", Options{Arm: true, Skew: 60 * circular.Degree}},
	} {
		if _, err := Make(c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.want, err)
		}
	}
}
