package cli_test

import (
	"errors"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

func TestWriteFolder(t *testing.T) {
	files := []cli.File{{"page.html", []byte("page")}, {"strokes.csv", []byte("strokes")}}
	fresh := map[string]string{"out/": "", "out/page.html": "page", "out/strokes.csv": "strokes"}
	for _, c := range []struct {
		name   string
		before map[string]string
		files  []cli.File
		force  bool
		fails  string // part of the error's text
		after  map[string]string
	}{
		{"new", nil, files, false, "", fresh},
		{"empty", map[string]string{"out/": ""}, files, false, "", fresh},
		{"kept", map[string]string{"out/": "", "out/page.html": "old"}, files, false, "-force", nil},
		{"forced", map[string]string{"out/": "", "out/page.html": "old"}, files, true, "", fresh},
		{"not ours", map[string]string{"out/": "", "out/thesis.txt": "years"}, files, true, "thesis.txt", nil},
		{"a folder of our name", map[string]string{"out/": "", "out/page.html/": ""}, files, true, "page.html", nil},
		{"droppings", map[string]string{"out/": "", "out/.DS_Store": "x"}, files, true, "", fresh},
		{"a file", map[string]string{"out": "file"}, files, true, "-out", nil},
		{"outside", nil, []cli.File{{"../page.html", nil}}, false, "no name", nil},
		{"twice", nil, []cli.File{{"a", nil}, {"a", nil}}, false, "stands twice", nil},
		{"bad name half-way", map[string]string{"out/": "", "out/a": "old"}, []cli.File{{"a", nil}, {"b\x00", nil}}, true, "cannot write", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			clitest.Plant(t, dir, c.before)
			err := cli.WriteFolder(filepath.Join(dir, "out"), c.files, c.force)
			want := c.after
			if c.fails != "" {
				if err == nil || !strings.Contains(err.Error(), c.fails) {
					t.Fatalf("error %v, want one with %q", err, c.fails)
				}
				if cli.Code(err) != cli.BadInput {
					t.Errorf("exit code %d, want %d", cli.Code(err), cli.BadInput)
				}
				want = c.before
			} else if err != nil {
				t.Fatal(err)
			}
			if want == nil {
				want = map[string]string{}
			}
			if diff := cmp.Diff(want, clitest.Tree(t, dir)); diff != "" {
				t.Errorf("the folder (-want +got):\n%s", diff)
			}
		})
	}
}

// TestWriteFolderEarlier: what an earlier call wrote and this one does not goes, and
// what neither wrote stays.
func TestWriteFolderEarlier(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Plant(t, ".", map[string]string{"out/": "", "out/page": "old", "out/notebook": "old"})
	files := []cli.File{{Name: "page", Data: []byte("new")}}
	if err := cli.WriteFolder("out", files, true); cli.Code(err) != cli.BadInput {
		t.Errorf("a file of nobody's: %v", err)
	}
	if err := cli.WriteFolder("out", files, true, "page", "notebook"); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(map[string]string{"page": "new"}, clitest.Tree(t, "out")); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func TestWriteFolderWithoutParent(t *testing.T) {
	dir := t.TempDir()
	err := cli.WriteFolder(filepath.Join(dir, "no", "out"), nil, false)
	if err == nil || !strings.Contains(err.Error(), "make the folder") {
		t.Errorf("error %v, want one that says to make the folder", err)
	}
	if got := clitest.Tree(t, dir); len(got) > 0 {
		t.Errorf("left behind: %v", got)
	}
}

// TestCheckFolder: what CheckFolder refuses is what WriteFolder refuses, and neither
// leaves anything.
func TestCheckFolder(t *testing.T) {
	for _, c := range []struct {
		name   string
		before map[string]string
		out    string
		force  bool
		fails  string
	}{
		{"new", nil, "out", false, ""},
		{"taken", map[string]string{"out/": "", "out/a": "old"}, "out", false, "-force"},
		{"forced", map[string]string{"out/": "", "out/a": "old"}, "out", true, ""},
		{"another's", map[string]string{"out/": "", "out/b": "old"}, "out", true, "would be lost"},
		{"no parent", nil, "no/out", false, "make the folder"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			clitest.Plant(t, ".", c.before)
			before := clitest.Tree(t, ".")
			err := cli.CheckFolder(c.out, []string{"a"}, c.force)
			if d := cmp.Diff(before, clitest.Tree(t, ".")); d != "" {
				t.Errorf("something has changed (-before +after):\n%s", d)
			}
			wrote := cli.WriteFolder(c.out, []cli.File{{Name: "a", Data: nil}}, c.force)
			if (err == nil) != (c.fails == "") || (err == nil) != (wrote == nil) {
				t.Fatalf("checked %v, written %v", err, wrote)
			}
			if err != nil && (err.Error() != wrote.Error() || !strings.Contains(err.Error(), c.fails)) {
				t.Errorf("checked %v, written %v, want %q", err, wrote, c.fails)
			}
		})
	}
}

// TestStageFolder: a folder whose file grows while the work goes on appears whole or
// not at all.
func TestStageFolder(t *testing.T) {
	begin := func() *cli.Folder {
		f, err := cli.StageFolder("out", []string{"rows", "page"}, false)
		if err != nil {
			t.Fatal(err)
		}
		w, err := f.Create("rows")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, "1\n2\n"); err != nil {
			t.Fatal(err)
		}
		return f
	}
	t.Chdir(t.TempDir())
	begin().Discard()
	if got := clitest.Tree(t, "."); len(got) > 0 {
		t.Errorf("discarded, it leaves %v", got)
	}
	page := []cli.File{{Name: "page", Data: []byte("page")}}
	late := begin()
	if err := begin().Commit(page); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"rows": "1\n2\n", "page": "page"}
	if d := cmp.Diff(want, clitest.Tree(t, "out")); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	if err := late.Commit(page); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "there already") {
		t.Errorf("a folder that came meanwhile: %v", err)
	}
	want = map[string]string{"out/": "", "out/rows": "1\n2\n", "out/page": "page"}
	if d := cmp.Diff(want, clitest.Tree(t, ".")); d != "" {
		t.Errorf("a commit that fails (-want +got)\n%s", d)
	}
}

func TestFiles(t *testing.T) {
	full := errors.New("full")
	outputs := []cli.Output{
		{Name: "a", Write: func(w io.Writer) error { _, err := io.WriteString(w, "text"); return err }},
		{Name: "b", Write: func(io.Writer) error { return full }},
	}
	files, err := cli.Files(outputs[:1])
	if d := cmp.Diff([]cli.File{{Name: "a", Data: []byte("text")}}, files); d != "" || err != nil {
		t.Errorf("%v\n%s", err, d)
	}
	if _, err := cli.Files(outputs); !errors.Is(err, full) || !strings.Contains(err.Error(), "b: full") {
		t.Errorf("a file that cannot be written: %v", err)
	}
	if d := cmp.Diff([]string{"a", "b"}, cli.Names(outputs)); d != "" {
		t.Error(d)
	}
}
