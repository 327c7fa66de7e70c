package review_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

func mustRun(t testing.TB, o simulate.Options) (*simulate.Take, *review.Review) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	r, err := review.Run(&take.Recording, setup(take), review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return take, r
}

// TestTempo holds the rate to common practice: sixteenths at 165 BPM are 11
// notes a second, at 200 BPM 13.33.
func TestTempo(t *testing.T) {
	for _, c := range []struct{ bpm, nps float64 }{{165, 11}, {200, 13.3333}} {
		_, r := mustRun(t, simulate.Options{Seed: 5, Duration: 15, Rate: c.bpm / 60 * 4, Pulse: true, Noise: 0.8, PathAngle: 20 * circular.Degree})
		for _, name := range []string{"notes_per_second", "settled_notes_per_second", "spectral_notes_per_second"} {
			v := r.Value(name)
			if math.Abs(v.Value/c.nps-1) > 0.003 || !(v.Low <= c.nps && c.nps <= v.High) {
				t.Errorf("%g BPM: %s is %.3f (%.3f to %.3f), want %.3f", c.bpm, name, v.Value, v.Low, v.High, c.nps)
			}
		}
	}
}

// TestSlowFilm: 30 frames/s at 13 strokes/s are 2.3 samples per stroke. The
// rate is right from the spectrum; strokes are absent and say why.
func TestSlowFilm(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 2, Rate: 13, FrameRate: 30, Pulse: true, PathAngle: 20 * circular.Degree})
	if v := r.Value("spectral_notes_per_second"); math.Abs(v.Value/13-1) > 0.003 {
		t.Errorf("spectral rate %.3f, want 13", v.Value)
	}
	v := r.Value("notes_per_second")
	if v.Known() || v.Absent == nil || !strings.Contains(v.Absent.Why, "samples per stroke") {
		t.Errorf("rate %+v, want absent for too few samples per stroke", v)
	}
	if len(r.Motion.Strokes) != 0 || len(r.Spans) != 0 {
		t.Errorf("%d strokes and %d spans from 2.3 samples per stroke", len(r.Motion.Strokes), len(r.Spans))
	}
}

// TestCoarsePicture: at 2.5 px/mm and 1 px of noise the path angle of the span
// is within 2 degrees, and its interval holds the truth.
func TestCoarsePicture(t *testing.T) {
	for seed := range uint64(10) {
		take, r := mustRun(t, simulate.Options{Seed: seed, Scale: 2.5, Noise: 1, Rate: 8, PathAngle: 24 * circular.Degree, TrackMarks: true})
		v, want := r.Value("path_angle_deg"), take.Truth.PathAngle.Degrees()
		if math.Abs(v.Value-want) > 2 || want < v.Low || want > v.High {
			t.Errorf("seed %d: path angle %.2f (%.2f to %.2f), want %.2f", seed, v.Value, v.Low, v.High, want)
		}
	}
}

// TestSigns: the same playing filmed in every orientation gives the same path
// angle and clearing; a wrong sign would turn the main finding round.
func TestSigns(t *testing.T) {
	for i := range 16 {
		o := simulate.Options{Seed: 3, Duration: 6, Rate: 8, PathAngle: 25 * circular.Degree, Clearing: "after downstrokes"}
		o.Orientation = trajectory.Orientation{YUp: i&1 != 0, LeftHanded: i&2 != 0, Mirrored: i&4 != 0, FromNeck: i&8 != 0}
		take, r := mustRun(t, o)
		if v := r.Value("path_angle_deg").Value; math.Abs(v-take.Truth.PathAngle.Degrees()) > 0.5 {
			t.Errorf("%+v: path angle %.2f, want %.2f", o.Orientation, v, take.Truth.PathAngle.Degrees())
		}
		if got := r.Clearing.Clearing.String(); got != "after downstrokes" {
			t.Errorf("%+v: clearing %q", o.Orientation, got)
		}
	}
}

