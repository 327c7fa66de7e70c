package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// call runs the program with a standard input.
func call(in string, args ...string) (string, error) {
	var out bytes.Buffer
	err := study(context.Background(), args, strings.NewReader(in), &out)
	return out.String(), err
}

func must(t *testing.T, in string, args ...string) string {
	t.Helper()
	out, err := call(in, args...)
	if err != nil {
		t.Fatalf("cohort %s: %v", strings.Join(args, " "), err)
	}
	return out
}

// lessons writes some takes of the demo, a broken one among them, and their list.
func lessons(t *testing.T) (dir, list string) {
	t.Helper()
	dir = t.TempDir()
	roster := demoRoster()
	roster.Takes = slices.Concat(roster.Takes[:3], roster.Takes[20:21], roster.Takes[46:47])
	for _, take := range roster.Takes {
		clitest.Copy(t, dir, openDemo, take.File, cohort.SettingsName(take.File))
	}
	var b bytes.Buffer
	if err := progress.WriteRoster(&b, roster); err != nil {
		t.Fatal(err)
	}
	list = filepath.Join(dir, "takes.csv")
	clitest.Save(t, list, b.String())
	return dir, list
}

func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("makes up 180 takes")
	}
	out := filepath.Join(t.TempDir(), "study")
	said := must(t, "", "-out", out)
	clitest.WantAll(t, "the summary", said, "No real player", "p08-5.csv: line 2, column 3", "178 takes of 180 kept, from 30 players; 2 left out (broken file 1, pain 1)", "stop, rest", "Primary question", "page.html")
	files := clitest.Tree(t, out)
	for _, name := range []string{"rows.csv", "codebook.csv", "exclusions.csv", "groups.csv", "associations.csv", "plan.json", "page.html", "takes.csv"} {
		text, ok := files[name]
		if !ok || text == "" {
			t.Errorf("no %s", name)
		}
		if strings.HasSuffix(name, ".csv") {
			if _, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	page := clitest.Visible(files["page.html"])
	clitest.WantAll(t, "the page", page, "An invented evening class", "In 1 take a player felt pain", "Fast repeated motion can hurt", "the primary question", "exploratory", "random effect", "no real player was measured")
	if bad := regexp.MustCompile(`(?i)\bNaN\b|%!|(go|play) faster|\bInf\b`).FindString(page); bad != "" {
		t.Errorf("the page says %q", bad)
	}
	// The rows and the plan that were written give the same answers again.
	again := filepath.Join(t.TempDir(), "again")
	must(t, "", "-from-rows", "-plan", filepath.Join(out, "plan.json"), "-out", again, filepath.Join(out, "rows.csv"))
	if got := clitest.Tree(t, again); got["associations.csv"] != files["associations.csv"] || got["rows.csv"] != files["rows.csv"] {
		t.Error("gathering its rows gives another study")
	}
}

// TestWorkers: what is written does not depend on how many work, nor on whether
// rows were printed first and gathered then.
func TestWorkers(t *testing.T) {
	dir, list := lessons(t)
	one, four, gathered := filepath.Join(dir, "one"), filepath.Join(dir, "four"), filepath.Join(dir, "gathered")
	said := must(t, "", "-workers", "1", "-out", one, list)
	if !strings.Contains(said, "3 takes of 5 kept, from 1 player; 2 left out (broken file 1, pain 1)") {
		t.Errorf("it says\n%s", said)
	}
	must(t, "", "-workers", "4", "-out", four, list)
	rows := must(t, "", "-rows", "-workers", "3", list)
	clitest.Save(t, filepath.Join(dir, "rows.csv"), rows)
	must(t, "", "-from-rows", "-out", gathered, filepath.Join(dir, "rows.csv"))
	want := clitest.Tree(t, one)
	for _, name := range []string{four, gathered} {
		got := clitest.Tree(t, name)
		for file, text := range want {
			if got[file] != text {
				t.Errorf("%s: %s differs:\n%s", filepath.Base(name), file, cmp.Diff(text, got[file]))
			}
		}
	}
}

// TestStep is the program as one step of a larger job.
func TestStep(t *testing.T) {
	dir, list := lessons(t)
	data, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	header, lines, _ := strings.Cut(string(data), "\n")
	args := []string{"-rows", "-columns", header, "-folder", dir, "-workers", "1"}
	all := must(t, "", "-rows", list)
	head := must(t, "", append(args, "-header")...)
	if first, _, _ := strings.Cut(all, "\n"); head != first+"\n" {
		t.Errorf("the header alone is %q", head)
	}
	if out := must(t, " \n", append(args, "-key")...); out != "" {
		t.Errorf("without a take it prints %q", out)
	}
	var keyed string
	for line := range strings.Lines(lines) { // a process for each line
		keyed += must(t, line, append(args, "-key")...)
	}
	var plain strings.Builder
	for line := range strings.Lines(keyed) {
		key, row, ok := strings.Cut(line, "\t")
		if !ok || !strings.HasPrefix(row, key+",") {
			t.Fatalf("line %q", line)
		}
		plain.WriteString(row)
	}
	if diff := cmp.Diff(all, head+plain.String()); diff != "" {
		t.Errorf("take by take it comes out differently:\n%s", diff)
	}
	if all != head+must(t, "", "-rows", "-no-header", list) {
		t.Error("the rows without a header are not the others")
	}
	out := filepath.Join(dir, "sorted")
	sorted := slices.Sorted(strings.Lines(plain.String())) // as an engine hands them on
	must(t, head+strings.Join(sorted, ""), "-from-rows", "-out", out, "-")
	if got := clitest.Tree(t, out)["exclusions.csv"]; strings.Count(got, "\n") != 3 {
		t.Errorf("exclusions from sorted rows:\n%s", got)
	}
}

// TestNothingLeft: a study of which no take can be used writes nothing.
func TestNothingLeft(t *testing.T) {
	dir, list := lessons(t)
	out := filepath.Join(dir, "study")
	said, err := call("", "-folder", filepath.Join(dir, "elsewhere"), "-out", out, list)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "none of 5 takes could be used (broken file 5)") {
		t.Errorf("%v\n%s", err, said)
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a folder was written")
	}
}

