package main

import (
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/testdata"
	"github.com/plectrace/plectrace/variability/circular"
)

// TestPain: a player who notes pain is told to stop, first, and gets nothing to
// work on.
func TestPain(t *testing.T) {
	t.Chdir(t.TempDir())
	out := mustRun(t, "-comfort", "pain", "-task", "changing-strings")
	page, _ := pages(t, "demo-review")
	text := clitest.Visible(page)
	for what, s := range map[string]string{"the summary": out, "the page": text} {
		for _, word := range []string{"What to work on", "To work on", "What holds", "what was to be played"} {
			if strings.Contains(s, word) {
				t.Errorf("%s says %q", what, word)
			}
		}
		stop, speed := strings.Index(s, "Stop playing now."), strings.Index(s, "Speed:")
		if stop < 0 || stop > speed || !strings.Contains(s, "See a clinician if it stays or comes back.") {
			t.Errorf("%s does not open with stopping: %d, %d", what, stop, speed)
		}
	}
	if i := strings.Index(page, "<h2"); !strings.Contains(page[i:i+60], "Stop first") {
		t.Errorf("the page opens with %.60q", page[i:])
	}
}

// TestTask: what was to be played decides on advice about the path, and is asked
// for where it is not said.
func TestTask(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct {
		name           string
		args           []string
		want, leaveOut string
	}{
		{"unsaid", nil, "What was to be played? Say -task one-string or -task changing-strings", "strokes to change strings after"},
		{"changing", []string{"-task", "changing-strings"}, "the strokes to change strings after. (Threshold: geometry: a tip above the tops of the strings can pass over them; seen in this take alone.)", "What was to be played"},
		{"one string", []string{"-task", "one-string"}, "What holds: Downstrokes turn close to the string", "What was to be played"},
		{"tired", []string{"-comfort", "tired"}, "Rest before the next take.", "Stop first"},
	} {
		mustRun(t, append(c.args, "-out", c.name)...)
		page, _ := pages(t, c.name)
		text := clitest.Visible(page)
		_, text, _ = strings.Cut(text, "Compare this picture") // behind the links
		if !strings.Contains(text, c.want) || strings.Contains(text, c.leaveOut) {
			_, work, _ := strings.Cut(text, "What to work on")
			t.Errorf("%s: want %q and not %q: %.600s", c.name, c.want, c.leaveOut, work)
		}
		if !strings.Contains(text, "Could not be judged: silent strokes, uneven attack (no list of onsets") {
			t.Errorf("%s: what could not be judged is not told", c.name)
		}
	}
}

// TestWork: what stands out is worked on, two things at most.
func TestWork(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 4, Duration: 20, Rate: 8, PathAngle: 15 * circular.Degree, Plan: []simulate.Stretch{{Search: simulate.Fresh}}})
	clitest.Save(t, "lesson.csv", export)
	out := mustRun(t, "-distance-mm", "50", "-task", "one-string", "lesson.csv")
	if n := strings.Count(out, "- To work on: "); n < 1 || n > 2 {
		t.Errorf("%d things to work on:\n%s", n, out)
	}
	page, _ := pages(t, "lesson-review")
	if !strings.Contains(clitest.Visible(page), "(Threshold: ") {
		t.Error("no threshold is told")
	}
}

// TestSummaryIsShort: the summary fits on a screen; the page has the details.
func TestSummaryIsShort(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range testdata.Names {
		clitest.Copy(t, ".", takefile.Bundled, name+".csv", name+".take.json")
		if out := mustRun(t, name+".csv"); strings.Count(out, "\n") > 20 {
			t.Errorf("%s: the summary is long:\n%s", name, out)
		}
	}
}