// TestWrongSideNoted: with the outward side the wrong way round, a take that
// plays well above the strings seems to play inside the instrument.
func TestWrongSideNoted(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 6, Rate: 8, PathAngle: 25 * circular.Degree, Depth: -9})
	if err != nil {
		t.Fatal(err)
	}
	s := setup(take)
	s.Mirrored = !s.Mirrored
	r, err := review.Run(&take.Recording, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Notes) == 0 || !strings.Contains(r.Notes[0], "points the other way") {
		t.Errorf("notes %q", r.Notes)
	}
}

// TestMarkerHasNoHeights: heights need the tip itself.
func TestMarkerHasNoHeights(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 3, Duration: 6, Rate: 8, PathAngle: 25 * circular.Degree, MarkerUp: 10})
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []review.TipKind{review.TipUnknown, review.TipMarker} {
		s := setup(take)
		s.TipIs = kind
		r, err := review.Run(&take.Recording, s, review.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if v := r.Value("height_after_down"); v.Known() || r.Clearing.Clearing.String() != "" {
			t.Errorf("%q: height %v, clearing %q", kind, v.Value, r.Clearing.Clearing)
		}
		if v := r.Value("rise"); !v.Known() {
			t.Errorf("%q: no rise, which needs no zero", kind)
		}
		for _, st := range r.Motion.Strokes {
			if !math.IsNaN(st.HeightEnd) {
				t.Fatalf("%q: a stroke has a height", kind)
			}
		}
	}
}

func TestFrontView(t *testing.T) {
	take, r := mustRun(t, simulate.Options{Seed: 4, View: trajectory.Front, Rate: 9, Skew: -17 * circular.Degree, PathAngle: 20 * circular.Degree})
	if v := r.Value("skew_deg"); math.Abs(v.Value+17) > 1 {
		t.Errorf("skew %.2f, want -17", v.Value)
	}
	if v := r.Value("path_angle_deg"); v.Known() {
		t.Errorf("a front view gives a path angle of %.1f", v.Value)
	}
	if r.Settling.Absent != nil || math.Abs(r.Value("settled_share").Value-take.Truth.SettledShare) > 0.05 {
		t.Errorf("settled share %v, want %v", r.Value("settled_share").Value, take.Truth.SettledShare)
	}
}

