package camera

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// CardLongMM and CardShortMM are the edges of a card of format ID-1 in
// millimetres (ISO/IEC 7810): bank cards, library cards and most identity
// cards. Its corners are rounded with a radius of 3.18 mm.
const (
	CardLongMM  = 85.60
	CardShortMM = 53.98
)

// Corners are the places of a card's corners in the picture, in this order: the
// foot on the bass side, the foot on the treble side, the top on the treble
// side, the top on the bass side. The foot is the edge that rests on the
// strings.
//
// A corner is where the prolongations of two edges meet, which is outside the
// card, since its corners are round.
type Corners [4][2]float64

var cornerNames = [4]string{"bass foot", "treble foot", "treble top", "bass top"}

// CardOptions say how the card was filmed. The zero value is a card on its long
// edge in a picture of which nothing else is known, seen from behind the
// bridge.
type CardOptions struct {
	// ShortEdge says that the card stood on its short edge.
	ShortEdge bool `json:"short_edge,omitempty"`
	trajectory.Orientation
	// PictureWidth and PictureHeight are the size of the picture in pixels, in
	// whose middle the lens's axis is taken to pass. Zero means unknown: the
	// line of sight to the card is then taken to lie within about 14 degrees of
	// the lens's axis (two standard deviations), which widens the interval of
	// raise.
	PictureWidth  float64 `json:"picture_width_px,omitempty"`
	PictureHeight float64 `json:"picture_height_px,omitempty"`
	// FocalLength is that of the lens in pixels, taken as known to 3 per cent.
	// Zero means unknown.
	FocalLength float64 `json:"focal_length_px,omitempty"`
	// CornerError is the standard error of a corner's place on each axis in
	// pixels. Zero means 1; negative means none.
	CornerError float64 `json:"corner_error_px,omitempty"`
	// Lean is the standard deviation of the angle by which a card that a hand
	// holds upright across the strings is off, toward the bridge or the nut and
	// about out. Zero means 2 degrees; negative means none.
	Lean circular.Angle `json:"lean_rad,omitempty"`
}

func (o CardOptions) withDefaults() CardOptions {
	if o.CornerError == 0 {
		o.CornerError = 1
	}
	if o.Lean == 0 {
		o.Lean = 2 * circular.Degree
	}
	o.CornerError, o.Lean = max(o.CornerError, 0), max(o.Lean, 0)
	return o
}

// foot and height return the card's edges in millimetres.
func (o CardOptions) foot() float64 {
	if o.ShortEdge {
		return CardShortMM
	}
	return CardLongMM
}

func (o CardOptions) height() float64 {
	if o.ShortEdge {
		return CardLongMM
	}
	return CardShortMM
}

// Card is what a card that stood upright across the strings tells of the
// camera. Make one with NewCard.
//
// Intervals are at level 0.95. They hold the errors of the corners, and those
// of Raise and Yaw also what is not known of the lens and that a hand held the
// card.
type Card struct {
	// Corners are the corners given.
	Corners Corners
	// Scale is the number of pixels in a millimetre across, at the foot's
	// middle.
	Scale estimate.Value[float64]
	// Roll is the direction of across in the picture at the foot's middle,
	// counter-clockwise from rightward as seen, in (-π, π].
	Roll estimate.Value[circular.Angle]
	// Raise is the angle between the line of sight to the foot's middle and the
	// string plane. It is positive: the camera is on the side to which the
	// instrument's face looks, as the instrument hides the strings from
	// everywhere else. An interval that starts at 0 says that the camera may
	// not be raised at all.
	Raise estimate.Value[circular.Angle]
	// Yaw is how far the line of sight is turned about out from along, positive
	// when the camera looks toward the treble side.
	Yaw estimate.Value[circular.Angle]
	// Plane takes the picture to the plane of the card.
	Plane Plane
	// Misfit is how far, in standard errors and root mean square, the corners
	// are from those of a card seen by a camera. Above 1 it has widened the
	// intervals of Raise and Yaw.
	Misfit float64
	// Notes tell the user what was noticed.
	Notes []string
	// Options are the options used, defaults filled in.
	Options CardOptions

	raise, yaw estimate.Value[circular.Angle] // to the card as it stood
}

