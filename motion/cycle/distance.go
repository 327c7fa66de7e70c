package cycle

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Answer says whether a motion is the same as a reference, within its margins.
// Its zero value is that it cannot be said.
type Answer int

const (
	CannotSay Answer = iota
	Inside
	Outside
)

var answerText = [...]string{"cannot say", "inside", "outside"}

// String returns "cannot say", "inside" or "outside".
func (a Answer) String() string {
	if a < 0 || int(a) >= len(answerText) {
		return fmt.Sprintf("Answer(%d)", int(a))
	}
	return answerText[a]
}

// MarshalText implements encoding.TextMarshaler.
func (a Answer) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (a *Answer) UnmarshalText(b []byte) error {
	for i, s := range answerText {
		if s == string(b) {
			*a = Answer(i)
			return nil
		}
	}
	return fmt.Errorf("cycle: unknown answer %q", b)
}

// Component is one part of the distance from a reference.
type Component struct {
	// Name is "path angle", "skew", "curvature", "curvature times length",
	// "clearing" or "cycle shape", Unit "deg", "1/mm" or nothing.
	Name, Unit string
	// Difference is the motion's less the reference's, with the error of both
	// in its interval; of the shape it is the root mean square distance over
	// the cycle, as a share of the length. Clearing has none.
	Difference estimate.Value[float64]
	// Margin is the largest difference that counts as inside; negative: not
	// judged.
	Margin float64
	Answer Answer
	// LeftOut says why this component takes no part in the answer on the
	// whole: the reference and this view do not share it, or its margin says
	// so. It is nil for those that do.
	LeftOut *estimate.Absence
}

// Distance is how far a motion lies from a reference.
type Distance struct {
	// Components are those that the reference states, in the order of their
	// names above.
	Components []Component
	// Answer is outside if one component is, inside if all are, and otherwise
	// cannot be said. Components left out do not count; with none left nothing
	// can be said.
	Answer Answer
}

// Component returns the component of that name, ok is false if there is none.
func (d Distance) Component(name string) (c Component, ok bool) {
	for _, c := range d.Components {
		if c.Name == name {
			return c, true
		}
	}
	return Component{}, false
}

// Distance returns how far a mean cycle lies from the reference. A component
// is inside when the whole 95 % interval of its difference lies within the
// margin, outside when the whole interval lies beyond, and otherwise cannot be
// said: too few cycles are no proof of sameness.
//
// Path angles compare between end-on and 3-d views, skews between front and
// 3-d views, all else of an oblique view only within one setup. What the views
// do not share is left out, with the reason.
func (r Reference) Distance(c Cycle) Distance {
	m := r.Margins.WithDefaults()
	var d Distance
	view := c.Options.View
	same := r.comparableIn(view, c.Options.Setup)
	deg := func(v estimate.Value[circular.Angle], ref circular.Angle, err circular.Angle) estimate.Value[float64] {
		w := estimate.As[float64](v)
		if v.Known() {
			w.Value = (v.Value - ref).Axial().Degrees()
			w.Low, w.High = w.Value-(v.Value-v.Low).Degrees(), w.Value+(v.High-v.Value).Degrees()
		}
		return widened(w, err.Degrees())
	}
	less := func(v estimate.Value[float64], ref, err float64) estimate.Value[float64] {
		v.Value, v.Low, v.High = v.Value-ref, v.Low-ref, v.High-ref
		return widened(v, err)
	}
	has := func(what string, viewHas func(trajectory.View) bool) *estimate.Absence {
		switch {
		case same != nil:
			return absence(same.Code, what, same.Why)
		case !viewHas(view):
			return absence("view", what, "this view does not show it")
		}
		return nil
	}
	if r.PathAngle != nil {
		d.add("path angle", "deg", deg(c.PathAngle, *r.PathAngle, r.Errors.PathAngle), m.PathAngle.Degrees(), has("path angle", trajectory.View.HasOut))
	}
	if r.Skew != nil {
		d.add("skew", "deg", deg(c.Skew, *r.Skew, r.Errors.Skew), m.Skew.Degrees(), has("skew", trajectory.View.HasAlong))
	}
	if r.Curvature != nil {
		left := has("curvature", trajectory.View.HasOut)
		if left == nil && c.Unit != "mm" {
			left = absence("unit", "curvature", "the take is not in millimetres")
		}
		d.add("curvature", "1/mm", less(c.Curvature, *r.Curvature, r.Errors.Curvature), m.Curvature, left)
	}
	if r.CurvatureLength != nil {
		d.add("curvature times length", "", less(c.CurvatureLength, *r.CurvatureLength, r.Errors.CurvatureLength), m.CurvatureLength, has("curvature times length", trajectory.View.HasOut))
	}
	if r.Clearing != motion.ClearingUnknown {
		d.clearing(r, c.Clearing, c.ClearingWhy)
	}
	if r.Shape != nil {
		v, left := r.shapeDistance(c)
		if left == nil && same != nil {
			left = absence(same.Code, "cycle shape", same.Why)
		}
		d.add("cycle shape", "", v, m.Shape, left)
	}
	d.judge()
	return d
}

func absence(code, what, why string) *estimate.Absence {
	return &estimate.Absence{Code: code, What: what, Why: why}
}

// widened adds the reference's own error to the interval of a difference.
func widened(v estimate.Value[float64], err float64) estimate.Value[float64] {
	if v.Known() {
		v.Low = v.Value - math.Hypot(v.Value-v.Low, err)
		v.High = v.Value + math.Hypot(v.High-v.Value, err)
	}
	return v
}

