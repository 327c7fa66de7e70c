package contact

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// EdgeKind says which angle of the pick Edges hold. Its zero value is unknown.
type EdgeKind int

const (
	EdgeUnknown EdgeKind = iota
	// EdgeRotation is the edge angle: the rotation of the pick's flat about
	// out, between its trace in the string plane and the strings. 0 is a flat
	// parallel to the strings; it is positive when the end nearer to the nut
	// lies toward the highest-pitched string.
	EdgeRotation
	// EdgeLean is the lean of the pick, all that an end-on view shows: the
	// angle in the across/out plane between the line through the two points
	// and out. 0 is upright; it is positive when the outer end lies toward the
	// highest-pitched string.
	EdgeLean
)

// String returns "edge angle", "lean" or "" for unknown.
func (k EdgeKind) String() string {
	switch k {
	case EdgeRotation:
		return "edge angle"
	case EdgeLean:
		return "lean"
	}
	return ""
}

// MarshalText implements encoding.TextMarshaler.
func (k EdgeKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (k *EdgeKind) UnmarshalText(b []byte) error {
	for _, v := range []EdgeKind{EdgeUnknown, EdgeRotation, EdgeLean} {
		if v.String() == string(b) {
			*k = v
			return nil
		}
	}
	return fmt.Errorf("contact: unknown angle of the pick %q", b)
}

// Edges are the angles of the pick as its strokes pass the string: axial, in
// (-90, 90] degrees.
type Edges struct {
	Kind EdgeKind
	// Angles are those of the strokes, one for one, and Noise their standard
	// deviations from the samples' noise. NaN where the points are not seen,
	// or lie too near together in the picture to tell.
	Angles, Noise []circular.Angle
	// Absent is the reason why no stroke has an angle.
	Absent *estimate.Absence

	directions []motion.Direction
}

// EdgeAngles measures the angle of the pick from two or three points tracked on
// its flat, at the moments at which the strokes pass the string: those of c, or
// where c is nil or has none, the strokes' middles. What the points must be
// depends on the view:
//
//	front        two points on one edge across the width of the flat, such as
//	             its two shoulders: EdgeRotation. The tip and a point above it
//	             would mix lean into it
//	end-on       two points one above the other, such as the tip and the pick's
//	             base: EdgeLean. The rotation is not seen
//	three axes   two points across the width, or three anywhere on the flat but
//	             not on one line: EdgeRotation
//
// The points share the time base of the strokes. Around each moment their
// differences are fitted by straight lines over a fifth of the stroke to each
// side. The noise holds what the samples' own noise does, and not that the
// points are placed by eye on a small pick: 0.3 mm across 10 mm are 2 degrees.
func EdgeAngles(points []trajectory.Placed, strokes []motion.Stroke, c *Contacts) (*Edges, error) {
	bad := func(rule, hint string) error {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: rule, Hint: hint}
	}
	if len(points) < 2 || len(points) > 3 {
		return nil, bad(fmt.Sprintf("the number of points on the pick is %d", len(points)), "give two points on the pick's flat, or three")
	}
	if c != nil && len(c.Strokes) != len(strokes) {
		panic("contact: contacts of other strokes")
	}
	spatial := points[0].Along != nil && points[0].Out != nil
	for _, p := range points {
		if err := p.Validate(); err != nil {
			return nil, err
		}
		if p.Len() != points[0].Len() || (p.Along == nil) != (points[0].Along == nil) || (p.Out == nil) != (points[0].Out == nil) {
			return nil, bad(fmt.Sprintf("the points %q and %q on the pick are not of one recording", points[0].Name, p.Name), "take them from one recording, placed by one frame")
		}
	}
	if len(points) == 3 && !spatial {
		return nil, bad("three points on the pick are given for a view with two axes", "give two in this view")
	}
	for i, p := range points {
		for _, q := range points[:i] {
			if err := onPick(q, p, newArm(q, p), bad); err != nil {
				return nil, err
			}
		}
	}
	e := &Edges{Kind: EdgeRotation}
	if points[0].Along == nil {
		e.Kind = EdgeLean
	}
	arms := make([]*arm, len(points)-1)
	for i := range arms {
		arms[i] = newArm(points[0], points[i+1])
	}
	seen := 0
	for i, s := range strokes {
		at := s.Middle()
		if c != nil && c.Strokes[i].Time == c.Strokes[i].Time {
			at = c.Strokes[i].Time
		}
		a, noise := e.angle(arms, at, s.Duration())
		e.Angles, e.Noise = append(e.Angles, a), append(e.Noise, noise)
		e.directions = append(e.directions, s.Direction)
		if a == a {
			seen++
		}
	}
	if seen == 0 {
		e.Absent = &estimate.Absence{Code: "no angle", What: e.Kind.String(), Why: "the points on the pick are not seen together at any stroke, or too near together in the picture"}
		if len(strokes) == 0 {
			e.Absent.Code, e.Absent.Why = "no strokes", "no strokes were found"
		}
	}
	return e, nil
}

