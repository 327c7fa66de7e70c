package contact_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/trajectory"
)

// slowed is a take whose tip is slower by a share within half a millimetre of
// the string, at 0.7 mm from the middle of the strokes. power makes the path
// differ from a half cosine.
func slowed(t *testing.T, share, power, hz, noise float64, seed int) *contact.Contacts {
	t.Helper()
	rng := stream("contact/slowing", seed)
	const half, at, reach = 5.0, 0.7, 0.5
	// The speed as a function of the place, integrated to time.
	type node struct{ t, y float64 }
	way := []node{}
	now := 0.0
	const n = 4000
	for i := range n {
		y := half * -math.Cos(math.Pi*(float64(i)+0.5)/n)
		x := y / half
		v := math.Pow(1-x*x, power) * (1 + 0.15*x)
		if math.Abs(y-at) < reach {
			v *= 1 - share
		}
		step := half * (math.Cos(math.Pi*float64(i)/n) - math.Cos(math.Pi*float64(i+1)/n))
		now += step / v
		way = append(way, node{now, half * -math.Cos(math.Pi*float64(i+1)/n)})
	}
	const strokes = 400
	p := trajectory.Placed{Name: "tip", Unit: "mm"}
	k, begin, duration, down, j := 0, 0.0, 0.1, true, 0
	shift := 0.3 * rng.NormFloat64()
	for i := 0; k < strokes; i++ {
		time := float64(i) / hz
		for time >= begin+duration {
			begin += duration
			duration = 0.1 * (1 + 0.03*rng.NormFloat64())
			down, j = !down, 0
			k++
		}
		u := (time - begin) / duration * now
		if !down {
			// The same way back: slower at the same place.
			u = now - u
			j = 0
		}
		for j < n-1 && way[j].t < u {
			j++
		}
		y0, t0 := -half, 0.0
		if j > 0 {
			y0, t0 = way[j-1].y, way[j-1].t
		}
		y := y0 + (way[j].y-y0)*(u-t0)/(way[j].t-t0)
		p.T = append(p.T, time)
		p.Across = append(p.Across, y+shift+noise*rng.NormFloat64())
		p.Out = append(p.Out, -1+0.3*y+noise*rng.NormFloat64())
	}
	m, err := motion.Analyze(p, motion.Options{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := contact.Find(m, p, contact.Strings{Number: 1, AcrossMM: []float64{at + shift}, CrownRadiusMM: -1}, contact.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestSlowing holds the slowing against that put into the path: nothing, and a
// fifth. The samples see the latter diluted, since each of them reaches further
// than the contact.
func TestSlowing(t *testing.T) {
	for _, c := range []struct {
		share, power, hz float64
		low, high        float64 // of what the samples should see
	}{
		{0, 0.5, 240, 0, 0},
		{0, 0.5, 480, 0, 0},
		{0, 0.6, 240, 0, 0},
		{0, 0.45, 240, 0, 0},
		{0.2, 0.5, 240, 0.06, 0.2},
		{0.2, 0.5, 1000, 0.14, 0.2},
		{0.2, 0.6, 480, 0.08, 0.2},
	} {
		var in covered
		var sum float64
		for seed := range 6 {
			r := slowed(t, c.share, c.power, c.hz, 0.03, seed)
			for _, d := range []motion.Direction{motion.Down, motion.Up} {
				v := r.Slowing(d)
				if !v.Known() {
					t.Fatalf("%+v: %s", c, v.Absent.Why)
				}
				sum += v.Value / 12
				in.add(v.Low <= c.high && v.High >= c.low)
			}
		}
		t.Logf("slower by %.2f, power %.2f, %4g frames/s: mean %.3f; interval meets %.2f to %.2f in %d/%d", c.share, c.power, c.hz, sum, c.low, c.high, in.in, in.all)
		if in.share() < 0.8 || sum < c.low-0.02 || sum > c.high+0.02 {
			t.Errorf("slower by %g, power %g, %g frames/s: %.3f, want %g to %g", c.share, c.power, c.hz, sum, c.low, c.high)
		}
	}
}

// TestSlowingAbsent holds that few samples give none.
func TestSlowingAbsent(t *testing.T) {
	r := slowed(t, 0.2, 0.5, 90, 0.03, 1)
	if v := r.Slowing(motion.Down); v.Known() || v.Absent == nil || v.Absent.Code != "samples per stroke" {
		t.Errorf("9 samples per stroke: %+v", v)
	}
	for _, s := range r.Strokes {
		if !math.IsNaN(s.Speed) {
			t.Fatalf("9 samples per stroke: a crossing speed of %v", s.Speed)
		}
	}
}
