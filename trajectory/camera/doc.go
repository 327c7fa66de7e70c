// Package camera finds out from the picture how the camera looked at the
// strings, takes what the picture shows to millimetres in the plane across the
// strings, and says how far a path angle can be trusted.
//
// # Filming the card
//
// Any bank or library card does: all have one size, ISO/IEC 7810 ID-1. Before
// playing, while the film runs, stand it on the strings at the picking spot,
// upright and across them like a little wall, on its long edge, its middle where
// the pick will strike. Hold it from the side or from behind for a second, and
// take it away. Then click its four corners in one frame, or let the tracker
// follow them for that second:
//
//	4 top, bass side  ______________  3 top, treble side
//	                 |              |
//	                 |              |
//	1 foot, bass side|______________|2 foot, treble side
//	                 strings
//
// The corners are round: click where the straight edges would meet. Click at
// full size; a click is good to about a pixel, and the card should be 400 pixels
// wide or more.
//
//	card, err := camera.NewCard(camera.Corners{
//		{617, 540}, {1302, 541}, {1303, 107}, {618, 109},
//	}, camera.CardOptions{PictureWidth: 1920, PictureHeight: 1080})
//	mm, err := card.Plane.Recording(rec, "tip")
//	frame, err := trajectory.NewFrame(mm, card.Plane.FrameOptions())
//	...
//	angle := card.Tilt(skew).PathAngle(seen)
//
// What goes wrong, and what is said then:
//
//	bass and treble swapped, or a film    an error: "mirror image"; the path
//	  mirrored, or a camera at the neck   angle would change its sign
//	clicks in another order               an error: "crosses itself"
//	the card is small                     an error below 40 px, wide intervals
//	                                      above
//	it stands on its short edge           an error, unless ShortEdge says so
//	it is held by a hand                  Lean: raise is good to 4 degrees
//	poor clicks, a lens that bends lines  a note, and wider intervals
//	camera, instrument or player move     nothing is said: hold still, or film
//	  after the card was taken away       the card again
//	a crowned fingerboard                 nothing is said: the foot rests on the
//	                                      highest strings, and heights are over
//	                                      those
//
// # What a card can tell
//
// One card seen by one camera gives the scale to about 0.2 per cent, the string
// line to an eighth of a millimetre at 8 px/mm, and the plane across the
// strings, in which lengths and angles are then true. How far the camera is
// raised shows in the card's height, by the cosine of the raise, and in its
// perspective. Near zero both are small, so that raise is known to one degree at
// 20 degrees and to three at none, and its interval starts at 0. Give the
// picture's size: without it the same interval is three times as wide.
//
// # What no card can tell
//
// A stroke also runs along the strings, by its skew κ. A camera that is raised
// by ρ sees that as travel out, and nothing that is done in the picture removes
// it:
//
//	tan(seen) = tan(true) + tan κ tan ρ
//
// At 20 degrees of each that is 7.5 degrees of path angle. So lower the camera,
// or film a second take from the front: the skew that its review gives goes into
// [Tilt]. [Tilt.PathAngle] corrects for what is known and says how much is left.
//
// Signs: skew is positive when a downstroke moves toward the nut, and raise when
// the camera is on the side to which the instrument's face looks. A camera
// behind the bridge then sees a skew stroke end further out than it does; one at
// the nut sees the opposite.
//
// # Formulas
//
//	function         formula                             source
//	FitHomography    normalised direct linear transform  Abdel-Aziz & Karara 1971; Hartley 1997
//	Homography.Covariance  first-order propagation       Hartley & Zisserman 2004, 5.2
//	NewCard          pinhole camera, least squares       Hartley & Zisserman 2004, 6.1
//	  by             damped normal equations             Levenberg 1944; Marquardt 1963
//	  intervals      profile likelihood                  Venzon & Moolgavkar 1988
//	Tilt.PathAngle   projection along the line of sight  geometry, in its own comment
//	  intervals      a bound and an error together       Imbens & Manski 2004
//	                 lopsided errors in quadrature       Zou & Donner 2008
//
// # Missing values and errors
//
// A missing sample is NaN in every column and stays so. A point that no place
// in the plane belongs to is an error of Plane.Map that names the sample, and
// NaN from Homography.At, for callers who look at single points. What cannot be
// had is absent with its reason. Errors about data are *trajectory.DataError and
// name the corner or the points.
//
// # Limits
//
// The lens has square pixels and bends no lines, its axis passes through the
// middle of the picture (a film that was cropped off centre has another), and
// the tip stays near the card's plane. Points that do not, such as an elbow, are
// not to be mapped: they are only scaled, by Card.Marks.
//
// # Size
//
// The package has more than 1,200 lines since a card needs all of them: the
// homography, the camera behind it, and the error of both.
//
// # References
//
// Hartley, R. & Zisserman, A. (2004). Multiple View Geometry in Computer Vision,
// 2nd ed. Cambridge.
//
// ISO/IEC 7810:2019. Identification cards: Physical characteristics.
//
// Levenberg, K. (1944). A method for the solution of certain non-linear problems
// in least squares. Quart. Appl. Math. 2, 164-168.
//
// Marquardt, D. W. (1963). An algorithm for least-squares estimation of nonlinear
// parameters. J. SIAM 11, 431-441.
//
// The others stand beside the functions.
package camera
