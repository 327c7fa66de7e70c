package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

// film writes a made take of 8 s with its settings beside it.
func film(t *testing.T, name string, o simulate.Options) {
	t.Helper()
	o.Duration = 8
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	clitest.Copy(t, ".", func(file string) (io.ReadCloser, error) { return takefile.Made(take, strings.HasSuffix(file, ".json")) }, name+".csv", name+".take.json")
}

// lessons are two takes whose path and rate differ by much, and six repeats of two
// days. Takes differ by a degree and by two per cent.
func lessons(t *testing.T) {
	t.Helper()
	play := func(name string, seed uint64, angle, rate float64) {
		film(t, name, simulate.Options{Seed: seed, PathAngle: circular.Angle(angle) * circular.Degree, Rate: rate})
	}
	play("first", 1, 12, 7)
	play("second", 2, 26, 10)
	play("alike", 3, 12.5, 7.1)
	for i, angle := range []float64{12, 13, 12.4, 11.5, 12.6, 12.1} {
		play(fmt.Sprintf("r%d", i+1), uint64(10+i), angle, 7+0.1*float64(i%3))
	}
}

// must returns what the program prints.
var must = clitest.Run(run).Must

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	out := must(t)
	page := clitest.Visible(clitest.Read(t, "twotakes-out/page.html"))
	clitest.WantAll(t, "the summary", out, "No real player was measured", "These two takes differ", "Two takes are two observations", "Written: twotakes-out")
	clitest.WantAll(t, "the page", page, "What may be compared", "set-up \"class\"", "Whether the player does cannot be said", "That is no proof that nothing changed",
		"Is it the same motion", "The mean motion", "Stroke by stroke", "When the motion holds", "How fast", "How it was computed", "Stop at pain, numbness or tingling.", "see a clinician", "Nothing on this page is medical advice")
	clitest.WantResults(t, "the page", page)
	clitest.WantResults(t, "the summary", out)
	if strings.Contains(out+page, "More than takes of this player differ") {
		t.Error("without repeats something is said of the player")
	}
	rows, err := csv.NewReader(strings.NewReader(clitest.Read(t, "twotakes-out/comparison.csv"))).ReadAll()
	if err != nil || len(rows) != 1+len(review.Measures()) {
		t.Errorf("comparison.csv has %d lines, %v", len(rows), err)
	}
	var c struct {
		Schema  string
		Changes []struct {
			Measure string
			Verdict string
			First   struct{ Value, Low, High *float64 }
		}
	}
	if err := json.Unmarshal([]byte(clitest.Read(t, "twotakes-out/comparison.json")), &c); err != nil || c.Schema != schema || len(c.Changes) != len(review.Measures()) {
		t.Errorf("comparison.json: %v, schema %q, %d changes", err, c.Schema, len(c.Changes))
	}
	// The truth of the demo: 7 and 8.2 strokes a second in settled spans.
	for _, ch := range c.Changes {
		if ch.Measure == "settled_notes_per_second" && (ch.First.Low == nil || *ch.First.Low > 7.1 || *ch.First.High < 6.9) {
			t.Errorf("the first take's rate is %v", ch.First)
		}
	}
}

// TestOutputs: -json prints what comparison.json holds and writes nothing, -quiet
// prints nothing, and -notebook adds a file that -force replaces with the others.
func TestOutputs(t *testing.T) {
	t.Chdir(t.TempDir())
	printed := must(t, "-json")
	if left := clitest.Tree(t, "."); len(left) > 0 {
		t.Errorf("-json writes %v", left)
	}
	if out := must(t, "-quiet", "-notebook", "-out", "kept"); out != "" {
		t.Errorf("-quiet prints %q", out)
	}
	files := clitest.Tree(t, "kept")
	if files["comparison.json"] != printed || len(files) != 4 || !json.Valid([]byte(files["notebook.ipynb"])) {
		t.Errorf("the folder holds %d files, or other JSON than is printed", len(files))
	}
	must(t, "-force", "-out", "kept")
	if files := clitest.Tree(t, "kept"); len(files) != 3 {
		t.Errorf("replaced, the folder holds %d files", len(files))
	}
}

// TestFolderSettings: what a folder says of its exports stands for all of them.
func TestFolderSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	lessons(t)
	for _, name := range []string{"first", "second"} {
		if err := os.Rename(name+".take.json", "folder.take.json"); err != nil { // both are alike
			t.Fatal(err)
		}
	}
	clitest.WantAll(t, "the summary", must(t, "first.csv", "second.csv"), "measures can be compared")
}

