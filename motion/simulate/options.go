package simulate

import (
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// Options says what is played, how it is filmed and how it is tracked. The
// zero value is a steady take of 20 s at 10 strokes/s along the string plane,
// filmed end-on at 240 frames/s and 12 px/mm with 0.4 px of noise, and tracked
// without a fault.
//
// A field whose zero cannot be meant says which default zero stands for; it is
// switched off by a negative number. In every other field zero is zero.
type Options struct {
	// Seed chooses the take. Each use of random numbers has a stream of its
	// own, so that changing one option leaves the draws of the others alone.
	Seed uint64
	// Duration of the recording in seconds. Zero means 20.
	Duration float64

	// The motion.

	// Rate is in strokes per second, notes per second if every stroke sounds.
	// Zero means 10.
	Rate float64
	// PathAngle is the angle of the strokes' axis to the string plane;
	// positive when a downstroke ends further out. Consecutive strokes share a
	// turn, so downstrokes and upstrokes of one motion have one axis.
	PathAngle circular.Angle
	// Skew is the angle of the axis to across in the across/along plane;
	// positive when a downstroke moves toward the nut.
	Skew circular.Angle
	// Length is the distance between the turns in mm. Zero means 10.
	Length float64
	// Curvature of the path about its chord in 1/mm, positive when the middle
	// bulges out.
	Curvature float64
	// Depth is how far below the string plane the middle of the path runs, in
	// mm. Zero means 1; negative runs above the strings.
	Depth float64
	// Clearing, when set, raises or lowers the path (and, for "both", bends
	// it) so that these turns clear the string plane by at least 0.5 mm and
	// the others stay below it: "after downstrokes", "after upstrokes",
	// "both" or "neither". Empty leaves it to PathAngle, Curvature and Depth.
	Clearing string
	// DownShare is the downstroke's share of the cycle's time, in (0, 1).
	// Zero means 0.5.
	DownShare float64
	// Profile is how position runs from turn to turn.
	Profile Profile
	// Lead moves the moment of peak speed: positive toward the stroke's start,
	// negative toward its end, in [-0.5, 0.5].
	Lead float64

	// Scatter of settled strokes, as standard deviations from stroke to
	// stroke.

	// Jitter is the coefficient of variation of stroke durations. Zero means
	// 0.03; negative none.
	Jitter float64
	// Pulse makes the jitter one of turns about a pulse; otherwise it adds up
	// from stroke to stroke.
	Pulse bool
	// AngleScatter of the path angle. Zero means 1.5 degrees; negative none.
	AngleScatter circular.Angle
	// SkewScatter of the skew. Zero means 1 degree; negative none.
	SkewScatter circular.Angle
	// LengthScatter as a share of Length. Zero means 0.05; negative none.
	LengthScatter float64
	// HandWander is the standard deviation, in mm on each axis, of a slow
	// wander of the hand's centre.
	HandWander float64

	// Scatter of searching strokes, in the same terms.

	// SearchJitter: zero means 0.15; negative as settled.
	SearchJitter float64
	// SearchAngle: zero means 8 degrees; negative as settled.
	SearchAngle circular.Angle
	// SearchLength: zero means 0.2; negative as settled.
	SearchLength float64

	// What happens in the take.

	// Plan lists stretches of settled and searching strokes. Empty means one
	// settled stretch.
	Plan []Stretch
	// RateDrift and LengthDrift are changes over the whole take as shares of
	// Rate and Length, AngleDrift is a change of PathAngle over the whole take.
	// Strokes of a take with a drift do not count as settled.
	RateDrift, LengthDrift float64
	AngleDrift             circular.Angle
	// Pauses are rests of the hand.
	Pauses []Pause
	// Changes are moves to another string. ChangeEvery, when positive, adds
	// moves at random, one in so many seconds on average.
	Changes     []Change
	ChangeEvery float64
	// MissShare is the share of strokes that are lifted above the strings, both
	// turns of each; a neighbour that scatters upward may miss with it.
	MissShare float64
	// Strings is the number of strings, Spacing the distance between
	// neighbours in mm. Zero means 6 and 10.
	Strings int
	Spacing float64
	// CrownRadius in mm is that of the fingerboard: the strings lie on a
	// cylinder of that radius, with the string plane through the outer two.
	// The hand follows the strings' heights, and Depth and Clearing are then
	// those below and above the string played. Zero means flat.
	CrownRadius float64
	// StringDrag is the share by which a string that is reached slows the tip
	// as it crosses, against the speed that it would have there otherwise. The
	// stroke lasts as long as without.
	StringDrag float64

	// Before the playing starts. Times of Plan and the like stay those of the
	// recording.

	// Card adds an ID-1 card (85.60 x 53.98 mm) that stands across the strings
	// at the picking spot on its long edge for the first CardFor seconds (zero
	// means 1), with the hand out of sight. Its corners are the points
	// "card_foot_bass", "card_foot_treble", "card_top_treble" and
	// "card_top_bass", and Truth.Card.
	Card    bool
	CardFor float64
	// CardNoise is the standard deviation of the constant error of each corner,
	// in the recording's unit; Noise comes on top. Zero means 1 px, in 3-d 0.1
	// mm; negative none.
	CardNoise float64
	// CardLean is by how much the card leans toward the nut.
	CardLean circular.Angle
	// TouchFor is for how many seconds the tip rests on a string before it
	// plays, after the card if there is one. Zero means that it does not.
	// TouchString is the string's number, 1 the highest-pitched. Zero means the
	// one that is played first.
	TouchFor    float64
	TouchString int

	// The camera.

	// View is how the camera looks at the instrument. Unknown means end-on.
	View trajectory.View
	// Orientation is that of the picture.
	Orientation trajectory.Orientation
	// Scale in px/mm (12 at zero); in a 3-d view in mm per mm (1 at zero).
	Scale float64
	// Roll turns the picture counter-clockwise as seen. Raise lifts the camera
	// from the string plane, so that along leaks into the picture; an oblique
	// view with none has 25 degrees.
	Roll, Raise circular.Angle
	// Yaw turns the line of sight about out (in a front view about along), with
	// the camera going round the picking spot: positive when it looks toward
	// the highest-pitched string's side.
	Yaw circular.Angle
	// Distance in mm is that of a pinhole camera from the picking spot, at
	// which it looks. Scale and Raise are those there. Zero means from afar:
	// without perspective. A 3-d view has none.
	Distance float64
	// SpotX and SpotY are where the picking spot lies in the picture, from its
	// middle and in the recording's px: the camera is turned away from it by
	// that much, and Scale is what it would be if it were not.
	SpotX, SpotY float64
	// Readout is the time in seconds over which a rolling shutter reads the
	// 1080 rows of a picture, from the top; the middle row is on time.
	Readout float64
	// Exposure is the time over which a frame averages, in seconds.
	Exposure float64
	// Noise is the standard deviation of white noise on each axis, in the
	// recording's unit. Zero means 0.4 px, in 3-d 0.05 mm; negative none.
	Noise float64
	// NoiseColour is the correlation of the noise of neighbouring frames, in
	// [0, 1): that of a first-order autoregression. Noise stays its standard
	// deviation.
	NoiseColour float64
	// Sway and SwayAngle bound a slow movement of the camera, or of the
	// instrument before it: translation in the recording's unit, rotation.
	Sway      float64
	SwayAngle circular.Angle

	// Time.

	// FrameRate in frames per second. Zero means 240.
	FrameRate float64
	// TimeJitter is the standard deviation of the frames' instants about an
	// even grid, in seconds; stamps follow. StampError is that of the stamps
	// about the instants. Both are cut at a fifth of a frame.
	TimeJitter, StampError float64
	// TimeDecimals is to how many decimals stamps are rounded. Zero means 6;
	// negative not rounded.
	TimeDecimals int
	// SlowedBy multiplies the stamps: 8 for 240 frames/s saved as a film of 30.
	// Truth stays in real seconds. Zero means 1.
	SlowedBy float64
	// SlowBy, when positive, is by how much a telephone slows the film from
	// SlowAt to SlowUntil (zero means the end), in seconds of real time, and
	// plays the rest as it was: the film has FrameRate/SlowBy frames/s
	// throughout, and FrameRate is that of the slowed part. SlowedBy comes on
	// top.
	SlowAt, SlowUntil, SlowBy float64

	// The points.

	// TrackMarks adds the points "bass" and "treble" on the outer strings (and
	// "nut" in a 3-d view). Otherwise the marks are fixed places, given in
	// Truth.
	TrackMarks bool
	// MarkNoise is that of tracked marks. Zero means Noise; negative none.
	MarkNoise float64
	// Wrist adds the point "wrist", which moves in phase with the tip: Carry
	// is its share of the tip's travel.
	Wrist bool
	Carry float64
	// MarkerUp is how far up the pick the tracked point sits from the tip, in
	// mm out; MarkerAcross and MarkerAlong are how far to the side.
	MarkerUp, MarkerAcross, MarkerAlong float64
	// PickEdge adds the point "pick_edge": 8 mm from the tip in the flat of the
	// pick, toward the nut, and 6 mm further out. EdgeAngle turns the flat from
	// along toward the highest-pitched string. EdgeScatter is its standard
	// deviation from stroke to stroke. Zero means 2 degrees; negative none.
	PickEdge               bool
	EdgeAngle, EdgeScatter circular.Angle

	// The arm.

	// Arm adds the points "shoulder", "elbow", "wrist", "wrist_inner" (the
	// thumb's side), "wrist_outer", "knuckle_1" (index), "knuckle_2" (little
	// finger) and "pick_base" of a chain of rigid parts that carries the tip.
	Arm bool
	// Shares of the tip's travel by what carries it. Zero means 0.05 shoulder,
	// 0.2 elbow, 0.3 forearm, 0.35 wrist and 0.1 fingers.
	Shares Shares
	// ShareScatter is the standard deviation of each share from stroke to
	// stroke; what the joints leave over goes to the fingers. Zero means 0.03;
	// negative none.
	ShareScatter float64
	// ForearmAngle is the forearm's angle to along. Zero means 30 degrees;
	// negative none. ForearmRoll is the roll of the wrist against the string
	// plane in the middle of the path, positive when its outer side lies
	// further out.
	ForearmAngle, ForearmRoll circular.Angle
	// LandmarkNoise is that of the arm's points, in the recording's unit. Zero
	// means Noise; negative none.
	LandmarkNoise float64
	// SkinError in mm is by how much the points of shoulder, elbow, wrist and
	// knuckles slide to either side in phase with the stroke, each in a
	// direction of its own.
	SkinError float64

	// The sound.

	// OnsetJitter is the standard deviation of Truth.Onsets about the moments
	// at which strings were struck, OnsetOffset how much later they all are, in
	// seconds. OnsetLost is the share of struck strokes without one,
	// OnsetSpurious that of onsets without a stroke, over struck strokes.
	OnsetJitter, OnsetOffset float64
	OnsetLost, OnsetSpurious float64
	// LevelSpread is the standard deviation of their levels in dB, LevelUp by
	// how much upstrokes are louder. Zero LevelSpread means 2; negative none.
	LevelSpread, LevelUp float64

	// The tracker's faults. Shares are of samples unless said otherwise.

	// DropOuts is the share of samples lost at random in short runs,
	// MarkDropOuts that of tracked marks.
	DropOuts, MarkDropOuts float64
	// HideDown and HideUp are the shares of downstrokes' and upstrokes' final
	// turns at which the tip vanishes, HideFor the time it stays away as a
	// share of a stroke. Zero HideFor means 0.4.
	HideDown, HideUp, HideFor float64
	// Outliers is the share of single samples that sit elsewhere, by 20 to 80
	// px (1 to 4 stroke lengths in 3-d).
	Outliers float64
	// Jumps is how many times the tracker sits elsewhere for 5 to 60 samples.
	Jumps int
	// StraightFills and FrozenFills fill lost samples with straight lines or
	// with the last value; with both, gaps take turns.
	StraightFills, FrozenFills bool
	// Confidence adds a confidence column that falls in bad stretches.
	Confidence bool
	// Decimals is to how many decimals coordinates are rounded. Zero means 3;
	// negative not rounded.
	Decimals int
}
