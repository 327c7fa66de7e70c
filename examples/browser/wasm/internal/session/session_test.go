package session

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/cues"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// bundled are the files of a demo take.
func bundled(t *testing.T, name string) (export, settings File) {
	t.Helper()
	e, s, err := testdata.Take(name)
	if err != nil {
		t.Fatal(err)
	}
	return File{name + ".csv", e}, File{name + ".take.json", s}
}

// form is the settings as the page has them.
func form(t *testing.T, s review.Setup) []byte {
	t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestOpen: what files are shows in their content, whatever their order and number.
func TestOpen(t *testing.T) {
	export, settings := bundled(t, "beginner-1")
	onsets := File{"notes.csv", []byte("time_s\n0.5\n0.7\n0.9\n")}
	together, apart := new(Session), new(Session)
	want, err := together.Open([]File{onsets, settings, export}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want.Name != "beginner-1.csv" || want.SettingsName != "beginner-1.take.json" || !want.Timed || want.Spatial || want.Setup.Marks.DistanceMM != 36 {
		t.Errorf("%+v", want)
	}
	if d := cmp.Diff([]Used{{"beginner-1.take.json", "settings, which are in the form", false}, {"notes.csv", "3 onsets", true}}, want.Used); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	if first, err := apart.Open([]File{settings}, nil); err != nil || first.Name != "" || first.Setup.StringCount != 4 {
		t.Errorf("settings alone: %+v, %v", first, err)
	}
	last, err := apart.Open([]File{export}, settings.Data)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want.Setup, last.Setup); d != "" {
		t.Errorf("one by one (-together +apart)\n%s", d)
	}
	// Another take takes the first one's place, with what the form said, and without
	// its onsets.
	other, _ := bundled(t, "beginner-2")
	next, err := together.Open([]File{other}, form(t, want.Setup))
	if err != nil || next.Name != "beginner-2.csv" || len(next.Used) != 1 || next.Setup.Marks.DistanceMM != 36 {
		t.Errorf("%+v, %v", next, err)
	}
	clitest.WantAll(t, "the notes", strings.Join(next.Notes, " "), "as it was for beginner-1.csv: check whether it holds")
	// One with three axes has another view than the form said.
	solid := File{"solid.csv", []byte("time_s,tip_x,tip_y,tip_z\n0,1,2,3\n0.1,2,2,3\n")}
	if next, err := together.Open([]File{solid}, form(t, next.Setup)); err != nil || !next.Spatial || next.Setup.View != trajectory.Spatial {
		t.Errorf("%+v, %v", next, err)
	}
	// Onsets that come with it are its own, before it or behind it.
	for _, files := range [][]File{{onsets, export}, {export, onsets}} {
		if next, err = together.Open(files, nil); err != nil || len(next.Used) != 2 || next.Used[1].Holds != "3 onsets" {
			t.Errorf("%s first: %v, %v", files[0].Name, next.Used, err)
		}
	}
}

// TestGuesses: an export alone fills the form as far as its names are safe.
func TestGuesses(t *testing.T) {
	export, _ := bundled(t, "beginner-1")
	got, err := new(Session).Open([]File{export}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got.Setup.Tip != "tip" || got.Setup.Marks.Bass.Point != "bass" || got.Setup.Marks.Treble.Point != "treble" || len(got.Notes) < 4 {
		t.Errorf("%+v", got)
	}
	if len(got.Places) != 4 || got.Places[0].Name != "tip" || math.Abs(got.Places[2].Y-325) > 15 {
		t.Errorf("places %+v", got.Places)
	}
}

// TestBad: every failure is a sentence with a next step, and changes nothing.
func TestBad(t *testing.T) {
	export, settings := bundled(t, "beginner-1")
	s := new(Session)
	if _, err := s.Open([]File{export, settings}, nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		files []File
		says  []string
	}{
		{"none", nil, []string{"no file", "choose the export"}},
		{"prose", []File{{"letter.txt", []byte("Dear tutor,\nhere it is.\n")}}, []string{"letter.txt", "one row per sample"}},
		{"a film", []File{{"film.mp4", append([]byte("\x00\x00\x00 ftypisom"), make([]byte, 900)...)}}, []string{"film.mp4", "a tracker first"}},
		{"empty", []File{{"a.csv", nil}}, []string{"a.csv", "check the export"}},
		{"header alone", []File{{"a.csv", []byte("time_s,tip_x,tip_y\n")}}, []string{"a.csv, line 1", "check the export"}},
		{"no point", []File{{"a.csv", []byte("time_s,speed,force\n0,1,5\n1,2,5\n")}}, []string{"a.csv", "tip_x and tip_y"}},
		{"cut off", []File{{"a.csv", export.Data[:60000]}}, []string{"a.csv, line", "the last row is cut off"}},
		{"two takes", []File{export, {"b.csv", export.Data}}, []string{"several exports", "b.csv", "one take at a time"}},
		{"two lists of onsets", []File{{"a.csv", []byte("time_s\n0.5\n")}, {"b.csv", []byte("time_s\n0.5\n")}}, []string{"several lists of onsets", "the one of this take"}},
		{"two settings", []File{settings, {"b.take.json", settings.Data}}, []string{"several settings files", "folder.take.json"}},
		{"a reference cut off", []File{{"a.reference.json", []byte(`{"schema": "plectrace/reference/1"}`)}}, []string{"a.reference.json", "a reference motion"}},
		{"a review", []File{{"review.json", []byte(`{"schema": "plectrace/review/1", "source": "a.csv"}`)}}, []string{"review.json holds \"plectrace/review/1\"", "which this page does not read"}},
		{"a workbook", []File{{"a.xlsx", []byte("PK\x03\x04\x14\x00\x06\x00")}}, []string{"a.xlsx", "a workbook", "comma-separated text"}},
		{"settings cut off", []File{{"a.take.json", settings.Data[:40]}}, []string{"a.take.json", "that this page saves"}},
		{"a good one and a bad one", []File{{"b.csv", export.Data}, {"a.txt", []byte("words")}}, []string{"a.txt"}},
	} {
		_, err := s.Open(c.files, nil)
		if err == nil {
			t.Errorf("%s: no error", c.name)
			continue
		}
		wantSentence(t, c.name, err, c.says...)
	}
	if got, _, err := s.Settings(settings.Data); err != nil || got.Name != "beginner-1.take.json" {
		t.Errorf("the take that was open: %v, %v", got.Name, err)
	}
	for name, bad := range map[string]string{
		`{"tip": "tip", "marks": {"distance_mm": "wide"}}`:             "distance_mm",
		`{"tip": "nose", "marks": {"bass": [1, 2], "treble": [3, 4]}}`: "nose",
		`{"tip": "tip"}`: "give a bass mark and a treble mark",
		`{"tip": "tip", "view": "end-on", "marks": {"bass": [1, 2], "treble": [1, 2]}}`: "give two places",
		`{}`: "name it",
	} {
		_, err := s.Review([]byte(name), Player{})
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		wantSentence(t, name, err, bad)
	}
	if _, err := s.Review(settings.Data, Player{Task: "dance"}); err == nil {
		t.Error("a task that is none")
	}
	if _, err := s.Review(settings.Data, Player{Begins: "soon"}); err == nil {
		t.Error("a beginning that is none")
	} else {
		wantSentence(t, "a beginning that is none", err, `"soon"`, "give seconds")
	}
	if _, _, err := s.Files(); err == nil {
		t.Error("files of no review")
	}
	if _, err := new(Session).Review(settings.Data, Player{}); err == nil {
		t.Error("a review of nothing")
	}
	if _, _, err := new(Session).Settings(settings.Data); err == nil {
		t.Error("settings of nothing")
	}
}

func wantSentence(t *testing.T, name string, err error, says ...string) {
	t.Helper()
	text := Words(err)
	clitest.WantAll(t, name, text, says...)
	clitest.WantPlain(t, name, text)
	if strings.ContainsAny(text, "\n\r\x00\x1b") || !strings.HasSuffix(text, ".") || strings.Contains(text, "-rate") {
		t.Errorf("%s: no sentence: %q", name, text)
	}
}

// TestTimes: where the times are not clear, the field that helps is named; and the
// take is open for the form to be filled in.
func TestTimes(t *testing.T) {
	var rows, millis strings.Builder
	rows.WriteString("tip_x,tip_y\n")
	millis.WriteString("time,tip_x,tip_y\n")
	for i := range 480 {
		x := 500 + 60*math.Sin(2*math.Pi*float64(i)/60)
		fmt.Fprintf(&rows, "%.2f,%.2f\n", x, 400+x/3)
		fmt.Fprintf(&millis, "%d,%.2f,%.2f\n", 4*i, x, 400+x/3)
	}
	for _, c := range []struct {
		text, says string
		timed      bool
		better     func(*review.Setup)
	}{
		{rows.String(), "Frames a second, under Time", false, func(s *review.Setup) { s.Rate = 240 }},
		{millis.String(), "Unit of the times, under Time", true, func(s *review.Setup) { s.TimeUnit = "ms" }},
	} {
		s := new(Session)
		got, err := s.Open([]File{{"a.csv", []byte(c.text)}}, nil)
		if err != nil || got.Timed != c.timed {
			t.Fatalf("%+v, %v", got, err)
		}
		got.Setup.Marks.Bass.At, got.Setup.Marks.Treble.At = []float64{600, 300}, []float64{600, 700}
		_, err = s.Review(form(t, got.Setup), Player{})
		if err == nil {
			t.Fatal("no error")
		}
		wantSentence(t, c.says, err, c.says)
		c.better(&got.Setup)
		if _, err := s.Review(form(t, got.Setup), Player{}); err != nil {
			t.Errorf("%s: %v", c.says, err)
		}
	}
}

// TestSettings: what is saved is what the library reads, with what has no field.
func TestSettings(t *testing.T) {
	export, settings := bundled(t, "tutor")
	s := new(Session)
	got, err := s.Open([]File{export, settings}, nil)
	if err != nil {
		t.Fatal(err)
	}
	got.Setup.Marks.Bass.At = []float64{100, 200.5}
	f, note, err := s.Settings(form(t, got.Setup))
	if err != nil || f.Name != "tutor.take.json" || note != "" {
		t.Fatal(f.Name, note, err)
	}
	read, err := review.ParseSetup(bytes.NewReader(f.Data))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(got.Setup, read); d != "" || len(read.Landmarks) != 1 {
		t.Errorf("(-form +read)\n%s", d)
	}
}

// TestReview: the page and the files are those that the library gives for the same
// export and settings, and the work is told as it goes on.
func TestReview(t *testing.T) {
	export, settings := bundled(t, "beginner-1")
	var told []string
	last := -1.0
	s := &Session{Tell: func(doing string, share float64) {
		if n := len(told); n == 0 || told[n-1] != doing {
			told, last = append(told, doing), -1
		}
		if share >= 0 && share < last || share > 1 {
			t.Errorf("%s goes from %g to %g", doing, last, share)
		}
		last = share
	}}
	got, err := s.Open([]File{export, settings}, nil)
	if err != nil {
		t.Fatal(err)
	}
	page, err := s.Review(form(t, got.Setup), Player{Task: "one string", Comfort: "tired", Begins: "2,5"})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"Reading beginner-1.csv", "Step 1 of 4: Reading", fmt.Sprintf("Step 2 of 4: Measuring %d samples", bytes.Count(export.Data, []byte("\n"))-1), "Step 3 of 4: Drawing the page"}, told); d != "" {
		t.Errorf("(-want +told)\n%s", d)
	}
	text := clitest.Visible(string(page.Data))
	clitest.WantAll(t, "the page", text, "They began with beginner-1.take.json.", "Rest before the next take.", "What holds: Downstrokes turn close to the string", "beginner-1.csv, ")
	clitest.WantResults(t, "the page", text)
	if strings.Contains(string(page.Data), `href="details.html"`) {
		t.Error("the page leads to files that are not beside it")
	}
	files, why, err := s.Files()
	if err != nil || why != "" {
		t.Fatal(why, err)
	}
	if told[len(told)-1] != "Step 4 of 4: Making the files to keep" || !json.Valid(files[5].Data) {
		t.Errorf("told %q, notebook of %d bytes", told, len(files[5].Data))
	}
	rec, err := tracks.Read(bytes.NewReader(export.Data), tracks.Options{Source: export.Name, Points: got.Setup.Points()})
	if err != nil {
		t.Fatal(err)
	}
	r, err := review.Run(rec, got.Setup, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range []struct {
		name  string
		write func(*bytes.Buffer) error
	}{
		{onepage.DetailsFile, nil},
		{onepage.StrokesFile, func(b *bytes.Buffer) error { return r.WriteStrokes(b) }},
		{onepage.SpansFile, func(b *bytes.Buffer) error { return r.WriteSpans(b) }},
		{onepage.ReviewFile, func(b *bytes.Buffer) error { return r.WriteJSON(b) }},
		{onepage.CaptionsFile, func(b *bytes.Buffer) error {
			captions, err := cues.Of(r, cues.Options{Offset: 2.5})
			if err != nil {
				return err
			}
			return captions.WriteVTT(b)
		}},
		{onepage.NotebookFile, nil},
		{"beginner-1.reference.json", func(b *bytes.Buffer) error {
			ref, err := r.KeepReference("the longest settled span of beginner-1.csv", cycle.Margins{})
			if err != nil {
				return err
			}
			data, err := ref.JSON()
			b.Write(data)
			return err
		}},
	} {
		if files[i].Name != f.name {
			t.Fatalf("%s, want %s", files[i].Name, f.name)
		}
		if f.write == nil {
			continue
		}
		var want bytes.Buffer
		if err := f.write(&want); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want.String(), string(files[i].Data)); d != "" {
			t.Errorf("%s (-library +page)\n%s", f.name, d)
		}
	}
	// Without a task the page asks for it, in words of the form.
	page, err = s.Review(form(t, got.Setup), Player{})
	if err != nil {
		t.Fatal(err)
	}
	text = clitest.Visible(string(page.Data))
	clitest.WantAll(t, "the page", text, "Choose it in the form, under The player")
	if strings.Contains(text, "-task") {
		t.Error("the page names a flag")
	}
}

