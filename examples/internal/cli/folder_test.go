package cli

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tree returns the files under dir and their contents; folders end in a slash.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.Walk(dir, func(name string, info os.FileInfo, err error) error {
		if err != nil || name == dir {
			return err
		}
		rel, _ := filepath.Rel(dir, name)
		rel = filepath.ToSlash(rel)
		if info.IsDir() {
			got[rel+"/"] = ""
			return nil
		}
		data, err := os.ReadFile(name)
		got[rel] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// plant makes under dir what tree would return as files.
func plant(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(files)) { // a folder before its files
		var err error
		if at := filepath.Join(dir, name); strings.HasSuffix(name, "/") {
			err = os.Mkdir(at, 0o777)
		} else {
			err = os.WriteFile(at, []byte(files[name]), 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func TestWriteFolder(t *testing.T) {
	files := []File{{"page.html", []byte("page")}, {"strokes.csv", []byte("strokes")}}
	fresh := map[string]string{"out/": "", "out/page.html": "page", "out/strokes.csv": "strokes"}
	for _, c := range []struct {
		name   string
		before map[string]string
		files  []File
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
		{"outside", nil, []File{{"../page.html", nil}}, false, "no name", nil},
		{"twice", nil, []File{{"a", nil}, {"a", nil}}, false, "stands twice", nil},
		{"bad name half-way", map[string]string{"out/": "", "out/a": "old"}, []File{{"a", nil}, {"b\x00", nil}}, true, "cannot write", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			plant(t, dir, c.before)
			err := WriteFolder(filepath.Join(dir, "out"), c.files, c.force)
			want := c.after
			if c.fails != "" {
				if err == nil || !strings.Contains(err.Error(), c.fails) {
					t.Fatalf("error %v, want one with %q", err, c.fails)
				}
				if Code(err) != BadInput {
					t.Errorf("exit code %d, want %d", Code(err), BadInput)
				}
				want = c.before
			} else if err != nil {
				t.Fatal(err)
			}
			if want == nil {
				want = map[string]string{}
			}
			if diff := cmp.Diff(want, tree(t, dir)); diff != "" {
				t.Errorf("the folder (-want +got):\n%s", diff)
			}
		})
	}
}

func TestWriteFolderWithoutParent(t *testing.T) {
	dir := t.TempDir()
	err := WriteFolder(filepath.Join(dir, "no", "out"), nil, false)
	if err == nil || !strings.Contains(err.Error(), "make the folder") {
		t.Errorf("error %v, want one that says to make the folder", err)
	}
	if got := tree(t, dir); len(got) > 0 {
		t.Errorf("left behind: %v", got)
	}
}
