package main

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/progress"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

// take writes the bundled beginner's first take.
func take(t *testing.T) {
	t.Helper()
	clitest.Copy(t, ".", func(name string) (io.ReadCloser, error) {
		return takefile.Bundled(strings.Replace(name, "take", "beginner-1", 1))
	}, "take.csv", "take.take.json")
}

// must returns what the program prints.
var must = clitest.Run(run).Must

// asked is what a call finds.
func asked(t *testing.T, args ...string) *found {
	t.Helper()
	return recipetest.Asked(t, parse, options.find, args...)
}

func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/cookbook/marks", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/marks/1", []string{"spans.csv", "agreement.csv"})
	if n := strings.Count(made["agreement.csv"], "\n"); n != 4 {
		t.Errorf("%d lines for three pairs", n)
	}
}

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.WantAll(t, "the words", must(t), "No real player", "The program and viewer V01", "Viewer V01 and viewer V02", "Kappa", "let both view 6 takes", "viewer V02 says searching")
}

// TestOwn: the program agrees with its own marks wholly, once they went through a
// file.
func TestOwn(t *testing.T) {
	t.Chdir(t.TempDir())
	take(t)
	clitest.Save(t, "spans.csv", must(t, "take.csv"))
	out := must(t, "take.csv", "spans.csv")
	if !strings.Contains(out, "say the same for 100 % of it") || strings.Contains(out, "Look at") {
		t.Errorf("the program against itself:\n%s", out)
	}
	if said := must(t, "-out", "o", "take.csv"); clitest.Read(t, "o/spans.csv") != clitest.Read(t, "spans.csv") || !strings.Contains(said, "5 settled spans and 5 searching spans") {
		t.Errorf("it says %q", said)
	}
	if left := clitest.Tree(t, "o"); len(left) != 2 {
		t.Errorf("%d files of a take alone", len(left))
	}
}

// TestKappa holds a pair against Cohen's kappa by hand: of 10 s both say settled for 4
// and searching for 3, so that 0.7 agree and 0.5·0.6 + 0.5·0.4 would by chance, and
// (0.7-0.5)/(1-0.5) is 0.4.
func TestKappa(t *testing.T) {
	mark := func(kind string, start, end float64) progress.Mark {
		return progress.Mark{Kind: kind, Start: start, End: end}
	}
	g, err := agree([]progress.Mark{mark("settled", 0, 5), mark("searching", 5, 10)}, []progress.Mark{mark("searching", 0, 1), mark("settled", 1, 7), mark("searching", 7, 10)})
	if err != nil || cmp.Diff([]float64{0.7, 0.5, 0.4}, []float64{g.Agreed.Value, g.Chance, g.Kappa.Value}, near) != "" {
		t.Errorf("%+v, %v", g, err)
	}
}

var near = cmp.Comparer(func(a, b float64) bool { return a-b < 1e-12 && b-a < 1e-12 })

// Marks of kinds that the program does not know are not held against its spans.
func TestOtherKinds(t *testing.T) {
	t.Chdir(t.TempDir())
	take(t)
	clitest.Save(t, "other.csv", "kind,start_s,end_s\nnice,1,5\nrough,5,12\n")
	made := recipetest.Check(t, run, "plectrace/marks/1", []string{"spans.csv", "agreement.csv"}, "take.csv", "other.csv")
	for what, text := range map[string]string{"the words": must(t, "take.csv", "other.csv"), "the page": recipetest.Prose(made["page.html"])} {
		if !strings.Contains(text, "no kind in common") || strings.Contains(text, "Look at") {
			t.Errorf("%s say:\n%s", what, text)
		}
	}
}

func TestDifferences(t *testing.T) {
	x := []progress.Mark{{Kind: "searching", Start: 0, End: 4}, {Kind: "settled", Start: 4, End: 10}}
	y := []progress.Mark{{Kind: "Searching", Start: 1, End: 3}, {Kind: "settled", Start: 3, End: 4.2}, {Kind: "pause", Start: 6, End: 6.4}, {Kind: "searching", Start: 8, End: 12}}
	want := []difference{{3, 4, "searching", "settled"}, {8, 10, "settled", "searching"}}
	if d := cmp.Diff(want, differences(x, y)); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

// TestJSON: the differences are those that the words tell.
func TestJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	var got struct {
		Spans []struct {
			Kind  string
			Start float64 `json:"start_s"`
		}
		Pairs []struct {
			First, Second string
			Kappa         struct{ Value, Low *float64 }
			Differences   []difference
		}
	}
	if err := json.Unmarshal([]byte(must(t, "-json")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Spans) != 10 || len(got.Pairs) != 3 || got.Pairs[0].Kappa.Value == nil || got.Pairs[0].Kappa.Low != nil || len(got.Pairs[0].Differences) != 0 || len(got.Pairs[2].Differences) != 2 {
		t.Errorf("%+v", got)
	}
}

// TestHostile: kinds and names of files are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	take(t)
	clitest.Save(t, clitest.Hostile, "kind,start_s,end_s\nsettled,1,5\n<script>alert(1)</script>,5,12\n")
	made := recipetest.Check(t, run, "plectrace/marks/1", []string{"spans.csv", "agreement.csv"}, "take.csv", clitest.Hostile)
	clitest.WantEscaped(t, made)
	if strings.Contains(made["page.html"], "<script") {
		t.Error("a kind is markup")
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
		ok, err := marksOf("viewer V01")
		if err != nil {
			t.Fatal(err)
		}
		clitest.Plant(t, ".", map[string]string{
			"ok.csv": string(ok), "bare.csv": "time_s,tip_x,tip_y\n0,1,2\n", "time.csv": "kind,start_s,end_s\nsettled,0:12,20\n",
			"ms.csv":      "kind,start_s,end_s\nsettled,1000,2000\nsettled,7000,9000\n",
			"overlap.csv": "kind,start_s,end_s\nsettled,1,5\nsearching,4,6\n",
			"d/":          "", "d/notes.txt": "x",
		})
	}, []clitest.Bad{
		{Name: "of no file", Args: "-settings s.json", Code: cli.BadUsage, Names: "-settings is given without a file", Next: "name the file"},
		{Name: "too many", Args: "take.csv a b c", Code: cli.BadUsage, Names: "4 files", Next: "one or two"},
		{Name: "no take", Args: "none.csv ok.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "marks missing", Args: "take.csv none.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "not marks", Args: "take.csv take.csv", Code: cli.BadInput, Names: "take.csv", Next: "kind"},
		{Name: "bad time", Args: "take.csv time.csv", Code: cli.BadInput, Names: "time.csv, line 2", Next: "decimal point"},
		{Name: "overlap", Args: "take.csv overlap.csv", Code: cli.BadInput, Names: "overlap.csv", Next: ""},
		{Name: "outside the take", Args: "take.csv ms.csv", Code: cli.BadInput, Names: "ms.csv: line 2: 1000 to 2000 s", Next: "slowed_by"},
		{Name: "no settings", Args: "bare.csv ok.csv", Code: cli.BadInput, Names: "bare.take.json", Next: "-settings"},
		{Name: "folder is a file", Args: "-out ok.csv take.csv", Code: cli.BadInput, Names: "ok.csv", Next: "-out"},
		{Name: "folder is there", Args: "-out d take.csv", Code: cli.BadInput, Names: "d is there already", Next: "-force"},
		{Name: "unknown flag", Args: "-speed 3", Code: cli.BadUsage, Names: "-speed", Next: "marks -h"},
	})
}
