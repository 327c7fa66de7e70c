package cycle

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Reference is a motion to hold others against: kept from a take (see
// FromCycle), or given in numbers. What is nil or zero is not part of it. Its
// zero value asks for nothing.
type Reference struct {
	// Note says in words what it is.
	Note string
	// View is the view that it was measured in; unknown for one given in
	// numbers, whose angles are then true ones. Setup names the arrangement of
	// camera and points, which oblique views must share to compare.
	View  trajectory.View
	Setup string
	// PathAngle and Skew of the line between the turns.
	PathAngle, Skew *circular.Angle
	// Curvature in 1/mm, and that times the length, which has no unit.
	Curvature, CurvatureLength *float64
	// Clearing says which turns clear the strings.
	Clearing motion.Clearing
	// Shape is the mean cycle, free of scale and rate.
	Shape *Shape
	// Rate and Cycles tell where it comes from: strokes per second and the
	// number of cycles. They are not compared.
	Rate   float64
	Cycles int
	// Margins say how far off still counts as the same motion.
	Margins Margins
	// Errors say how well the numbers of the reference themselves are known.
	Errors Errors
}

// Shape is a mean cycle in units of its length: for every axis that the view
// shows the cosine and sine coefficients of its harmonics, the first first, at
// phase 0 for the turn before the downstroke.
type Shape struct {
	// DownShare is the phase of the turn after the downstroke.
	DownShare          float64
	Across, Along, Out [][2]float64
}

// Margins say how far from the reference still counts as the same motion. Zero
// is the default of each field, negative leaves it out of the answer: its
// difference is told, and not judged.
type Margins struct {
	// PathAngle: zero means 3 degrees. Skew: zero means 5 degrees.
	PathAngle, Skew circular.Angle
	// Curvature in 1/mm: zero means 0.01.
	Curvature float64
	// CurvatureLength has no unit. Zero leaves it out like a negative number,
	// since Curvature and Shape say the same.
	CurvatureLength float64
	// Shape is a share of the length: zero means 0.05.
	Shape float64
}

// WithDefaults returns the margins with every zero field at its default.
func (m Margins) WithDefaults() Margins {
	if m.PathAngle == 0 {
		m.PathAngle = 3 * circular.Degree
	}
	if m.Skew == 0 {
		m.Skew = 5 * circular.Degree
	}
	if m.Curvature == 0 {
		m.Curvature = 0.01
	}
	if m.CurvatureLength == 0 {
		m.CurvatureLength = -1
	}
	if m.Shape == 0 {
		m.Shape = 0.05
	}
	return m
}

// Errors are the half-widths of the 95 % intervals of a reference's own
// numbers. Zero means exact, as for a reference given in numbers.
type Errors struct {
	PathAngle, Skew            circular.Angle
	Curvature, CurvatureLength float64
	// Shape is the root mean square over the cycle, as a share of the length.
	Shape float64
}

// FromCycle keeps a mean cycle as a reference, with all that it shows. The
// error says what is missing: a mean cycle, its View option, or its turns.
func FromCycle(c Cycle, note string, m Margins) (Reference, error) {
	r := Reference{Note: note, View: c.Options.View, Setup: c.Options.Setup, Margins: m, Cycles: c.Cycles, Rate: c.Rate.Value}
	switch {
	case c.Absent != nil:
		return Reference{}, fmt.Errorf("cycle: no reference: %s", c.Absent.Why)
	case r.View == trajectory.ViewUnknown:
		return Reference{}, fmt.Errorf("cycle: no reference: it is not said how the camera looked (Options.View)")
	case !c.Length.Known():
		return Reference{}, fmt.Errorf("cycle: no reference: %s", c.Length.Absent.Why)
	}
	r.PathAngle, r.Errors.PathAngle = kept(c.PathAngle)
	r.Skew, r.Errors.Skew = kept(c.Skew)
	if c.Unit == "mm" {
		r.Curvature, r.Errors.Curvature = kept(c.Curvature)
	}
	r.CurvatureLength, r.Errors.CurvatureLength = kept(c.CurvatureLength)
	r.Clearing = c.Clearing
	if c.seen.all {
		s := c.normalised(c.curve.axes)
		r.Shape = &Shape{DownShare: s.share}
		for _, a := range s.axes {
			pairs := make([][2]float64, len(s.coef[a])/2)
			for h := range pairs {
				pairs[h] = [2]float64{s.coef[a][2*h], s.coef[a][2*h+1]}
			}
			*r.Shape.axis(a) = pairs
		}
		r.Errors.Shape = 1.959964 * math.Sqrt(c.doubt(c.curve.axes))
	}
	return r, nil
}

// kept returns a known value and the half-width of its interval, the wider of
// the two sides.
func kept[T ~float64](v estimate.Value[T]) (*T, T) {
	if !v.Known() {
		return nil, 0
	}
	x := v.Value
	return &x, halfOf(v)
}

// halfOf returns half the width of an interval, NaN where there is none.
func halfOf[T ~float64](v estimate.Value[T]) T {
	if v.Level == 0 {
		return T(math.NaN())
	}
	return max(v.High-v.Value, v.Value-v.Low)
}

// axis returns the coefficients of one axis: across, along, out.
func (s *Shape) axis(a int) *[][2]float64 {
	return [...]*[][2]float64{&s.Across, &s.Along, &s.Out}[a]
}

// At returns the place of the shape at a phase in cycles, which Cycle.At counts
// alike, in units of its length about its centre. An axis that the shape does not
// hold is NaN.
func (s *Shape) At(phase float64) Point {
	var axes []int
	for a := range 3 {
		if len(*s.axis(a)) > 0 {
			axes = append(axes, a)
		}
	}
	if axes == nil {
		return noPoint
	}
	c := s.harmonics(axes)
	x, _, _ := c.at(phase)
	return c.point(x)
}

// harmonics returns the shape over the given axes as it stands.
func (s *Shape) harmonics(axes []int) *curve {
	order := 1
	for _, a := range axes {
		order = max(order, len(*s.axis(a)))
	}
	c := &curve{axes: axes, share: s.DownShare}
	for _, a := range axes {
		c.coef[a] = make([]float64, 2*order)
		for h, p := range *s.axis(a) {
			c.coef[a][2*h], c.coef[a][2*h+1] = p[0], p[1]
		}
	}
	return c
}

// curve returns the shape over the given axes in units of its own length there.
// ok is false where it has none.
func (s *Shape) curve(axes []int) (c *curve, ok bool) {
	c = s.harmonics(axes)
	return c, c.normalise()
}

// normalise divides a curve by the distance of its turns.
func (c *curve) normalise() bool {
	l := c.length()
	for _, x := range c.axes {
		for j := range c.coef[x] {
			c.coef[x][j] /= l
		}
		c.centre[x] = 0
	}
	return l > 0
}

// normalised returns the mean cycle over some of its axes in units of its
// length there, about its centre.
func (c *Cycle) normalised(axes []int) *curve {
	d := &curve{axes: axes, share: c.curve.share}
	for _, a := range axes {
		d.coef[a] = append([]float64(nil), c.curve.coef[a]...)
	}
	d.normalise()
	return d
}

// doubt returns the mean squared error of the normalised mean cycle, over the
// phases and summed over the axes.
func (c *Cycle) doubt(axes []int) float64 {
	base := c.normalised(axes)
	n, p := len(c.pull), len(base.coef[axes[0]])
	pulls := make([]float64, n)
	shapes := c.perturbedShapes(axes)
	sum := 0.0
	for _, a := range axes {
		for j := range p {
			for i := range n {
				pulls[i] = shapes[i].coef[a][j] - base.coef[a][j]
			}
			v, _ := estimate.LongRun(pulls)
			sum += v * float64(n) / 2 // the mean square of a cosine is 1/2
		}
	}
	return sum
}

// perturbedShapes returns the normalised mean cycles with each lap counted
// twice.
func (c *Cycle) perturbedShapes(axes []int) []*curve {
	all := make([]*curve, len(c.pull))
	for i := range all {
		d := c.spare()
		c.perturbed(d, i)
		d.axes = axes
		d.normalise()
		all[i] = d
	}
	return all
}
