package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/variability"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

var must = clitest.Run(run).Must

// asked is what a call finds.
func asked(t *testing.T, args ...string) *found {
	t.Helper()
	return recipetest.Asked(t, parse, settings.find, args...)
}

func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/cookbook/earlylate", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/earlylate/1", []string{"early-late.csv"})
	clitest.WantAll(t, "the page", recipetest.Prose(made["page.html"]), "Take care: The early part holds a change of span", "drawn again in blocks of", "no real player")
	if n := strings.Count(made["early-late.csv"], "\n"); n != 8 {
		t.Errorf("%d lines", n)
	}
}

// series is a column of n numbers that remember their neighbours by phi.
func series(seed uint64, n int, phi float64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 8))
	out := make([]float64, n)
	last := rng.NormFloat64()
	for i := range out {
		last = phi*last + math.Sqrt(1-phi*phi)*rng.NormFloat64()
		out[i] = last
	}
	return out
}

var calibrate = flag.Int("calibrate", 50, "series of each kind that TestInterval makes")

// TestInterval counts how often the two intervals of a difference hold 0 where nothing
// changes, in series whose parts have 50 numbers.
func TestInterval(t *testing.T) {
	for _, phi := range []float64{0, 0.3, 0.6} {
		var student, blocks, none int
		for k := range *calibrate {
			v := series(uint64(k), 450, phi)
			at := make([]float64, len(v))
			for i := range at {
				at[i] = float64(i)
			}
			c, err := compare(at, v, variability.EarlyLateOptions{Tail: -1})
			if err != nil {
				t.Fatal(err)
			}
			d, _ := drawn(within(at, v, c.Early), within(at, v, c.Late))
			if math.Abs(d.Value-c.Difference.Value) > 1e-12 {
				t.Fatalf("%v and %v are one difference", d.Value, c.Difference.Value)
			}
			if c.Difference.Low <= 0 && 0 <= c.Difference.High {
				student++
			}
			switch {
			case math.IsNaN(d.Low):
				none++
			case d.Low <= 0 && 0 <= d.High:
				blocks++
			}
		}
		t.Logf("memory %.1f: Student %d, blocks %d and %d without, of %d", phi, student, blocks, none, *calibrate)
		// Three standard errors of a binomial below 0.93 and 0.88: blocks come out too
		// narrow where there are few of them.
		n := float64(*calibrate)
		if least := 0.93 - 3*math.Sqrt(0.93*0.07/n); float64(student) < least*n {
			t.Errorf("memory %.1f: Student's interval holds in %d of %v", phi, student, n)
		}
		if all := n - float64(none); float64(blocks) < (0.88-3*math.Sqrt(0.88*0.12/all))*all {
			t.Errorf("memory %.1f: that of blocks in %d of %v", phi, blocks, all)
		}
	}
}

// TestReference holds effect sizes against testdata/reference/variability.json, made by
// numpy and scipy (variability.py). The samples there are short: each stands twice in a
// part, which leaves Cliff's delta as it is, and is Hedges' g from the formula.
func TestReference(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/reference/variability.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Pairs []struct {
			Name  string
			A, B  []float64
			Delta float64
		}
	}
	if err := json.Unmarshal(data, &ref); err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	held := 0
	for _, p := range ref.Pairs {
		if len(p.A) != len(p.B) || len(p.A) < 8 {
			continue
		}
		held++
		text := "v\n"
		for _, x := range [][]float64{p.A, p.A, p.B, p.B} {
			for _, v := range x {
				text += fmt.Sprintln(v)
			}
		}
		clitest.Save(t, "v.csv", text)
		c := asked(t, "-share", "0.5", "v.csv").change
		if !c.Delta.Known() || math.Abs(c.Delta.Value-p.Delta) > 1e-12 || c.Early.N != 2*len(p.A) {
			t.Errorf("%s: delta %+v of %d values, want %v", p.Name, c.Delta, c.Early.N, p.Delta)
		}
	}
	if held < 2 {
		t.Fatalf("%d pairs were held against the program", held)
	}
}

// TestShift: a column that rises by 5 half way shows that, and which way.
func TestShift(t *testing.T) {
	t.Chdir(t.TempDir())
	text := "time_s;angle_deg\n"
	for i, v := range series(4, 180, 0.2) {
		if i >= 90 {
			v = 5 + 0.5*v
		}
		text += strings.ReplaceAll(fmt.Sprintf("%.2f;%.4f\n", 0.1*float64(i), v), ".", ",")
	}
	clitest.Save(t, "a.csv", text)
	f := asked(t, "a.csv")
	d, r := f.change.Difference, f.change.Ratio
	if !(d.Low < 5 && 5 < d.High && d.Low > 4) || !(f.drawn.Low < 5 && 5 < f.drawn.High) || !(r.Low < 0.5 && 0.5 < r.High && r.High < 1) || f.change.Delta.Value != 1 {
		t.Errorf("%+v\n%+v\n%+v\n%+v", d, f.drawn, r, f.change.Delta)
	}
	clitest.WantAll(t, "the words", f.words(), "angle_deg of a.csv", "Early is 0.0 to 5.", "by +", "times as much")
	if w := asked(t, "-changes", "9", "a.csv").change.Warning; w != "" {
		t.Errorf("a change between the parts is warned of: %s", w)
	}
	if w := asked(t, "-changes", "9,16", "-share", "0.4", "a.csv").change.Warning; !strings.Contains(w, "late part holds") {
		t.Errorf("it warns of %q", w)
	}
}

