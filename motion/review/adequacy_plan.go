package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// Plan is how a take is going to be filmed and tracked, before any of it
// exists. The zero value of every field but View and FrameRate stands for what
// is usual or not known.
type Plan struct {
	View      trajectory.View
	FrameRate float64 // frames a second, as filmed
	// ExposureS is how long a frame is exposed, in seconds. Zero means not
	// known: at most the whole frame.
	ExposureS float64
	// PixelsPerMM is the scale of the picture at the strings. Zero means not
	// known. In a 3-d view it does not count.
	PixelsPerMM float64
	// Noise is the standard deviation of a tracked point on each axis, in
	// pixels, or in millimetres in a 3-d view. Zero means 0.5 px, and 0.1 mm.
	Noise float64
	// Seconds is how long the take will be. Zero means 20.
	Seconds float64

	// NotesPerSecond is the rate of strokes to be expected. Zero means 12.
	NotesPerSecond tempo.NotesPerSecond
	// StrokeLengthMM is the length of strokes. Zero means 10.
	StrokeLengthMM float64

	// TipIs says what the tracked tip is. Touch says that the tip will rest on
	// a string at a known time, which gives heights their zero whatever is
	// tracked.
	TipIs TipKind
	Touch bool
	// MarkDistanceMM is the distance between the marks on the strings. Zero
	// means that it will not be measured. Card says that a bank or library
	// card will stand upright across the strings for a second: it takes the
	// place of the marks. MarksElsewhere says that the marks do not lie at the
	// picking spot.
	MarkDistanceMM float64
	Card           bool
	MarksElsewhere bool
	// RaiseDeg is how far the camera looks down on the string plane, in
	// degrees, where that is measured. FrontTake says that the skew is known
	// from a front-on take of the same player.
	RaiseDeg  *float64
	FrontTake bool
	// Strings says that the number and the places of the strings are known.
	Strings bool
	// Landmarks are the points of the arm and the hand that are tracked.
	Landmarks []drive.Landmark
	// PickPoints is the number of points tracked on the pick's flat.
	PickPoints int
}

// Allows says what a take filmed so will be able to show and what not, a plain
// sentence each, and what would have to be otherwise. It is an error when the
// plan itself cannot be.
func (p Plan) Allows() ([]Finding, error) {
	p, err := p.filled()
	if err != nil {
		return nil, err
	}
	rate := float64(p.NotesPerSecond)
	f := footing{
		planned: true, view: p.View, hz: p.FrameRate, per: p.FrameRate / rate, exposure: p.ExposureS,
		peak: math.Pi / 2 * rate, spectral: rate, relative: p.relative(),
		noise: settling.Tolerances{Angle: circular.Angle(nan)},
	}
	switch {
	case p.View == trajectory.Spatial:
		f.millimetres = "motion capture gives them"
	case p.Card:
		f.millimetres = "the card gives them"
	case p.MarkDistanceMM > 0:
		f.millimetres = fmt.Sprintf("the marks lie %.3g mm apart", p.MarkDistanceMM)
	default:
		f.noMillimetres = "the distance between the marks is not given (distance_mm)"
	}
	if noise := p.noise(); noise.Length == noise.Length {
		if f.per >= motion.MinSamplesAngles {
			f.noise = noise
		}
		f.settled, f.settledWhy = p.settles(noise, f.per)
	}
	fs := append(f.findings(), p.picture(f.per)...)
	fs = append(fs, p.whole(f.per)...)
	return append(fs, p.points(f.enough, p.relative())...), nil
}

