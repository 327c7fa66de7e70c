package cycle_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// ring returns a mean cycle of a line at an angle in the across/out plane, with
// a bulge.
func ring(angle circular.Angle, bulge, err float64) cycle.Reference {
	a, k, kl := angle, 0.02, 0.2
	sin, cos := math.Sincos(angle.Radians())
	return cycle.Reference{View: trajectory.EndOn, Setup: "A", PathAngle: &a, Curvature: &k, CurvatureLength: &kl,
		Shape:  &cycle.Shape{DownShare: 0.5, Across: [][2]float64{{-cos / 2, 0}, {-bulge * sin, 0}}, Out: [][2]float64{{-sin / 2, 0}, {bulge * cos, 0}}},
		Cycles: 40, Errors: cycle.Errors{PathAngle: 0.5 * circular.Degree, Curvature: 0.002, Shape: err}}
}

func TestTo(t *testing.T) {
	const degree = circular.Degree
	close := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 { // exact but for rounding
			t.Errorf("%s: %.10g, want %.10g", what, got, want)
		}
	}
	component := func(d cycle.Distance, name string) cycle.Component {
		c, ok := d.Component(name)
		if !ok {
			t.Fatalf("no %s", name)
		}
		return c
	}
	d := ring(10*degree, 0.05, 0.01).To(ring(10*degree, 0.05, 0.01))
	if d.Answer != cycle.Inside || component(d, "cycle shape").Difference.Value != 0 {
		t.Errorf("alike: %+v", d)
	}
	d = ring(10*degree, 0, 0.01).To(ring(18*degree, 0, 0.01))
	c := component(d, "path angle")
	close("8 degrees", c.Difference.Value, 8)
	close("its half-width", c.Difference.High-c.Difference.Value, math.Sqrt2/2)
	if c.Answer != cycle.Outside || d.Answer != cycle.Outside {
		t.Errorf("8 degrees off: %+v", d)
	}
	// Two lines of length 1 at 8 degrees to each other are at most 2 sin 4° / 2
	// apart, by a cosine: root mean square sin 4° / √2, less the noise.
	shape := component(d, "cycle shape").Difference.Value
	close("their shapes", shape, math.Sqrt(math.Pow(math.Sin(4*math.Pi/180), 2)/2-2*math.Pow(0.01/1.959964, 2)))

	// A cycle that begins later in phase is the same one.
	a := ring(10*degree, 0.05, 0.001)
	b := a
	shifted := *a.Shape
	turn := func(axis [][2]float64) (out [][2]float64) {
		for h, p := range axis {
			s, c := math.Sincos(2 * math.Pi * float64(h+1) * 0.03)
			out = append(out, [2]float64{p[0]*c + p[1]*s, p[1]*c - p[0]*s})
		}
		return out
	}
	shifted.Across, shifted.Out = turn(a.Shape.Across), turn(a.Shape.Out)
	b.Shape = &shifted
	if v := component(a.To(b), "cycle shape").Difference; v.Value > 1e-3 {
		t.Errorf("shifted in phase: %+v", v)
	}
	// A front view shares no plane with an end-on one, and an oblique one nothing.
	b = ring(10*degree, 0.05, 0.01)
	b.View, b.Shape, b.PathAngle = trajectory.Front, &cycle.Shape{DownShare: 0.5, Across: shifted.Across, Along: shifted.Out}, nil
	if d := a.To(b); component(d, "cycle shape").LeftOut == nil || component(d, "path angle").LeftOut == nil {
		t.Errorf("front: %+v", d)
	}
	a.View, a.Setup = trajectory.Oblique, ""
	for _, c := range a.To(a).Components {
		if c.LeftOut == nil {
			t.Errorf("oblique: %+v", c)
		}
	}
	// In a 3-d view the shared plane counts, in units of the length there.
	flat, deep := ring(10*degree, 0.05, 0.001), ring(10*degree, 0.05, 0.001)
	deep.View = trajectory.Spatial
	scaled := *deep.Shape
	scaled.Across, scaled.Out, scaled.Along = nil, nil, [][2]float64{{-0.3, 0}}
	for h := range flat.Shape.Across {
		for k, axis := range [][][2]float64{flat.Shape.Across, flat.Shape.Out} {
			p := [2]float64{0.8 * axis[h][0], 0.8 * axis[h][1]}
			if k == 0 {
				scaled.Across = append(scaled.Across, p)
			} else {
				scaled.Out = append(scaled.Out, p)
			}
		}
	}
	deep.Shape = &scaled
	if v := component(flat.To(deep), "cycle shape").Difference; v.Value > 1e-6 {
		t.Errorf("3-d and end-on: %+v", v)
	}
}

// Two takes of a tutor of which only the mean cycles were kept.
func ExampleReference_To() {
	monday := ring(10*circular.Degree, 0.05, 0.01)
	friday := ring(18*circular.Degree, 0.05, 0.01)
	d := monday.To(friday)
	c, _ := d.Component("path angle")
	fmt.Printf("path angle %+.1f degrees: %v; together: %v\n", c.Difference.Value, c.Answer, d.Answer)
	// Output: path angle +8.0 degrees: outside; together: outside
}