// Lines that alternate are averaged in pairs.
func TestAlternate(t *testing.T) {
	t.Chdir(t.TempDir())
	text := "v\n"
	for i, v := range series(5, 200, 0) {
		text += fmt.Sprintln(v/10 + float64(10*(i%2)))
	}
	clitest.Save(t, "v.csv", text)
	f, g := asked(t, "-alternate", "v.csv"), asked(t, "v.csv")
	if f.change.Early.SD > 0.1 || g.change.Early.SD < 4 || math.Abs(f.change.Early.Mean-5) > 0.1 {
		t.Errorf("%+v\n%+v", f.change.Early, g.change.Early)
	}
	clitest.WantAll(t, "the words", f.words(), "Early is line 1 to 65, 33 cycles")
}

// TestStandardInput: - is standard input.
func TestStandardInput(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "in", strings.Repeat("1\n2\n3\n", 30))
	in, err := os.Open("in")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	old := os.Stdin
	defer func() { os.Stdin = old }()
	os.Stdin = in
	clitest.WantAll(t, "the words", must(t, "-"), "column 1 of standard input", "Early is line 1 to 30, 30 values", "from 2.0")
}

// What is too short is told so, and no number is invented.
func TestShort(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "v.csv", "v\n1\n2\n3\n4\n5\n6\n7\n8\n9\n")
	made := recipetest.Check(t, run, "plectrace/earlylate/1", []string{"early-late.csv"}, "v.csv")
	clitest.WantAll(t, "the page", recipetest.Prose(made["page.html"]), "The parts cannot be compared: ")
	if f := asked(t, "v.csv"); f.change.Difference.Known() || f.drawn.Known() {
		t.Errorf("%+v", f.change)
	}
}

// TestHostile: names of columns are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	text := "t," + clitest.Hostile + "\n"
	for i, v := range series(6, 90, 0.3) {
		text += fmt.Sprintf("%d,%g\n", i, v)
	}
	clitest.Save(t, "h.csv", text)
	clitest.WantEscaped(t, recipetest.Check(t, run, "plectrace/earlylate/1", []string{"early-late.csv"}, "h.csv"))
}

func TestBadInput(t *testing.T) {
	files := func(text string) map[string]string { return map[string]string{"a.csv": text} }
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "two files", Args: "a b", Code: cli.BadUsage, Names: `"b"`, Next: "one table"},
		{Name: "share", Args: "-share 0.6 a.csv", Code: cli.BadUsage, Names: "-share 0.6", Next: "up to 0.5"},
		{Name: "noise", Args: "-noise -1 a.csv", Code: cli.BadUsage, Names: "-noise -1", Next: "0 or more"},
		{Name: "changes", Args: "-changes 1,soon a.csv", Code: cli.BadUsage, Names: `"soon" is not a time`, Next: "earlylate -h"},
		{Name: "columns of nothing", Args: "-column v", Code: cli.BadUsage, Names: "-column is given without a file", Next: "name the file"},
		{Name: "no file", Args: "none.csv", Code: cli.BadInput, Names: `"none.csv"`, Next: "check the name"},
		{Name: "which column", Args: "a.csv", Files: files("time_s,a,b\n0,1,2\n"), Code: cli.BadInput, Names: "a.csv has 2 columns", Next: "-column"},
		{Name: "no column", Args: "-column c a.csv", Files: files("time_s,a,b\n0,1,2\n"), Code: cli.BadInput, Names: `no column "c"`, Next: "-column: time_s, a, b"},
		{Name: "text", Args: "a.csv", Files: files("time_s,a\n0,1\n1,down\n"), Code: cli.BadInput, Names: `a.csv, line 3, column 2: "down"`, Next: "empty"},
		{Name: "infinite", Args: "a.csv", Files: files("a\n0\nInf\n"), Code: cli.BadInput, Names: `line 3, column 1: "Inf"`, Next: "empty"},
		{Name: "backward", Args: "a.csv", Files: files("time_s,a\n1,1\n0,1\n"), Code: cli.BadInput, Names: "line 3, column 1: the time 0 s", Next: "sort"},
		{Name: "ragged", Args: "a.csv", Files: files("time_s,a\n1,1\n2\n"), Code: cli.BadInput, Names: "line 3: it has 1 cell", Next: "as many"},
		{Name: "empty", Args: "a.csv", Files: files(""), Code: cli.BadInput, Names: "a.csv holds no line", Next: "right file"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}
