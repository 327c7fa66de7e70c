package trajectory

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/circular"
)

// FrameOptions say how the source looks at the instrument and where the marks
// on the instrument are.
type FrameOptions struct {
	// View is needed for a planar source. A source with three axes is Spatial
	// and need not say so.
	View View `json:"view"`
	Orientation
	// Outward is the side of the picture toward which the instrument's face
	// looks, in an end-on or oblique view. When given it settles the sign of
	// out, whatever Orientation says; the frame carries a note if the two
	// disagree.
	Outward Side  `json:"outward,omitzero"`
	Marks   Marks `json:"marks"`
	// DistanceMM is the distance from the bass to the treble mark in
	// millimetres. Zero means unknown: the frame then keeps the source's unit,
	// except that centimetres and metres become millimetres.
	DistanceMM float64 `json:"distance_mm,omitempty"`
	// MarkCutoff is the cut-off in hertz of the zero-phase low-pass that
	// smooths tracked marks. Zero means 10; negative turns it off.
	MarkCutoff float64 `json:"mark_cutoff_hz,omitempty"`
	// MaxMarkGap is the longest time in seconds for which a hidden mark is
	// bridged. Zero means 0.5; negative means not at all.
	MaxMarkGap float64 `json:"max_mark_gap_s,omitempty"`
	// MarkError is the standard error of a mark's place on each axis, in the
	// source's unit. Zero means 1 for a planar source that is not in
	// millimetres, centimetres or metres, and no error for other sources;
	// negative means no error.
	MarkError float64 `json:"mark_error,omitempty"`
}

// withDefaults returns the options with defaults filled in for a recording.
func (o FrameOptions) withDefaults(planar bool, unit string) FrameOptions {
	if o.View == ViewUnknown && !planar {
		o.View = Spatial
	}
	if o.MarkCutoff == 0 {
		o.MarkCutoff = 10
	}
	if o.MaxMarkGap == 0 {
		o.MaxMarkGap = 0.5
	}
	if o.MarkError == 0 && planar && perMM[unit] == 0 {
		o.MarkError = 1
	}
	return o
}

// Frame is the instrument frame of one recording: where the origin is and how
// the axes lie in the source, at every sample. Make one with NewFrame.
type Frame struct {
	// View is the view that the frame was made for.
	View View
	// Unit is the length unit of what the frame places: "mm", or the source's
	// unit when the frame is not calibrated.
	Unit string
	// UnitsPerMM is the number of source units in a millimetre, such as pixels
	// per millimetre, the median over the recording. It is 0 when the frame is
	// not calibrated.
	UnitsPerMM float64
	// Follows reports whether the frame follows tracked marks sample by
	// sample.
	Follows bool
	// AxisError is the standard error of the direction of across that
	// MarkError causes. It is one error for the whole recording, and averaging
	// over strokes does not make it smaller.
	AxisError circular.Angle
	// Noise is the standard deviation, on one axis and in Unit, of what the
	// noise of tracked marks, smoothed, makes of the origin: all that is placed
	// moves by it, slowly (below MarkCutoff). AxisNoise is that of the
	// direction of across. Both are 0 for fixed marks.
	Noise     float64
	AxisNoise circular.Angle
	// Notes tell the user what was noticed.
	Notes []string
	// Edits list the samples of tracked marks that were cut and filled.
	Edits []Edit
	// Options are the options used, defaults filled in.
	Options FrameOptions

	// The columns hold one sample for a fixed frame, one per sample of the
	// recording for one that follows. along is nil in a planar frame, whose
	// second axis is across turned by a quarter turn in the sense of turn.
	origin, across, along [3][]float64
	scale                 []float64 // units of Unit in a source unit; one or many
	turn                  float64
}