// add adds a component with its answer.
func (d *Distance) add(name, unit string, v estimate.Value[float64], margin float64, left *estimate.Absence) {
	c := Component{Name: name, Unit: unit, Difference: v, Margin: margin, LeftOut: left}
	if left != nil {
		c.Difference = estimate.Value[float64]{Absent: left}
	}
	switch {
	case c.LeftOut != nil:
	case margin < 0:
		c.LeftOut = absence("margin", name, "the reference does not judge it")
	case !v.Known():
	case v.Low >= -margin && v.High <= margin:
		c.Answer = Inside
	case v.Low > margin || v.High < -margin:
		c.Answer = Outside
	}
	d.Components = append(d.Components, c)
}

// clearing adds whether the same turns clear the strings; why says why that is not
// known of the motion.
func (d *Distance) clearing(r Reference, c motion.Clearing, why *estimate.Absence) {
	k := Component{Name: "clearing"}
	switch {
	case c == r.Clearing:
		k.Answer, why = Inside, nil
	case c != motion.ClearingUnknown:
		k.Answer, why = Outside, nil
	case why != nil && (why.Code == "view" || why.Code == "grade"):
		k.LeftOut = why
	}
	k.Difference.Absent = why
	d.Components = append(d.Components, k)
}

func (d *Distance) judge() {
	judged, inside := 0, 0
	for _, c := range d.Components {
		switch {
		case c.LeftOut != nil:
			continue
		case c.Answer == Outside:
			d.Answer = Outside
		case c.Answer == Inside:
			inside++
		}
		judged++
	}
	if d.Answer != Outside && judged > 0 && inside == judged {
		d.Answer = Inside
	}
}

// shapeDistance returns the distance of the normalised cycles over the axes
// that both have, and why it is left out, or nil.
//
// The square of the distance is a sum of squares of differences, each too
// large by its variance: that is taken away (see Cycle.doubt). Its interval has
// what each cycle pulls the square by, and what remains of that where the
// difference is nil.
func (r Reference) shapeDistance(c Cycle) (estimate.Value[float64], *estimate.Absence) {
	const name = "cycle shape"
	var axes []int
	for _, a := range c.curve.axes {
		if len(*r.Shape.axis(a)) > 0 {
			axes = append(axes, a)
		}
	}
	switch {
	case c.Absent != nil:
		return estimate.Missing[float64](c.Absent.Code, name, c.Absent.Why), nil
	case len(axes) < 2:
		return estimate.Value[float64]{}, absence("view", name, "the reference and this view share only the direction across the strings")
	case !c.seen.all:
		return estimate.Missing[float64]("hidden", name, "a part of the cycle is never seen"), nil
	}
	ref, ok := r.Shape.curve(axes)
	if !ok {
		return estimate.Missing[float64]("reference", name, "the reference's own shape has no length in this view"), nil
	}
	raw := shapeSquare(c.normalised(axes), ref)
	n := len(c.pull)
	pulls := make([]float64, n)
	for i, s := range c.perturbedShapes(axes) {
		pulls[i] = shapeSquare(s, ref) - raw
	}
	own := r.Errors.Shape / 1.959964
	noise := c.doubt(axes) + own*own
	square := math.Max(0, raw-noise)
	_, df := estimate.LongRun(pulls)
	// The last two: the reference's own error along the difference, and the
	// variance of a square of one degree of freedom, of which it has several.
	half := math.Hypot(math.Hypot(halfWidth(pulls), 2*r.Errors.Shape*math.Sqrt(square)), student(max(df, 1))*math.Sqrt2*noise)
	return estimate.Value[float64]{
		Value: math.Sqrt(square), Low: math.Sqrt(math.Max(0, square-half)), High: math.Sqrt(square + half), Level: 0.95, N: n,
	}, nil
}

// shapeSquare returns the mean over the phases of the squared distance of two
// curves about their centres, with b moved along in phase to where it is least.
func shapeSquare(a, b *curve) float64 {
	// Σ over harmonics of the products, as a function of the shift:
	// |a|² + |b|² - 2 Σ (p cos hτ + q sin hτ), all halved.
	order := 0
	for _, x := range a.axes {
		order = max(order, len(a.coef[x])/2, len(b.coef[x])/2)
	}
	var buf [3 * 64]float64
	p, q := buf[:order:order], buf[64:64+order]
	total := 0.0
	get := func(c []float64, h int) (cos, sin float64) {
		if 2*h+1 < len(c) {
			return c[2*h], c[2*h+1]
		}
		return 0, 0
	}
	for _, x := range a.axes {
		for h := range order {
			ac, as := get(a.coef[x], h)
			bc, bs := get(b.coef[x], h)
			total += ac*ac + as*as + bc*bc + bs*bs
			p[h] += ac*bc + as*bs
			q[h] += as*bc - ac*bs
		}
	}
	tau := 0.0
	for range 8 {
		var d, dd float64
		for h := range order {
			w := float64(h + 1)
			s, c := math.Sincos(w * tau)
			d += w * (q[h]*c - p[h]*s)
			dd -= w * w * (p[h]*c + q[h]*s)
		}
		if !(dd < 0) {
			break
		}
		step := min(max(-d/dd, -0.2), 0.2)
		tau = min(max(tau+step, -2*math.Pi*turnReach), 2*math.Pi*turnReach)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	for h := range order {
		s, c := math.Sincos(float64(h+1) * tau)
		total -= 2 * (p[h]*c + q[h]*s)
	}
	return math.Max(0, total/2)
}