func TestErrors(t *testing.T) {
	dir, list := lessons(t)
	clitest.Save(t, filepath.Join(dir, "plan.json"), `{"primary": {"predictor": "speed", "outcome": "length"}}`)
	clitest.Save(t, filepath.Join(dir, "cluster.json"), `{"cluster": "town"}`)
	clitest.Save(t, filepath.Join(dir, "level.csv"), "player,file,level\nP01,a.csv,3\n")
	full := filepath.Join(dir, "full")
	if err := os.Mkdir(full, 0o777); err != nil {
		t.Fatal(err)
	}
	clitest.Save(t, filepath.Join(full, "thesis.txt"), "years")
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{list, list}, cli.BadUsage, "give one"},
		{[]string{"-rows", "-from-rows", list}, cli.BadUsage, "together"},
		{[]string{"-from-rows"}, cli.BadUsage, "no file of rows"},
		{[]string{"-workers", "-1", list}, cli.BadUsage, "-workers is -1"},
		{[]string{"-key", list}, cli.BadUsage, "add -rows"},
		{[]string{"-rows", "-header"}, cli.BadUsage, "-columns"},
		{[]string{filepath.Join(dir, "none.csv")}, cli.BadInput, "no such file"},
		{[]string{"-from-rows", filepath.Join(dir, "none.csv")}, cli.BadInput, "no such file"},
		{[]string{"-from-rows", list}, cli.BadInput, `no column "view"`},
		{[]string{"-plan", filepath.Join(dir, "none.json"), list}, cli.BadInput, "-write-plan"},
		{[]string{"-plan", filepath.Join(dir, "plan.json"), list}, cli.BadInput, `no measure "speed"`},
		{[]string{"-plan", filepath.Join(dir, "cluster.json"), list}, cli.BadInput, `no column "town"`},
		{[]string{"-settings", filepath.Join(dir, "plan.json"), list}, cli.BadInput, "settings"},
		{[]string{"-rows", "-out", "x", list}, cli.BadUsage, "-out and -force do nothing with -rows"},
		{[]string{"-rows", "-json", list}, cli.BadUsage, "-json does nothing with -rows"},
		{[]string{"-write-plan", filepath.Join(dir, "x.json"), "-notebook"}, cli.BadUsage, "-notebook does nothing"},
		{[]string{"-json", "-notebook", list}, cli.BadUsage, "add -out FOLDER"},
		{[]string{"-by", "town", list}, cli.BadInput, `"town" to group players by (-by); its further columns are class`},
		{[]string{"-out", full, list}, cli.BadInput, "-force"},
		{[]string{"-force", "-out", full, list}, cli.BadInput, "thesis.txt"},
		{[]string{"-out", filepath.Join(dir, "no", "where"), list}, cli.BadInput, "make the folder"},
		{[]string{"-out", filepath.Join(dir, "x"), filepath.Join(dir, "level.csv")}, cli.BadInput, "rename"},
	} {
		out, err := call("", c.args...)
		if cli.Code(err) != c.code || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v: code %d, %v, want %d with %q; it prints %q", c.args, cli.Code(err), err, c.code, c.want, out)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".writing-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if got := clitest.Tree(t, full); len(got) != 1 {
		t.Errorf("a folder that was refused holds %v", got)
	}
}

