package simulate

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

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
		set(&o.CardNoise, 0.1)
	} else {
		set(&o.Scale, 12)
		set(&o.Noise, 0.4)
		set(&o.CardNoise, 1)
	}
	if o.View == trajectory.Oblique {
		set(&o.Raise, 25*circular.Degree)
	}
	set(&o.FrameRate, 240)
	set(&o.TimeDecimals, 6)
	set(&o.SlowedBy, 1)
	set(&o.MarkNoise, o.Noise)
	set(&o.CardFor, 1)
	set(&o.EdgeScatter, 2*circular.Degree)
	set(&o.Shares, Shares{Shoulder: 0.05, Elbow: 0.2, Forearm: 0.3, Wrist: 0.35, Fingers: 0.1})
	set(&o.ShareScatter, 0.03)
	set(&o.ForearmAngle, 30*circular.Degree)
	set(&o.LandmarkNoise, o.Noise)
	set(&o.LevelSpread, 2)
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
	off(&o.CardNoise, 0)
	off(&o.ShareScatter, 0)
	off(&o.LandmarkNoise, 0)
	off(&o.LevelSpread, 0)
	offAngle(&o.EdgeScatter, 0)
	offAngle(&o.ForearmAngle, 0)
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
		{"CrownRadius", o.CrownRadius, 0, 1e5, "between 0 and 100000 mm"},
		{"StringDrag", o.StringDrag, 0, 0.9, "between 0 and 0.9"},
		{"CardFor", o.CardFor, 0, 3600, "between 0 and 3600 s"},
		{"CardNoise", o.CardNoise, 0, 1e4, "finite"},
		{"CardLean", o.CardLean.Degrees(), -45, 45, "between -45 and 45 degrees"},
		{"TouchFor", o.TouchFor, 0, 3600, "between 0 and 3600 s"},
		{"TouchString", float64(o.TouchString), 0, float64(o.Strings), "the number of a string, 1 the highest-pitched, or 0"},
		{"Roll", o.Roll.Degrees(), -720, 720, "between -720 and 720 degrees"},
		{"Raise", o.Raise.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"Yaw", o.Yaw.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"SpotX", o.SpotX, -1e4, 1e4, "between -10000 and 10000 px"},
		{"SpotY", o.SpotY, -1e4, 1e4, "between -10000 and 10000 px"},
		{"Readout", o.Readout, 0, 1 / o.FrameRate, "between 0 and one frame interval"},
		{"NoiseColour", o.NoiseColour, 0, 0.999, "between 0 and 0.999"},
		{"Exposure", o.Exposure, 0, 1 / o.FrameRate, "between 0 and one frame interval"},
		{"Noise", o.Noise, 0, 1e4, "finite"},
		{"Sway", o.Sway, 0, 1e4, "between 0 and 10000"},
		{"SwayAngle", o.SwayAngle.Degrees(), 0, 45, "between 0 and 45 degrees"},
		{"FrameRate", o.FrameRate, 1, 1e5, "between 1 and 100000 frames/s"},
		{"TimeJitter", o.TimeJitter, 0, 1, "between 0 and 1 s"},
		{"StampError", o.StampError, 0, 1, "between 0 and 1 s"},
		{"SlowedBy", o.SlowedBy, 1e-3, 1e3, "between 0.001 and 1000"},
		{"SlowAt", o.SlowAt, 0, 7200, "between 0 and 7200 s"},
		{"SlowUntil", o.SlowUntil, 0, 7200, "between 0 and 7200 s"},
		{"MarkNoise", o.MarkNoise, 0, 1e4, "finite"},
		{"Carry", o.Carry, -1, 2, "between -1 and 2"},
		{"MarkerUp", o.MarkerUp, -1e3, 1e3, "between -1000 and 1000 mm"},
		{"MarkerAcross", o.MarkerAcross, -1e3, 1e3, "between -1000 and 1000 mm"},
		{"MarkerAlong", o.MarkerAlong, -1e3, 1e3, "between -1000 and 1000 mm"},
		{"EdgeAngle", o.EdgeAngle.Degrees(), -90, 90, "between -90 and 90 degrees"},
		{"EdgeScatter", o.EdgeScatter.Degrees(), 0, 30, "at most 30 degrees"},
		{"ShareScatter", o.ShareScatter, 0, 0.5, "at most 0.5"},
		{"ForearmAngle", o.ForearmAngle.Degrees(), 0, 80, "at most 80 degrees"},
		{"ForearmRoll", o.ForearmRoll.Degrees(), -80, 80, "between -80 and 80 degrees"},
		{"LandmarkNoise", o.LandmarkNoise, 0, 1e4, "finite"},
		{"SkinError", o.SkinError, 0, 100, "between 0 and 100 mm"},
		{"OnsetJitter", o.OnsetJitter, 0, 1, "between 0 and 1 s"},
		{"OnsetOffset", o.OnsetOffset, -10, 10, "between -10 and 10 s"},
		{"OnsetLost", o.OnsetLost, 0, 1, "a share between 0 and 1"},
		{"OnsetSpurious", o.OnsetSpurious, 0, 1, "a share between 0 and 1"},
		{"LevelSpread", o.LevelSpread, 0, 60, "at most 60 dB"},
		{"LevelUp", o.LevelUp, -60, 60, "between -60 and 60 dB"},
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
	if outer := o.outer(); !(o.CrownRadius == 0 || o.CrownRadius >= 1.1*outer) {
		return bad("CrownRadius", o.CrownRadius, fmt.Sprintf("0, or at least %.4g mm for strings that far apart", 1.1*outer))
	}
	if !(o.Distance == 0 || o.View != trajectory.Spatial && o.Distance >= 100 && o.Distance <= 1e6) {
		return bad("Distance", o.Distance, "0, or in a picture between 100 and 1000000 mm")
	}
	if (o.SpotX != 0 || o.SpotY != 0) && o.View == trajectory.Spatial {
		return bad("SpotX or SpotY", []float64{o.SpotX, o.SpotY}, "0 in a 3-d view, which has no picture")
	}
	if o.Readout > 0 && o.View == trajectory.Spatial {
		return bad("Readout", o.Readout, "0 in a 3-d view, which has no rows")
	}
	if !(o.SlowBy == 0 || o.SlowBy >= 1 && o.SlowBy <= 100) {
		return bad("SlowBy", o.SlowBy, "0, or between 1 and 100")
	}
	if o.SlowUntil != 0 && o.SlowUntil <= o.SlowAt {
		return bad("SlowUntil", o.SlowUntil, "after SlowAt, or 0")
	}
	if o.playsFrom() > o.Duration {
		return bad("Duration", o.Duration, fmt.Sprintf("longer: the playing starts %.3g s after the card and the touch", o.playsFrom()))
	}
	if o.Arm && o.Wrist {
		return bad("Wrist", o.Wrist, "false with Arm, which has a wrist of its own")
	}
	if !o.Shares.valid() {
		return bad("Shares", o.Shares, "five numbers between -2 and 3 that add up to 1")
	}
	if o.View < trajectory.EndOn || o.View > trajectory.Spatial {
		return bad("View", int(o.View), "one that package trajectory names")
	}
	if o.Profile != HalfCosine && o.Profile != MinimumJerk {
		return bad("Profile", int(o.Profile), "HalfCosine or MinimumJerk")
	}
	return o.checkPlan()
}