// NewFrame returns the instrument frame of a recording. The marks are fixed
// coordinates of the source, for a still camera and a still instrument, or
// tracked points, which the frame then follows.
//
// In a planar source the bass and the treble mark give everything: the origin
// midway between them, across from the bass to the treble mark, and the second
// axis a quarter turn from it, in the sense that Orientation says.
//
// In a source with three axes along goes from the origin to the nut marks,
// across is the direction from the bass to the treble mark made perpendicular
// to along, and out is perpendicular to both.
//
// Tracked marks are cleaned by Clean with its defaults, and bridged while they
// are hidden for up to MaxMarkGap: a hidden mark from the others that are seen
// and its interpolated difference to them, or else by a cubic from where it
// vanished to where it came back. They are then smoothed within each gap-free
// run, at the median sample rate. Where a mark stays hidden the frame is
// missing, and so is all that is placed by it.
//
// The scale is the median distance of bass and treble mark over the whole
// recording, since a camera that sways hardly changes its distance and one
// scale is less noisy than many. Only when the distance in a planar source,
// smoothed to 1 Hz, ranges by more than 1 per cent of its median to either
// side, and by more than noise explains, does the scale follow it.
//
// The error is a *DataError: no view for a planar source, a view that does not
// fit the source, a mark that is not given, is not in the recording, has
// coordinates that are not finite or as many as the source has axes; marks
// some of which are tracked and some fixed, that coincide, lie on one line (in
// three axes) or are never seen together; an Outward along the strings' plane.
func NewFrame(rec *Recording, o FrameOptions) (*Frame, error) {
	if len(rec.Points) == 0 {
		return nil, rec.Validate()
	}
	planar := rec.Points[0].Planar()
	o = o.withDefaults(planar, rec.Unit)
	if err := checkFrameOptions(o, planar); err != nil {
		return nil, err
	}
	f := &Frame{View: o.View, Options: o, turn: o.Orientation.turn(o.View)}
	var s scratch
	marks, err := f.locate(&s, rec, o)
	if err != nil {
		return nil, err
	}
	if err := f.axes(&s, rec, marks); err != nil {
		return nil, err
	}
	if err := f.setOutward(o); err != nil {
		return nil, err
	}
	if o.FromNeck && (o.View == Front || o.View == Spatial) {
		f.note("from_neck has no effect in a %v view", o.View)
	}
	if o.Outward != SideUnknown && (o.View == Front || o.View == Spatial) {
		f.note("outward has no effect in a %v view", o.View)
	}
	return f, nil
}

func (f *Frame) note(format string, args ...any) {
	f.Notes = append(f.Notes, fmt.Sprintf(format, args...))
}

// checkFrameOptions reports options that do not fit the source or each other.
func checkFrameOptions(o FrameOptions, planar bool) error {
	switch {
	case o.View < ViewUnknown || o.View > Spatial:
		return fault("", fmt.Sprintf("there is no view %d", int(o.View)), "use "+viewList)
	case o.View == ViewUnknown:
		return fault("", "the view is not given", "say how the camera looks at the instrument: end-on (down the strings), front (facing it) or oblique")
	case planar && o.View == Spatial:
		return fault("", "a 3-d view needs a z axis and the source has two axes", "say end-on, front or oblique")
	case !planar && o.View != Spatial:
		return fault("", fmt.Sprintf("the source has three axes and the view is %v", o.View), "leave the view out, or say 3-d")
	case o.Outward < SideUnknown || o.Outward > Right:
		return fault("", fmt.Sprintf("there is no side %d", int(o.Outward)), "say up, down, left or right")
	case !finite(o.DistanceMM, o.MarkCutoff, o.MaxMarkGap, o.MarkError) || o.DistanceMM < 0:
		return fault("", fmt.Sprintf("the distance of the marks is %v mm, their cut-off %v Hz, their longest gap %v s, their error %v",
			o.DistanceMM, o.MarkCutoff, o.MaxMarkGap, o.MarkError), "give a positive distance and finite values")
	case o.Marks.Bass.IsZero() && o.Marks.Treble.IsZero():
		return fault("", "there are no marks on the string plane",
			"name two tracked points, or give two fixed places in the picture, one on the bass side and one on the treble side of the strings at the picking spot")
	case o.Marks.Bass.IsZero():
		return fault("", "the bass mark is not given", "give a tracked point or a fixed place on the bass side of the strings")
	case o.Marks.Treble.IsZero():
		return fault("", "the treble mark is not given", "give a tracked point or a fixed place on the treble side of the strings")
	case o.View == Spatial && len(o.Marks.Nut) == 0:
		return fault("", "the nut mark is not given", "a source with three axes needs a mark further toward the nut, such as one at the headstock")
	}
	return nil
}

// axes sets the origin, the axes and the scale from the columns of the marks:
// bass, treble and, for three axes, the mean of the nut marks. It makes them
// the columns of the frame.
func (f *Frame) axes(s *scratch, rec *Recording, marks [][3][]float64) error {
	n := len(marks[0][0])
	f.origin, f.across = marks[0], marks[1]
	distance := make([]float64, n)
	base := distance // distance perpendicular to along
	var flat int     // samples at which the marks coincide or lie on one line
	if f.View == Spatial {
		f.along, base = marks[2], make([]float64, n)
		flat = f.spatialAxes(distance, base)
	} else {
		flat = f.planarAxes(distance)
	}
	seen := count(base)
	if seen == 0 {
		return f.noFrame(flat > 0)
	}
	if flat > 0 {
		f.note("the marks coincide or lie on one line in %d samples: results are missing there", flat)
	}
	if hidden := n - seen - flat; hidden > 0 {
		f.note("a mark is hidden for too long in %d of %d samples: results are missing there", hidden, n)
	}
	median := s.medianSeen(distance)
	if e := f.Options.MarkError; e > 0 {
		m := median
		if f.View == Spatial {
			m = s.medianSeen(base)
		}
		f.AxisError = circular.Angle(math.Atan(math.Sqrt2 * e / m))
	}
	if f.Noise > 0 {
		m := median
		if f.View == Spatial {
			m = s.medianSeen(base)
		}
		// The origin is midway between two marks, across their difference.
		f.AxisNoise = circular.Angle(math.Atan(2 * f.Noise / m))
	}
	f.setScale(s, rec, distance, median)
	if f.Follows && len(f.scale) > 0 {
		f.Noise *= s.medianSeen(f.scale)
	}
	return nil
}

