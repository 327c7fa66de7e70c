package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// optionFlag changes one option. Its usage quotes what its value is called; that
// of a switch quotes nothing.
type optionFlag struct {
	name, usage string
	read        func(text string) (func(*simulate.Options), error)
}

// number is a flag that sets a number.
func number(name, usage string, field func(*simulate.Options) *float64) optionFlag {
	return optionFlag{name, usage, func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		return func(o *simulate.Options) { *field(o) = v }, err
	}}
}

// whole is a flag that sets a whole number.
func whole(name, usage string, field func(*simulate.Options) *int) optionFlag {
	return optionFlag{name, usage, func(text string) (func(*simulate.Options), error) {
		v, err := strconv.Atoi(text)
		if err != nil {
			return nil, fmt.Errorf("%q is no whole number", text)
		}
		return func(o *simulate.Options) { *field(o) = v }, nil
	}}
}

// scatter is number for a field in which zero means the default and a negative
// number means none.
func scatter(name, usage string, field func(*simulate.Options) *float64) optionFlag {
	return optionFlag{name, usage, func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		if v == 0 {
			v = -1
		}
		return func(o *simulate.Options) { *field(o) = v }, err
	}}
}

// degrees is number for an angle.
func degrees(name, usage string, field func(*simulate.Options) *circular.Angle) optionFlag {
	return optionFlag{name, usage, func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		return func(o *simulate.Options) { *field(o) = circular.Angle(v) * circular.Degree }, err
	}}
}

// toggle is a flag that is on or off.
func toggle(name, usage string, field func(*simulate.Options) *bool) optionFlag {
	return optionFlag{name, usage, func(text string) (func(*simulate.Options), error) {
		v, err := strconv.ParseBool(text)
		return func(o *simulate.Options) { *field(o) = v }, err
	}}
}

// choice is a flag that takes one of the words.
func choice(name, usage string, words []string, set func(o *simulate.Options, word int)) optionFlag {
	return optionFlag{name, usage + ": " + strings.Join(words, ", "), func(text string) (func(*simulate.Options), error) {
		i := slices.Index(words, strings.ToLower(text))
		if i < 0 {
			return nil, fmt.Errorf("write one of %s", strings.Join(words, ", "))
		}
		return func(o *simulate.Options) { set(o, i) }, nil
	}}
}

func parseNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return v, nil
}

