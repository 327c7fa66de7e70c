package cycle

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// To returns how far the motion that o was kept from lies from r, with the margins
// of r, as [Reference.Distance] does for a mean cycle: it is for takes of which
// only their references are left. The errors of both are in the intervals. Of the
// shape a reference keeps one number as its error, and all of that is taken to lie
// along the difference: the interval is too wide rather than too narrow.
func (r Reference) To(o Reference) Distance {
	m := r.Margins.WithDefaults()
	var d Distance
	same := r.comparableIn(o.View, o.Setup)
	left := func(name string, there bool) *estimate.Absence {
		switch {
		case same != nil:
			return absence(same.Code, name, same.Why)
		case !there:
			return absence("none", name, "the other motion does not show it")
		}
		return nil
	}
	angle := func(name string, a, b *circular.Angle, ea, eb, margin circular.Angle) {
		if a == nil {
			return
		}
		why, v := left(name, b != nil), estimate.Value[float64]{}
		if why == nil {
			v = within((*b - *a).Axial().Degrees(), math.Hypot(ea.Degrees(), eb.Degrees()), o.Cycles)
		}
		d.add(name, "deg", v, margin.Degrees(), why)
	}
	number := func(name, unit string, a, b *float64, ea, eb, margin float64) {
		if a == nil {
			return
		}
		why, v := left(name, b != nil), estimate.Value[float64]{}
		if why == nil {
			v = within(*b-*a, math.Hypot(ea, eb), o.Cycles)
		}
		d.add(name, unit, v, margin, why)
	}
	e, f := r.Errors, o.Errors
	angle("path angle", r.PathAngle, o.PathAngle, e.PathAngle, f.PathAngle, m.PathAngle)
	angle("skew", r.Skew, o.Skew, e.Skew, f.Skew, m.Skew)
	number("curvature", "1/mm", r.Curvature, o.Curvature, e.Curvature, f.Curvature, m.Curvature)
	number("curvature times length", "", r.CurvatureLength, o.CurvatureLength, e.CurvatureLength, f.CurvatureLength, m.CurvatureLength)
	if r.Clearing != motion.ClearingUnknown {
		d.clearing(r, o.Clearing, absence("grade", "clearing", "it is not known of the other motion"))
	}
	if r.Shape != nil {
		v, why := r.shapeTo(o)
		if same != nil {
			why = left("cycle shape", true)
		}
		d.add("cycle shape", "", v, m.Shape, why)
	}
	d.judge()
	return d
}

// within is a value with half an interval to either side.
func within(value, half float64, n int) estimate.Value[float64] {
	return estimate.Value[float64]{Value: value, Low: value - half, High: value + half, Level: 0.95, N: n}
}

// shapeTo returns the distance of two shapes over the axes that both have, and
// why it is left out, or nil.
func (r Reference) shapeTo(o Reference) (estimate.Value[float64], *estimate.Absence) {
	const name = "cycle shape"
	if o.Shape == nil {
		return estimate.Value[float64]{}, absence("none", name, "a part of the other motion's cycle is never seen")
	}
	var axes []int
	for a := range 3 {
		if len(*r.Shape.axis(a)) > 0 && len(*o.Shape.axis(a)) > 0 {
			axes = append(axes, a)
		}
	}
	if len(axes) < 2 {
		return estimate.Value[float64]{}, absence("view", name, "the two views share no plane to compare it in")
	}
	a, okA := r.Shape.curve(axes)
	b, okB := o.Shape.curve(axes)
	if !okA || !okB {
		return estimate.Missing[float64]("reference", name, "a shape has no length in the plane that the two views share"), nil
	}
	ea, eb := r.Errors.Shape/1.959964, o.Errors.Shape/1.959964
	noise := ea*ea + eb*eb
	square := math.Max(0, shapeSquare(b, a)-noise)
	half := 1.959964 * math.Hypot(2*math.Sqrt(square*noise), math.Sqrt2*noise)
	v := within(square, half, o.Cycles)
	v.Value, v.Low, v.High = math.Sqrt(square), math.Sqrt(math.Max(0, v.Low)), math.Sqrt(v.High)
	return v, nil
}

// comparableIn says why nothing in a picture of that view and set-up compares with
// the reference, or nil.
func (r Reference) comparableIn(view trajectory.View, setup string) *estimate.Absence {
	oblique := r.View == trajectory.Oblique || view == trajectory.Oblique
	switch {
	case view == trajectory.ViewUnknown:
		return absence("view", "", "it is not said how the camera looked")
	case oblique && (r.View != view || r.Setup == "" || r.Setup != setup):
		return absence("setup", "", "an oblique view compares only with a reference of the same view and setup")
	}
	return nil
}
