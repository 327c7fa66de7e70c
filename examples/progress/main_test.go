package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// must returns what the program prints.
var must = clitest.Run(run).Must

// film writes takes of the demo with their settings.
func film(t *testing.T, names ...string) {
	t.Helper()
	keep(t, openDemo, names...)
}

// keep writes takes with their settings.
func keep(t *testing.T, open takefile.Opener, names ...string) {
	t.Helper()
	for _, name := range names {
		clitest.Copy(t, ".", open, name, cohort.SettingsName(name))
	}
}

// section is what stands between two headings of a page's text.
func section(text, from, to string) string {
	_, text, _ = strings.Cut(text, from)
	text, _, _ = strings.Cut(text, to)
	return text
}

func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 66 takes")
	}
	t.Chdir(t.TempDir())
	out := must(t)
	clitest.WantAll(t, "the summary", out, "Left out: p02-4-2.csv: line 2", "Pain was noted (P02). Stop playing now.", "no real player was measured",
		"P01: 30 takes on 10 days", "P02: 29 takes on 10 days", "The motion is the same at", "Written: progress-out")
	file := clitest.Read(t, "progress-out/page.html")
	page := clitest.Visible(file)
	clitest.WantAll(t, "the page", page, "Players first", "p02-4-2.csv: line 2", "Week by week", "12 Jan 2026", "The first 2 and the last 4 weeks", "Day by day it levels off", "The line is the learning curve", "What to work on After P01", "6 takes at a pace that was asked for",
		"Is the slow motion the fast one", "Stop at pain, numbness or tingling.", "Nothing on this page is medical advice")
	clitest.WantResults(t, "the page", page)
	clitest.WantResults(t, "the summary", out)
	// What the demo is made of: P01 settles and gets more even, P02 stays alike.
	asked := strings.Split(file, "What was asked</h3>")
	if len(asked) != 3 {
		t.Fatalf("%d players on the page", len(asked)-1)
	}
	one, two := clitest.Visible(section(asked[1], "", "Week by week")), clitest.Visible(section(asked[2], "", "Week by week"))
	clitest.WantAll(t, "P01", one, "It rises by", "It falls by", "It is the way practice aims at")
	if strings.Contains(two, "It rises") || strings.Contains(two, "It falls") || !strings.Contains(two, "No trend can be told") {
		t.Errorf("P02 stays alike: %s", two)
	}
	if strings.Contains(two, "The line is") {
		t.Errorf("P02 has a line without a trend: %s", two)
	}
	if strings.Contains(two, "What to work on") || strings.Contains(section(out, "P02: ", "Written"), "To work on") {
		t.Error("there is a list of work after pain")
	}
	// Another program reads the rows.
	in, err := cohort.NewRowReader(strings.NewReader(clitest.Read(t, "progress-out/progress.csv")), "progress.csv")
	if err != nil {
		t.Fatal(err)
	}
	takes, failed := 0, 0
	for {
		rec, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if takes++; rec.Failure != nil {
			failed++
		}
	}
	if takes != 66 || failed != 1 {
		t.Errorf("%d takes in progress.csv, %d failed", takes, failed)
	}
	if rows, err := csv.NewReader(strings.NewReader(clitest.Read(t, "progress-out/trends.csv"))).ReadAll(); err != nil || len(rows) < 100 {
		t.Errorf("trends.csv: %d lines, %v", len(rows), err)
	}
}

