package cli_test

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// TestLeftBehind: what a program that was killed leaves is cleared by the next one
// that writes there, which puts back what was taken from its place and not replaced.
func TestLeftBehind(t *testing.T) {
	type tree = map[string]string
	for _, c := range []struct {
		name          string
		before, after tree // after is without what is written
	}{
		{"nothing was written", tree{".writing-1/": ""}, nil},
		{"part of the files", tree{".writing-1/": "", ".writing-1/new/": "", ".writing-1/new/a": "hal"}, nil},
		{"a file", tree{".writing-1/": "", ".writing-1/new": "hal"}, nil},
		{"the earlier folder was taken away", tree{".writing-1/": "", ".writing-1/new/": "", ".writing-1/new/a": "whole",
			".writing-1/old/": "", ".writing-1/old/p/": "", ".writing-1/old/p/a": "earlier"},
			tree{"p/": "", "p/a": "earlier"}},
		{"it was replaced", tree{".writing-1/": "", ".writing-1/old/": "", ".writing-1/old/p/": "", ".writing-1/old/p/a": "earlier",
			"p/": "", "p/a": "whole"},
			tree{"p/": "", "p/a": "whole"}},
		{"replaced, and moved away since", tree{".writing-1/": "", ".writing-1/old/": "", ".writing-1/old/p/": "", ".writing-1/old/p/a": "earlier"}, nil},
		{"somebody else has the place", tree{".writing-1/": "", ".writing-1/new/": "",
			".writing-1/old/": "", ".writing-1/old/p/": "", ".writing-1/old/p/a": "earlier", "p": "text"},
			tree{"p": "text"}},
		{"not of ours", tree{".writing-1/": "", ".writing-1/thesis": "years", ".writing-2": "a file"},
			tree{".writing-1/": "", ".writing-1/thesis": "years", ".writing-2": "a file"}},
	} {
		for how, write := range map[string]func() error{
			"folder": func() error { return cli.WriteFolder("o", []cli.File{{Name: "f", Data: nil}}, false) },
			"check":  func() error { return cli.CheckFolder("o", []string{"f"}, false) },
			"file":   func() error { return cli.WriteFile("o", nil, false) },
		} {
			t.Run(c.name+", "+how, func(t *testing.T) {
				canLock(t)
				t.Chdir(t.TempDir())
				clitest.Plant(t, ".", c.before)
				if err := write(); err != nil {
					t.Fatal(err)
				}
				os.RemoveAll("o")
				want := c.after
				if want == nil {
					want = tree{}
				}
				if d := cmp.Diff(want, clitest.Tree(t, ".")); d != "" {
					t.Errorf("(-want +got)\n%s", d)
				}
			})
		}
	}
}

// TestAtOnce: a program leaves alone what another is about to write.
func TestAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	slow, err := cli.StageFolder("slow", []string{"f"}, false)
	if err != nil {
		t.Fatal(err)
	}
	file, err := cli.StageFile("file", []byte("text"), false, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := cli.WriteFolder("quick", []cli.File{{Name: "f", Data: []byte("1")}}, false); err != nil {
		t.Fatal(err)
	}
	if err := slow.Commit([]cli.File{{Name: "f", Data: []byte("2")}}); err != nil {
		t.Error(err)
	}
	if err := file.Commit(); err != nil {
		t.Error(err)
	}
	want := map[string]string{"quick/": "", "quick/f": "1", "slow/": "", "slow/f": "2", "file": "text"}
	if d := cmp.Diff(want, clitest.Tree(t, ".")); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}
