package cohort

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/estimate"
)

// files opens files held in memory.
type files map[string]string

func (f files) open(name string) (io.ReadCloser, error) {
	text, ok := f[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

// export makes up a take of some seconds and its settings.
func export(t testing.TB, o simulate.Options) (data, settings string) {
	t.Helper()
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := tracks.Write(&b, &take.Recording, tracks.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	s := review.Setup{Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View}
	s.Marks.Bass.At, s.Marks.Treble.At, s.Marks.DistanceMM = take.Truth.Bass[:2], take.Truth.Treble[:2], take.Truth.MarkDistance
	j, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), string(j)
}

func day(d int) time.Time { return time.Date(2026, 1, d, 0, 0, 0, 0, time.UTC) }

func TestMeasure(t *testing.T) {
	data, settings := export(t, simulate.Options{Duration: 6, Rate: 9})
	f := files{"a.csv": data, "a.take.json": settings, "bare.csv": data,
		"bad.csv": strings.Replace(data, "\n0.", "\nzero.", 1), "bad.take.json": settings,
		"typo.csv": data, "typo.take.json": strings.Replace(settings, `"tip"`, `"tpi"`, 1),
		"other.csv": data, "other.take.json": strings.Replace(settings, `"tip": "tip"`, `"tip": "elbow"`, 1),
		"still.csv": "time_s,tip_x,tip_y\n0,1,1\n0.01,1,1\n0.02,1,1\n0.03,1,1\n", "still.take.json": settings,
	}
	for _, c := range []struct{ file, code, why string }{
		{"a.csv", "", ""},
		{"none.csv", CodeBroken, "there is no such file; check the name"},
		{"bare.csv", CodeBroken, "no settings file bare.take.json"},
		{"bad.csv", CodeBroken, "line "},
		{"typo.csv", CodeBroken, `no key "tpi"`},
		{"other.csv", CodeBroken, "elbow"},
		{"still.csv", CodeRefused, "stays in one place"},
	} {
		rec := Measure(progress.Take{Player: "P01", File: c.file, Setup: "room"}, f.open, Options{})
		switch {
		case c.code == "":
			if rec.Failure != nil {
				t.Fatalf("%s: %s", c.file, rec.Failure.Why)
			}
			if rec.Setup != "room" || rec.View != "end-on" || rec.Unit != "mm" || rec.Strokes < 45 || len(rec.Rows) != len(review.Measures()) || rec.PerStroke < 20 || rec.SampleHz < 230 {
				t.Errorf("%s: %+v", c.file, rec)
			}
			if v := rec.Value("notes_per_second"); math.Abs(v.Value-9) > 0.3 {
				t.Errorf("rate %v, want 9", v)
			}
			if again := Measure(rec.Take, f.open, Options{}); !cmp.Equal(again, rec, cmpopts.EquateNaNs()) {
				t.Error("a second time it comes out differently")
			}
		case rec.Failure == nil || rec.Failure.Code != c.code || !strings.Contains(rec.Failure.Why, c.why) || strings.Contains(rec.Failure.Why, "\n"):
			t.Errorf("%s: %+v, want %s with %q", c.file, rec.Failure, c.code, c.why)
		case rec.Value("length").Absent != rec.Failure:
			t.Errorf("%s: the measures of a take that failed do not say why", c.file)
		}
	}
	s, err := review.ParseSetup(strings.NewReader(settings))
	if err != nil {
		t.Fatal(err)
	}
	if rec := Measure(progress.Take{Player: "P01", File: "bare.csv"}, f.open, Options{Setup: &s}); rec.Failure != nil {
		t.Errorf("with settings for all: %s", rec.Failure.Why)
	}
	shared := files{"p1/a.csv": data, "p1/folder.take.json": settings, "p1/b.csv": data, "p1/b.take.json": `{"setup": "hall"}`, "c.csv": data}
	for file, setup := range map[string]string{"p1/a.csv": "room", "p1/b.csv": "hall"} {
		if rec := Measure(progress.Take{Player: "P01", File: file, Setup: "room"}, shared.open, Options{}); rec.Failure != nil || rec.Setup != setup {
			t.Errorf("%s with settings of its folder: %+v, setup %s, want %s", file, rec.Failure, rec.Setup, setup)
		}
	}
	if rec := Measure(progress.Take{Player: "P01", File: "c.csv"}, shared.open, Options{}); rec.Failure == nil {
		t.Error("the settings of another folder serve")
	}
}

// TestSettingsFails: an error of a settings file names it, once, and the next step.
func TestSettingsFails(t *testing.T) {
	locked := func(name string) (io.ReadCloser, error) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	for _, c := range []struct {
		open func(string) (io.ReadCloser, error)
		want string
	}{
		{files{"a.take.json": "{\n\"tipp\": 1}"}.open, "a.take.json: line 2: there is no key \"tipp\"; correct the settings file"},
		{locked, `cannot read the settings from "folder.take.json": permission denied; check the file`},
	} {
		s, found, err := Settings(c.open, SettingsNames("a.csv")...)
		if err == nil || err.Error() != c.want || found != nil || !cmp.Equal(s, review.Setup{}) {
			t.Errorf("%v, want %q; %v, %+v", err, c.want, found, s)
		}
	}
}

// record is a take with a few measures.
func record(player string, d int, values map[string]float64) *Record {
	r := &Record{
		Take: progress.Take{Player: player, Date: day(d), File: fmt.Sprintf("%s-%d.csv", player, d), Setup: "room"},
		View: "end-on", Unit: "mm", Seconds: 20, Strokes: 200, Lost: 0.01, SampleHz: 240, PerStroke: 24,
		Version: "v1", Options: "0123456789ab", Content: fmt.Sprintf("%s%d", player, d),
	}
	for _, m := range review.Measures() {
		if x, ok := values[m.Name]; ok {
			r.Rows = append(r.Rows, Row{m.Name, m.Unit, estimate.Value[float64]{Value: x, Low: x - 1, High: x + 1, Level: 0.95, N: 99}})
		}
	}
	return r
}

// TestRules: each take counts with the first rule that it breaks.
func TestRules(t *testing.T) {
	ok := func(i int) *Record { return record("P01", i, map[string]float64{"length": 10}) }
	change := func(i int, f func(*Record)) *Record { r := ok(i); f(r); return r }
	takes := []*Record{
		ok(1),
		change(2, func(r *Record) { r.Failure = &estimate.Absence{Code: CodeBroken, Why: "cut off"}; r.Strokes = 0 }),
		change(3, func(r *Record) { r.Failure = &estimate.Absence{Code: CodeRefused, Why: "no marks"} }),
		change(4, func(r *Record) { r.Flags = []string{"pace", "question"}; r.Strokes = 3 }),
		change(5, func(r *Record) { r.Flags = []string{"px", "question"} }),
		change(6, func(r *Record) { r.Strokes = 23; r.Lost = 0.9 }),
		change(7, func(r *Record) { r.Lost = 0.21 }),
		change(8, func(r *Record) { r.PerStroke = math.NaN() }),
		change(9, func(r *Record) { r.SampleHz = 59 }),
		change(10, func(r *Record) { r.Options = "another"; r.Comfort = progress.ComfortPain }),
		change(11, func(r *Record) { r.Comfort = progress.ComfortPain }),
		change(12, func(r *Record) { r.StoppedBy = "pain" }),
		change(13, func(r *Record) { r.Content = "P011" }), // of the first
		ok(1),
		ok(14),
	}
	s, err := NewStudy(Plan{Exclusions: Exclusions{MinSampleHz: 60}}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range takes {
		s.Add(r)
	}
	var got []string
	for _, step := range s.Flow() {
		got = append(got, fmt.Sprintf("%s %d %d", step.Rule, step.Out, step.Left))
	}
	want := []string{" 0 15", "broken file 1 14", "not reviewed 1 13", "pace 1 12", "question 1 11", "strokes 1 10", "samples lost 1 9",
		"samples per stroke 1 8", "samples per second 1 7", "unlike 1 6", "pain 2 4", "duplicate 2 2"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("flow (-want +got):\n%s", diff)
	}
	var log bytes.Buffer
	if err := s.WriteExclusions(&log); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(log.String(), "\n"); n != 14 || !strings.Contains(log.String(), "P01,2026-01-07,,,P01-7.csv,samples lost,0.21,at most 0.2\n") {
		t.Errorf("log:\n%s", log.String())
	}
	if !slices.EqualFunc(s.Exclusions(), takes[1:14], func(e Exclusion, r *Record) bool { return e.Take.File == r.File }) {
		t.Error("the log is not in the order of the takes")
	}

	off := Exclusions{MinStrokes: -1, MaxLost: -1, MinPerStroke: -1, KeepPace: true, KeepQuestions: true, KeepUnlike: true, KeepPain: true, KeepDuplicates: true}
	if s, err = NewStudy(Plan{Exclusions: off}, nil, nil); err != nil {
		t.Fatal(err)
	}
	for _, r := range takes {
		s.Add(r)
	}
	if steps := s.Flow(); steps[len(steps)-1].Left != 13 || len(steps) != 3 {
		t.Errorf("with the rules off: %+v", steps)
	}
	mine := append(Exclusions{}.Rules(), Rule{"first evening", "the first evening is left out", func(r *Record) (bool, string, string) { return r.Date.Equal(day(1)), "", "" }})
	if s, err = NewStudy(Plan{}, nil, mine); err != nil {
		t.Fatal(err)
	}
	if s.Add(ok(1)) || !s.Add(ok(2)) {
		t.Error("a rule of one's own is not asked")
	}
}

func TestPlan(t *testing.T) {
	p, err := ParsePlan(strings.NewReader(`{"title": "Term 1", "primary": {"predictor": "duration_scatter", "outcome": "settled_share"}, "windows": {"late": 3}, "margin": 0.3}`))
	if err != nil {
		t.Fatal(err)
	}
	data, err := p.JSON()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ParsePlan(bytes.NewReader(data))
	if err != nil || again.Digest() != p.Digest() || len(p.Digest()) != 12 {
		t.Errorf("written and read: %v, digest %q and %q", err, again.Digest(), p.Digest())
	}
	if diff := cmp.Diff(p.WithDefaults(), again); diff != "" {
		t.Errorf("written and read:\n%s", diff)
	}
	other := p
	other.Windows.Late = 4
	if other.Digest() == p.Digest() {
		t.Error("another plan has the same digest")
	}
	for text, want := range map[string]string{
		`{"primray": {}}`:                                                         `no key "primray"`,
		`{"schema": "plectrace/take/1"}`:                                          "this program reads",
		`{"primary": {"predictor": "speed", "outcome": "length"}}`:                `no measure "speed"`,
		`{"exploratory": [{"predictor": "path_angle_deg", "outcome": "length"}]}`: "no more and less",
		`{"windows": {"unit": "week"}}`:                                           `unit is "week"`,
		`{"windows": {"early": -1}}`:                                              "each needs 1 or more",
		`{"margin": 1}`:                                                           "margin is 1",
		`{"level": 95}`:                                                           "level is 95",
		`{"primary": {"predictor": "length", "outcome": "length"}}`:               "asked against itself",
		`{"primary": {"predictor": "duration_scatter"}}`:                          `no measure ""`,
	} {
		if _, err := ParsePlan(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	if _, err := NewStudy(Plan{Cluster: "class"}, []string{"room"}, nil); err == nil {
		t.Error("a cluster that the list has not is no error")
	}
}

// TestUnlike: what was filmed too unlike is not pooled.
func TestUnlike(t *testing.T) {
	values := map[string]float64{"path_angle_deg": 12, "length": 10, "settled_share": 0.5}
	for _, c := range []struct {
		name   string
		change func(i int, r *Record)
		absent map[string]string
	}{
		{"one set-up", func(int, *Record) {}, nil},
		{"one set-up in px", func(_ int, r *Record) { r.Unit = "px" }, nil},
		{"two set-ups", func(i int, r *Record) { r.Setup = fmt.Sprint("room ", i%2) }, map[string]string{"path_angle_deg": "setup"}},
		{"no set-up named", func(_ int, r *Record) { r.Setup = "" }, map[string]string{"path_angle_deg": "setup"}},
		{"two views", func(i int, r *Record) { r.Setup = fmt.Sprint(i % 2); r.View = []string{"end-on", "front"}[i%2] }, map[string]string{"path_angle_deg": "setup", "length": "view"}},
		{"view not said", func(i int, r *Record) { r.Setup, r.View = fmt.Sprint(i%2), "unknown" }, map[string]string{"path_angle_deg": "setup", "length": "view"}},
		{"px", func(i int, r *Record) { r.Setup, r.Unit = fmt.Sprint(i%2), "px" }, map[string]string{"path_angle_deg": "setup", "length": "unit"}},
	} {
		s, err := NewStudy(Plan{}, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 8 {
			r := record(fmt.Sprint("P", i), 1, values)
			c.change(i, r)
			s.Add(r)
		}
		for _, g := range s.Groups() {
			if _, ok := values[g.Measure]; !ok {
				continue
			}
			code := ""
			if g.Centre.Absent != nil {
				code = g.Centre.Absent.Code
			}
			if code != c.absent[g.Measure] {
				t.Errorf("%s: %s is absent for %q, want %q", c.name, g.Measure, code, c.absent[g.Measure])
			}
		}
	}
}

// TestGroupsAxis: angles about the vertical are one group, not two.
func TestGroupsAxis(t *testing.T) {
	s, _ := NewStudy(Plan{}, nil, nil)
	for i := range 8 {
		s.Add(record(fmt.Sprint("P", i), 1, map[string]float64{"path_angle_deg": []float64{88, -89, 89, -88, 90, 87, -87, 90}[i]}))
	}
	for _, g := range s.Groups() {
		if g.Measure == "path_angle_deg" && (math.Abs(math.Abs(g.Centre.Value)-90) > 0.6 || g.Centre.High-g.Centre.Low > 7) {
			t.Errorf("centre %+v", g.Centre)
		}
	}
}

// TestGroupsAlike: players whose own takes never differ tell nothing of how much the
// takes of one may.
func TestGroupsAlike(t *testing.T) {
	s, _ := NewStudy(Plan{}, nil, nil)
	for i := range 16 {
		s.Add(record(fmt.Sprint("P", i/2), 1+i%2, map[string]float64{"length": float64(8 + i/2)}))
	}
	for _, g := range s.Groups() {
		if g.Measure == "length" && (g.ICC.Known() || g.ICC.Absent == nil || g.ICC.Absent.Code != "no difference") {
			t.Errorf("%+v", g.ICC)
		}
	}
}

// TestAssociations: the primary question is not adjusted, the others are.
func TestAssociations(t *testing.T) {
	s, err := NewStudy(Plan{Primary: Question{"duration_scatter", "settled_share"}, Margin: 0.5,
		Exploratory: []Question{{"path_angle_scatter_deg", "settled_share"}, {"duration_scatter", "notes_per_second"}}}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	rng := estimate.Stream(3, "associations")
	for p := range 60 {
		uneven, start, angle, rest := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
		for d := 1; d <= 6; d++ {
			week := float64(d) / 6
			s.Add(record(fmt.Sprintf("P%02d", p), d, map[string]float64{
				"duration_scatter":       math.Exp(uneven + 0.2*rng.NormFloat64()),
				"path_angle_scatter_deg": math.Exp(angle + 0.2*rng.NormFloat64()),
				"settled_share":          0.5 + 0.1*start + week*(0.2-0.1*uneven+0.05*rest) + 0.02*rng.NormFloat64(),
				"notes_per_second":       8 * math.Exp(0.1*start+0.02*rng.NormFloat64()),
			}))
		}
	}
	list := s.Associations()
	if len(list) != 3 || !list[0].Primary || list[1].Primary {
		t.Fatalf("%d associations", len(list))
	}
	a := list[0]
	// From the mean of days 3 and 4 to that of 5 and 6 it is 2/6 of -0.1 for
	// each e-fold.
	if want := -0.1 / 3 * math.Ln2; a.Slope.Low > want || a.Slope.High < want || a.P > 0.001 || a.Adjusted != a.P || a.Answer.String() != "outside" {
		t.Errorf("primary %+v, want a slope of %.4f", a, want)
	}
	if b := list[1]; !(b.Adjusted >= b.P) || b.Answer.String() == "outside" {
		t.Errorf("exploratory %+v", b)
	}
	if list[1].Adjusted == list[1].P && list[2].Adjusted == list[2].P {
		t.Error("neither exploratory question is adjusted")
	}
	var out bytes.Buffer
	if err := s.WriteAssociations(&out, list); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(out.String(), s.Plan().Digest()); n != 21 {
		t.Errorf("the plan's digest stands %d times in:\n%s", n, out.String())
	}
	for name, write := range map[string]func(io.Writer) error{"groups": func(w io.Writer) error { return s.WriteGroups(w, s.Groups()) }, "codebook": WriteCodebook} {
		out.Reset()
		if err := write(&out); err != nil {
			t.Fatal(err)
		}
		lines, err := csv.NewReader(&out).ReadAll()
		if err != nil || len(lines) != 1+len(review.Measures()) {
			t.Errorf("%s: %d lines, %v", name, len(lines), err)
		}
	}
}

func BenchmarkMeasure(b *testing.B) {
	data, settings := export(b, simulate.Options{Duration: 30, Rate: 9})
	f := files{"a.csv": data, "a.take.json": settings}
	b.ReportAllocs()
	for b.Loop() {
		if rec := Measure(progress.Take{Player: "P01", File: "a.csv"}, f.open, Options{}); rec.Failure != nil {
			b.Fatal(rec.Failure.Why)
		}
	}
}
