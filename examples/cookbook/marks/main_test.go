package main

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
)

// take writes the bundled beginner's first take.
func take(t *testing.T) {
	t.Helper()
	clitest.Copy(t, ".", func(name string) (io.ReadCloser, error) {
		return takefile.Bundled(strings.Replace(name, "take", "beginner-1", 1))
	}, "take.csv", "take.take.json")
}

// must returns what the program prints.
var must = clitest.Run(run).Must

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

// Marks of kinds that the program does not know are not held against its spans.
func TestOtherKinds(t *testing.T) {
	t.Chdir(t.TempDir())
	take(t)
	clitest.Plant(t, ".", map[string]string{"other.csv": "kind,start_s,end_s\nnice,1,5\nrough,5,12\n"})
	if out := must(t, "take.csv", "other.csv"); !strings.Contains(out, "no kind in common") || strings.Contains(out, "Kappa") {
		t.Errorf("it says:\n%s", out)
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
	silent := func(args []string, out io.Writer) error {
		var b bytes.Buffer
		err := run(args, &b)
		if b.Len() > 0 {
			t.Errorf("%q: it printed %q before it failed", args, b.String())
		}
		return err
	}
	clitest.Run(silent).Refuses(t, func(t *testing.T) {
		take(t)
		clitest.Plant(t, ".", map[string]string{
			"ok.csv": marksOfV01, "bare.csv": "time_s,tip_x,tip_y\n0,1,2\n", "time.csv": "kind,start_s,end_s\nsettled,0:12,20\n",
			"ms.csv":      "kind,start_s,end_s\nsettled,1000,2000\nsettled,7000,9000\n",
			"overlap.csv": "kind,start_s,end_s\nsettled,1,5\nsearching,4,6\n",
		})
	}, []clitest.Bad{
		{Name: "no marks", Args: "take.csv", Code: cli.BadUsage, Names: "no marks", Next: "-out"},
		{Name: "too many", Args: "take.csv a b c", Code: cli.BadUsage, Names: "4 files", Next: "one or two"},
		{Name: "no take", Args: "none.csv ok.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "marks missing", Args: "take.csv none.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "not marks", Args: "take.csv take.csv", Code: cli.BadInput, Names: "take.csv", Next: "kind"},
		{Name: "bad time", Args: "take.csv time.csv", Code: cli.BadInput, Names: "time.csv:2", Next: "decimal point"},
		{Name: "overlap", Args: "take.csv overlap.csv", Code: cli.BadInput, Names: "overlap.csv", Next: ""},
		{Name: "outside the take", Args: "take.csv ms.csv", Code: cli.BadInput, Names: "ms.csv: line 2: 1000 to 2000 s", Next: "slowed_by"},
		{Name: "no settings", Args: "bare.csv ok.csv", Code: cli.BadInput, Names: "bare.take.json", Next: "-settings"},
		{Name: "out is taken", Args: "-out ok.csv take.csv", Code: cli.BadInput, Names: "ok.csv", Next: "-force"},
		{Name: "unknown flag", Args: "-speed 3", Code: cli.BadUsage, Names: "-speed", Next: "marks -h"},
	})
}
