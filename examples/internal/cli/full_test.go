package cli_test

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// TestFullDisk: where the disk is full, in the first file or a later one, in one that
// is written while the work goes on, or in a file of its own, nothing is left behind
// and what was there is as it was.
func TestFullDisk(t *testing.T) {
	const most = 4096
	large := strings.Repeat("x", most+1)
	var run clitest.Run = func(args []string, out io.Writer) error {
		fs := cli.Program{Name: "test"}.Flags()
		var c cli.Common
		c.Add(fs, "")
		how := fs.String("how", "", "")
		if err := fs.Parse(args); err != nil {
			return err
		}
		files := []cli.File{{Name: "a", Data: []byte("small")}, {Name: "b", Data: []byte(large)}}
		switch *how {
		case "folder":
			return cli.WriteFolder(c.Out, files, c.Force)
		case "file":
			return cli.WriteFile(c.Out, []byte(large), c.Force)
		}
		f, err := cli.StageFolder(c.Out, []string{"a", "b", "rows"}, c.Force)
		if err != nil {
			return err
		}
		w, err := f.Create("rows")
		if err != nil {
			return err
		}
		for i := range most {
			if _, err := fmt.Fprintln(w, i); err != nil {
				f.Discard()
				return err
			}
		}
		return f.Commit(files[:1])
	}
	for _, how := range []string{"folder", "file", "rows"} {
		t.Run(how, func(t *testing.T) { run.Interrupted(t, most, "-how", how) })
	}
}

// TestLinks: a link where a folder or a file is to be written is replaced where force
// is set, and what it leads to is as it was.
func TestLinks(t *testing.T) {
	folder := func(force bool) error {
		return cli.WriteFolder("out", []cli.File{{Name: "a", Data: []byte("new")}}, force)
	}
	file := func(force bool) error { return cli.WriteFile("out", []byte("new"), force) }
	for _, c := range []struct {
		name         string
		write        func(force bool) error
		to           string // where "out" leads
		fails, force string // parts of the errors without and with force
		place        string // of what is written
	}{
		{"folder, to a folder", folder, "d", "is a link to a folder; replace it with -force", "", "out/a"},
		{"folder, to an empty one", folder, "e", "is a link to a folder; replace it with -force", "", "out/a"},
		{"folder, to that of another", folder, "o", "is a link to a folder", "which would be lost", ""},
		{"folder, nowhere", folder, "none", "a link that leads nowhere; remove it", "a link that leads nowhere", ""},
		{"folder, to itself", folder, "out", "a link that leads back to itself", "a link that leads back to itself", ""},
		{"folder, to a file", folder, "f", "is a file", "is a file", ""},
		{"file, to a file", file, "f", "there already", "", "out"},
		{"file, to a folder", file, "d", "there already", "", "out"},
		{"file, nowhere", file, "none", "there already", "", "out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			others := map[string]string{"d/": "", "d/a": "old", "e/": "", "o/": "", "o/thesis": "years", "f": "file"}
			clitest.Plant(t, ".", others)
			if err := os.Symlink(c.to, "out"); err != nil {
				t.Skip("no link can be made here:", err)
			}
			for _, force := range []bool{false, true} {
				err := c.write(force)
				want := c.fails
				if force {
					want = c.force
				}
				if (want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), want) {
					t.Errorf("force %v: %v, want %q", force, err, want)
				}
				info, err := os.Lstat("out")
				if err != nil || (info.Mode()&fs.ModeSymlink == 0) != (want == "") {
					t.Errorf("force %v: the link is %v, %v", force, info, err)
				}
			}
			if c.place != "" && clitest.Read(t, c.place) != "new" {
				t.Error("the file is not the new one")
			}
			if err := os.RemoveAll("out"); err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(others, clitest.Tree(t, ".")); d != "" {
				t.Errorf("what is not to be touched (-want +got)\n%s", d)
			}
		})
	}
}
