package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/testdata"
)

func save(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// take writes the bundled beginner's first take.
func take(t *testing.T) {
	t.Helper()
	export, settings, err := testdata.Take("beginner-1")
	if err != nil {
		t.Fatal(err)
	}
	save(t, "take.csv", string(export))
	save(t, "take.take.json", string(settings))
}

func must(t *testing.T, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := run(args, &out); err != nil {
		t.Fatalf("marks %q: %v", args, err)
	}
	return out.String()
}

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	out := must(t)
	for _, want := range []string{"No real player", "The program and viewer V01", "Viewer V01 and viewer V02", "Kappa", "let both view 6 takes", "viewer V02 says searching"} {
		if !strings.Contains(out, want) {
			t.Errorf("it does not say %q:\n%s", want, out)
		}
	}
}

// TestOwn: the program agrees with its own marks wholly, once they went through a
// file.
func TestOwn(t *testing.T) {
	t.Chdir(t.TempDir())
	take(t)
	if out := must(t, "-out", "spans.csv", "take.csv"); !strings.Contains(out, "Written: spans.csv") {
		t.Errorf("it says %q", out)
	}
	out := must(t, "take.csv", "spans.csv")
	if !strings.Contains(out, "say the same for 100 % of it") || strings.Contains(out, "Look at") {
		t.Errorf("the program against itself:\n%s", out)
	}
}

func TestDifferences(t *testing.T) {
	x := []progress.Mark{{Kind: "searching", Start: 0, End: 4}, {Kind: "settled", Start: 4, End: 10}}
	y := []progress.Mark{{Kind: "Searching", Start: 1, End: 3}, {Kind: "settled", Start: 3, End: 4.2}, {Kind: "pause", Start: 6, End: 6.4}, {Kind: "searching", Start: 8, End: 12}}
	want := []difference{{3, 4, "searching", "settled"}, {8, 10, "settled", "searching"}}
	if d := cmp.Diff(want, differences(x, y), cmp.AllowUnexported(difference{})); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func TestBadInput(t *testing.T) {
	for _, c := range []struct {
		name, args  string
		code        int
		names, next string
	}{
		{"no marks", "take.csv", 2, "no marks", "-out"},
		{"too many", "take.csv a b c", 2, "4 files", "one or two"},
		{"no take", "none.csv ok.csv", 1, "none.csv", "check the name"},
		{"marks missing", "take.csv none.csv", 1, "none.csv", "check the name"},
		{"not marks", "take.csv take.csv", 1, "take.csv", "kind"},
		{"bad time", "take.csv time.csv", 1, "time.csv:2", "decimal point"},
		{"overlap", "take.csv overlap.csv", 1, "overlap.csv", ""},
		{"no settings", "bare.csv ok.csv", 1, "bare.take.json", "-settings"},
		{"out is taken", "-out ok.csv take.csv", 1, "ok.csv", "-force"},
		{"unknown flag", "-speed 3", 2, "-speed", "marks -h"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			take(t)
			save(t, "ok.csv", marksOfV01)
			save(t, "bare.csv", "time_s,tip_x,tip_y\n0,1,2\n")
			save(t, "time.csv", "kind,start_s,end_s\nsettled,0:12,20\n")
			save(t, "overlap.csv", "kind,start_s,end_s\nsettled,1,5\nsearching,4,6\n")
			var out bytes.Buffer
			err := run(strings.Fields(c.args), &out)
			if err == nil || cli.Code(err) != c.code {
				t.Fatalf("exit code %d (%v), want %d", cli.Code(err), err, c.code)
			}
			if line := err.Error(); strings.ContainsAny(line, "\n\r") || len(line) > 400 || !strings.Contains(line, c.names) || !strings.Contains(line, c.next) {
				t.Errorf("%q does not name %s and %s on one line", line, c.names, c.next)
			}
			if out.Len() > 0 {
				t.Errorf("it printed %q before it failed", out.String())
			}
		})
	}
}
