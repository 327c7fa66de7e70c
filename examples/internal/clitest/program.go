package clitest

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

// Run is a program: args are those of the command line, without its name.
type Run func(args []string, out io.Writer) error

// Must returns what a program prints. It ends the test where the program fails.
func (run Run) Must(t testing.TB, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := run(args, &out); err != nil {
		t.Fatalf("%q: %v", args, err)
	}
	return out.String()
}

// Bad is a call that a program must refuse.
type Bad struct {
	Name string
	// Files are made before, as Plant makes them.
	Files map[string]string
	// Args are the arguments, between spaces; `` is an empty one.
	Args string
	Code int
	// Names and Next are parts of the message: what it is about, and what to do.
	Names, Next string
}

// programmers are words that only programmers know.
var programmers = regexp.MustCompile(`(^|: )(cohort|contact|cycle|drive|json|motion|progress|review|tempo|tracks|trajectory): |Capture|cannot be an? (string|array|object)|open |read \w+:`)

// Refuses checks that every bad call fails on one line that names what is wrong and a
// next step, and leaves nothing behind. Each is made in a folder of its own, which
// prepare fills first unless it is nil.
func (run Run) Refuses(t *testing.T, prepare func(t *testing.T), calls []Bad) {
	t.Helper()
	for _, c := range calls {
		t.Run(c.Name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			if prepare != nil {
				prepare(t)
			}
			Plant(t, ".", c.Files)
			args := strings.Fields(c.Args)
			for i, a := range args {
				args[i] = strings.Trim(a, "`")
			}
			before := Tree(t, ".")
			err := run(args, io.Discard)
			if err == nil || cli.Code(err) != c.Code {
				t.Fatalf("%q: exit code %d (%v), want %d", args, cli.Code(err), err, c.Code)
			}
			line := err.Error()
			if strings.ContainsAny(line, "\n\r\x1b") || len(line) > 400 {
				t.Errorf("not one short line: %q", line)
			}
			WantAll(t, "the message", line, c.Names, c.Next)
			WantPlain(t, "the message", line)
			if hit := programmers.FindString(line); hit != "" {
				t.Errorf("%q holds %q, which only programmers know", line, hit)
			}
			if d := cmp.Diff(before, Tree(t, ".")); d != "" {
				t.Errorf("something is left behind (-before +after)\n%s", d)
			}
			t.Log(line)
		})
	}
}