// filled returns p with the defaults filled in, or what cannot be.
func (p Plan) filled() (Plan, error) {
	for _, q := range []struct {
		what string
		x    float64
	}{
		{"the exposure", p.ExposureS}, {"the scale", p.PixelsPerMM}, {"the noise", p.Noise}, {"the length of the take", p.Seconds},
		{"the rate of strokes", float64(p.NotesPerSecond)}, {"the length of strokes", p.StrokeLengthMM}, {"the distance between the marks", p.MarkDistanceMM},
	} {
		if !(q.x >= 0) || math.IsInf(q.x, 0) {
			return p, fmt.Errorf("%s is %g: give a positive number, or none where it is not known", q.what, q.x)
		}
	}
	switch {
	case p.View < trajectory.EndOn || p.View > trajectory.Spatial:
		return p, fmt.Errorf("it is not said how the camera looks at the instrument: end-on, front, oblique or 3-d (view)")
	case !(p.FrameRate > 0) || math.IsInf(p.FrameRate, 0):
		return p, fmt.Errorf("the frame rate is %g: give the frames a second at which it is filmed", p.FrameRate)
	case p.ExposureS*p.FrameRate > 1.001:
		return p, fmt.Errorf("a frame of 1/%.4g s cannot be exposed for %g s: give the exposure in seconds, 0.001 for 1/1000", p.FrameRate, p.ExposureS)
	case p.RaiseDeg != nil && !(math.Abs(*p.RaiseDeg) <= 80):
		return p, fmt.Errorf("the camera's raise is %g degrees: give degrees between -80 and 80", *p.RaiseDeg)
	}
	set := func(x *float64, v float64) {
		if *x == 0 {
			*x = v
		}
	}
	noise := 0.5
	if p.View == trajectory.Spatial {
		noise = 0.1
	}
	set(&p.Noise, noise)
	set(&p.Seconds, 20)
	set((*float64)(&p.NotesPerSecond), 12)
	set(&p.StrokeLengthMM, 10)
	return p, nil
}

// relative says why heights will have no zero, or nothing: as of a take that
// exists.
func (p Plan) relative() string {
	r := Review{Frame: &trajectory.Frame{View: p.View}, Unit: "px"}
	r.Setup.TipIs, r.Setup.MarksElsewhere = p.TipIs, p.MarksElsewhere && !p.Card
	if p.Touch && p.View != trajectory.Oblique {
		r.Setup.TipIs, r.Setup.MarksElsewhere = TipOfPick, false
	}
	if p.View == trajectory.Spatial || p.Card || p.MarkDistanceMM > 0 {
		r.Unit = "mm"
	}
	return r.relativeWhy()
}

// ratio is the noise over the length of a stroke, NaN when the scale of the
// picture is not known.
func (p Plan) ratio() float64 {
	switch {
	case p.View == trajectory.Spatial:
		return p.Noise / p.StrokeLengthMM
	case p.PixelsPerMM > 0:
		return p.Noise / (p.StrokeLengthMM * p.PixelsPerMM)
	}
	return nan
}

func (p Plan) noise() settling.Tolerances {
	return strokeNoise(p.ratio(), p.FrameRate/float64(p.NotesPerSecond))
}

// settles holds the noise of strokes against half the tolerances, beyond which
// nothing is told apart.
func (p Plan) settles(noise settling.Tolerances, per float64) (bool, string) {
	limit := settling.Find(nil, settling.Options{}).Options.Tolerances
	switch {
	case per < motion.MinSamplesStrokes:
		return false, "too few samples per stroke to find strokes"
	case noise.Angle > limit.Angle/2 && per >= motion.MinSamplesAngles:
		return false, fmt.Sprintf("the noise of the angle, %.2g degrees, will be more than half its tolerance of %.2g degrees", noise.Angle.Degrees(), limit.Angle.Degrees())
	case noise.Length > limit.Length/2:
		return false, fmt.Sprintf("the noise of the length, %.2g %%, will be more than half its tolerance of %.2g %%", 100*noise.Length, 100*limit.Length)
	case noise.Duration > limit.Duration/2:
		return false, fmt.Sprintf("the noise of the duration, %.2g %%, will be more than half its tolerance of %.2g %%", 100*noise.Duration, 100*limit.Duration)
	}
	return true, ""
}

