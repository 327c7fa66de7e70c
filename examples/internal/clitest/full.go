package clitest

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// Interrupted checks a program that cannot finish writing to the folder of -out: since
// the disk is full once a file has so many bytes, and since nobody may write there. It
// says so on one line, leaves nothing behind, and what it wrote before is as it was.
// args are those of a call that succeeds, without -out.
//
// The test runs again in a process of its own, since no file of that can grow.
func (run Run) Interrupted(t *testing.T, fullAt uint64, args ...string) {
	t.Helper()
	const alone = "PLECTRACE_TEST_ALONE"
	if os.Getenv(alone) == "" {
		parts := strings.Split(t.Name(), "/")
		again := exec.Command(os.Args[0], "-test.v", "-test.run", "^"+strings.Join(parts, "$/^")+"$")
		again.Env = append(os.Environ(), alone+"=1")
		said, err := again.CombinedOutput()
		switch {
		case err != nil:
			t.Errorf("%v\n%s", err, said)
		case !bytes.Contains(said, []byte("--- PASS: "+t.Name()+" (")):
			t.Skipf("it does not run:\n%s", said)
		default:
			t.Logf("%s", said)
		}
		return
	}
	t.Chdir(t.TempDir())
	fails := func(args ...string) {
		t.Helper()
		before := Tree(t, ".")
		var words bytes.Buffer
		err := run(args, &words)
		if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "cannot write") {
			t.Errorf("%q: exit code %d (%v), want that it cannot write", args, cli.Code(err), err)
		}
		if strings.Contains(words.String(), "Written") {
			t.Errorf("%q: it says that it has written:\n%s", args, words.String())
		}
		if d := cmp.Diff(before, Tree(t, ".")); d != "" {
			t.Errorf("%q: something has changed (-before +after)\n%s", args, d)
		}
		t.Log(err)
	}
	onFullDisk(t, fullAt, func() { fails(append(args, "-out", "out")...) })
	run.Must(t, append(args, "-out", "out")...)
	onFullDisk(t, fullAt, func() { fails(append(args, "-out", "out", "-force")...) })
	if err := os.Mkdir("closed", 0o500); err != nil {
		t.Fatal(err)
	}
	if file, err := os.Create("closed/probe"); err == nil {
		file.Close()
		t.Log("this user may write to any folder: one that is closed is not tried")
		return
	}
	fails(append(args, "-out", "closed/out")...)
}