var optionFlags = []optionFlag{
	{"seed", "`number` that chooses the take", func(text string) (func(*simulate.Options), error) {
		v, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			return nil, fmt.Errorf("%q is no whole number", text)
		}
		return func(o *simulate.Options) { o.Seed = v }, nil
	}},
	number("seconds", "how many `seconds` the take lasts (20)", func(o *simulate.Options) *float64 { return &o.Duration }),
	number("rate", "`strokes/s`, notes per second if every stroke sounds (10)", func(o *simulate.Options) *float64 { return &o.Rate }),
	degrees("angle", "path angle in `degrees`, positive when a downstroke ends further out (20)", func(o *simulate.Options) *circular.Angle { return &o.PathAngle }),
	degrees("skew", "skew in `degrees`, positive when a downstroke moves toward the nut (0)", func(o *simulate.Options) *circular.Angle { return &o.Skew }),
	number("length", "length in `mm` from turn to turn (10)", func(o *simulate.Options) *float64 { return &o.Length }),
	number("curvature", "curvature in `1/mm`, positive when the middle bulges out (0)", func(o *simulate.Options) *float64 { return &o.Curvature }),
	number("depth", "how many `mm` the middle of the path runs below the string plane (1)", func(o *simulate.Options) *float64 { return &o.Depth }),
	choice("clearing", "the `turns` that clear the strings", clearings, func(o *simulate.Options, i int) { o.Clearing = clearingWords[i] }),
	number("down-share", "the downstroke's `share` of the cycle (0.5)", func(o *simulate.Options) *float64 { return &o.DownShare }),
	choice("profile", "`path` from turn to turn", []string{"half-cosine", "minimum-jerk"}, func(o *simulate.Options, i int) { o.Profile = simulate.Profile(i) }),
	number("lead", "`number` from -0.5 to 0.5: how early in the stroke the tip is fastest (0)", func(o *simulate.Options) *float64 { return &o.Lead }),
	number("misses", "`share` of strokes that pass above the strings (0)", func(o *simulate.Options) *float64 { return &o.MissShare }),

	scatter("jitter", "durations, as a `share` of their mean (0.03)", func(o *simulate.Options) *float64 { return &o.Jitter }),
	toggle("pulse", "durations scatter about a pulse", func(o *simulate.Options) *bool { return &o.Pulse }),
	{"angle-scatter", "path angle, in `degrees` (1.5)", func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		if v == 0 {
			v = -1
		}
		return func(o *simulate.Options) { o.AngleScatter = circular.Angle(v) * circular.Degree }, err
	}},
	scatter("length-scatter", "length, as a `share` of its mean (0.05)", func(o *simulate.Options) *float64 { return &o.LengthScatter }),
	number("hand-wander", "slow wander of the hand, in `mm` (0)", func(o *simulate.Options) *float64 { return &o.HandWander }),

	{"plan", "`list` of stretches, such as 0:fresh,4:settled,12:wander", readPlan},
	{"pauses", "`list` of rests, such as 5:1.2,9:0.5", readPauses},
	{"changes", "`list` of moves to other strings, such as 4:1,10:-2", readChanges},
	degrees("angle-drift", "change of the path angle over the take, in `degrees` (0)", func(o *simulate.Options) *circular.Angle { return &o.AngleDrift }),
	number("rate-drift", "change of the rate over the take, as a `share` (0)", func(o *simulate.Options) *float64 { return &o.RateDrift }),
	number("length-drift", "change of the length over the take, as a `share` (0)", func(o *simulate.Options) *float64 { return &o.LengthDrift }),

	choice("view", "`view` of the camera", views, func(o *simulate.Options, i int) { o.View = trajectory.EndOn + trajectory.View(i) }),
	number("scale", "scale of the picture in `px/mm` (12)", func(o *simulate.Options) *float64 { return &o.Scale }),
	degrees("roll", "`degrees` by which the picture is turned counter-clockwise (0)", func(o *simulate.Options) *circular.Angle { return &o.Roll }),
	degrees("raise", "`degrees` by which the camera is lifted from the string plane (0)", func(o *simulate.Options) *circular.Angle { return &o.Raise }),
	degrees("yaw", "`degrees` by which the camera looks toward the highest-pitched string's side (0)", func(o *simulate.Options) *circular.Angle { return &o.Yaw }),
	number("distance", "`mm` from the camera to the picking spot (0: from afar, without perspective)", func(o *simulate.Options) *float64 { return &o.Distance }),
	scatter("noise", "noise on each axis in `px`, in mm in a 3-d view (0.4, or 0.05; 0 for none)", func(o *simulate.Options) *float64 { return &o.Noise }),
	number("noise-colour", "`correlation` of the noise of neighbouring frames (0)", func(o *simulate.Options) *float64 { return &o.NoiseColour }),
	number("readout", "`seconds` in which a rolling shutter reads a picture (0)", func(o *simulate.Options) *float64 { return &o.Readout }),
	number("exposure", "`seconds` over which a frame averages (0)", func(o *simulate.Options) *float64 { return &o.Exposure }),
	number("sway", "`px` that the camera moves to either side (0)", func(o *simulate.Options) *float64 { return &o.Sway }),
	degrees("sway-angle", "`degrees` that the camera turns to either side (0)", func(o *simulate.Options) *circular.Angle { return &o.SwayAngle }),
	toggle("y-up", "y grows upward", func(o *simulate.Options) *bool { return &o.Orientation.YUp }),
	toggle("left-handed", "a left-handed player's instrument", func(o *simulate.Options) *bool { return &o.Orientation.LeftHanded }),
	toggle("mirrored", "a mirrored film", func(o *simulate.Options) *bool { return &o.Orientation.Mirrored }),
	toggle("from-neck", "a camera at the nut that looks toward the bridge", func(o *simulate.Options) *bool { return &o.Orientation.FromNeck }),

	number("frames", "`frames/s` of the film (240)", func(o *simulate.Options) *float64 { return &o.FrameRate }),
	number("time-jitter", "`seconds` by which frames come early or late (0)", func(o *simulate.Options) *float64 { return &o.TimeJitter }),
	number("slowed-by", "`factor` by which the film was saved slower (1)", func(o *simulate.Options) *float64 { return &o.SlowedBy }),
	{"slowed", "`stretch` that a telephone slows inside the film, FROM:UNTIL:BY, such as 5:9:8", readSlowed},
	toggle("tracked-marks", "track the marks, instead of fixed places", func(o *simulate.Options) *bool { return &o.TrackMarks }),
	{"wrist", "add a point on the wrist that moves by this `share` of the tip's travel", func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		return func(o *simulate.Options) { o.Wrist, o.Carry = true, v }, err
	}},
	number("marker-up", "how many `mm` up the pick the tracked point sits (0)", func(o *simulate.Options) *float64 { return &o.MarkerUp }),
	number("marker-across", "how many `mm` toward the highest-pitched string it sits (0)", func(o *simulate.Options) *float64 { return &o.MarkerAcross }),
	{"pick-edge", "add a second point on the pick, whose flat is turned by so many `degrees`", func(text string) (func(*simulate.Options), error) {
		v, err := parseNumber(text)
		return func(o *simulate.Options) { o.PickEdge, o.EdgeAngle = true, circular.Angle(v)*circular.Degree }, err
	}},

	toggle("card", "a card stands across the strings for the first second; it fits into a picture of 1920 x 1080 px up to a -scale of 9", func(o *simulate.Options) *bool { return &o.Card }),
	number("touch", "how many `seconds` the tip rests on a string before it plays (0)", func(o *simulate.Options) *float64 { return &o.TouchFor }),
	whole("touch-string", "`number` of the string touched, 1 the highest-pitched (the one played first)", func(o *simulate.Options) *int { return &o.TouchString }),
	number("crown", "`mm` of radius to which the fingerboard is crowned (0: flat)", func(o *simulate.Options) *float64 { return &o.CrownRadius }),
	number("string-drag", "`share` by which a string slows the tip that crosses it (0)", func(o *simulate.Options) *float64 { return &o.StringDrag }),

	{"arm", "add the points of an arm that carries the tip by these `shares`, such as 0,0.2,0.2,0.6,0", readShares},
	scatter("landmark-noise", "noise of its points in `px`, in mm in a 3-d view (that of the tip; 0 for none)", func(o *simulate.Options) *float64 { return &o.LandmarkNoise }),
	number("skin-error", "`mm` that its points slide to either side with each stroke (0)", func(o *simulate.Options) *float64 { return &o.SkinError }),

	number("onset-jitter", "`seconds` by which onsets come early or late (0)", func(o *simulate.Options) *float64 { return &o.OnsetJitter }),
	number("onset-offset", "`seconds` by which the sound lags behind the film (0)", func(o *simulate.Options) *float64 { return &o.OnsetOffset }),
	number("onsets-lost", "`share` of struck strokes without an onset (0)", func(o *simulate.Options) *float64 { return &o.OnsetLost }),
	number("onsets-spurious", "spurious onsets, as a `share` of struck strokes (0)", func(o *simulate.Options) *float64 { return &o.OnsetSpurious }),

	number("drop-outs", "`share` of the tip's samples that are lost (0)", func(o *simulate.Options) *float64 { return &o.DropOuts }),
	number("mark-drop-outs", "`share` of the marks' samples that are lost (0)", func(o *simulate.Options) *float64 { return &o.MarkDropOuts }),
	number("hide-down", "`share` of downstrokes at whose end the tip vanishes (0)", func(o *simulate.Options) *float64 { return &o.HideDown }),
	number("hide-up", "`share` of upstrokes at whose end the tip vanishes (0)", func(o *simulate.Options) *float64 { return &o.HideUp }),
	number("outliers", "`share` of single samples that sit elsewhere (0)", func(o *simulate.Options) *float64 { return &o.Outliers }),
	whole("jumps", "how many `times` the tracker sits elsewhere for a while (0)", func(o *simulate.Options) *int { return &o.Jumps }),
	choice("fills", "what `kind` of line fills the gaps", []string{"none", "straight", "frozen", "both"}, func(o *simulate.Options, i int) {
		o.StraightFills, o.FrozenFills = i&1 != 0, i&2 != 0
	}),
	toggle("confidence", "add a confidence column", func(o *simulate.Options) *bool { return &o.Confidence }),
}