// leastScale is the scale in pixels a millimetre below which there is no tip to
// be tracked, whatever the noise: of a pick some 8 mm show, and a tracker wants a
// dozen pixels to hold on to (common practice).
const leastScale = 1.5

// picture says how large the picture must be for single strokes and spans.
func (p Plan) picture(per float64) []Finding {
	if p.View == trajectory.Spatial {
		return nil
	}
	const what = "the size of the picture"
	limit := settling.Find(nil, settling.Options{}).Options.Tolerances
	one := strokeNoise(1, max(per, motion.MinSamplesStrokes)) // of σ/L = 1
	least := max(leastScale*p.StrokeLengthMM, p.Noise*max(one.Angle.Radians()/(limit.Angle.Radians()/2), one.Length/(limit.Length/2), one.Duration/(limit.Duration/2)))
	if p.PixelsPerMM == 0 {
		return []Finding{aside(what, "how many pixels a millimetre has is not known; a stroke should be %.0f px long or more, which is %.2g px to the millimetre for one of %.3g mm", math.Ceil(least), least/p.StrokeLengthMM, p.StrokeLengthMM)}
	}
	long := p.StrokeLengthMM * p.PixelsPerMM
	why := "a stroke of %.3g mm is %.0f px long, and %.0f px or more are needed for single strokes and settled spans"
	if long < least {
		why += fmt.Sprintf("; go nearer, to %.2g px to the millimetre", least/p.StrokeLengthMM)
	}
	f := can(what, why, p.StrokeLengthMM, long, math.Ceil(least))
	f.Can = long >= least
	return []Finding{f}
}

// Marks that a person clicks or a tracker follows are known to markPX on each
// axis; usualMarks is how far apart they lie where that is not measured, between
// the outer strings of a mandolin and a guitar. usualSkew and usualRaise are what
// skew and raise are taken to lie within (common practice).
const (
	markPX     = 1.0
	usualMarks = 40
	usualSkew  = 30 * circular.Degree
	usualRaise = 25 * circular.Degree
)

// whole says how well the path angle of the whole take will be known.
func (p Plan) whole(per float64) []Finding {
	if !p.View.HasOut() || per < motion.MinSamplesAngles {
		return nil
	}
	var fs []Finding
	if single := p.noise().Angle.Degrees(); single == single {
		n := p.Seconds * float64(p.NotesPerSecond)
		// 1.2533 is the ratio of the standard errors of median and mean.
		half := 1.96 * 1.2533 * single / math.Sqrt(n)
		why, args := "the noise of %.0f strokes leaves %.2g degrees either way in it", []any{n, half}
		if p.View != trajectory.Spatial && !p.Card {
			apart := p.MarkDistanceMM
			if apart == 0 {
				apart = usualMarks
			}
			mark := 1.96 * circular.Angle(math.Atan(math.Sqrt2*markPX/(apart*p.PixelsPerMM))).Degrees()
			why += ", and marks placed to a pixel %.2g degrees"
			args = append(args, mark)
			half = math.Hypot(half, mark)
		}
		what := "the path angle of the take"
		if p.View == trajectory.Oblique {
			what = "the picture angle of the take"
		}
		f := can(what, why, args...)
		f.Can = half < leastSingle
		fs = append(fs, f)
	}
	if p.View != trajectory.EndOn {
		return fs
	}
	const what = "the camera's raise"
	raised := p.Card || p.RaiseDeg != nil
	raise := usualRaise
	if p.RaiseDeg != nil {
		raise = circular.Angle(math.Abs(*p.RaiseDeg)) * circular.Degree
	}
	shift := circular.Angle(math.Atan(math.Tan(usualSkew.Radians()) * math.Tan(raise.Radians()))).Degrees()
	front := "a front-on take of the same player tells how far they do"
	switch {
	case raised && p.FrontTake:
		fs = append(fs, can(what, "it is known, and so is how far strokes run along the strings: the path angle is freed of both"))
	case p.RaiseDeg != nil && shift < 1:
		fs = append(fs, can(what, "at %.3g degrees it turns the path angle by less than a degree", *p.RaiseDeg))
	case p.RaiseDeg != nil:
		fs = append(fs, aside(what, "at %.3g degrees it turns the path angle by up to %.2g degrees, where strokes run along the strings by up to %.0f; %s", *p.RaiseDeg, shift, usualSkew.Degrees(), front))
	case p.Card:
		fs = append(fs, aside(what, "the card will tell it; it turns the path angle where strokes run along the strings, and %s", front))
	default:
		fs = append(fs, aside(what, "up to %.0f degrees of it, which are easily overlooked, turn the path angle by up to %.2g degrees where strokes run along the strings by up to %.0f; a card upright across the strings tells it, and %s", raise.Degrees(), shift, usualSkew.Degrees(), front))
	}
	return fs
}

