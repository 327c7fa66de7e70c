package review_test

import (
	"bytes"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
)

func TestSetupRoundTrip(t *testing.T) {
	s := review.Setup{
		Schema: review.SetupSchema, Tip: "pick_tip", TipIs: review.TipOfPick, Rate: 240, SlowedBy: 8, View: trajectory.EndOn,
		Orientation: trajectory.Orientation{YUp: true, Mirrored: true}, Outward: trajectory.Up,
	}
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{Point: "bass"}, trajectory.Mark{At: []float64{690, 655}}
	s.Marks.DistanceMM = 42
	b, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	got, err := review.ParseSetup(bytes.NewReader(b))
	if err != nil {
		t.Fatalf("%v in\n%s", err, b)
	}
	if d := cmp.Diff(s, got); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func TestStarterIsReadable(t *testing.T) {
	b, err := review.Setup{Tip: "tip", View: trajectory.EndOn}.Starter()
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"tip", "tip_is", "rate", "slowed_by", "view", "y_up", "left_handed", "mirrored", "from_neck", "bass", "treble", "distance_mm"} {
		if !strings.Contains(string(b), `"`+key+`"`) {
			t.Errorf("the starter leaves out %s", key)
		}
	}
	if _, err := review.ParseSetup(bytes.NewReader(b)); err != nil {
		t.Errorf("the starter does not read: %v", err)
	}
}

// What is known goes into the starter: nothing said is to be said again.
func TestStarterKeepsAll(t *testing.T) {
	s := review.Setup{
		Schema: review.SetupSchema, SetupName: "by the window", Tip: "thumb", TipIs: review.TipMarker, Rate: 30, Time: "clock", TimeUnit: "ms", SlowedBy: 8, Unit: "cm", MinConfidence: 0.4,
		View:        trajectory.Spatial,
		Orientation: trajectory.Orientation{YUp: true, LeftHanded: true, Mirrored: true, FromNeck: true},
		Outward:     trajectory.Left, MarksElsewhere: true,
	}
	s.Marks.Bass, s.Marks.Treble = trajectory.Mark{Point: "bass"}, trajectory.Mark{At: []float64{690, 655, 3}}
	s.Marks.Nut, s.Marks.DistanceMM = []trajectory.Mark{{Point: "nut_low"}, {Point: "nut_high"}}, 42
	at, deg, note := 1.5, 12.0, tempo.Eighth
	s.Capture = review.Capture{
		Card:      review.SetupCard{Corners: []trajectory.Mark{{Point: "a"}, {Point: "b"}, {At: []float64{3, 4}}, {Point: "d"}}, ShortEdge: true},
		PicturePX: [2]float64{1920, 1080}, FocalPX: 1500, RaiseDeg: &deg, RaiseErrorDeg: 2, SkewDeg: &deg, SkewErrorDeg: 1,
		TouchS: &at, TouchString: 2, StringCount: 4, PairGapMM: 2.5, StringSpacingMM: 9, StringPlayed: 2, CrownRadiusMM: 305, OnsetLagS: &at,
		ExposureS: 0.001, TempoBPM: 90, TempoNote: &note, ClickS: &at,
		Landmarks: map[drive.Landmark]string{drive.Wrist: "w"}, LandmarkErrorMM: 3, PickPoints: []string{"p", "q"},
	}
	for _, v := range []reflect.Value{reflect.ValueOf(s), reflect.ValueOf(s.Capture)} {
		for i := range v.NumField() {
			if v.Field(i).IsZero() {
				t.Errorf("%s is not set: the test does not see whether it is kept", v.Type().Field(i).Name)
			}
		}
	}
	b, err := s.Starter()
	if err != nil {
		t.Fatal(err)
	}
	got, err := review.ParseSetup(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(s, got); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func TestParseSetupErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "ends too early"},
		{"prose", "the tip is the tip", "line 1"},
		{"unknown key", "{\n\"tip\": \"tip\",\n\"colour\": 3}", "colour"},
		{"wrong kind", "{\n\"rate\": \"fast\"}", "rate"},
		{"wrong view", `{"view": "sideways"}`, "sideways"},
		{"wrong tip_is", `{"tip_is": "thumb"}`, "tip_is"},
		{"bad mark", `{"marks": {"bass": [1]}}`, "mark"},
		{"trailing", `{"tip": "tip"} {}`, "more text"},
		{"schema", `{"schema": "plectrace/take/9"}`, "plectrace/take/9"},
		{"cut off", `{"tip": "tip", "marks": {`, "ends too early"},
	} {
		_, err := review.ParseSetup(strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want one line with %q", c.name, err, c.want)
		}
	}
}

