package review

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/camera"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// sight finds out how the take was filmed: what a card says of the camera, and
// the instrument frame. Its result places paths of the film.
func (r *Review) sight(rec *trajectory.Recording) error {
	s := r.Setup
	r.tilt = camera.Tilt{FromNeck: s.FromNeck}
	o := s.FrameOptions()
	if s.Card.IsZero() {
		r.tilt.Raise, r.tilt.Skew = given(s.RaiseDeg, s.RaiseErrorDeg), given(s.SkewDeg, s.SkewErrorDeg)
		var err error
		r.Frame, err = trajectory.NewFrame(rec, o)
		r.armFrame = r.Frame
		return err
	}
	if o.View != trajectory.EndOn {
		return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: "a card is given for a view that is " + o.View.String(),
			Hint: "a card that stands across the strings serves a camera that looks along them (view: end-on)"}
	}
	found, err := camera.FindCorners(rec, s.Card.Corners)
	if err != nil {
		return err
	}
	co := camera.CardOptions{
		ShortEdge: s.Card.ShortEdge, Orientation: s.Orientation,
		PictureWidth: s.PicturePX[0], PictureHeight: s.PicturePX[1], FocalLength: s.FocalPX,
	}
	if found.Error > 1 {
		co.CornerError = found.Error
	}
	if r.Card, err = camera.NewCard(found.Corners, co); err != nil {
		return err
	}
	r.tilt = r.Card.Tilt(given(s.SkewDeg, s.SkewErrorDeg))
	r.Notes = append(r.Notes, r.Card.Notes...)

	names := append([]string{s.Tip}, s.markPoints()...)
	mapped, err := r.Card.Plane.Recording(rec, names...)
	if err != nil {
		return err
	}
	on := r.Card.Plane.FrameOptions()
	if s.Marks.Bass.Point != "" && s.Marks.Treble.Point != "" {
		// The marks are followed, in the card's plane.
		on.Marks, on.DistanceMM = trajectory.Marks{Bass: s.Marks.Bass, Treble: s.Marks.Treble}, 0
		on.MarkError = math.Hypot(on.MarkError, 1/r.Card.Scale.Value)
		o.DistanceMM = distanceOf(mapped, on.Marks)
		if given := s.Marks.DistanceMM; given > 0 && math.Abs(o.DistanceMM/given-1) > 0.05 {
			r.Notes = append(r.Notes, fmt.Sprintf("The marks lie %.1f mm apart by the card, and %.1f mm by the settings: one of them is wrong, or the marks do not lie in the card's plane.", o.DistanceMM, given))
		}
	} else {
		o.Marks, o.DistanceMM = r.Card.Marks(), r.Card.Plane.FootMM
		if err := r.outerStrings(mapped); err != nil {
			return err
		}
	}
	if r.Frame, err = trajectory.NewFrame(mapped, on); err != nil {
		return err
	}
	// Points of the arm lie far from the card's plane: they are only scaled.
	r.armFrame, err = trajectory.NewFrame(rec, o)
	return err
}

// given is a number of the settings, in degrees, with a standard error that is
// 3 where none is given.
func given(deg *float64, se float64) estimate.Value[circular.Angle] {
	if deg == nil {
		return estimate.Value[circular.Angle]{}
	}
	if se == 0 {
		se = 3
	}
	half := circular.Angle(1.959964*se) * circular.Degree
	v := circular.Angle(*deg) * circular.Degree
	return estimate.Value[circular.Angle]{Value: v, Low: v - half, High: v + half, Level: 0.95, N: 1}
}

// place brings a path of the film into the instrument frame.
func (r *Review) place(p trajectory.Path) (trajectory.Placed, error) {
	if r.Card != nil {
		var err error
		if p, err = r.Card.Plane.Map(trajectory.Path{}, p); err != nil {
			return trajectory.Placed{}, err
		}
	}
	return r.Frame.Place(trajectory.Placed{}, p)
}

// outerStrings notes where marks that are given beside a card lie across.
func (r *Review) outerStrings(mapped *trajectory.Recording) error {
	m := r.Setup.Marks
	if m.Bass.IsZero() || m.Treble.IsZero() {
		return nil
	}
	var at [2]float64
	for i, mark := range []trajectory.Mark{m.Bass, m.Treble} {
		p, _ := mapped.Point(mark.Point)
		if mark.Point == "" {
			p = trajectory.Path{Name: mark.String(), T: []float64{0}, X: []float64{mark.At[0]}, Y: []float64{mark.At[1]}}
			var err error
			if p, err = r.Card.Plane.Map(trajectory.Path{}, p); err != nil {
				return err
			}
		}
		at[i] = medianOf(seen(p.X))
	}
	r.outer = &at
	return nil
}

// PerMM returns how many units of the export are a millimetre at the picking
// spot, 0 when that is not known.
func (r *Review) PerMM() float64 {
	if r.Card != nil {
		return r.Card.Scale.Value
	}
	return r.Frame.UnitsPerMM
}

// Sides returns the directions of across and of the view's second axis in the
// film at a sample, as unit vectors.
func (r *Review) Sides(i int) (across, second [3]float64) {
	f := r.armFrame
	if f.View.HasOut() {
		return f.Across(i), f.Out(i)
	}
	return f.Across(i), f.Along(i)
}