// coincidence is how far apart marks are taken to coincide, as a share of the
// coordinates.
const coincidence = 1e-9

// planarAxes turns the columns of the bass and the treble mark into those of
// the origin and across, and sets the distance of the marks, NaN where they
// coincide. It returns in how many samples they do.
func (f *Frame) planarAxes(distance []float64) (flat int) {
	n := len(distance)
	ox, oy, cx, cy := f.origin[0][:n], f.origin[1][:n], f.across[0][:n], f.across[1][:n]
	for i := range distance {
		mx, my := (ox[i]+cx[i])/2, (oy[i]+cy[i])/2
		dx, dy := cx[i]-ox[i], cy[i]-oy[i]
		d := math.Sqrt(dx*dx + dy*dy)
		// The sum bounds the length from above and costs less.
		if d <= coincidence*(math.Abs(mx)+math.Abs(my)+d) && d <= coincidence*(math.Sqrt(mx*mx+my*my)+d) {
			flat++
			d = math.NaN()
		}
		distance[i] = d
		ox[i], oy[i], cx[i], cy[i] = mx, my, dx/d, dy/d
	}
	return flat
}

// spatialAxes does what planarAxes does, with the column of the nut mark to
// that of along and with the distance perpendicular to along in base. Marks on
// one line count as coinciding.
func (f *Frame) spatialAxes(distance, base []float64) (flat int) {
	for i := range distance {
		bass, treble, nut := at(f.origin, i), at(f.across, i), at(f.along, i)
		m := scaled(plus(bass, treble, 1), 0.5)
		d, a := plus(treble, bass, -1), plus(nut, m, -1)
		distance[i] = norm(d)
		size := norm(a)
		a = scaled(a, 1/size)
		d = plus(d, a, -dot(d, a))
		base[i] = norm(d)
		if min(size, base[i]) <= coincidence*(norm(m)+distance[i]) {
			flat++
			distance[i], base[i] = math.NaN(), math.NaN()
			a = scaled(a, math.NaN()) // missing on all axes at once
		}
		for k := range 3 {
			f.origin[k][i], f.across[k][i], f.along[k][i] = m[k], d[k]/base[i], a[k]
		}
	}
	return flat
}

// noFrame returns the error for marks that give no frame at any sample.
func (f *Frame) noFrame(flat bool) error {
	m := f.Options.Marks
	switch {
	case flat && f.View == Spatial:
		return fault("", fmt.Sprintf("the marks %v, %v and %v coincide or lie on one line", m.Bass, m.Treble, m.Nut),
			"the nut mark must lie off the line through the bass and the treble mark")
	case flat:
		return fault("", fmt.Sprintf("the marks %v and %v coincide", m.Bass, m.Treble),
			"give two places, on either side of the strings")
	}
	return fault("", fmt.Sprintf("the marks %v, %v and %v are never seen together", m.Bass, m.Treble, m.Nut),
		"allow a longer gap, or choose points that the camera sees")
}

// setOutward turns the out axis toward the side of the picture that the user
// named.
func (f *Frame) setOutward(o FrameOptions) error {
	if o.Outward == SideUnknown || o.View == Front || o.View == Spatial {
		return nil
	}
	var mean [3]float64
	for i := range f.across[0] {
		if v := f.out(i); v[0] == v[0] {
			mean = plus(mean, v, 1)
		}
	}
	mean = scaled(mean, 1/norm(mean))
	x, y := o.Outward.vector(o.YUp)
	toward := mean[0]*x + mean[1]*y
	if math.Abs(toward) < math.Sin(10*math.Pi/180) {
		sides := "up or down"
		if math.Abs(mean[0]) > math.Abs(mean[1]) {
			sides = "left or right"
		}
		return fault("", fmt.Sprintf("outward cannot be %v: the strings' plane points that way in the picture", o.Outward),
			"say "+sides)
	}
	if toward < 0 {
		f.turn = -f.turn
		f.note("out is toward the side you gave (%v); the orientation alone would have put it on the other side: check y up, left-handed, mirrored and from the neck", o.Outward)
	}
	return nil
}

const viewList = "end-on, front, oblique or 3-d"

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func norm(a [3]float64) float64 { return math.Sqrt(dot(a, a)) }

func scaled(a [3]float64, s float64) [3]float64 { return [3]float64{a[0] * s, a[1] * s, a[2] * s} }

// plus returns a + s b.
func plus(a, b [3]float64, s float64) [3]float64 {
	return [3]float64{a[0] + s*b[0], a[1] + s*b[1], a[2] + s*b[2]}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