// TestOutputs: -json prints what progress.json holds and writes nothing, -quiet
// prints nothing, and -notebook adds a file that -force replaces with the others.
func TestOutputs(t *testing.T) {
	t.Chdir(t.TempDir())
	film(t, "p01-1-1.csv", "p01-1-2.csv")
	clitest.Save(t, "takes.csv", "player,date,take,file,setup,comfort\nP01,2026-01-12,1,p01-1-1.csv,class,good\nP01,2026-01-12,2,p01-1-2.csv,class,pain\nP01,2026-01-13,1,none.csv,class,\n")
	before := len(clitest.Tree(t, "."))
	printed := must(t, "-json", "takes.csv")
	if left := clitest.Tree(t, "."); len(left) > before {
		t.Errorf("-json writes %v", left)
	}
	if out := must(t, "-quiet", "-notebook", "-out", "kept", "takes.csv"); out != "" {
		t.Errorf("-quiet prints %q", out)
	}
	files := clitest.Tree(t, "kept")
	if files["progress.json"] != printed || len(files) != 5 || !json.Valid([]byte(files["notebook.ipynb"])) {
		t.Errorf("the folder holds %d files, or other JSON than is printed", len(files))
	}
	must(t, "-force", "-out", "kept", "takes.csv")
	if files := clitest.Tree(t, "kept"); len(files) != 4 {
		t.Errorf("replaced, the folder holds %d files", len(files))
	}
	var got results
	if err := json.Unmarshal([]byte(printed), &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != schema || got.Takes != 3 || len(got.LeftOut) != 1 || got.LeftOut[0].File != "none.csv" || len(got.Players) != 1 {
		t.Fatalf("%+v", got)
	}
	p := got.Players[0]
	if p.Takes != 2 || p.Days != 1 || len(p.Stop) == 0 || len(p.Work) > 0 || len(p.Pain) != 1 || p.Pain[0] != "2026-01-12" || len(p.Series) < len(review.Measures()) {
		t.Errorf("%d takes on %d days, pain on %v: stop %q, work %q", p.Takes, p.Days, p.Pain, p.Stop, p.Work)
	}
	for _, s := range p.Series {
		// One day tells no trend, and what cannot be told says why.
		if s.PerWeek.Why == "" || s.Change.Why == "" || s.Level != nil && s.Level.Why == "" || s.Absent == nil {
			t.Errorf("%s: %+v", s.Measure, s)
		}
	}
}

// TestFigures: what the demo's truth is shows in the figures.
func TestFigures(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 1, d, 0, 0, 0, 0, time.UTC) }
	// A doubling every week, exactly: the line of a Ratio goes through all of it.
	s := progress.Series{Scale: review.Ratio, Adjusted: 0.01}
	for i := range 6 {
		s.Days = append(s.Days, progress.Day{Date: day(1 + 7*i), Value: math.Pow(2, float64(i))})
	}
	f := overDays(s, "x", []time.Time{day(3)})
	for i, y := range f.Trend.Y {
		if math.Abs(y/f.Value[i]-1) > 1e-12 || f.Trend.X[i] != float64(7*i) {
			t.Errorf("day %g: the line is at %g, the value %g", f.Trend.X[i], y, f.Value[i])
		}
	}
	if len(f.Trend.Y) != 6 || len(f.Pain) != 1 {
		t.Errorf("%+v", f)
	}
	if s.Adjusted = 0.06; len(overDays(s, "x", nil).Trend.X) > 0 {
		t.Error("a line without a trend")
	}
	// Shares come in per cent, and no bound leaves 0 to 100.
	s = progress.Series{Scale: review.Share, Adjusted: 0.01}
	for i := range 6 {
		s.Days = append(s.Days, progress.Day{Date: day(1 + i), Value: []float64{0.1, 0.4, 0.9, 1, 1, 1}[i]})
	}
	f = overDays(s, "x", nil)
	if f.Unit != "%" || f.Value[1] != 40 || slices.Max(f.Trend.Y) > 100 || slices.Min(f.Trend.Y) < 0 {
		t.Errorf("%+v", f)
	}
	weeks := []progress.Week{{Monday: day(5), SettledShare: estimate.Value[float64]{Value: 0.5, Low: 0.25, High: 0.75, Level: 0.95, N: 3}},
		{Monday: day(12), Pain: 1, SettledShare: estimate.Missing[float64]("none", "settled share", "no strokes")}}
	if f := overWeeks(weeks); len(f.Dates) != 1 || f.Value[0] != 50 || f.Low[0] != 25 || f.High[0] != 75 || len(f.Pain) != 1 || !f.Pain[0].Equal(day(12)) {
		t.Errorf("%+v", f)
	}
}