// trueAngle returns the path angle behind one seen in the picture, with what a
// camera that is raised and strokes that are skew hide.
func (r *Review) trueAngle(seen estimate.Value[circular.Angle]) estimate.Value[circular.Angle] {
	if r.Frame.View != trajectory.EndOn {
		return seen
	}
	return r.tilt.PathAngle(seen)
}

// pathAngle is trueAngle where the view shows the path angle. An oblique view does
// not: its angle compares within one set-up, and is PictureAngle alone.
func (r *Review) pathAngle(seen estimate.Value[circular.Angle]) estimate.Value[circular.Angle] {
	if r.Frame.View == trajectory.Oblique && seen.Known() {
		return estimate.Missing[circular.Angle]("view", "path angle", "an oblique view shows no true angle; that in the picture compares within one set-up (picture_angle_deg)")
	}
	return r.trueAngle(seen)
}

// Angle returns the path angle in degrees; of an oblique view the angle in the
// picture, which compares within one set-up.
func (r *Review) Angle() estimate.Value[float64] {
	if r.Frame != nil && r.Frame.View == trajectory.Oblique {
		return r.Value("picture_angle_deg")
	}
	return r.Value("path_angle_deg")
}

// Angle returns the path angle of a span, or that in the picture where the view
// shows no other.
func (s Span) Angle() estimate.Value[circular.Angle] {
	if a := s.PathAngle.Absent; a != nil && a.Code == "view" && s.PictureAngle.Known() {
		return s.PictureAngle
	}
	return s.PathAngle
}

// What heights suppose of a picture whose raise or skew is not known. The tip
// plays within a few millimetres along the strings of where their heights were
// taken (alongMarks, a standard deviation), hardly off where it was when it
// rested on a string (alongTouch); people hold a camera that is to look along the
// strings level to about 4 degrees (typicalRaise); and strokes run along the
// strings by up to 30 degrees either way, which is a standard deviation of 17
// (common practice).
const (
	alongMarks   = 3.0  // mm
	alongTouch   = 0.3  // mm
	typicalRaise = 0.07 // as a tangent
	unknownSkew  = 0.31
)

// tangents returns the tangents of raise and skew with their standard
// deviations; those not known are as above, about zero.
func (r *Review) tangents() (raise, raiseSD, skew, skewSD float64) {
	raiseSD, skewSD = typicalRaise, unknownSkew
	if v := r.tilt.Raise; v.Known() {
		raise = math.Tan(v.Value.Radians())
		raiseSD = (v.High - v.Low).Radians() / 2 / 1.959964 * (1 + raise*raise)
	}
	if v := r.tilt.Skew; v.Known() {
		skew = math.Tan(v.Value.Radians())
		skewSD = (v.High - v.Low).Radians() / 2 / 1.959964 * (1 + skew*skew)
	}
	if r.Setup.FromNeck {
		skew = -skew
	}
	return raise, raiseSD, skew, skewSD
}

// tiltedZero returns by how much a raised camera makes the zero of heights
// uncertain, as a standard deviation: a tip that plays further along the strings
// than where they were looked at seems to lie further out.
func (r *Review) tiltedZero() float64 {
	if r.Frame.View != trajectory.EndOn || r.Unit != "mm" {
		return 0
	}
	raise, raiseSD, _, _ := r.tangents()
	along := alongMarks
	if r.touched() {
		along = alongTouch
	}
	return along * math.Hypot(raise, raiseSD)
}

// tiltedHeights corrects the heights of the turns, and how much further out a
// downstroke ends than it begins, by what raise and skew make of them in an
// end-on picture, as far as these are known, and widens their intervals by what
// is not known. At a turn the tip is half a stroke from the middle, and so
// further along the strings by that times the tangent of skew.
func (r *Review) tiltedHeights(e motion.ClearingEvidence) motion.ClearingEvidence {
	if r.Frame.View != trajectory.EndOn {
		return e
	}
	var widths []float64
	for _, s := range r.Motion.Strokes {
		if w := math.Abs(s.AcrossEnd - s.AcrossStart); w == w {
			widths = append(widths, w)
		}
	}
	width := medianOf(widths)
	if width != width {
		return e
	}
	raise, raiseSD, skew, skewSD := r.tangents()
	foreshortened := 1.0
	if r.Card == nil { // its plane undoes that
		foreshortened = math.Hypot(1, raise) // 1/cos
	}
	shift := skew * raise
	sd := math.Hypot(math.Hypot(skew*raiseSD, raise*skewSD), raiseSD*skewSD)
	// played is the height from which v counts: the picture foreshortens what
	// it shows, the strings' heights are true.
	move := func(v *estimate.Value[float64], share, played float64) {
		if !v.Known() {
			return
		}
		by, more := share*width*shift, 1.959964*math.Abs(share)*width*sd
		below, above := foreshortened*(v.Value-v.Low), foreshortened*(v.High-v.Value)
		v.Value = (v.Value+played)*foreshortened - played - by
		v.Low, v.High = v.Value-math.Hypot(below, more), v.Value+math.Hypot(above, more)
	}
	played := (r.Motion.Options.StringLow + r.Motion.Options.StringHigh) / 2
	move(&e.AfterDown, 0.5, played)
	move(&e.AfterUp, -0.5, played)
	move(&e.Rise, 1, 0)
	return e.Judge(r.Unit)
}

// seen returns what is not NaN of x.
func seen(x []float64) []float64 {
	var out []float64
	for _, v := range x {
		if v == v {
			out = append(out, v)
		}
	}
	return out
}