func TestFiles(t *testing.T) {
	_, r := mustRun(t, simulate.Options{Seed: 6, Duration: 12, Rate: 8, PathAngle: 20 * circular.Degree, DropOuts: 0.02, HideDown: 0.2,
		Plan: []simulate.Stretch{{Start: 0, Search: simulate.Fresh}, {Start: 5}}})
	var b bytes.Buffer
	if err := r.WriteStrokes(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Split("stroke,direction,start_s,end_s,duration_s,length,path_angle_deg,path_angle_low_deg,path_angle_high_deg,skew_deg,curvature,height_start,height_end,peak_speed,reached,follow_through,turn_hidden,settled,string_played,crossing_s,depth,crossing_speed,slowing,struck,onset_s,level_db,edge_angle_deg,lean_deg,carry,leading_joint,rate_nps", ",")
	if d := cmp.Diff(want, rows[0]); d != "" {
		t.Errorf("strokes.csv header (-want +got)\n%s", d)
	}
	for i, row := range rows[1:] {
		// 8 strokes a second, searching or settled; the curve smooths over seconds.
		if v, err := strconv.ParseFloat(row[len(row)-1], 64); err != nil || v < 6 || v > 10 {
			t.Errorf("stroke %d: rate_nps %q (%v)", i+1, row[len(row)-1], err)
		}
	}
	if len(rows) != len(r.Motion.Strokes)+1 {
		t.Errorf("%d rows for %d strokes", len(rows)-1, len(r.Motion.Strokes))
	}
	hidden := 0
	for _, row := range rows[1:] {
		if row[16] == "true" {
			hidden++
			if row[5] != "" || row[6] != "" || row[11] != "" && row[12] != "" {
				t.Errorf("a stroke with a hidden turn has a length, an angle or both heights: %v", row)
			}
		}
		for _, f := range row {
			if strings.Contains(strings.ToLower(f), "nan") || strings.Contains(f, "Inf") {
				t.Errorf("field %q: absent must be empty", f)
			}
		}
	}
	if hidden == 0 {
		t.Error("no stroke has a hidden turn")
	}

	b.Reset()
	if err := r.WriteSpans(&b); err != nil {
		t.Fatal(err)
	}
	if rows, err = csv.NewReader(&b).ReadAll(); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != "kind,start_s,end_s,strokes,rate_nps,path_angle_deg,path_angle_low_deg,path_angle_high_deg,picture_angle_deg,carry,unevenness,reference" {
		t.Errorf("spans.csv header %s", got)
	}
	for _, row := range rows[1:] {
		if row[0] != "settled" && row[0] != "searching" {
			t.Errorf("span of kind %q", row[0])
		}
	}

	b.Reset()
	if err := r.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	type number struct{ Value, Low, High *float64 }
	var got struct {
		Schema, Unit string
		Rate         map[string]number
		PathAngle    number `json:"path_angle_deg"`
		Clearing     *string
		SettledShare number `json:"settled_share"`
		Missing      []struct{ What, Why string }
		Measures     []struct {
			Name  string
			Value *float64
			Why   string
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "plectrace/review/1" || got.Unit != "mm" || got.Clearing == nil || got.PathAngle.Value == nil || got.SettledShare.Value == nil {
		t.Errorf("review.json: %+v", got)
	}
	for _, name := range []string{"notes_per_second", "settled_notes_per_second", "spectral_notes_per_second"} {
		if v := got.Rate[name]; v.Value == nil || v.Low == nil || v.High == nil {
			t.Errorf("review.json: rate %s is %+v", name, v)
		}
	}
	for _, m := range got.Measures {
		if m.Value == nil && m.Why == "" {
			t.Errorf("review.json: %s is null without a reason", m.Name)
		}
	}
	for _, m := range got.Missing {
		if m.What == "" || m.Why == "" {
			t.Errorf("review.json: missing %+v", m)
		}
	}
}

func TestMeasuresAreNamedOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range review.Measures() {
		if m.Name == "" || m.Title == "" || seen[m.Name] {
			t.Errorf("measure %+v", m)
		}
		seen[m.Name] = true
	}
}

func TestRunBadInput(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Duration: 3})
	if err != nil {
		t.Fatal(err)
	}
	good := setup(take)
	for _, c := range []struct {
		name string
		set  func(*review.Setup)
		want string
	}{
		{"no tip", func(s *review.Setup) { s.Tip = "" }, "which point is the tip"},
		{"unknown tip", func(s *review.Setup) { s.Tip = "nose" }, "the export holds tip"},
		{"no marks", func(s *review.Setup) { s.Marks = review.SetupMarks{} }, "marks on the string plane"},
		{"unknown mark", func(s *review.Setup) { s.Marks.Bass = trajectory.Mark{Point: "nose"} }, "nose"},
		{"coincident marks", func(s *review.Setup) { s.Marks.Bass = s.Marks.Treble }, ""},
		{"negative distance", func(s *review.Setup) { s.Marks.DistanceMM = -4 }, "-4 mm"},
		{"negative rate", func(s *review.Setup) { s.Rate = -1 }, "capture rate"},
		{"infinite slowing", func(s *review.Setup) { s.SlowedBy = math.Inf(1) }, "slowed_by"},
	} {
		s := good
		c.set(&s)
		_, err := review.Run(&take.Recording, s, review.Options{})
		var de *trajectory.DataError
		if !errors.As(err, &de) || de.Hint == "" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", c.name, err)
		}
	}
}

func TestCheck(t *testing.T) {
	take, err := simulate.Make(simulate.Options{Seed: 1, Duration: 6, FrameRate: 60, Rate: 9, PathAngle: 20 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	fs, err := review.Check(&take.Recording, setup(take), review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	can := map[string]bool{}
	for _, f := range fs {
		can[f.What] = f.Can
		if f.Why == "" {
			t.Errorf("%s: no reason", f.What)
		}
	}
	for what, want := range map[string]bool{"strokes, rate and timing": true, "path angle": false, "heights and clearing": false, "lengths in millimetres": true} {
		if got, ok := can[what]; !ok || got != want {
			t.Errorf("%s: %v (said %v), want %v", what, got, ok, want)
		}
	}
}
