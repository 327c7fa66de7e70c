package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

var must = clitest.Run(run).Must

// asked is what a call makes.
func asked(t *testing.T, args ...string) *made {
	t.Helper()
	return recipetest.Asked(t, parse, settings.make, args...)
}

func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/cookbook/resample", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/resample/1", []string{"even.csv"})
	if n := strings.Count(made["even.csv"], "\n"); n != 1+len(asked(t).after.T) {
		t.Errorf("%d lines", n)
	}
}

// uneven is an export of a sine of so many samples a cycle, whose times jitter by up
// to a fifth of the interval of 10 ms. Samples from..to are missing, of a second
// point too.
func uneven(perCycle float64, n int, lost ...int) string {
	rng := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("time_s,tip_x,tip_y,wrist_x,wrist_y\n")
	for i := range n {
		t := 0.01 * (float64(i) + 0.4*(rng.Float64()-0.5))
		tip := fmt.Sprintf("%.9f,%.9f", sine(perCycle, t), -sine(perCycle, t))
		for _, k := range lost {
			if i == k {
				tip = ","
			}
		}
		fmt.Fprintf(&b, "%.6f,%s,%.9f,5\n", t, tip, 3*t)
	}
	return b.String()
}

func sine(perCycle, t float64) float64 { return math.Sin(2 * math.Pi * t / (0.01 * perCycle)) }

// TestSine: what comes out is a sampled sine still, by the definition of one. A cubic
// over 16 samples a cycle is off by less than 0.1 % between uneven samples and 0.5 %
// in a gap of one.
func TestSine(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "sine.csv", uneven(16, 400, 50, 120, 121, 122, 123, 124, 125, 300))
	printed := must(t, "sine.csv")
	rec, err := tracks.Read(strings.NewReader(printed), tracks.Options{})
	if err != nil {
		t.Fatal(err)
	}
	tip, _ := rec.Point("tip")
	wrist, _ := rec.Point("wrist")
	empty := 0
	for i, at := range tip.T {
		if i > 0 && math.Abs(at-tip.T[i-1]-(tip.T[1]-tip.T[0])) > 2e-6 {
			t.Fatalf("the times are not even at %g s", at)
		}
		if math.IsNaN(tip.X[i]) {
			empty++
			if at < 1.19 || at > 1.26 {
				t.Errorf("nothing at %g s", at)
			}
			continue
		}
		if at > 1.2 && at < 1.25 {
			t.Errorf("something was invented at %g s", at)
		}
		limit := 0.001
		if math.Abs(at-0.5) < 0.02 || math.Abs(at-3) < 0.02 || i < 2 || i > len(tip.T)-3 {
			limit = 0.005
		}
		if off := math.Abs(tip.X[i] - sine(16, at)); off > limit || math.Abs(tip.X[i]+tip.Y[i]) > 1e-6 {
			t.Errorf("at %g s off by %g", at, off)
		}
		if math.Abs(wrist.X[i]-3*at) > 1e-5 || math.Abs(wrist.Y[i]-5) > 1e-5 {
			t.Errorf("a straight line bends at %g s: %g, %g", at, wrist.X[i], wrist.Y[i])
		}
	}
	if empty < 5 || empty > 7 {
		t.Errorf("%d samples are empty of a gap of 6", empty)
	}
	p := asked(t, "sine.csv").points()
	if len(p) != 2 || p[0].Bridged != 2 || p[0].Empty != 1 || p[1].Bridged != 0 || p[1].Empty != 0 {
		t.Errorf("%+v", p)
	}
}

func TestSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "sine.csv", uneven(20, 200, 50, 51, 52))
	if m := asked(t, "-rate", "50", "-points", "wrist,tip", "sine.csv"); math.Abs(m.rate()-50) > 1e-9 || len(m.after.T) != 100 || m.after.Points[0].Name != "wrist" {
		t.Errorf("%g a second, %d samples of %s", m.rate(), len(m.after.T), m.after.Points[0].Name)
	}
	if p := asked(t, "-max-gap", "0.06", "sine.csv").points()[0]; p.Bridged != 1 || p.Empty != 0 {
		t.Errorf("a wide gap that may be bridged: %+v", p)
	}
	clitest.Save(t, "conf.csv", "time_s,tip_x,tip_y,tip_confidence\n0,1,2,0.9\n1,1,2,0.9\n2,1,2,0.8\n")
	if out := must(t, "conf.csv"); out != "time_s,tip_x,tip_y\n0.000000,1.000000,2.000000\n1.000000,1.000000,2.000000\n2.000000,1.000000,2.000000\n" {
		t.Errorf("it prints\n%s", out)
	}
	clitest.WantAll(t, "the words", must(t, "-out", "o", "conf.csv"), "Confidences are left out", "3 samples, 1000.00 to 1000.00 ms apart")
}

// TestHostile: names of points are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "h.csv", strings.Replace(uneven(20, 60, 7, 20, 21, 22, 23), "tip_x,tip_y", clitest.Hostile+"_x,"+clitest.Hostile+"_y", 1))
	clitest.WantEscaped(t, recipetest.Check(t, run, "plectrace/resample/1", []string{"even.csv"}, "h.csv"))
}

// TestNoTimes: an export without times has those of its capture rate.
func TestNoTimes(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "a.csv", "tip_x,tip_y\n1,2\n2,3\n4,5\n")
	const want = "time_s,tip_x,tip_y\n0.000000,1.000000,2.000000\n0.040000,2.000000,3.000000\n0.080000,4.000000,5.000000\n"
	if got := must(t, "-capture", "25", "a.csv"); got != want {
		t.Errorf("it prints\n%s", got)
	}
}

func TestBadInput(t *testing.T) {
	files := func(text string) map[string]string { return map[string]string{"a.csv": text} }
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "points", Args: "-points tip,,wrist a.csv", Code: cli.BadUsage, Names: "a name is empty", Next: "resample -h"},
		{Name: "of no file", Args: "-points tip", Code: cli.BadUsage, Names: "-points is given without a file", Next: "name the file"},
		{Name: "two files", Args: "a b", Code: cli.BadUsage, Names: `"b"`, Next: "one export"},
		{Name: "rate", Args: "-rate -5 a", Code: cli.BadUsage, Names: "-rate -5", Next: "samples per second"},
		{Name: "gap", Args: "-max-gap NaN a", Code: cli.BadUsage, Names: "-max-gap NaN", Next: "seconds"},
		{Name: "no file", Args: "none.csv", Code: cli.BadInput, Names: `"none.csv"`, Next: "check the name"},
		{Name: "capture", Args: "-capture -1 a.csv", Code: cli.BadUsage, Names: "-capture -1", Next: "samples per second"},
		{Name: "no times", Args: "a.csv", Files: files("tip_x,tip_y\n1,2\n2,3\n"), Code: cli.BadInput, Names: "a.csv", Next: "rate"},
		{Name: "times run back", Args: "a.csv", Files: files("time_s,tip_x,tip_y\n0,1,2\n1,2,3\n0.5,1,1\n"), Code: cli.BadInput, Names: "a.csv, line 4", Next: "sort the rows"},
		{Name: "text", Args: "a.csv", Files: files("time_s,tip_x,tip_y\n0,1,2\n1,left,3\n"), Code: cli.BadInput, Names: `"left"`, Next: "empty cells"},
		{Name: "one sample", Args: "a.csv", Files: files("time_s,tip_x,tip_y\n0,1,2\n"), Code: cli.BadInput, Names: "1 sample", Next: "two"},
		{Name: "no such point", Args: "-points wrist a.csv", Files: files("time_s,tip_x,tip_y\n0,1,2\n1,1,2\n"), Code: cli.BadInput, Names: "wrist", Next: "the points are"},
		{Name: "too many", Args: "-rate 100000 a.csv", Files: files("time_s,tip_x,tip_y\n0,1,2\n1000,1,2\n"), Code: cli.BadInput, Names: "1e+08 samples", Next: "lower rate"},
		{Name: "picture", Args: "a.csv", Files: files("\xff\xd8\xff\xe0\x00\x10JFIF\x00"), Code: cli.BadInput, Names: "a.csv", Next: "text"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}
