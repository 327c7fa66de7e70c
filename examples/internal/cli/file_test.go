package cli_test

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

func TestStageFile(t *testing.T) {
	ours := func(b []byte) bool { return bytes.HasPrefix(b, []byte("ours")) }
	for _, c := range []struct {
		name   string
		before map[string]string
		force  bool
		ours   func([]byte) bool
		fails  string
	}{
		{"new", nil, false, ours, ""},
		{"kept", map[string]string{"f": "ours, old"}, false, ours, "-force"},
		{"forced", map[string]string{"f": "ours, old"}, true, ours, ""},
		{"another's", map[string]string{"f": "theirs"}, true, ours, "not one of those"},
		{"empty", map[string]string{"f": ""}, true, ours, "not one of those"},
		{"any", map[string]string{"f": "theirs"}, true, nil, ""},
		{"a folder", map[string]string{"f/": ""}, true, nil, "it is a folder"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			clitest.Plant(t, dir, c.before)
			before := clitest.Tree(t, dir)
			s, err := cli.StageFile(filepath.Join(dir, "f"), []byte("ours, new"), c.force, c.ours)
			if c.fails != "" {
				if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), c.fails) {
					t.Errorf("error %v, want one with %q", err, c.fails)
				}
				if diff := cmp.Diff(before, clitest.Tree(t, dir)); diff != "" {
					t.Errorf("it leaves (-before +after):\n%s", diff)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := clitest.Tree(t, dir)["f"]; got != before["f"] {
				t.Errorf("before Commit the file holds %q, want %q", got, before["f"])
			}
			if err := s.Commit(); err != nil {
				t.Fatal(err)
			}
			s.Discard() // does nothing now
			if diff := cmp.Diff(map[string]string{"f": "ours, new"}, clitest.Tree(t, dir)); diff != "" {
				t.Errorf("after Commit (-want +got):\n%s", diff)
			}
			if s, err = cli.StageFile(filepath.Join(dir, "g"), nil, false, nil); err != nil {
				t.Fatal(err)
			}
			s.Discard()
			if got := clitest.Tree(t, dir); len(got) != 1 {
				t.Errorf("Discard leaves %v", got)
			}
		})
	}
	var none *cli.Staged
	none.Discard()
	if err := none.Commit(); err != nil {
		t.Errorf("no file: %v", err)
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	clitest.Plant(t, dir, map[string]string{"f": "text", "d/": ""})
	if data, err := cli.ReadFile(filepath.Join(dir, "f"), "settings", ""); err != nil || string(data) != "text" {
		t.Errorf("%q, %v", data, err)
	}
	for name, want := range map[string]string{"d": "it is a folder", "none": "there is no such file or folder"} {
		_, err := cli.ReadFile(filepath.Join(dir, name), "settings", "check the name")
		if _, opened := cli.OpenFile(filepath.Join(dir, name), "settings", "check the name"); opened == nil || err == nil || opened.Error() != err.Error() {
			t.Errorf("%s: opened %v, read %v", name, opened, err)
		}
		if err == nil || !strings.HasPrefix(err.Error(), "cannot read the settings from ") || !strings.HasSuffix(err.Error(), `": `+want+"; check the name") {
			t.Errorf("%s: %v", name, err)
		}
		if name == "none" && !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%v hides its cause", err)
		}
	}
}

func TestSameFileAndInside(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Plant(t, ".", map[string]string{"a": "1", "b": "1", "d/": ""})
	linked := os.Symlink("d", "l") == nil
	for _, c := range []struct {
		a, b         string
		same, inside bool
	}{
		{"a", "./a", true, true},
		{"a", "b", false, false},
		{"none", "d/../none", true, true},
		{"d/x", "d", false, true},
		{"d", "d", true, true},
		{"dd", "d", false, false},
		{"d/../a", "d", false, false},
	} {
		if got := cli.SameFile(c.a, c.b); got != c.same {
			t.Errorf("cli.SameFile(%s, %s) = %v", c.a, c.b, got)
		}
		if got := cli.Inside(c.a, c.b); got != c.inside {
			t.Errorf("cli.Inside(%s, %s) = %v", c.a, c.b, got)
		}
	}
	if linked && !cli.Inside("l/x", "d") {
		t.Error("a link hides a file in the folder")
	}
}

// TestInWords: names of packages at the head of an error do not help a user.
func TestInWords(t *testing.T) {
	for in, want := range map[string]string{
		"tempo: note value \"x\"":              "note value \"x\"",
		"w.csv: contact: line 3: no time":      "w.csv: line 3: no time",
		"w.csv: motion: drive: too few":        "w.csv: too few",
		"w.csv: cues: the offset is NaN":       "w.csv: the offset is NaN",
		"the motion: it stays":                 "the motion: it stays",
		"motion.csv, line 2: tempo is missing": "motion.csv, line 2: tempo is missing",
	} {
		if got := cli.Input(errors.New(in), "").Error(); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}