// The words of -clearing, and those of the options.
var (
	clearings     = []string{"after-downstrokes", "after-upstrokes", "both", "neither"}
	clearingWords = []string{"after downstrokes", "after upstrokes", "both", "neither"}
)

var views = []string{"end-on", "front", "oblique", "3-d"}

// pairs reads a list of AT:WHAT.
func pairs(text string, use func(at float64, what string) error) error {
	for _, item := range strings.Split(text, ",") {
		at, what, ok := strings.Cut(strings.TrimSpace(item), ":")
		v, err := parseNumber(at)
		if !ok || err != nil {
			return fmt.Errorf("%q: write SECONDS:WHAT", item)
		}
		if err := use(v, what); err != nil {
			return err
		}
	}
	return nil
}

func readPlan(text string) (func(*simulate.Options), error) {
	var plan []simulate.Stretch
	err := pairs(text, func(at float64, what string) error {
		s := simulate.Stretch{Start: at}
		if s.Search.UnmarshalText([]byte(strings.ReplaceAll(what, "-", " "))) != nil {
			return fmt.Errorf("%q is no kind of stretch", what)
		}
		plan = append(plan, s)
		return nil
	})
	return func(o *simulate.Options) { o.Plan = plan }, err
}

func readPauses(text string) (func(*simulate.Options), error) {
	var pauses []simulate.Pause
	err := pairs(text, func(at float64, what string) error {
		v, err := parseNumber(what)
		pauses = append(pauses, simulate.Pause{At: at, For: v})
		return err
	})
	return func(o *simulate.Options) { o.Pauses = pauses }, err
}