// pickSize is how far apart two points on a pick lie at most, in millimetres: a
// large triangle has edges of 30 mm, and the fingers hold a third of it (common
// practice).
const pickSize = 20

// onPick reports two points that cannot both lie on a pick.
func onPick(p, q trajectory.Placed, r *arm, bad func(rule, hint string) error) error {
	apart := make([]float64, len(r.t))
	same := len(apart) > 0
	for i := range apart {
		for _, x := range r.d {
			if x != nil {
				apart[i] = math.Hypot(apart[i], x[i])
			}
		}
		same = same && apart[i] == 0
	}
	switch far := robust.MedianInPlace(apart); {
	case same:
		return bad(fmt.Sprintf("the points %q and %q on the pick are one and the same", p.Name, q.Name), "give two points on the pick's flat that lie apart")
	case p.Unit == "mm" && far > pickSize:
		return bad(fmt.Sprintf("the points %q and %q on the pick lie %.0f mm apart", p.Name, q.Name, far),
			fmt.Sprintf("points on the pick lie within %d mm of each other: check which points are on it, and the scale", pickSize))
	}
	return nil
}

// arm is the way from one point on the pick to another, where both are seen.
type arm struct {
	t     []float64
	d     [3][]float64 // across, along, out; nil where not shown
	noise float64      // on one axis
}

func newArm(a, b trajectory.Placed) *arm {
	r := &arm{}
	cols := [3][2][]float64{{a.Across, b.Across}, {a.Along, b.Along}, {a.Out, b.Out}}
	var square, axes float64
	for k, c := range cols {
		if c[0] == nil {
			continue
		}
		full := make([]float64, len(c[0]))
		for i := range full {
			full[i] = c[1][i] - c[0][i]
		}
		var sum, weight float64
		for lo, hi := range trajectory.Runs(full) {
			if n := float64(hi - lo); n >= 8 {
				v := filter.NoiseLevel(full[lo:hi])
				sum, weight = sum+v*v*n, weight+n
			}
		}
		if weight > 0 {
			square, axes = square+sum/weight, axes+1
		}
		for i, v := range full {
			if v == v {
				r.d[k] = append(r.d[k], v)
				if k == 0 {
					r.t = append(r.t, a.T[i])
				}
			}
		}
	}
	if axes > 0 {
		r.noise = math.Sqrt(square / axes)
	}
	return r
}

