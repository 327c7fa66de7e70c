package main

import (
	"bytes"
	"encoding/csv"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
)

func must(t *testing.T, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := run(args, &out); err != nil {
		t.Fatalf("progress %q: %v", args, err)
	}
	return out.String()
}

func save(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// film writes takes of the demo with their settings.
func film(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		keep(t, name, openDemo)
	}
}

// keep writes a take with its settings.
func keep(t *testing.T, name string, open takefile.Opener) {
	t.Helper()
	for _, file := range []string{name, takefile.SettingsName(name)} {
		in, err := open(file)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		save(t, file, string(data))
	}
}

// visible is the text of a page as its reader meets it.
func visible(page string) string {
	page = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`).ReplaceAllString(page, " ")
	return strings.Join(strings.Fields(html.UnescapeString(page)), " ")
}

// jargon are words that a teacher cannot use, and those that judge a player.
var jargon = regexp.MustCompile(`(?i)\bp ?[=<]|p-value|significan|standard deviation|\bsd\b|autocorrelat|x axis|AICc|bootstrap|null hypothesis|\bwrong\b|talent|go faster|play faster|improve|\bNaN\b|\bInf\b|%!`)

func wantPlain(t *testing.T, what, text string) {
	t.Helper()
	text = strings.ReplaceAll(text, "empty cells or NaN", "") // in an export
	for _, at := range jargon.FindAllStringIndex(text, -1) {
		t.Errorf("%s says %q", what, text[max(0, at[0]-50):min(len(text), at[1]+50)])
	}
}

func wantAll(t *testing.T, what, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("%s does not say %q:\n%s", what, p, text)
		}
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
		t.Skip("makes up 54 takes")
	}
	t.Chdir(t.TempDir())
	out := must(t)
	wantAll(t, "the summary", out, "Left out: p02-4-2.csv, line 2", "Pain was noted (P02). Stop playing now.", "no real player was measured",
		"P01: 24 takes on 8 days", "P02: 23 takes on 8 days", "The motion is the same at", "Written: progress-out")
	file := read(t, "progress-out/page.html")
	page := visible(file)
	wantAll(t, "the page", page, "Players first", "p02-4-2.csv, line 2", "Week by week", "2026-01-12", "What to work on After P01", "6 takes at a pace that was asked for",
		"Is the slow motion the fast one", "Stop at pain, numbness or tingling.", "Nothing on this page is medical advice")
	wantPlain(t, "the page", page)
	wantPlain(t, "the summary", out)
	// What the demo is made of: P01 settles and gets more even, P02 stays alike.
	asked := strings.Split(file, "What was asked</h3>")
	if len(asked) != 3 {
		t.Fatalf("%d players on the page", len(asked)-1)
	}
	one, two := visible(section(asked[1], "", "Week by week")), visible(section(asked[2], "", "Week by week"))
	wantAll(t, "P01", one, "It rises by", "It falls by", "It is the way practice aims at")
	if strings.Contains(two, "It rises") || strings.Contains(two, "It falls") || !strings.Contains(two, "No trend can be told") {
		t.Errorf("P02 stays alike: %s", two)
	}
	if strings.Contains(two, "What to work on") || strings.Contains(section(out, "P02: ", "Written"), "To work on") {
		t.Error("there is a list of work after pain")
	}
	// Another program reads the rows.
	in, err := cohort.NewRowReader(strings.NewReader(read(t, "progress-out/progress.csv")), "progress.csv")
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
	if takes != 54 || failed != 1 {
		t.Errorf("%d takes in progress.csv, %d failed", takes, failed)
	}
	if rows, err := csv.NewReader(strings.NewReader(read(t, "progress-out/trends.csv"))).ReadAll(); err != nil || len(rows) < 100 {
		t.Errorf("trends.csv: %d lines, %v", len(rows), err)
	}
}

// TestList reads a small list from a folder, with a broken take and an undated one.
func TestList(t *testing.T) {
	t.Chdir(t.TempDir())
	film(t, "p01-1-1.csv", "p01-1-2.csv", "p01-1-3.csv", "p02-1-1.csv")
	save(t, "broken.csv", "time_s,tip_x,tip_y\n0,1,two\n")
	save(t, "broken.take.json", read(t, "p01-1-1.take.json"))
	const list = "player,date,take,file,setup,comfort\nP01,2026-01-12,1,p01-1-1.csv,class,%\nP01,2026-01-12,2,p01-1-2.csv,class,good\nP01,,3,p01-1-3.csv,class,good\nP01,2026-01-19,1,broken.csv,class,good\nP02,2026-01-12,1,p02-1-1.csv,class,good\n"
	save(t, "takes.csv", strings.Replace(list, "%", "good", 1))
	out := must(t, "-player", "P01", "-primary", "notes_per_second", "-task", "changing-strings", "takes.csv")
	wantAll(t, "the summary", out, "Left out: broken.csv, line 2", "P01: 2 takes on 1 day", "film on further days")
	page := visible(read(t, "progress-out/page.html"))
	wantAll(t, "the page", page, "its day is not known; fill in its date", "on the only day", "What to work on", "this needs 1.30")
	wantPlain(t, "the page", page)
	if strings.Contains(page, "P02") {
		t.Error("a player who was not asked for is told")
	}
	// Pain at the first take, and no later day is good.
	save(t, "takes.csv", strings.Replace(strings.Replace(list, "%", "pain", 1), "broken.csv,class,good", "broken.csv,class,", 1))
	must(t, "-force", "-player", "P01", "takes.csv")
	page = visible(read(t, "progress-out/page.html"))
	wantAll(t, "after pain", page, "Pain was noted: P01", "Stop playing now")
	if strings.Contains(page, "What to work on") {
		t.Error("there is a list of work after pain")
	}
	if first := strings.Index(page, "Players first"); first < 0 || first > strings.Index(page, "What was asked") {
		t.Error("pain does not come first")
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
	keep(t, "ramp.csv", func(name string) (io.ReadCloser, error) { return fileOf(ramp, strings.HasSuffix(name, ".json")) })
	film(t, "p01-1-1.csv")
	save(t, "takes.csv", "player,date,take,file,comfort,pace\nP01,2026-01-12,1,p01-1-1.csv,good,own\nP01,2026-01-12,2,ramp.csv,good,Ramp\nP02,2026-01-12,1,none.csv,good,\n")
	out := must(t, "takes.csv")
	wantAll(t, "the summary", out, "P01: 1 take on 1 day", "The motion is the same at", "Left out: none.csv", "P02: 0 takes")
	page := visible(read(t, "progress-out/page.html"))
	wantAll(t, "the page", page, "Within P01, 2026-01-12, take 2: The motion is the same", "1 take at a pace that was asked for", "Nothing can be followed yet")
	wantPlain(t, "the page", page)
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

// TestBadInput: every failure is one line with a next step, and leaves nothing
// behind.
func TestBadInput(t *testing.T) {
	for _, c := range []struct {
		name, args  string
		code        int
		names, next string
	}{
		{"no file", "none.csv", 1, "none.csv", "check the name"},
		{"a folder", "d", 1, "it is a folder", "check the name"},
		{"two lists", "takes.csv takes.csv", 2, "2 files", "one list"},
		{"empty", "empty.csv", 1, "empty.csv", "player"},
		{"no such column", "odd.csv", 1, "odd.csv", "player"},
		{"bad date", "date.csv", 1, "date.csv:2", "year-month-day"},
		{"bad pace", "pace.csv", 1, "brisk", "slow, fast or ramp"},
		{"nothing to measure", "takes.csv", 1, "no take of the list", "correct the files"},
		{"unknown player", "-player P09 takes.csv", 1, "P09", "P01"},
		{"unknown measure", "-primary speed takes.csv", 2, "speed", "-measures"},
		{"unknown task", "-task chords takes.csv", 2, "chords", "one-string"},
		{"unknown flag", "-speed 3 takes.csv", 2, "-speed", "progress -h"},
		{"settings missing", "-settings none.json takes.csv", 1, "none.json", "-settings"},
		{"out is taken", "-out taken good.csv", 1, "taken", "-force"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			film(t, "p01-1-1.csv")
			for name, text := range map[string]string{
				"takes.csv": "player,date,file\nP01,2026-01-12,none.csv\n", "good.csv": "player,date,file\nP01,2026-01-12,p01-1-1.csv\n",
				"empty.csv": "", "odd.csv": "who,what\nP01,a.csv\n", "date.csv": "player,date,file\nP01,12.1.2026,a.csv\n",
				"pace.csv": "player,date,file,pace\nP01,2026-01-12,p01-1-1.csv,brisk\n",
			} {
				save(t, name, text)
			}
			for _, d := range []string{"d", "taken"} {
				if err := os.Mkdir(d, 0o777); err != nil {
					t.Fatal(err)
				}
			}
			save(t, filepath.Join("taken", "mine.txt"), "mine")
			before := tree(t)
			err := run(strings.Fields(c.args), &bytes.Buffer{})
			if err == nil || cli.Code(err) != c.code {
				t.Fatalf("exit code %d (%v), want %d", cli.Code(err), err, c.code)
			}
			line := err.Error()
			if strings.ContainsAny(line, "\n\r") || len(line) > 400 {
				t.Errorf("not one short line: %q", line)
			}
			wantAll(t, "the message", line, c.names, c.next)
			if hit := regexp.MustCompile(`(^|: )(progress|review|tracks|cohort): |open |read \w+:`).FindString(line); hit != "" {
				t.Errorf("%q holds %q, which only programmers know", line, hit)
			}
			if d := cmp.Diff(before, tree(t)); d != "" {
				t.Errorf("something is left behind (-before +after)\n%s", d)
			}
		})
	}
}

func tree(t *testing.T) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(".", func(name string, _ os.DirEntry, err error) error {
		names = append(names, name)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

func TestHelp(t *testing.T) {
	var out bytes.Buffer
	if err := run([]string{"-h"}, &out); cli.Code(err) != cli.OK {
		t.Fatal(err)
	}
	wantAll(t, "the help", out.String(), "Try:", "progress -out term takes.csv", "medical advice", "player,date,session")
	wantAll(t, "the measures", must(t, "-measures"), "settled_share")
}