func readChanges(text string) (func(*simulate.Options), error) {
	var changes []simulate.Change
	err := pairs(text, func(at float64, what string) error {
		v, err := strconv.Atoi(what)
		if err != nil {
			return fmt.Errorf("%q is no number of strings", what)
		}
		changes = append(changes, simulate.Change{At: at, By: v})
		return nil
	})
	return func(o *simulate.Options) { o.Changes = changes }, err
}

// numbers reads as many numbers as there are places, with a mark between them.
func numbers(text, between string, places ...*float64) error {
	items := strings.Split(text, between)
	if len(items) != len(places) {
		return fmt.Errorf("%q: write %d numbers with %q between them", text, len(places), between)
	}
	for i, item := range items {
		v, err := parseNumber(strings.TrimSpace(item))
		if err != nil {
			return err
		}
		*places[i] = v
	}
	return nil
}

func readSlowed(text string) (func(*simulate.Options), error) {
	var from, until, by float64
	err := numbers(text, ":", &from, &until, &by)
	return func(o *simulate.Options) { o.SlowAt, o.SlowUntil, o.SlowBy = from, until, by }, err
}

func readShares(text string) (func(*simulate.Options), error) {
	var s simulate.Shares
	err := numbers(text, ",", &s.Shoulder, &s.Elbow, &s.Forearm, &s.Wrist, &s.Fingers)
	return func(o *simulate.Options) { o.Arm, o.Shares = true, s }, err
}