func TestGuess(t *testing.T) {
	for _, c := range []struct {
		name    string
		points  []string
		spatial bool
		tip     string
		kind    review.TipKind
		bass    string
		view    trajectory.View
	}{
		{"plain", []string{"tip", "wrist", "bass", "treble"}, false, "tip", review.TipOfPick, "bass", trajectory.EndOn},
		{"joined names", []string{"PickTip", "BassMark", "TrebleMark"}, true, "PickTip", review.TipOfPick, "BassMark", trajectory.Spatial},
		{"thumb tip is no pick", []string{"thumb_tip", "bass", "treble"}, false, "thumb_tip", review.TipUnknown, "bass", trajectory.EndOn},
		{"two tips", []string{"tip1_tip", "tip2_tip"}, false, "", review.TipUnknown, "", trajectory.EndOn},
		{"codes", []string{"R-A1", "R-B1"}, true, "", review.TipUnknown, "", trajectory.Spatial},
	} {
		s, notes := review.Setup{}.Guess(c.points, c.spatial)
		if s.Tip != c.tip || s.TipIs != c.kind || s.Marks.Bass.Point != c.bass || s.View != c.view {
			t.Errorf("%s: %+v", c.name, s)
		}
		if len(notes) == 0 {
			t.Errorf("%s: nothing is said about the guesses", c.name)
		}
	}
	// Two marks toward the nut are both used; three are not safe.
	for _, c := range []struct{ points, want []string }{
		{[]string{"tip", "nutB", "nutA", "neck"}, []string{"nutA", "nutB"}},
		{[]string{"tip", "neck"}, []string{"neck"}},
		{[]string{"tip", "nut_a", "nut_b", "nut_c"}, nil},
	} {
		s, notes := review.Setup{}.Guess(c.points, true)
		var got []string
		for _, m := range s.Marks.Nut {
			got = append(got, m.Point)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%v: marks toward the nut %v, want %v", c.points, got, c.want)
		}
		for _, p := range got {
			if !slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, "nut") && strings.Contains(n, strconv.Quote(p)) }) {
				t.Errorf("%v: the notes leave out %s", c.points, p)
			}
		}
	}
	// What was said is not guessed over.
	s, _ := review.Setup{Tip: "wrist", View: trajectory.Front}.Guess([]string{"tip", "wrist"}, false)
	if s.Tip != "wrist" || s.View != trajectory.Front {
		t.Errorf("guessed over what was said: %+v", s)
	}
}

func TestTimeBase(t *testing.T) {
	for _, c := range []struct {
		name               string
		rate, slowed       float64
		timed              bool
		wantRate, wantSlow float64
		note               bool
	}{
		{"capture rate alone", 240, 0, false, 240, 0, false},
		{"film of 30 slowed by 8", 30, 8, false, 30, 8, true},
		{"capture rate given with the slowing", 240, 8, false, 240, 1, true},
		{"time column of a slowed film", 240, 8, true, 240, 8, true},
		{"time column alone", 0, 0, true, 0, 0, false},
	} {
		s := review.Setup{Tip: "tip", Rate: c.rate, SlowedBy: c.slowed}
		o, note := s.Tracks(c.timed)
		if o.Rate != c.wantRate || o.SlowedBy != c.wantSlow || (note != "") != c.note {
			t.Errorf("%s: rate %g slowed by %g, note %q", c.name, o.Rate, o.SlowedBy, note)
		}
	}
}