// TestList reads a small list from a folder, with a broken take and an undated one.
func TestList(t *testing.T) {
	t.Chdir(t.TempDir())
	film(t, "p01-1-1.csv", "p01-1-2.csv", "p01-1-3.csv", "p02-1-1.csv")
	clitest.Save(t, "broken.csv", "time_s,tip_x,tip_y\n0,1,two\n")
	clitest.Save(t, "broken.take.json", clitest.Read(t, "p01-1-1.take.json"))
	const list = "player,date,take,file,setup,comfort\nP01,2026-01-12,1,p01-1-1.csv,class,%\nP01,2026-01-12,2,p01-1-2.csv,class,good\nP01,,3,p01-1-3.csv,class,good\nP01,2026-01-19,1,broken.csv,class,good\nP02,2026-01-12,1,p02-1-1.csv,class,good\n"
	clitest.Save(t, "takes.csv", strings.Replace(list, "%", "good", 1))
	out := must(t, "-player", "P01", "-primary", "notes_per_second", "-task", "changing-strings", "takes.csv")
	clitest.WantAll(t, "the summary", out, "Left out: broken.csv: line 2", "P01: 2 takes on 1 day", "film on further days")
	page := clitest.Visible(clitest.Read(t, "progress-out/page.html"))
	clitest.WantAll(t, "the page", page, "its day is not known; fill in its date", "on the only day", "What to work on", "this needs 1.30")
	clitest.WantResults(t, "the page", page)
	if strings.Contains(page, "P02") {
		t.Error("a player who was not asked for is told")
	}
	// Pain at the first take, and no later day is good.
	clitest.Save(t, "takes.csv", strings.Replace(strings.Replace(list, "%", "pain", 1), "broken.csv,class,good", "broken.csv,class,", 1))
	must(t, "-force", "-player", "P01", "takes.csv")
	page = clitest.Visible(clitest.Read(t, "progress-out/page.html"))
	clitest.WantAll(t, "after pain", page, "Pain was noted: P01", "Stop playing now")
	if strings.Contains(page, "What to work on") {
		t.Error("there is a list of work after pain")
	}
	if first := strings.Index(page, "Players first"); first < 0 || first > strings.Index(page, "What was asked") {
		t.Error("pain does not come first")
	}
	// Two days are too few for a trend: words and captions say so alike.
	clitest.Save(t, "takes.csv", strings.Replace(strings.Replace(list, "%", "good", 1), "P01,,3", "P01,2026-01-26,3", 1))
	must(t, "-force", "-player", "P01", "takes.csv")
	page = clitest.Visible(clitest.Read(t, "progress-out/page.html"))
	clitest.WantAll(t, "two days", page, "A point is a day. Whether it changes cannot be said yet.")
	if strings.Contains(page, "No trend can be told") {
		t.Error("a trend is sought in two days")
	}
}

// TestRamp: a take that gets faster tells whether its motion stays the same, and
// takes no part in the rest. A player without a take that can be measured is told so.
func TestRamp(t *testing.T) {
	t.Chdir(t.TempDir())
	ramp, err := simulate.Make(simulate.Options{Seed: 5, Duration: 24, Rate: 5, RateDrift: 1, PathAngle: 12 * circular.Degree})
	if err != nil {
		t.Fatal(err)
	}
	keep(t, func(name string) (io.ReadCloser, error) { return takefile.Made(ramp, strings.HasSuffix(name, ".json")) }, "ramp.csv")
	film(t, "p01-1-1.csv")
	clitest.Save(t, "takes.csv", "player,date,take,file,comfort,pace\nP01,2026-01-12,1,p01-1-1.csv,good,own\nP01,2026-01-12,2,ramp.csv,good,Ramp\nP02,2026-01-12,1,none.csv,good,\n")
	out := must(t, "takes.csv")
	clitest.WantAll(t, "the summary", out, "P01: 1 take on 1 day", "The motion is the same at", "Left out: none.csv", "P02: 0 takes")
	page := clitest.Visible(clitest.Read(t, "progress-out/page.html"))
	clitest.WantAll(t, "the page", page, "Within P01, 2026-01-12, take 2: The motion is the same", "1 take at a pace that was asked for", "Nothing can be followed yet")
	clitest.WantResults(t, "the page", page)
}

