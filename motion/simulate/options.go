package simulate

import (
	"fmt"
	"math"

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

	// The course of the take.

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
	// Exposure is the time over which a frame averages, in seconds.
	Exposure float64
	// Noise is the standard deviation of white noise on each axis, in the
	// recording's unit. Zero means 0.4 px, in 3-d 0.05 mm; negative none.
	Noise float64
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
	// mm out.
	MarkerUp float64

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

// withDefaults returns o with every default filled in. What is switched off
// stays negative, so that the result means the same as o.
func (o Options) withDefaults() Options {
	set(&o.Duration, 20)
	set(&o.Rate, 10)
	set(&o.Length, 10)
	set(&o.Depth, 1)
	set(&o.DownShare, 0.5)
	set(&o.Jitter, 0.03)
	set(&o.AngleScatter, 1.5*circular.Degree)
	set(&o.SkewScatter, 1*circular.Degree)
	set(&o.LengthScatter, 0.05)
	set(&o.SearchJitter, 0.15)
	set(&o.SearchAngle, 8*circular.Degree)
	set(&o.SearchLength, 0.2)
	set(&o.Strings, 6)
	set(&o.Spacing, 10)
	set(&o.View, trajectory.EndOn)
	if o.View == trajectory.Spatial {
		set(&o.Scale, 1)
		set(&o.Noise, 0.05)
	} else {
		set(&o.Scale, 12)
		set(&o.Noise, 0.4)
	}
	if o.View == trajectory.Oblique {
		set(&o.Raise, 25*circular.Degree)
	}
	set(&o.FrameRate, 240)
	set(&o.TimeDecimals, 6)
	set(&o.SlowedBy, 1)
	set(&o.MarkNoise, o.Noise)
	set(&o.HideFor, 0.4)
	set(&o.Decimals, 3)
	return o
}

// set gives v its default when it is zero.
func set[T comparable](v *T, d T) {
	var zero T
	if *v == zero {
		*v = d
	}
}

// resolved returns o, defaults filled in, with zero for what is switched off.
func (o Options) resolved() Options {
	off := func(v *float64, d float64) {
		if *v < 0 {
			*v = d
		}
	}
	offAngle := func(v *circular.Angle, d circular.Angle) {
		if *v < 0 {
			*v = d
		}
	}
	off(&o.Jitter, 0)
	off(&o.LengthScatter, 0)
	off(&o.Noise, 0)
	off(&o.MarkNoise, 0)
	offAngle(&o.AngleScatter, 0)
	offAngle(&o.SkewScatter, 0)
	off(&o.SearchJitter, o.Jitter)
	off(&o.SearchLength, o.LengthScatter)
	offAngle(&o.SearchAngle, o.AngleScatter)
	return o
}

// check reports the first option of o, defaults filled in, that no take can
// be made from.
func (o Options) check() error {
	bad := func(name string, v any, want string) error {
		return fmt.Errorf("simulate: %s is %v: it must be %s", name, v, want)
	}
	for _, r := range []struct {
		name      string
		v, lo, hi float64
		want      string
	}{
		{"Duration", o.Duration, 0.1, 7200, "between 0.1 and 7200 s"},
		{"Rate", o.Rate, 0.2, 40, "between 0.2 and 40 strokes/s"},
		{"PathAngle", o.PathAngle.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"Skew", o.Skew.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"Length", o.Length, 0.1, 500, "between 0.1 and 500 mm"},
		{"Curvature times Length", o.Curvature * o.Length, -2, 2, "between -2 and 2"},
		{"Depth", o.Depth, -1e3, 1e3, "between -1000 and 1000 mm"},
		{"DownShare", o.DownShare, 0.1, 0.9, "between 0.1 and 0.9"},
		{"Lead", o.Lead, -0.5, 0.5, "between -0.5 and 0.5"},
		{"Jitter", o.Jitter, 0, 0.3, "at most 0.3"},
		{"AngleScatter", o.AngleScatter.Degrees(), 0, 30, "at most 30 degrees"},
		{"SkewScatter", o.SkewScatter.Degrees(), 0, 30, "at most 30 degrees"},
		{"LengthScatter", o.LengthScatter, 0, 0.4, "at most 0.4"},
		{"HandWander", o.HandWander, 0, 100, "between 0 and 100 mm"},
		{"SearchJitter", o.SearchJitter, 0, 0.3, "at most 0.3"},
		{"SearchAngle", o.SearchAngle.Degrees(), 0, 30, "at most 30 degrees"},
		{"SearchLength", o.SearchLength, 0, 0.4, "at most 0.4"},
		{"RateDrift", o.RateDrift, -0.9, 4, "between -0.9 and 4"},
		{"LengthDrift", o.LengthDrift, -0.9, 4, "between -0.9 and 4"},
		{"AngleDrift", o.AngleDrift.Degrees(), -90, 90, "between -90 and 90 degrees"},
		{"MissShare", o.MissShare, 0, 1, "a share between 0 and 1"},
		{"Strings", float64(o.Strings), 2, 24, "between 2 and 24"},
		{"Spacing", o.Spacing, 0.5, 100, "between 0.5 and 100 mm"},
		{"Scale", o.Scale, 1e-3, 1e4, "between 0.001 and 10000"},
		{"Roll", o.Roll.Degrees(), -720, 720, "between -720 and 720 degrees"},
		{"Raise", o.Raise.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"Exposure", o.Exposure, 0, 1 / o.FrameRate, "between 0 and one frame interval"},
		{"Noise", o.Noise, 0, 1e4, "finite"},
		{"Sway", o.Sway, 0, 1e4, "between 0 and 10000"},
		{"SwayAngle", o.SwayAngle.Degrees(), 0, 45, "between 0 and 45 degrees"},
		{"FrameRate", o.FrameRate, 1, 1e5, "between 1 and 100000 frames/s"},
		{"TimeJitter", o.TimeJitter, 0, 1, "between 0 and 1 s"},
		{"StampError", o.StampError, 0, 1, "between 0 and 1 s"},
		{"SlowedBy", o.SlowedBy, 1e-3, 1e3, "between 0.001 and 1000"},
		{"MarkNoise", o.MarkNoise, 0, 1e4, "finite"},
		{"Carry", o.Carry, -1, 2, "between -1 and 2"},
		{"MarkerUp", o.MarkerUp, -1e3, 1e3, "between -1000 and 1000 mm"},
		{"DropOuts", o.DropOuts, 0, 0.5, "a share between 0 and 0.5"},
		{"MarkDropOuts", o.MarkDropOuts, 0, 0.5, "a share between 0 and 0.5"},
		{"HideDown", o.HideDown, 0, 1, "a share between 0 and 1"},
		{"HideUp", o.HideUp, 0, 1, "a share between 0 and 1"},
		{"HideFor", o.HideFor, 0, 0.9, "at most 0.9"},
		{"Outliers", o.Outliers, 0, 0.2, "a share between 0 and 0.2"},
		{"Jumps", float64(o.Jumps), 0, 1e3, "between 0 and 1000"},
		{"Decimals", float64(o.Decimals), math.Inf(-1), 12, "at most 12"},
		{"TimeDecimals", float64(o.TimeDecimals), math.Inf(-1), 12, "at most 12"},
		{"Duration times FrameRate", o.Duration * o.FrameRate, 0, 2e7, "at most 20 million samples"},
	} {
		if !(r.v >= r.lo && r.v <= r.hi) { // also refuses NaN
			return bad(r.name, r.v, r.want)
		}
	}
	if !(o.ChangeEvery == 0 || o.ChangeEvery >= 0.2 && o.ChangeEvery <= 1e6) {
		return bad("ChangeEvery", o.ChangeEvery, "0, or at least 0.2 s")
	}
	if o.View < trajectory.EndOn || o.View > trajectory.Spatial {
		return bad("View", int(o.View), "one that package trajectory names")
	}
	if o.Profile != HalfCosine && o.Profile != MinimumJerk {
		return bad("Profile", int(o.Profile), "HalfCosine or MinimumJerk")
	}
	return o.checkPlan()
}