// NewCard returns what the corners of a card tell of the camera.
//
// The card stood on the strings at the picking spot, upright, with its foot
// across them: its foot's middle is the origin, its foot the string line at
// height 0 with across from the bass to the treble end, and out points from the
// foot to the top.
//
// Raise and Yaw are those of a pinhole camera with square pixels that fits the
// corners best. Their intervals hold every value for which some camera fits
// with a sum of squares, in standard errors, at most the 0.95 quantile of
// chi-squared with one degree of freedom above the least (the likelihood
// interval of Venzon & Moolgavkar 1988). Cameras of any distance from 120 mm
// up to infinity are allowed, the last being a picture without perspective,
// and where the picture's size is known angles of view up to 90 degrees.
// The lean of the card is then added in quadrature. Raise is little known near
// zero, where a card is foreshortened by its cosine only: its interval is wide
// there and starts at 0.
//
// The error is a *trajectory.DataError, about the corner named by its Point: a
// coordinate that is not finite; a corner far outside the picture; a foot shorter than 40 pixels; corners that
// cross, fold inward or nearly lie on one line; a card that is the mirror image
// of what the orientation lets expect; one whose shape or edge is another.
//
// See D. J. Venzon and S. H. Moolgavkar (1988), A method for computing
// profile-likelihood-based confidence intervals. Appl. Stat. 37(1), 87-94.
func NewCard(c Corners, o CardOptions) (*Card, error) {
	o = o.withDefaults()
	if err := checkCard(c, o); err != nil {
		return nil, err
	}
	w, h := o.foot(), o.height()
	to := [4][2]float64{{-w / 2, 0}, {w / 2, 0}, {w / 2, h}, {-w / 2, h}}
	pairs := make([]Pair, 4)
	for i := range c {
		pairs[i] = Pair{From: c[i], To: to[i]}
	}
	sd := o.CornerError
	if sd == 0 {
		sd = -1
	}
	fit, err := FitHomography(pairs, FitOptions{Error: sd})
	if err != nil {
		return nil, err
	}
	card := &Card{Corners: c, Options: o, Plane: Plane{Homography: fit.Homography, FootMM: w}}
	card.local(fit.Inverse())
	for i, p := range c {
		if outside(p, o) > rim {
			card.Notes = append(card.Notes, fmt.Sprintf("the card's %s lies at %.0f, %.0f, outside a picture of %.0f x %.0f px: is that the size of the picture that was tracked?",
				cornerNames[i], p[0], p[1], o.PictureWidth, o.PictureHeight))
			break
		}
	}
	s := newSolver(pairs, o, fit.Inverse())
	if err := s.solve(card); err != nil {
		return nil, err
	}
	return card, nil
}

// local fills scale and roll from the map of the card's plane to the picture.
func (c *Card) local(g Homography) {
	scale := func(g Homography) float64 {
		j := g.jacobian(0, 0)
		return math.Hypot(j[0], j[2])
	}
	sign := -1.0 // y grows downward
	if c.Options.YUp {
		sign = 1
	}
	j0 := g.jacobian(0, 0)
	roll0 := math.Atan2(sign*j0[2], j0[0])
	turned := func(g Homography) float64 {
		j := g.jacobian(0, 0)
		return math.Atan2(sign*(j[2]*j0[0]-j[0]*j0[2]), j[0]*j0[0]+j[2]*j0[2])
	}
	c.Scale = normal(scale(g), g.spread(scale))
	c.Roll = estimate.As[circular.Angle](normal(roll0, g.spread(turned)))
}

// z95 is the 0.975 quantile of the normal distribution.
const z95 = 1.959963984540054

// normal returns a value of a card's four corners with its normal interval.
func normal(x, sd float64) estimate.Value[float64] {
	return estimate.Value[float64]{Value: x, Low: x - z95*sd, High: x + z95*sd, Level: 0.95, N: 4}
}

// Marks returns the ends of the card's foot as fixed places in the picture,
// CardLongMM or CardShortMM apart: the string line.
func (c *Card) Marks() trajectory.Marks {
	return trajectory.Marks{
		Bass:   trajectory.Mark{At: []float64{c.Corners[0][0], c.Corners[0][1]}},
		Treble: trajectory.Mark{At: []float64{c.Corners[1][0], c.Corners[1][1]}},
	}
}

// Tilt returns the tilt of strokes whose paths the card's plane has mapped, for
// a player of that skew. The zero Value says that skew is not known.
func (c *Card) Tilt(skew estimate.Value[circular.Angle]) Tilt {
	return Tilt{
		Raise: c.raise, Yaw: c.yaw, Lean: c.Options.Lean, Skew: skew,
		Rectified: true, FromNeck: c.Options.FromNeck,
	}
}

// rim and beside are how far outside the picture a corner may lie, as a share of
// the picture's longer side: where the edges of a card at its rim would meet, and
// where a tracker may go on to when the card reaches beyond it. From rim on, a note
// asks whether the picture's size is right.
const (
	rim    = 0.02
	beside = 0.1
)

// outside returns how far outside the picture a corner lies, as a share of its
// longer side: 0 within, or where the picture is not known.
func outside(p [2]float64, o CardOptions) float64 {
	w, h := o.PictureWidth, o.PictureHeight
	if w == 0 {
		return 0
	}
	return max(0, -p[0], p[0]-w, -p[1], p[1]-h) / max(w, h)
}