// TestHurt: pain stands until a later day is noted as good.
func TestHurt(t *testing.T) {
	day := func(d int, c progress.Comfort) progress.Take {
		t := progress.Take{Comfort: c}
		if d > 0 {
			t.Date = time.Date(2026, 1, d, 19, 0, 0, 0, time.UTC)
		}
		return t
	}
	const good, pain, none = progress.ComfortGood, progress.ComfortPain, progress.ComfortUnknown
	for _, c := range []struct {
		name  string
		takes []progress.Take
		want  bool
	}{
		{"none", nil, false},
		{"good", []progress.Take{day(1, good)}, false},
		{"pain last", []progress.Take{day(1, good), day(2, pain)}, true},
		{"pain, then good on a later day", []progress.Take{day(2, pain), day(3, good)}, false},
		{"good on that day", []progress.Take{day(2, pain), day(2, good)}, true},
		{"nothing noted since", []progress.Take{day(2, pain), day(3, none)}, true},
		{"pain again", []progress.Take{day(2, pain), day(3, good), day(4, pain)}, true},
		{"no day", []progress.Take{day(0, pain), day(3, good)}, true},
	} {
		if got := hurt(c.takes); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// badFiles are a good take and lists that are not.
func badFiles(t *testing.T) {
	film(t, "p01-1-1.csv")
	clitest.Plant(t, ".", map[string]string{
		"takes.csv": "player,date,file\nP01,2026-01-12,none.csv\n",
		"empty.csv": "", "odd.csv": "who,what\nP01,a.csv\n", "date.csv": "player,date,file\nP01,12.1.2026,a.csv\n",
		"pace.csv": "player,date,file,pace\nP01,2026-01-12,p01-1-1.csv,brisk\n",
		"d/":       "", "taken/": "", "taken/mine.txt": "mine",
	})
}

func TestBadInput(t *testing.T) {
	clitest.Run(run).Refuses(t, badFiles, []clitest.Bad{
		{Name: "no file", Args: "none.csv", Code: cli.BadInput, Names: "none.csv", Next: "check the name"},
		{Name: "a folder", Args: "d", Code: cli.BadInput, Names: "it is a folder", Next: "check the name"},
		{Name: "two lists", Args: "takes.csv takes.csv", Code: cli.BadUsage, Names: "2 files", Next: "one list"},
		{Name: "empty", Args: "empty.csv", Code: cli.BadInput, Names: "empty.csv", Next: "player"},
		{Name: "no such column", Args: "odd.csv", Code: cli.BadInput, Names: "odd.csv", Next: "player"},
		{Name: "bad date", Args: "date.csv", Code: cli.BadInput, Names: "date.csv, line 2", Next: "year-month-day"},
		{Name: "bad pace", Args: "pace.csv", Code: cli.BadInput, Names: "brisk", Next: "slow, fast or ramp"},
		{Name: "nothing to measure", Args: "takes.csv", Code: cli.BadInput, Names: "no take of the list", Next: "correct the files"},
		{Name: "unknown player", Args: "-player P09 takes.csv", Code: cli.BadInput, Names: "P09", Next: "P01"},
		{Name: "unknown measure", Args: "-primary speed takes.csv", Code: cli.BadUsage, Names: "speed", Next: "-measures"},
		{Name: "unknown task", Args: "-task chords takes.csv", Code: cli.BadUsage, Names: "chords", Next: "one-string"},
		{Name: "unknown flag", Args: "-speed 3 takes.csv", Code: cli.BadUsage, Names: "-speed", Next: "progress -h"},
		{Name: "a notebook without a folder", Args: "-notebook -json takes.csv", Code: cli.BadUsage, Names: "-notebook", Next: "add -out"},
		{Name: "names as a file", Args: "-measures -out names", Code: cli.BadUsage, Names: "-measures", Next: "leave them out"},
		{Name: "names as JSON", Args: "-measures -json", Code: cli.BadUsage, Names: "-measures", Next: "leave them out"},
		{Name: "settings missing", Args: "-settings none.json takes.csv", Code: cli.BadInput, Names: "none.json", Next: "-settings"},
		{Name: "out is taken, told before any take is measured", Args: "-out taken takes.csv", Code: cli.BadInput, Names: "taken", Next: "-force"},
	})
}

func TestHelp(t *testing.T) {
	var out bytes.Buffer
	if err := run([]string{"-h"}, &out); cli.Code(err) != cli.OK {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the help", out.String(), "Try:", "progress -out term takes.csv", "medical advice", "player,date,session")
	clitest.WantAll(t, "the measures", must(t, "-measures"), "settled_share")
}