// TestPath: gaps part the runs, and of a long path stretches are drawn.
func TestPath(t *testing.T) {
	short := "time_s,tip_x,tip_y\n0,1,10\n1,2,20\n2,,\n3,4,40\n4,5,50\n"
	s := new(Session)
	if got := s.Path("tip"); len(got.Runs) != 0 {
		t.Errorf("before a take: %v", got)
	}
	if _, err := s.Open([]File{{"a.csv", []byte(short)}}, nil); err != nil {
		t.Fatal(err)
	}
	got := s.Path("tip")
	if d := cmp.Diff([][]float64{{1, 10, 2, 20}, {4, 40, 5, 50}}, got.Runs); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	if got := s.Path("nose"); len(got.Runs) != 0 {
		t.Errorf("of no point: %v", got)
	}
	export, _ := bundled(t, "beginner-1")
	if _, err := s.Open([]File{export}, nil); err != nil {
		t.Fatal(err)
	}
	got = s.Path("tip")
	n := 0
	for _, run := range got.Runs {
		n += len(run) / 2
		for _, x := range run {
			if math.IsNaN(x) {
				t.Fatal("a gap is drawn")
			}
		}
	}
	if n == 0 || n > mostStretches*stretch || got.Box[0] >= got.Box[2] || got.Box[1] >= got.Box[3] {
		t.Errorf("%d samples, box %v", n, got.Box)
	}
}