// TestRepeats: repeats tell what is more than takes differ anyhow.
func TestRepeats(t *testing.T) {
	t.Chdir(t.TempDir())
	lessons(t)
	days := []string{"-repeats", "r1.csv,r2.csv,r3.csv", "-repeats", "r4.csv,r5.csv,r6.csv"}
	args := append([]string{"-setup", "desk", "-primary", "picture_angle_deg,notes_per_second", "-dates", "2026-01-12", "-margin", "picture_angle_deg=30"}, days...)
	out := must(t, append(args, "-out", "far", "first.csv", "second.csv")...)
	clitest.WantAll(t, "far apart", out, "Path angle as the picture shows it", "That is more than takes of the player differ by themselves",
		"More than takes of this player differ by themselves", "It is within the margin of 30 degrees", "first.csv of 2026-01-12")
	page := clitest.Visible(clitest.Read(t, "far/page.html"))
	clitest.WantAll(t, "the page", page, "Least is the least change that counts", "also allows for what takes of this player differ", "func repeatability", "What was asked", "Repeats: 6 takes of 2 days")
	clitest.WantResults(t, "the page", page)
	out = must(t, append(args, "-out", "near", "first.csv", "alike.csv")...)
	clitest.WantAll(t, "alike", out, "That is within what takes of the player differ by themselves")
	if strings.Contains(out, "That is more than takes") {
		t.Errorf("takes that are alike differ:\n%s", out)
	}
	// Of two days, repeats of two days do not tell.
	out = must(t, append([]string{"-setup", "desk", "-primary", "picture_angle_deg", "-dates", "2026-01-12,2026-02-16", "-out", "days", "first.csv", "second.csv"}, days...)...)
	clitest.WantAll(t, "two days", out, "These are of two days: give repeats of three days or more to tell")
	// Without a name of the set-up angles are not compared.
	out = must(t, "-primary", "picture_angle_deg", "-out", "unnamed", "first.csv", "second.csv")
	clitest.WantAll(t, "no set-up", out, "not compared", "name the setup of both takes alike")
}

// TestList: the list says who played when, and how it felt.
func TestList(t *testing.T) {
	t.Chdir(t.TempDir())
	lessons(t)
	clitest.Save(t, "takes.csv", "player,date,take,file,setup,comfort\nP01,2026-02-16,1,second.csv,desk,pain\nP01,2026-01-12,1,first.csv,desk,good\nP02,2026-01-12,1,alike.csv,desk,good\n")
	out := must(t, "-list", "takes.csv", "second.csv", "first.csv")
	clitest.WantAll(t, "the summary", out, "Stop playing now", "First first.csv of 2026-01-12, then second.csv of 2026-02-16", "The takes came in the wrong order")
	page := clitest.Visible(clitest.Read(t, "twotakes-out/page.html"))
	if i, k := strings.Index(page, "Pain was noted"), strings.Index(page, "What may be compared"); i < 0 || strings.Index(page, "Before anything else") > k {
		t.Errorf("pain does not come first:\n%s", page)
	}
	out = must(t, "-force", "-list", "takes.csv", "first.csv", "alike.csv")
	clitest.WantAll(t, "two players", out, "two players, P01 and P02")
	out = must(t, "-force", "-comfort", "pain", "first.csv", "alike.csv")
	clitest.WantAll(t, "the flag", out, "Stop playing now")
}

// badFiles are some good takes, some that are not, and lists.
func badFiles(t *testing.T) {
	for _, name := range []string{"first", "second", "alike", "r1", "r2"} {
		film(t, name, simulate.Options{Seed: 5})
	}
	export, settings := clitest.Read(t, "first.csv"), clitest.Read(t, "first.take.json")
	clitest.Plant(t, ".", map[string]string{
		"broken.csv": "time_s,tip_x,tip_y\n0,640,two\n", "broken.take.json": settings,
		"bare.csv": export, "odd.csv": export, "odd.take.json": `{"schema":"plectrace/take/1","tipp":"tip"}`,
		"takes.csv":   "player,date,file\nP01,2026-01-12,first.csv\n",
		"undated.csv": "player,file\nP01,first.csv\nP01,second.csv\nP01,r1.csv\nP01,r2.csv\n",
		"d/":          "", "taken/": "", "taken/mine.txt": "mine",
	})
}

