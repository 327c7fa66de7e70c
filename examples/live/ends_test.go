package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

// TestSecondInterrupt: one that comes during the review ends it, with nothing written.
func TestSecondInterrupt(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	interrupt := make(chan os.Signal, 2)
	in := &slow{strings.NewReader(part(export, 0, 2400)), func() { interrupt <- os.Interrupt; interrupt <- os.Interrupt }}
	err := runWith([]string{"-settings", "s.take.json", "-out", "o", "-"}, in, io.Discard, io.Discard, interrupt)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "nothing is written") {
		t.Error(err)
	}
	if tree := clitest.Tree(t, "."); len(tree) != 1 {
		t.Errorf("files are written: %v", tree)
	}
}

// TestFolderCannotBeWritten: a take that cannot be played again is not lost with its
// folder.
func TestFolderCannotBeWritten(t *testing.T) {
	t.Chdir(t.TempDir())
	spare := t.TempDir()
	for _, name := range []string{"TMPDIR", "TMP", "TEMP"} {
		t.Setenv(name, spare)
	}
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	interrupt := make(chan os.Signal, 1)
	// While it is played somebody puts something there.
	in := &slow{strings.NewReader(part(export, 0, 1500)), func() {
		os.MkdirAll("o", 0o777)
		os.WriteFile("o/lesson.txt", []byte("mine"), 0o666)
		interrupt <- os.Interrupt
	}}
	var out bytes.Buffer
	err := runWith([]string{"-settings", "s.take.json", "-out", "o", "-"}, in, &out, io.Discard, interrupt)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "cannot write") && !strings.Contains(err.Error(), "the folder o") || !strings.Contains(err.Error(), "in its place") {
		t.Fatal(err)
	}
	found, _ := filepath.Glob(filepath.Join(spare, "*", "o", "page.html"))
	if len(found) != 1 || clitest.Read(t, "o/lesson.txt") != "mine" {
		t.Errorf("found %q", found)
	}
	clitest.WantAll(t, "the program", out.String(), "Written: "+filepath.Dir(found[0]))
	clitest.Run(func(args []string, out io.Writer) error {
		return runWith(args, strings.NewReader(""), out, io.Discard, nil)
	}).Refuses(t, nil, []clitest.Bad{
		{Name: "a folder in a file", Args: "-out f/o", Files: map[string]string{"f": "x"}, Code: cli.BadInput, Names: "cannot write", Next: "-out"},
	})
}

// full takes so many bytes.
type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, errors.New("the pipe is closed")
	}
	return len(b), nil
}

// TestNobodyReads: where what is told cannot be printed the take ends, and is reviewed.
func TestNobodyReads(t *testing.T) {
	t.Chdir(t.TempDir())
	err := runWith([]string{"-speed", "0", "-out", "o"}, nil, &full{500}, io.Discard, nil)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "the pipe is closed; the review of what came before is in o") {
		t.Error(err)
	}
	clitest.WantAll(t, "the page", clitest.Visible(clitest.Read(t, "o/page.html")), "when nobody read any more")
	if err := runWith([]string{"-json"}, nil, &full{500}, io.Discard, nil); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "the pipe is closed") {
		t.Error(err)
	}
}
