package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/simulate"
)

// TestKeepReference: a reference takes the place of nothing but a reference, and
// a run that fails leaves nothing.
func TestKeepReference(t *testing.T) {
	t.Chdir(t.TempDir())
	_, export := lesson(t, simulate.Options{Seed: 4, Duration: 8, Rate: 9})
	clitest.Save(t, "lesson.csv", export)
	clitest.Save(t, "lesson.take.json", `{"tip": "tip", "tip_is": "pick", "view": "end-on", "marks": {"bass": "bass", "treble": "treble", "distance_mm": 50}}`)
	clitest.Save(t, "onsets.csv", "time_s\n0.5\n1.5\n")
	clitest.Save(t, "thesis.json", `{"schema": "thesis/1", "years": 4}`)
	if out := mustRun(t, "-keep-reference", "tutor.json", "lesson.csv"); !strings.Contains(out, "Written: tutor.json") {
		t.Errorf("it does not say what was written:\n%s", out)
	}
	if _, err := cycle.ParseReference(strings.NewReader(clitest.Read(t, "tutor.json"))); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir("folder", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("lesson.csv", "link.csv"); err != nil {
		t.Log(err) // no links here
	}
	before := clitest.Tree(t, ".")
	for _, c := range []struct{ args, says string }{
		{"-keep-reference tutor.json -out new", "-force"},
		{"-keep-reference lesson.csv", "the export that is read"},
		{"-keep-reference ./lesson.csv -force", "the export that is read"},
		{"-keep-reference link.csv -force", "the export that is read"},
		{"-keep-reference lesson.take.json -force", "the settings file"},
		{"-keep-reference onsets.csv -onsets onsets.csv -force", "the list of onsets"},
		{"-keep-reference tutor.json -reference tutor.json -force", "the reference motion to compare with"},
		{"-keep-reference thesis.json -force", "not one of those that this program writes there"},
		{"-keep-reference onsets.csv -force", "not one of those that this program writes there"},
		{"-keep-reference folder -force", "it is a folder"},
		{"-keep-reference lesson-review -force", "replaced as a whole"},
		{"-keep-reference lesson-review/tutor.json -force", "replaced as a whole"},
		{"-keep-reference new/tutor.json -out new", "replaced as a whole"},
		{"-keep-reference no/tutor.json -out new", "no such"},
		{"-keep-reference other.json", "lesson-review is there already"},
		{"-keep-reference other.json -out no/new", "make the folder"},
	} {
		err := run(append(strings.Fields(c.args), "lesson.csv"), &bytes.Buffer{})
		if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.args, err, c.says)
		}
		if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
			t.Fatalf("%s leaves (-before +after)\n%s", c.args, d)
		}
	}

	clitest.Save(t, "tutor.json", `{"schema": "plectrace/reference/1", "note": "an old one"}`)
	mustRun(t, "-force", "-keep-reference", "tutor.json", "lesson.csv")
	if got := clitest.Read(t, "tutor.json"); got != before["tutor.json"] {
		t.Errorf("-force does not replace a reference: %.200s", got)
	}
	// A take that holds no settled span is no reference, and writes nothing.
	_, export = lesson(t, simulate.Options{Seed: 4, Duration: 8, Plan: []simulate.Stretch{{Search: simulate.Fresh}}})
	clitest.Save(t, "search.csv", export)
	before = clitest.Tree(t, ".")
	if err := run([]string{"-keep-reference", "search.json", "search.csv"}, &bytes.Buffer{}); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "settled span") {
		t.Errorf("a take that searches throughout: %v", err)
	}
	if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
		t.Errorf("a take that searches throughout leaves (-before +after)\n%s", d)
	}
}