func TestBadInput(t *testing.T) {
	clitest.Run(run).Refuses(t, badFiles, []clitest.Bad{
		{Name: "one file", Args: "first.csv", Code: cli.BadUsage, Names: "1 file given", Next: "give two takes"},
		{Name: "three files", Args: "first.csv second.csv alike.csv", Code: cli.BadUsage, Names: "3 files", Next: "give two takes"},
		{Name: "no file", Args: "first.csv none.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "a folder", Args: "first.csv d", Code: cli.BadInput, Names: "it is a folder", Next: "check the name"},
		{Name: "the same twice", Args: "first.csv ./first.csv", Code: cli.BadUsage, Names: "both takes", Next: "give two takes"},
		{Name: "broken", Args: "first.csv broken.csv", Code: cli.BadInput, Names: "broken.csv: line 2", Next: "write missing samples"},
		{Name: "no settings", Args: "first.csv bare.csv", Code: cli.BadInput, Names: "bare.take.json", Next: "-settings"},
		{Name: "bad settings", Args: "first.csv odd.csv", Code: cli.BadInput, Names: "odd.take.json", Next: "correct the settings"},
		{Name: "settings elsewhere", Args: "-settings none.json first.csv bare.csv", Code: cli.BadInput, Names: "none.json", Next: "-settings"},
		{Name: "unknown flag", Args: "-speed 3 first.csv second.csv", Code: cli.BadUsage, Names: "-speed", Next: "twotakes -h"},
		{Name: "unknown measure", Args: "-primary speed first.csv second.csv", Code: cli.BadUsage, Names: "speed", Next: "-measures"},
		{Name: "unknown margin", Args: "-margin speed=3 first.csv second.csv", Code: cli.BadUsage, Names: "speed", Next: "-measures"},
		{Name: "no value", Args: "-margin length first.csv second.csv", Code: cli.BadUsage, Names: "NAME=VALUE", Next: "write"},
		{Name: "no margin", Args: "-margin length=0 first.csv second.csv", Code: cli.BadUsage, Names: "above zero", Next: "largest change"},
		{Name: "bad date", Args: "-dates 12.1.2026 first.csv second.csv", Code: cli.BadUsage, Names: "12.1.2026", Next: "year-month-day"},
		{Name: "three dates", Args: "-dates 2026-01-12,2026-01-13,2026-01-14 first.csv second.csv", Code: cli.BadUsage, Names: "3 days", Next: "first"},
		{Name: "bad comfort", Args: "-comfort fine first.csv second.csv", Code: cli.BadUsage, Names: "fine", Next: "good, tired or pain"},
		{Name: "one repeat", Args: "-repeats r1.csv first.csv second.csv", Code: cli.BadUsage, Names: "at least two", Next: "twotakes -h"},
		{Name: "repeat twice", Args: "-repeats r1.csv,r1.csv first.csv second.csv", Code: cli.BadUsage, Names: "twice", Next: "each take once"},
		{Name: "repeat missing", Args: "-repeats r1.csv,none.csv first.csv second.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "repeats alone", Args: "-repeats r1.csv,r2.csv", Code: cli.BadUsage, Names: "no takes", Next: "name the two takes"},
		{Name: "no list", Args: "-list none.csv first.csv second.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "bad list", Args: "-list bare.csv first.csv second.csv", Code: cli.BadInput, Names: "bare.csv", Next: "player"},
		{Name: "not on the list", Args: "-list takes.csv first.csv second.csv", Code: cli.BadInput, Names: "does not name second.csv", Next: "add a line"},
		{Name: "no date of a repeat", Args: "-list undated.csv -repeats r1.csv,r2.csv first.csv second.csv", Code: cli.BadInput, Names: "no date", Next: "fill in its date"},
		{Name: "a notebook without a folder", Args: "-notebook -json first.csv second.csv", Code: cli.BadUsage, Names: "-notebook", Next: "add -out"},
		{Name: "names as a file", Args: "-measures -out names", Code: cli.BadUsage, Names: "-measures", Next: "leave them out"},
		{Name: "names as JSON", Args: "-measures -json", Code: cli.BadUsage, Names: "-measures", Next: "leave them out"},
		{Name: "out is taken, told before any take is opened", Args: "-out taken first.csv none.csv", Code: cli.BadInput, Names: "taken", Next: "-force"},
	})
}

func TestHelp(t *testing.T) {
	var out bytes.Buffer
	if err := run([]string{"-h"}, &out); cli.Code(err) != cli.OK {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the help", out.String(), "Try:", "twotakes -list takes.csv", "medical advice")
	if out := must(t, "-measures"); !strings.Contains(out, "settled_share") || strings.Count(out, "\n") != len(review.Measures()) {
		t.Errorf("-measures prints\n%s", out)
	}
}
