package simulate

import (
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// Preset is a take with a name.
type Preset struct {
	// Name is short enough for a file: "beginner-1".
	Name string
	// Title says in words what is played.
	Title string
	// Options make the take.
	Options Options
}

// Presets returns the takes of an invented evening class in a plectrum
// orchestra, a new copy at each call. They are 20 s long and filmed end-on at
// 240 frames/s, with the highest-pitched pair of strings lowest in the picture
// and the instrument's face to the right.
//
//	beginner-1  the beginner's first take, on a mandolin: searching most of the
//	            time, with settled spans that grow
//	beginner-2  the second take, some weeks later: faster and steadier
//	tutor       the tutor's reference: sixteenths at 165 BPM, settled but for
//	            one short search
func Presets() []Preset {
	return []Preset{
		{"beginner-1", "mandolin beginner, first take", beginnerFirst()},
		{"beginner-2", "mandolin beginner, second take", beginnerSecond()},
		{"tutor", "tutor's reference take", tutor()},
	}
}

// classroom is what the takes of the class have in common.
func classroom() Options {
	return Options{
		Clearing: clearsAfterDown,
		Strings:  4, Spacing: 12, // pairs of strings; a usual mandolin, from memory
		View: trajectory.EndOn, Roll: -86 * circular.Degree,
		Exposure: 1.0 / 1000,
		Wrist:    true,
		DropOuts: 0.004, Outliers: 0.0008,
		Confidence: true,
		Decimals:   2, TimeDecimals: 5,
	}
}

func beginnerFirst() Options {
	o := classroom()
	o.Seed = 11
	o.Rate, o.PathAngle, o.Skew, o.Length = 7, 17*circular.Degree, -6*circular.Degree, 9
	o.Jitter, o.AngleScatter, o.LengthScatter = 0.035, 1.8*circular.Degree, 0.06
	o.DownShare, o.Lead, o.Carry = 0.48, 0.15, 0.55
	o.Plan = []Stretch{
		{Start: 0, Search: Fresh, RateBy: 0.85},
		{Start: 3.1},
		{Start: 5, Search: Wander, RateBy: 0.9},
		{Start: 8.2},
		{Start: 11, Search: TinyStrokes, RateBy: 0.85},
		{Start: 13.6, Search: Fresh, RateBy: 0.9},
		{Start: 14.9},
		{Start: 19, Search: Fresh, RateBy: 0.9},
	}
	o.Pauses = []Pause{{At: 12.9, For: 0.7, Tremor: 0.05}}
	o.MissShare = 0.03
	o.Noise, o.HandWander = 0.7, 0.3
	o.TrackMarks, o.MarkDropOuts = true, 0.003
	o.Sway, o.SwayAngle = 9, 1.2*circular.Degree
	o.HideDown, o.HideFor = 0.04, 0.3
	o.Jumps = 2
	return o
}

func beginnerSecond() Options {
	o := classroom()
	o.Seed = 12
	o.Rate, o.PathAngle, o.Skew, o.Length = 8.2, 19*circular.Degree, -5*circular.Degree, 8.5
	o.Jitter, o.AngleScatter, o.LengthScatter = 0.028, 1.5*circular.Degree, 0.05
	o.DownShare, o.Lead, o.Carry = 0.49, 0.1, 0.4
	o.Plan = []Stretch{
		{Start: 0, Search: Fresh, RateBy: 0.9},
		{Start: 1.4},
		{Start: 6.1, Search: Wander, RateBy: 0.95},
		{Start: 7.9},
		{Start: 13.2, Search: AngleOnly},
		{Start: 14.6},
	}
	o.Changes = []Change{{At: 10.4, By: 1, Over: 1}}
	o.MissShare = 0.012
	o.Noise, o.HandWander = 0.6, 0.25
	o.TrackMarks, o.MarkDropOuts = true, 0.002
	o.Sway, o.SwayAngle = 7, 0.9*circular.Degree
	o.HideDown, o.HideFor = 0.02, 0.3
	o.Jumps = 1
	return o
}

func tutor() Options {
	o := classroom()
	o.Seed = 13
	o.Rate, o.PathAngle, o.Skew, o.Length = 11, 22*circular.Degree, -4*circular.Degree, 7.5
	o.Jitter, o.AngleScatter, o.LengthScatter = 0.018, 1*circular.Degree, 0.035
	o.DownShare, o.Lead, o.Carry = 0.5, 0.05, 0.25
	o.Plan = []Stretch{{Start: 0}, {Start: 11.6, Search: RateWander}, {Start: 12.9}}
	o.Changes = []Change{{At: 5.2, By: -1, Over: 1}, {At: 8.3, By: 1, Over: 1}}
	o.MissShare = 0.003
	o.Noise, o.HandWander = 0.45, 0.15
	return o
}