// points says what the points tracked allow beside the tip's own motion.
// relative says why heights have no zero, or nothing.
func (p Plan) points(enough func(string, float64) Finding, relative string) []Finding {
	has := func(names ...drive.Landmark) bool {
		return slices.ContainsFunc(p.Landmarks, func(l drive.Landmark) bool { return slices.Contains(names, l) })
	}
	sides := has(drive.WristInner) && has(drive.WristOuter)
	wrist := has(drive.Wrist) || sides
	knuckles := slices.ContainsFunc(p.Landmarks, func(l drive.Landmark) bool { return l >= drive.Knuckle(1) })
	forearm := has(drive.Forearm, drive.WristInner, drive.WristOuter)
	var fs []Finding

	const carry = "carry"
	if knuckles || has(drive.Wrist, drive.WristInner, drive.WristOuter) {
		fs = append(fs, enough(carry, motion.MinSamplesStrokes))
	} else {
		fs = append(fs, cannot(carry, "no point of the hand is tracked beside the tip; track the wrist or a knuckle"))
	}

	const driven = "drive"
	var missing []string
	for _, q := range []struct {
		there bool
		name  string
	}{{has(drive.Elbow), "the elbow"}, {wrist, "the wrist"}, {knuckles, "a knuckle"}} {
		if !q.there {
			missing = append(missing, q.name)
		}
	}
	switch {
	case !wrist && !knuckles:
		fs = append(fs, cannot(driven, "%s would have to be tracked", list(missing)))
	case len(missing) > 0:
		fs = append(fs, aside(driven, "joints between the points can only be told together; track %s too", list(missing)))
	case p.View != trajectory.Spatial:
		fs = append(fs, aside(driven, "one picture shows turns in its own plane only, so that rotation of the forearm is not told from the joints beside it; motion capture in three axes does that"))
	case !forearm:
		fs = append(fs, aside(driven, "elbow, wrist and fingers can be told apart, rotation of the forearm cannot; track a second point on the forearm"))
	default:
		fs = append(fs, enough(driven, motion.MinSamplesAngles))
	}

	const contacts = "strings reached, follow-through and depth"
	switch {
	case p.View == trajectory.Front:
		fs = append(fs, cannot(contacts, "a camera that faces the instrument does not see how deep the tip is"))
	case relative != "":
		fs = append(fs, cannot(contacts, "%s", relative))
	case !p.Strings:
		fs = append(fs, cannot(contacts, "the number of the strings and where they lie are not given"))
	default:
		fs = append(fs, enough(contacts, contact.MinSamplesReached), enough("speed at the string", motion.MinSamplesShape))
	}

	const edge = "edge angle"
	if p.PickPoints > 1 {
		return append(fs, enough(edge, motion.MinSamplesAngles))
	}
	return append(fs, cannot(edge, "two points on the pick's flat would have to be tracked (pick_points)"))
}

// list joins words as a sentence does.
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