// at returns the arm at a moment and the standard deviation of one component.
func (r *arm) at(t, duration float64) (v [3]float64, sd float64, ok bool) {
	f := samples{t: r.t}
	lo, hi := f.within(t-0.2*duration, t+0.2*duration)
	if hi-lo < 2 {
		lo, hi = f.within(t-0.35*duration, t+0.35*duration)
	}
	// On both sides, and no single sample carried far.
	if hi-lo < 2 || r.t[lo] > t || r.t[hi-1] < t {
		return v, 0, false
	}
	c, ok := newLine(r.t[lo:hi], t)
	if !ok {
		return v, 0, false
	}
	for k, x := range r.d {
		if x != nil {
			c.fit(r.t[lo:hi], x[lo:hi])
			v[k] = c.value(t)
		}
	}
	return v, r.noise * math.Sqrt(c.valueVar(t)), true
}

// blurred is how many standard deviations long an arm must look.
const blurred = 4

// angle returns the pick's angle at a moment, with its noise.
func (e *Edges) angle(arms []*arm, t, duration float64) (a, noise circular.Angle) {
	nan := circular.Angle(math.NaN())
	u, sd, ok := arms[0].at(t, duration)
	if !ok {
		return nan, nan
	}
	// The direction whose angle is sought: across, and along or out.
	y, x := u[0], u[1]
	if e.Kind == EdgeLean {
		x = u[2]
	}
	if len(arms) == 2 {
		v, other, ok := arms[1].at(t, duration)
		if !ok {
			return nan, nan
		}
		// The flat's normal n = u × v; its trace in the string plane is n × out.
		across, along := u[1]*v[2]-u[2]*v[1], u[2]*v[0]-u[0]*v[2]
		y, x = along, -across
		sd = math.Hypot(other*math.Hypot(u[0], math.Hypot(u[1], u[2])), sd*math.Hypot(v[0], math.Hypot(v[1], v[2])))
	}
	length := math.Hypot(x, y)
	if !(length > blurred*sd) || length == 0 {
		return nan, nan
	}
	return circular.Angle(math.Atan2(y, x)).Axial(), circular.Angle(sd / length)
}

// Median returns the median angle over the strokes of direction d.
func (e *Edges) Median(d motion.Direction) estimate.Value[circular.Angle] {
	what := e.Kind.String() + " on " + d.String() + "strokes"
	center, dev, _ := e.about(d)
	if len(dev) == 0 {
		return estimate.As[circular.Angle](e.missing(what, 0))
	}
	v := estimate.As[circular.Angle](estimate.SeriesMedian(dev, 0.95))
	v.Value, v.Low, v.High = (v.Value + center).Axial(), v.Low+center, v.High+center
	return v
}

// Spread returns the robust standard deviation of the angle over the strokes of
// direction d, less what the samples' noise adds.
func (e *Edges) Spread(d motion.Direction) estimate.Value[circular.Angle] {
	what := "spread of the " + e.Kind.String() + " on " + d.String() + "strokes"
	_, dev, noise := e.about(d)
	if len(dev) < leastStrokes {
		return estimate.As[circular.Angle](e.missing(what, len(dev)))
	}
	return estimate.As[circular.Angle](spread(dev, median(noise)))
}

func (e *Edges) missing(what string, n int) estimate.Value[float64] {
	if e.Absent != nil {
		return estimate.Missing[float64](e.Absent.Code, what, e.Absent.Why)
	}
	return estimate.Missing[float64]("too few", what, fmt.Sprintf("%d strokes show it; this needs %d", n, leastStrokes))
}

// about returns the middle of the angles of direction d, their deviations from
// it in radians, and their noise.
func (e *Edges) about(d motion.Direction) (center circular.Angle, dev, noise []float64) {
	var known []circular.Angle
	for i, a := range e.Angles {
		if e.directions[i] == d && a == a {
			known = append(known, a)
			noise = append(noise, e.Noise[i].Radians())
		}
	}
	if len(known) == 0 {
		return 0, nil, nil
	}
	if m := circular.MedianAxis(known); m.Known() {
		center = m.Value
	}
	for _, a := range known {
		dev = append(dev, (a - center).Axial().Radians())
	}
	return center, dev, noise
}