// minFootPX is the least length of the foot in the picture.
const minFootPX = 40

// checkCard reports corners and options that cannot be.
func checkCard(c Corners, o CardOptions) error {
	bad := func(corner int, rule, hint string) error {
		e := fault(rule, hint)
		e.Point = "card: " + cornerNames[corner]
		return e
	}
	if err := checkOptions(o); err != nil {
		return err
	}
	for i, p := range c {
		for k, name := range [2]string{"x", "y"} {
			switch {
			case p[k] != p[k]:
				return bad(i, "its "+name+" is no number", "click all four corners in one picture")
			case !finite(p[k]):
				return bad(i, "its "+name+" is infinite", "click all four corners in one picture")
			}
		}
		if outside(p, o) > beside {
			return bad(i, fmt.Sprintf("it is at %.0f, %.0f, outside a picture of %.0f x %.0f px", p[0], p[1], o.PictureWidth, o.PictureHeight),
				"give the size of the picture that was tracked (picture_px), and corners in its pixels, counted from one of its corners")
		}
	}
	if length := distance(c[0], c[1]); length < minFootPX {
		return bad(0, fmt.Sprintf("the card's foot is %.0f px long in the picture", length),
			fmt.Sprintf("film the card nearer, or with more pixels: %d px are needed", minFootPX))
	}
	if off, left, ok := generalPosition(c[:], o.CornerError); !ok {
		return bad((left+2)%4, fmt.Sprintf("it and its two neighbours lie on one line, to %.1f px", off),
			"the card is seen edge on: move the camera toward the ends of the strings, and hold the card upright")
	}
	// turn is the sense in which the outline turns at each corner.
	var turn [4]float64
	sum := 0.0
	for i := range c {
		a, b, d := c[(i+3)%4], c[i], c[(i+1)%4]
		turn[i] = (b[0]-a[0])*(d[1]-b[1]) - (b[1]-a[1])*(d[0]-b[0])
		sum += math.Copysign(1, turn[i])
	}
	switch math.Abs(sum) {
	case 0: // the two sides that do not cross end in corners of different sense
		i := 0
		if (turn[0] > 0) == (turn[3] > 0) {
			i = 3
		}
		name := func(k int) string { return cornerNames[(i+k)%4] }
		return bad(i, fmt.Sprintf("the card's outline crosses itself: this corner and the %s, or the %s and the %s, are in each other's place", name(1), name(2), name(3)),
			"click the corners in order: foot on the bass side, foot on the treble side, top on the treble side, top on the bass side")
	case 2:
		for i := range turn {
			if turn[i]*sum < 0 {
				return bad(i, "the card's outline folds inward here", "one of the four clicks is not on a corner: click again, on where the straight edges would meet")
			}
		}
	}
	return checkSense(c, o)
}

// checkOptions reports the first option that cannot be.
func checkOptions(o CardOptions) error {
	w, h := o.PictureWidth, o.PictureHeight
	switch {
	case !finite(w, h) || w < 0 || h < 0 || (w > 0) != (h > 0):
		return fault(fmt.Sprintf("the picture is %g x %g px", w, h), "give its width and its height, or neither (picture_px)")
	case !finite(o.FocalLength) || o.FocalLength < 0:
		return fault(fmt.Sprintf("the focal length is %g px", o.FocalLength), "give it in pixels, or 0 where it is not known (focal_px)")
	case !finite(o.CornerError):
		return fault(fmt.Sprintf("the error of a corner is %g px", o.CornerError), "give a standard error, or a negative number for none")
	case !finite(o.Lean.Radians()):
		return fault(fmt.Sprintf("the card's lean is %g degrees", o.Lean.Degrees()), "give a standard deviation, or a negative one for none")
	}
	return nil
}

func distance(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// checkSense reports a card whose top is on the side where the orientation says
// that the instrument's inside is. Signs are decided in package trajectory.
func checkSense(c Corners, o CardOptions) error {
	f, err := trajectory.NewFrame(&trajectory.Recording{
		Unit: "px", T: []float64{0},
		Points: []trajectory.Path{{Name: "top", T: []float64{0}, X: []float64{c[2][0]}, Y: []float64{c[2][1]}}},
	}, trajectory.FrameOptions{View: trajectory.EndOn, Orientation: o.Orientation, Marks: (&Card{Corners: c}).Marks()})
	if err != nil {
		return err
	}
	out := f.Out(0)
	if (c[2][0]-c[1][0])*out[0]+(c[2][1]-c[1][1])*out[1] > 0 {
		return nil
	}
	e := fault("the card is the mirror image of one that this camera would see",
		"either bass and treble side are swapped, or the film is mirrored, the instrument left-handed, the camera at the neck, or y grows the other way: say which, as it turns the path angle's sign")
	e.Point = "card: " + cornerNames[0]
	return e
}
