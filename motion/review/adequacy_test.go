package review_test

import (
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

// phone is a plan that allows all that one picture can.
func phone() review.Plan {
	level := 0.0
	return review.Plan{
		View: trajectory.EndOn, FrameRate: 240, ExposureS: 1. / 1000, PixelsPerMM: 12, TipIs: review.TipOfPick,
		MarkDistanceMM: 50, Strings: true, RaiseDeg: &level, Landmarks: []drive.Landmark{drive.Wrist}, PickPoints: 2,
	}
}

// TestPlan changes one thing in a plan at a time. Samples per stroke are frame
// rate over rate; the other numbers are those of the formulas in adequacy.go and
// adequacy_plan.go, by hand.
func TestPlan(t *testing.T) {
	degrees := func(x float64) *float64 { return &x }
	const (
		yes = iota
		no
		aside
	)
	const contact = "strings reached, follow-through and depth"
	for _, c := range []struct {
		name   string
		change func(*review.Plan)
		what   string
		want   int
		why    string
	}{
		{"", nil, "rate alone, from the spectrum", yes, "20 samples per stroke at 240 samples/s, 2.2 are needed; possible up to 109 strokes/s"},
		{"", nil, "strokes, rate and timing", yes, "up to 60 strokes/s"},
		{"", nil, "path angle", yes, "up to 30 strokes/s"},
		{"", nil, "curvature", yes, "up to 16 strokes/s"},
		{"", nil, "heights and clearing", yes, "15 are needed"},
		{"", nil, "skew", no, "front-on"},
		{"", nil, "lengths in millimetres", yes, "50 mm apart"},
		{"", nil, "a sharp tip", yes, "1.9 % of a stroke's length while a frame is exposed (0.001 s)"}, // π/2 · 12/1000
		{"", nil, "carry", yes, "4 are needed"},
		{"", nil, contact, yes, "4 are needed"},
		{"", nil, "edge angle", yes, "8 are needed"},
		{"", nil, "the camera's raise", yes, "less than a degree"},
		// 1.82 · 0.5/(120 √20) radians.
		{"", nil, "the path angle of single strokes", yes, "about 0.097 degrees"},
		// 1.96 · 1.2533 · 0.0972/√240 degrees, and 1.96 · atan(√2/600).
		{"", nil, "the path angle of the take", yes, "noise of 240 strokes leaves 0.015 degrees either way in it, and marks placed to a pixel 0.26 degrees"},
		{"", nil, "settled and searching spans", yes, ""},
		{"", nil, "the size of the picture", yes, "a stroke of 10 mm is 120 px long, and 15 px"},

		{"slower film", func(p *review.Plan) { p.FrameRate = 30 }, "strokes, rate and timing", no, "2.5 samples per stroke at 30 samples/s, 4 are needed; possible up to 7.5 strokes/s, or film at 48 frames/s or more"},
		{"slower film", func(p *review.Plan) { p.FrameRate = 30 }, "rate alone, from the spectrum", yes, "2.5 samples"},
		{"slower film", func(p *review.Plan) { p.FrameRate = 24 }, "rate alone, from the spectrum", no, "film at 27 frames/s or more"},
		{"slower film", func(p *review.Plan) { p.FrameRate = 60 }, "path angle", no, "film at 96 frames/s or more"},
		{"slower film", func(p *review.Plan) { p.FrameRate = 30 }, "settled and searching spans", no, "too few samples"},
		{"slower playing", func(p *review.Plan) { p.FrameRate, p.NotesPerSecond = 60, 4 }, "heights and clearing", yes, "15 samples"},
		{"further away", func(p *review.Plan) { p.PixelsPerMM = 0.4 }, "the size of the picture", no, "is 4 px long, and 15 px or more are needed for single strokes and settled spans; go nearer, to 1.5 px to the millimetre"},
		{"much noise", func(p *review.Plan) { p.Noise = 8 }, "settled and searching spans", no, "the noise of the duration, 4.3 %, will be more than half its tolerance of 8 %"}, // 2.9 · 8/(120 √20)
		{"more noise", func(p *review.Plan) { p.Noise = 16 }, "the path angle of single strokes", no, "about 3.1 degrees"},
		{"more noise", func(p *review.Plan) { p.Noise = 16 }, "the size of the picture", no, "go nearer, to 26 px"}, // 16 · 2.9/(√20 · 0.04)/10
		{"scale unknown", func(p *review.Plan) { p.PixelsPerMM = 0 }, "the size of the picture", aside, "1.5 px to the millimetre"},
		{"long exposure", func(p *review.Plan) { p.FrameRate, p.ExposureS = 60, 1./60 }, "a sharp tip", no, "31 % of a stroke's length while a frame is exposed (0.017 s), and the tracker follows a streak; 1/126 s or shorter"},
		{"exposure unknown", func(p *review.Plan) { p.ExposureS = 0 }, "a sharp tip", yes, "no more than 7.9 %"},
		{"exposure unknown", func(p *review.Plan) { p.FrameRate, p.ExposureS = 60, 0 }, "a sharp tip", aside, "exposure_s"},
		{"a marker", func(p *review.Plan) { p.TipIs = review.TipMarker }, "heights and clearing", no, "above the pick's tip"},
		{"a marker", func(p *review.Plan) { p.TipIs = review.TipMarker }, contact, no, "above the pick's tip"},
		{"a marker, and a touch", func(p *review.Plan) { p.TipIs, p.Touch = review.TipMarker, true }, "heights and clearing", yes, ""},
		{"marks elsewhere", func(p *review.Plan) { p.MarksElsewhere = true }, "heights and clearing", no, "picking spot"},
		{"marks elsewhere, and a card", func(p *review.Plan) { p.MarksElsewhere, p.Card = true, true }, "heights and clearing", yes, ""},
		{"not measured", func(p *review.Plan) { p.MarkDistanceMM = 0 }, "lengths in millimetres", no, "distance_mm"},
		{"not measured", func(p *review.Plan) { p.MarkDistanceMM = 0 }, "heights and clearing", no, "no millimetres"},
		{"a card", func(p *review.Plan) { p.MarkDistanceMM, p.Card = 0, true }, "lengths in millimetres", yes, "card"},
		{"raised", func(p *review.Plan) { p.RaiseDeg = degrees(15) }, "the camera's raise", aside, "up to 8.8 degrees"}, // atan(tan 20° tan 15°)
		{"raised, skew known", func(p *review.Plan) { p.RaiseDeg, p.FrontTake = degrees(-15), true }, "the camera's raise", yes, "freed of both"},
		{"raise unknown", func(p *review.Plan) { p.RaiseDeg = nil }, "the camera's raise", aside, "up to 15 degrees"}, // atan(tan 20° tan 25°)
		{"strings unknown", func(p *review.Plan) { p.Strings = false }, contact, no, "number of the strings"},
		{"no points", func(p *review.Plan) { p.Landmarks = nil }, "carry", no, "wrist or a knuckle"},
		{"no points", func(p *review.Plan) { p.PickPoints = 0 }, "edge angle", no, "pick_points"},
		{"no points", func(p *review.Plan) { p.Landmarks = nil }, "drive", no, "the elbow, the wrist and a knuckle"},
		{"wrist only", nil, "drive", aside, "track the elbow and a knuckle too"},
		{"an arm", func(p *review.Plan) {
			p.Landmarks = []drive.Landmark{drive.Elbow, drive.WristInner, drive.WristOuter, drive.Knuckle(1)}
		}, "drive", aside, "one picture"},
		{"an arm in space", func(p *review.Plan) {
			p.View, p.Landmarks = trajectory.Spatial, []drive.Landmark{drive.Elbow, drive.Wrist, drive.Forearm, drive.Knuckle(1)}
		}, "drive", yes, "8 are needed"},
		{"no forearm", func(p *review.Plan) {
			p.View, p.Landmarks = trajectory.Spatial, []drive.Landmark{drive.Elbow, drive.Wrist, drive.Knuckle(1)}
		}, "drive", aside, "second point on the forearm"},
		{"in space", func(p *review.Plan) { p.View = trajectory.Spatial }, "skew", yes, ""},
		{"in space", func(p *review.Plan) { p.View = trajectory.Spatial }, "the path angle of single strokes", yes, "0.23 degrees"}, // 1.82 · 0.1/(10 √20)
		{"front", func(p *review.Plan) { p.View = trajectory.Front }, "skew", yes, "8 are needed"},
		{"front", func(p *review.Plan) { p.View = trajectory.Front }, "path angle and heights", no, "end-on"},
		{"front", func(p *review.Plan) { p.View = trajectory.Front }, contact, no, "how deep"},
		{"oblique", func(p *review.Plan) { p.View = trajectory.Oblique }, "heights and clearing", no, "oblique"},
		{"oblique", func(p *review.Plan) { p.View = trajectory.Oblique }, "a picture angle, which compares only within this set-up", yes, ""},
	} {
		p := phone()
		if c.change != nil {
			c.change(&p)
		}
		fs, err := p.Allows()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		found := 0
		for _, f := range fs {
			if f.What == "" || f.Why == "" || strings.HasSuffix(f.Why, ".") || strings.Contains(f.Why, "%!") || strings.Contains(f.Why, "NaN") || f.Can && f.Aside {
				t.Errorf("%s: not a sentence: %+v", c.name, f)
			}
			if f.What != c.what {
				continue
			}
			found++
			if f.Can != (c.want == yes) || f.Aside != (c.want == aside) || !strings.Contains(f.Why, c.why) {
				t.Errorf("%s: %s: %+v, want %d, %q", c.name, c.what, f, c.want, c.why)
			}
		}
		if found != 1 {
			t.Errorf("%s: %d findings on %s", c.name, found, c.what)
		}
	}
}

// TestPlanErrors: a plan that cannot be is an error that says what.
func TestPlanErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		change func(*review.Plan)
		want   string
	}{
		{"no view", func(p *review.Plan) { p.View = trajectory.ViewUnknown }, "view"},
		{"no such view", func(p *review.Plan) { p.View = 77 }, "view"},
		{"no frame rate", func(p *review.Plan) { p.FrameRate = 0 }, "frame rate"},
		{"negative frame rate", func(p *review.Plan) { p.FrameRate = -30 }, "frame rate"},
		{"endless frame rate", func(p *review.Plan) { p.FrameRate = inf }, "frame rate"},
		{"negative exposure", func(p *review.Plan) { p.ExposureS = -1 }, "exposure"},
		{"exposure in frames a second", func(p *review.Plan) { p.ExposureS = 500 }, "0.001 for 1/1000"},
		{"negative scale", func(p *review.Plan) { p.PixelsPerMM = -2 }, "scale"},
		{"scale that is no number", func(p *review.Plan) { p.PixelsPerMM = nan }, "scale"},
		{"negative noise", func(p *review.Plan) { p.Noise = -1 }, "noise"},
		{"negative take", func(p *review.Plan) { p.Seconds = -1 }, "length of the take"},
		{"negative rate", func(p *review.Plan) { p.NotesPerSecond = -1 }, "rate of strokes"},
		{"endless rate", func(p *review.Plan) { p.NotesPerSecond = tempo.NotesPerSecond(inf) }, "rate of strokes"},
		{"negative stroke", func(p *review.Plan) { p.StrokeLengthMM = -1 }, "length of strokes"},
		{"negative distance", func(p *review.Plan) { p.MarkDistanceMM = -1 }, "distance between the marks"},
		{"raise", func(p *review.Plan) { p.RaiseDeg = &nan }, "raise"},
	} {
		p := phone()
		c.change(&p)
		fs, err := p.Allows()
		if err == nil || fs != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}