func TestForceAndPlan(t *testing.T) {
	dir, list := lessons(t)
	out := filepath.Join(dir, "study")
	must(t, "", "-out", out, list)
	must(t, "", "-out", out, "-force", list)
	name := filepath.Join(dir, "my-plan.json")
	if said := must(t, "", "-write-plan", name); !strings.Contains(said, "before you look at any data") {
		t.Errorf("it says %q", said)
	}
	if said := must(t, "", "-out", out, "-force", "-plan", name, list); !strings.Contains(said, "Primary question") {
		t.Errorf("with a plan it says %q", said)
	}
	if _, err := call("", "-write-plan", name); cli.Code(err) != cli.BadInput {
		t.Errorf("a plan that is there: %v", err)
	}
}

// TestInterrupt: an end on the way leaves nothing, and what was there stays.
func TestInterrupt(t *testing.T) {
	dir, list := lessons(t)
	out := filepath.Join(dir, "study")
	must(t, "", "-out", out, list)
	before := clitest.Tree(t, out)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	err := study(ctx, []string{"-out", out, "-force", list}, nil, io.Discard)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "interrupted") {
		t.Errorf("error %v", err)
	}
	if diff := cmp.Diff(before, clitest.Tree(t, out)); diff != "" {
		t.Errorf("the folder has changed:\n%s", diff)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".writing-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// TestMeasureAll: records come in the order of the list, few at a time, and a
// panic costs its take alone.
func TestMeasureAll(t *testing.T) {
	takes := make([]progress.Take, 200)
	for i := range takes {
		takes[i].File = fmt.Sprint(i)
	}
	const workers = 3
	var mu sync.Mutex
	started, used, most := 0, 0, 0
	measure := func(t progress.Take) *cohort.Record {
		mu.Lock()
		started++
		most = max(most, started-used)
		mu.Unlock()
		if t.File == "7" {
			panic("a stroke without an end")
		}
		if t.File == "0" {
			time.Sleep(20 * time.Millisecond) // the first is the slowest
		}
		return &cohort.Record{Take: t}
	}
	next := 0
	err := measureAll(context.Background(), takes, workers, measure, func(r *cohort.Record) error {
		mu.Lock()
		used++
		mu.Unlock()
		if r.File != fmt.Sprint(next) {
			t.Fatalf("take %s comes as number %d", r.File, next)
		}
		if failed := r.Failure != nil; failed != (next == 7) || failed && !strings.Contains(r.Failure.Why, "a stroke without an end, main_test.go") && !strings.Contains(r.Failure.Why, "please report") {
			t.Errorf("take %d: %+v", next, r.Failure)
		}
		next++
		return nil
	})
	if err != nil || next != len(takes) {
		t.Errorf("%d takes, %v", next, err)
	}
	if most > 4*workers+workers+2 {
		t.Errorf("%d takes were under way at once", most)
	}
	stop := errors.New("full")
	if err := measureAll(context.Background(), takes, workers, measure, func(*cohort.Record) error { return stop }); err != stop {
		t.Errorf("a failure to write: %v", err)
	}
	// Workers beyond the takes cost nothing: as many as these would fill any memory.
	if err := measureAll(context.Background(), takes, math.MaxInt, measure, func(*cohort.Record) error { return nil }); err != nil {
		t.Error(err)
	}
	if err := measureAll(context.Background(), nil, workers, measure, nil); err != nil {
		t.Errorf("no takes: %v", err)
	}
}

func TestHelp(t *testing.T) {
	out, err := call("", "-h")
	if cli.Code(err) != cli.OK || !strings.Contains(out, "Try:") || !strings.Contains(out, "player,date") {
		t.Errorf("help: %v\n%s", err, out)
	}
}
