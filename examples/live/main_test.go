package main

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/live"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// called is what a call of the program came to.
type called struct {
	out, complaints string
	err             error
}

func call(in io.Reader, args ...string) called {
	var out, complaints bytes.Buffer
	err := runWith(args, in, &out, &complaints, nil)
	return called{out.String(), complaints.String(), err}
}

// bundled is a bundled take, with its settings.
func bundled(t *testing.T, name string) (export, settings string) {
	t.Helper()
	e, s, err := testdata.Take(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(e), string(s)
}

// offline is the review of the same take as a file.
func offline(t *testing.T, export, settings string) *review.Review {
	t.Helper()
	s, err := review.ParseSetup(strings.NewReader(settings))
	if err != nil {
		t.Fatal(err)
	}
	layout, err := tracks.Inspect(strings.NewReader(export))
	if err != nil {
		t.Fatal(err)
	}
	s, _ = s.Guess(layout.Points, false)
	o, _ := s.Tracks(true)
	rec, err := tracks.Read(strings.NewReader(export), o)
	if err != nil {
		t.Fatal(err)
	}
	r, err := review.Run(rec, s, review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func strokesCSV(t *testing.T, r *review.Review) string {
	t.Helper()
	var b bytes.Buffer
	if err := r.WriteStrokes(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestDemoIsTheOfflineReview: the strokes of the folder are those of the take as a
// file, and those told for good while it is played are close to them.
func TestDemoIsTheOfflineReview(t *testing.T) {
	t.Chdir(t.TempDir())
	got := call(nil)
	if got.err != nil {
		t.Fatal(got.err)
	}
	clitest.WantAll(t, "the program", got.out, onepage.Invented, "settled since", "searching since", "BPM in sixteenths", "path angle", "hidden turns", "played", "Written: demo-live-review with page.html")
	clitest.WantResults(t, "the program", got.out)
	export, settings := bundled(t, "beginner-1")
	want := offline(t, export, settings)
	if diff := clitest.Differs(strokesCSV(t, want), clitest.Read(t, "demo-live-review/strokes.csv")); diff != "" {
		t.Error(diff)
	}
	for _, name := range []string{onepage.PageFile, liveFile} {
		page := clitest.Visible(clitest.Read(t, filepath.Join("demo-live-review", name)))
		clitest.WantAll(t, name, page, "Stop at pain, numbness or tingling", "see a clinician")
		clitest.WantResults(t, name, clitest.Visible(code.ReplaceAllString(clitest.Read(t, filepath.Join("demo-live-review", name)), "")))
	}
}

// code is that of a page, where NaN is no result.
var code = regexp.MustCompile(`(?s)<pre.*?</pre>`)

// TestFinalStrokes: nearly all final strokes of the bundled takes are those of the
// offline review, their turns within two milliseconds (see package live for how far
// they differ).
func TestFinalStrokes(t *testing.T) {
	for _, name := range testdata.Names {
		t.Run(name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			export, settings := bundled(t, name)
			clitest.Save(t, "a.csv", export)
			clitest.Save(t, "a.take.json", settings)
			got := call(nil, "-replay", "a.csv", "-speed", "0", "-json")
			if got.err != nil {
				t.Fatal(got.err)
			}
			want := offline(t, export, settings).Motion.Strokes
			found, finals := 0, 0
			for _, l := range events(t, got.out) {
				if l.Event != live.Final.String() {
					continue
				}
				finals++
				for _, w := range want {
					if w.Direction.String() == l.Stroke.Direction && math.Abs(w.Start-float64(l.Stroke.Start)) < 0.002 && math.Abs(w.End-float64(l.Stroke.End)) < 0.002 {
						found++
						break
					}
				}
			}
			t.Logf("%d strokes offline, %d final, %d of them alike", len(want), finals, found)
			if math.Abs(float64(finals-len(want))) > 2 || float64(found) < 0.9*float64(len(want)) {
				t.Errorf("%d strokes offline, %d final, %d of them alike", len(want), finals, found)
			}
		})
	}
}

// events are the lines that -json prints.
func events(t *testing.T, out string) []eventLine {
	t.Helper()
	var all []eventLine
	for text := range strings.Lines(out) {
		var l eventLine
		d := json.NewDecoder(strings.NewReader(text))
		d.DisallowUnknownFields()
		if err := d.Decode(&l); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		all = append(all, l)
	}
	return all
}

// TestEventLines: every event is an object on a line of its own, the first says what
// comes, the last is the review; no folder is written.
func TestEventLines(t *testing.T) {
	t.Chdir(t.TempDir())
	got := call(nil, "-json")
	if got.err != nil {
		t.Fatal(got.err)
	}
	all := events(t, got.out)
	seen := map[string]int{}
	for _, l := range all {
		seen[l.Event]++
	}
	for _, kind := range []live.Kind{live.Turn, live.Provisional, live.Final, live.Rate, live.PathAngle, live.Settled, live.Searching, live.HiddenTurn, live.Gap} {
		if seen[kind.String()] == 0 {
			t.Errorf("no event tells of %v", kind)
		}
	}
	if b := all[0]; b.Event != "begin" || b.Schema != "plectrace/events/1" || b.Unit != "mm" {
		t.Errorf("it begins with %+v", b)
	}
	var r struct{ Schema string }
	if last := all[len(all)-1]; json.Unmarshal(last.Review, &r) != nil || r.Schema != review.Schema {
		t.Errorf("it ends with %.100s", last.Review)
	}
	if tree := clitest.Tree(t, "."); len(tree) > 0 {
		t.Errorf("files are written: %v", tree)
	}
}

// objects is an export as JSON lines.
func objects(t *testing.T, export string) string {
	t.Helper()
	var b strings.Builder
	var head []string
	for text := range strings.Lines(export) {
		cells := strings.Split(strings.TrimSpace(text), ",")
		if head == nil {
			head = cells
			continue
		}
		o := map[string]any{}
		for i, c := range cells {
			if o[head[i]] = json.RawMessage(c); c == "" || strings.EqualFold(c, "nan") {
				o[head[i]] = nil
			}
		}
		line, err := json.Marshal(o)
		if err != nil {
			t.Fatal(err)
		}
		b.Write(line)
		b.WriteByte('\n')
	}
	return b.String()
}

// TestJSONLines: samples as objects are those of a table.
func TestJSONLines(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "beginner-1")
	clitest.Save(t, "s.take.json", settings)
	got := call(strings.NewReader(objects(t, export)), "-settings", "s.take.json", "-")
	if got.err != nil || got.complaints != "" {
		t.Fatal(got.err, got.complaints)
	}
	want := strokesCSV(t, offline(t, export, settings))
	if diff := clitest.Differs(want, clitest.Read(t, "live-review/strokes.csv")); diff != "" {
		t.Error(diff)
	}
}

const hostile = `</script><img src=x onerror=alert(1)>`

// TestHostileNames: names of points come out escaped, on pages and as JSON.
func TestHostileNames(t *testing.T) {
	t.Chdir(t.TempDir())
	export, _ := bundled(t, "beginner-1")
	export = strings.NewReplacer("tip_", hostile+"\x1b[2J tip_").Replace(part(export, 0, 1500))
	got := call(strings.NewReader(export), "-out", "o", "-notebook", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	if strings.Contains(got.out+got.complaints, "\x1b") {
		t.Error("a terminal would obey what is printed")
	}
	for _, name := range []string{onepage.PageFile, liveFile, onepage.DetailsFile} {
		if strings.Contains(clitest.Read(t, "o/"+name), "<img src=x") {
			t.Errorf("%s holds the name as it is", name)
		}
	}
	if !json.Valid([]byte(clitest.Read(t, "o/"+onepage.NotebookFile))) {
		t.Error("the notebook is no JSON")
	}
	events(t, call(strings.NewReader(export), "-json", "-out", "p", "-").out)
	clitest.WantAll(t, "live.html beside -json", clitest.Read(t, "p/"+liveFile), "What the player was told")
}
