package simulate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Positions and velocities of the minimum-jerk profile at τ = 0, 0.1, ... 0.5:
// closed form, Flash & Hogan 1985 (x = 10τ³-15τ⁴+6τ⁵).
func TestMinimumJerk(t *testing.T) {
	g := timing{profile: MinimumJerk}
	for i, want := range []struct{ place, speed float64 }{
		{0, 0}, {.00856, .243}, {.05792, .768}, {.16308, 1.323}, {.31744, 1.728}, {.5, 1.875},
	} {
		u := float64(i) / 10
		near(t, "place", g.place(u), want.place, 1e-12)
		near(t, "speed", g.speed(u), want.speed, 1e-12)
		near(t, "place from the other end", 1-g.place(1-u), want.place, 1e-12)
	}
}

func TestProfiles(t *testing.T) {
	for _, c := range []struct {
		g    timing
		peak float64 // NaN: by search alone
	}{
		{timing{HalfCosine, 0}, math.Pi / 2},
		{timing{MinimumJerk, 0}, 1.875}, // Flash & Hogan 1985
		{timing{HalfCosine, 0.5}, math.NaN()},
		{timing{MinimumJerk, -0.5}, math.NaN()},
		{timing{MinimumJerk, 0.3}, math.NaN()},
	} {
		near(t, "start", c.g.place(0), 0, 0)
		near(t, "end", c.g.place(1), 1, 1e-12)
		near(t, "speed at start", c.g.speed(0), 0, 1e-12)
		near(t, "speed at end", c.g.speed(1), 0, 1e-12)
		near(t, "acceleration at both turns", c.g.speed(1e-6), c.g.speed(1-1e-6), 1e-9)
		most, at := 0.0, 0.0
		for i := 1; i < 10000; i++ {
			u, h := float64(i)/10000, 1e-6
			s := c.g.speed(u)
			near(t, "speed is the derivative of place", s, (c.g.place(u+h)-c.g.place(u-h))/(2*h), 1e-6)
			if s < 0 {
				t.Fatalf("%+v turns back at %v", c.g, u)
			}
			if s > most {
				most, at = s, u
			}
		}
		near(t, "peak", c.g.peak(), most, 1e-6)
		if d := 0.5 - at; math.Abs(d) > 1e-3 != (c.g.lead != 0) || d*c.g.lead < 0 {
			t.Errorf("%+v has its peak at %v", c.g, at)
		}
		if !math.IsNaN(c.peak) {
			near(t, "peak in closed form", c.g.peak(), c.peak, 1e-12)
		}
	}
}

// A parabola over a chord L with a height h at its middle has the curvature
// 8h/L² there, and the middle bulges out when that is positive.
func TestLegCurvature(t *testing.T) {
	from, to := r3.Vec{X: -4, Y: 1, Z: -2}, r3.Vec{X: 5, Y: -1, Z: 1}
	for _, k := range []float64{0.05, -0.03, 0} {
		l := newLeg(0, 1, from, to, k)
		middle := l.at(0.5, timing{})
		chord := r3.Scale(0.5, r3.Add(from, to))
		h := r3.Norm(r3.Sub(middle, chord))
		if middle.Z < chord.Z {
			h = -h
		}
		near(t, "curvature", 8*h/r3.Norm2(r3.Sub(to, from)), k, 1e-12)
		near(t, "bulge is square to the chord", r3.Dot(l.bulge, l.chord), 0, 1e-12)
		// And by three points close to the middle: the circle through them.
		a, b, c := l.at(0.499, timing{}), middle, l.at(0.501, timing{})
		area := r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		near(t, "circle", 4*area/(r3.Norm(r3.Sub(a, b))*r3.Norm(r3.Sub(b, c))*r3.Norm(r3.Sub(a, c))), math.Abs(k), 1e-3*math.Abs(k)+1e-9)
	}
}

func TestTextOfEnums(t *testing.T) {
	for s := Settled; s <= TinyStrokes; s++ {
		b, _ := s.MarshalText()
		var back Search
		if err := back.UnmarshalText(b); err != nil || back != s {
			t.Errorf("%v comes back as %v, %v", s, back, err)
		}
	}
	for _, p := range []Profile{HalfCosine, MinimumJerk} {
		b, _ := p.MarshalText()
		var back Profile
		if err := back.UnmarshalText(b); err != nil || back != p {
			t.Errorf("%v comes back as %v, %v", p, back, err)
		}
	}
	var s Search
	var p Profile
	if s.UnmarshalText([]byte("no")) == nil || p.UnmarshalText([]byte("no")) == nil {
		t.Error("unknown words are taken")
	}
	if Search(9).String() != "Search(9)" || Profile(-1).String() != "Profile(-1)" {
		t.Error("unknown values have no text")
	}
}
