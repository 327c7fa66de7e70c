package main

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/onepage"
	"github.com/plectrace/plectrace/motion/simulate"
)

// TestJSON: the review on standard output is that of the folder, and nothing stands
// beside it.
func TestJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	out := mustRun(t, "-json")
	if files := clitest.Tree(t, "."); len(files) > 0 {
		t.Errorf("-json writes %v", files)
	}
	if both := mustRun(t, "-json", "-out", "folder"); both != out || clitest.Read(t, "folder/review.json") != out {
		t.Error("the review printed is not the one written")
	}
	var c checked
	if err := json.Unmarshal([]byte(mustRun(t, "-check", "-json")), &c); err != nil || c.Schema != "plectrace/check/1" || len(c.Findings) < 5 || len(c.Notes) == 0 {
		t.Errorf("-check -json: %v, %+v", err, c)
	}
	clitest.Save(t, "bad.csv", "time_s,tip_x,tip_y\n")
	for _, args := range []string{"-json bad.csv", "-json none.csv", "-json -check bad.csv", "-json folder", "-json -bass nose", "-json -comfort fine"} {
		var b bytes.Buffer
		if err := run(strings.Fields(args), &b); cli.Code(err) == cli.OK || b.Len() > 0 {
			t.Errorf("%s: %v, and prints %q", args, err, b.String())
		}
	}
}

func TestQuiet(t *testing.T) {
	t.Chdir(t.TempDir())
	if out := mustRun(t, "-quiet"); out != "" {
		t.Errorf("-quiet prints %q", out)
	}
	if _, err := os.Stat("demo-review/page.html"); err != nil {
		t.Error(err)
	}
}

// TestMoreFiles: a notebook and captions where they are asked for, and told of on the
// page.
func TestMoreFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 4, Duration: 8, Rate: 8})
	clitest.Save(t, "lesson.csv", export)
	out := mustRun(t, "-distance-mm", "50", "-notebook", "-captions", "-captions-offset", "100", "lesson.csv")
	clitest.WantAll(t, "the summary", out, "review.json, notebook.ipynb and captions.vtt.")
	page, _ := pages(t, "lesson-review")
	clitest.WantAll(t, "the page", clitest.Visible(page), "Captions for the film", "load captions.vtt in a video player", "lesson.mp4 and lesson.vtt", "-captions-offset",
		"notebook.ipynb this page as a Jupyter notebook")
	// The take begins 100 s into the film: no caption stands earlier (WebVTT has the
	// start of a cue before its arrow).
	vtt := clitest.Read(t, "lesson-review/captions.vtt")
	if !strings.HasPrefix(vtt, "WEBVTT\n") || !strings.Contains(vtt, "\n00:01:4") || strings.Contains(vtt, "\n00:00:") {
		t.Errorf("captions %.600s", vtt)
	}
	var n struct {
		Format int `json:"nbformat"`
		Cells  []struct {
			Type   string `json:"cell_type"`
			Source []string
		}
	}
	if err := json.Unmarshal([]byte(clitest.Read(t, "lesson-review/notebook.ipynb")), &n); err != nil || n.Format != 4 {
		t.Fatalf("notebook.ipynb: %v", err)
	}
	code := ""
	for _, c := range n.Cells {
		if c.Type == "code" {
			code += strings.Join(c.Source, "") + "\n"
		}
	}
	clitest.WantAll(t, "the notebook's code", code, "tracks.Read(", "review.Run(", "take.Film(", "take.Path(", "advice.Default()")

	// Without them they are gone again, and are not in the way.
	mustRun(t, "-force", "-distance-mm", "50", "lesson.csv")
	want := map[string]string{}
	for name, text := range clitest.Tree(t, "lesson-review") {
		if name != onepage.NotebookFile && name != onepage.CaptionsFile {
			want[name] = text
		}
	}
	if d := cmp.Diff(want, clitest.Tree(t, "lesson-review")); d != "" || len(want) != 5 {
		t.Errorf("(-want +got)\n%s", d)
	}
}

// TestHostileNames: names in an export or of it reach no page as markup, and no
// terminal as a command.
func TestHostileNames(t *testing.T) {
	const evil = `<img src=x onerror=alert(1)>|*_[a](b)`
	t.Chdir(t.TempDir())
	text := export("time_s,"+evil+"_x,"+evil+"_y,\x1b[2Jbass_x,\x1b[2Jbass_y,treble_x,treble_y", nil)
	clitest.Plant(t, ".", map[string]string{
		"evil/": "", "evil/" + strings.ReplaceAll(evil, "/", "") + "\x1b[2J.csv": text, "evil/half\x1b[2J.csv": heads + "\n", "evil/\x1b[2J.txt": "words",
	})
	var out, complaints bytes.Buffer
	args := []string{"-tip", evil, "-bass", "\x1b[2Jbass", "-treble", "treble", "-landmarks", "wrist=treble", "-notebook", "-captions", "-out", "pages", "evil"}
	if err := runWith(args, &out, &complaints); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "1 of 2") {
		t.Fatalf("%v\n%s", err, complaints.String())
	}
	if strings.Contains(out.String()+complaints.String(), "\x1b") {
		t.Errorf("a control character is printed: %q %q", out.String(), complaints.String())
	}
	for name, text := range clitest.Tree(t, "pages") {
		switch {
		case strings.HasSuffix(name, ".html") && (strings.Contains(text, "<img") || strings.Contains(text, "onerror=alert(1)>")):
			t.Errorf("%s holds markup of the export", name)
		case strings.HasSuffix(name, ".json"), strings.HasSuffix(name, ".ipynb"):
			if !json.Valid([]byte(text)) {
				t.Errorf("%s is no JSON", name)
			}
		case strings.HasSuffix(name, ".vtt"):
			for _, block := range strings.Split(text, "\n\n") {
				if strings.Contains(block, "<") && !strings.HasPrefix(block, "NOTE") { // a comment, which no player shows
					t.Errorf("%s holds markup: %q", name, block)
				}
			}
		}
	}
}
