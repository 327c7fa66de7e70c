package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// save writes a file of text.
func save(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// film writes a made take of 8 s with its settings beside it.
func film(t *testing.T, name string, o simulate.Options) {
	t.Helper()
	o.Duration = 8
	take, err := simulate.Make(o)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := tracks.Write(&b, &take.Recording, tracks.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	save(t, name+".csv", b.String())
	s := review.Setup{Schema: review.SetupSchema, Tip: "tip", TipIs: review.TipOfPick, View: take.Options.View, Orientation: take.Options.Orientation}
	s.Marks.Bass.At, s.Marks.Treble.At, s.Marks.DistanceMM = take.Truth.Bass[:2], take.Truth.Treble[:2], take.Truth.MarkDistance
	data, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	save(t, name+".take.json", string(data))
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

func must(t *testing.T, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := run(args, &out); err != nil {
		t.Fatalf("twotakes %q: %v", args, err)
	}
	return out.String()
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// visible is the text of a page as its reader meets it.
func visible(page string) string {
	page = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`).ReplaceAllString(page, " ")
	return strings.Join(strings.Fields(html.UnescapeString(page)), " ")
}

// jargon are words that a teacher cannot use, and those that judge a player.
var jargon = regexp.MustCompile(`(?i)\bp ?[=<]|p-value|significan|standard deviation|\bsd\b|autocorrelat|\bHolm\b|bootstrap|null hypothesis|\bwrong\b|talent|go faster|play faster|improve|\bbetter player|\bNaN\b|\bInf\b|%!`)

func wantPlain(t *testing.T, what, text string) {
	t.Helper()
	for _, at := range jargon.FindAllStringIndex(text, -1) {
		t.Errorf("%s says %q", what, text[max(0, at[0]-50):min(len(text), at[1]+50)])
	}
}

// wantAll checks that a text holds parts.
func wantAll(t *testing.T, what, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("%s does not say %q:\n%s", what, p, text)
		}
	}
}

func TestDemo(t *testing.T) {
	t.Chdir(t.TempDir())
	out := must(t)
	page := visible(read(t, "twotakes-out/page.html"))
	wantAll(t, "the summary", out, "No real player was measured", "These two takes differ", "Two takes are two observations", "Written: twotakes-out")
	wantAll(t, "the page", page, "What may be compared", "set-up \"class\"", "Whether the player does cannot be said", "That is no proof that nothing changed",
		"Is it the same motion", "Stop at pain, numbness or tingling.", "see a clinician", "Nothing on this page is medical advice")
	wantPlain(t, "the page", page)
	wantPlain(t, "the summary", out)
	if strings.Contains(out+page, "More than takes of this player differ") {
		t.Error("without repeats something is said of the player")
	}
	rows, err := csv.NewReader(strings.NewReader(read(t, "twotakes-out/comparison.csv"))).ReadAll()
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
	if err := json.Unmarshal([]byte(read(t, "twotakes-out/comparison.json")), &c); err != nil || c.Schema != schema || len(c.Changes) != len(review.Measures()) {
		t.Errorf("comparison.json: %v, schema %q, %d changes", err, c.Schema, len(c.Changes))
	}
	// The truth of the demo: 7 and 8.2 strokes a second in settled spans.
	for _, ch := range c.Changes {
		if ch.Measure == "settled_notes_per_second" && (ch.First.Low == nil || *ch.First.Low > 7.1 || *ch.First.High < 6.9) {
			t.Errorf("the first take's rate is %v", ch.First)
		}
	}
}

// TestRepeats: repeats tell what is more than takes differ anyhow.
func TestRepeats(t *testing.T) {
	t.Chdir(t.TempDir())
	lessons(t)
	days := []string{"-repeats", "r1.csv,r2.csv,r3.csv", "-repeats", "r4.csv,r5.csv,r6.csv"}
	args := append([]string{"-setup", "desk", "-primary", "picture_angle_deg,notes_per_second", "-dates", "2026-01-12", "-margin", "picture_angle_deg=30"}, days...)
	out := must(t, append(args, "-out", "far", "first.csv", "second.csv")...)
	wantAll(t, "far apart", out, "Path angle as the picture shows it", "That is more than takes of the player differ by themselves",
		"More than takes of this player differ by themselves", "It is within the margin of 30 degrees", "first.csv of 2026-01-12")
	page := visible(read(t, "far/page.html"))
	wantAll(t, "the page", page, "Least is the least change that counts", "What was asked", "Repeats: 6 takes of 2 days")
	wantPlain(t, "the page", page)
	out = must(t, append(args, "-out", "near", "first.csv", "alike.csv")...)
	wantAll(t, "alike", out, "That is within what takes of the player differ by themselves")
	if strings.Contains(out, "That is more than takes") {
		t.Errorf("takes that are alike differ:\n%s", out)
	}
	// Of two days, repeats of two days do not tell.
	out = must(t, append([]string{"-setup", "desk", "-primary", "picture_angle_deg", "-dates", "2026-01-12,2026-02-16", "-out", "days", "first.csv", "second.csv"}, days...)...)
	wantAll(t, "two days", out, "These are of two days: give repeats of three days or more to tell")
	// Without a name of the set-up angles are not compared.
	out = must(t, "-primary", "picture_angle_deg", "-out", "unnamed", "first.csv", "second.csv")
	wantAll(t, "no set-up", out, "not compared", "name the setup of both takes alike")
}

// TestList: the list says who played when, and how it felt.
func TestList(t *testing.T) {
	t.Chdir(t.TempDir())
	lessons(t)
	save(t, "takes.csv", "player,date,take,file,setup,comfort\nP01,2026-02-16,1,second.csv,desk,pain\nP01,2026-01-12,1,first.csv,desk,good\nP02,2026-01-12,1,alike.csv,desk,good\n")
	out := must(t, "-list", "takes.csv", "second.csv", "first.csv")
	wantAll(t, "the summary", out, "Stop playing now", "First first.csv of 2026-01-12, then second.csv of 2026-02-16", "The takes came in the wrong order")
	page := visible(read(t, "twotakes-out/page.html"))
	if i, k := strings.Index(page, "Pain was noted"), strings.Index(page, "What may be compared"); i < 0 || strings.Index(page, "Before anything else") > k {
		t.Errorf("pain does not come first:\n%s", page)
	}
	out = must(t, "-force", "-list", "takes.csv", "first.csv", "alike.csv")
	wantAll(t, "two players", out, "two players, P01 and P02")
	out = must(t, "-force", "-comfort", "pain", "first.csv", "alike.csv")
	wantAll(t, "the flag", out, "Stop playing now")
}

// TestBadInput: every failure is one line with a next step, and leaves nothing
// behind.
func TestBadInput(t *testing.T) {
	for _, c := range []struct {
		name, args  string
		code        int
		names, next string
	}{
		{"one file", "first.csv", 2, "1 file given", "give two takes"},
		{"three files", "first.csv second.csv alike.csv", 2, "3 files", "give two takes"},
		{"no file", "first.csv none.csv", 1, "none.csv", "check the name"},
		{"a folder", "first.csv d", 1, "it is a folder", "check the name"},
		{"the same twice", "first.csv ./first.csv", 2, "both takes", "give two takes"},
		{"broken", "first.csv broken.csv", 1, "broken.csv, line 2", "write missing samples"},
		{"no settings", "first.csv bare.csv", 1, "bare.take.json", "-settings"},
		{"bad settings", "first.csv odd.csv", 1, "odd.take.json", "correct the settings"},
		{"settings elsewhere", "-settings none.json first.csv bare.csv", 1, "none.json", "-settings"},
		{"unknown flag", "-speed 3 first.csv second.csv", 2, "-speed", "twotakes -h"},
		{"unknown measure", "-primary speed first.csv second.csv", 2, "speed", "-measures"},
		{"unknown margin", "-margin speed=3 first.csv second.csv", 2, "speed", "-measures"},
		{"no value", "-margin length first.csv second.csv", 2, "NAME=VALUE", "write"},
		{"no margin", "-margin length=0 first.csv second.csv", 2, "above zero", "largest change"},
		{"bad date", "-dates 12.1.2026 first.csv second.csv", 2, "12.1.2026", "year-month-day"},
		{"three dates", "-dates 2026-01-12,2026-01-13,2026-01-14 first.csv second.csv", 2, "3 days", "first"},
		{"bad comfort", "-comfort fine first.csv second.csv", 2, "fine", "good, tired or pain"},
		{"one repeat", "-repeats r1.csv first.csv second.csv", 2, "at least two", "twotakes -h"},
		{"repeat twice", "-repeats r1.csv,r1.csv first.csv second.csv", 2, "twice", "each take once"},
		{"repeat missing", "-repeats r1.csv,none.csv first.csv second.csv", 1, "none.csv", "check the name"},
		{"repeats alone", "-repeats r1.csv,r2.csv", 2, "no takes", "name the two takes"},
		{"no list", "-list none.csv first.csv second.csv", 1, "none.csv", "check the name"},
		{"bad list", "-list bare.csv first.csv second.csv", 1, "bare.csv", "player"},
		{"not on the list", "-list takes.csv first.csv second.csv", 1, "does not name second.csv", "add a line"},
		{"no date of a repeat", "-list undated.csv -repeats r1.csv,r2.csv first.csv second.csv", 1, "no date", "fill in its date"},
		{"out is taken", "-out taken first.csv second.csv", 1, "taken", "-force"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			for _, name := range []string{"first", "second", "alike", "r1", "r2"} {
				film(t, name, simulate.Options{Seed: 5})
			}
			for name, text := range map[string]string{
				"broken.csv": "time_s,tip_x,tip_y\n0,640,two\n", "bare.csv": read(t, "first.csv"), "odd.csv": read(t, "first.csv"), "odd.take.json": `{"schema":"plectrace/take/1","tipp":"tip"}`,
				"takes.csv":        "player,date,file\nP01,2026-01-12,first.csv\n",
				"undated.csv":      "player,file\nP01,first.csv\nP01,second.csv\nP01,r1.csv\nP01,r2.csv\n",
				"broken.take.json": read(t, "first.take.json"),
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

// tree lists the files below here.
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
	wantAll(t, "the help", out.String(), "Try:", "twotakes -list takes.csv", "medical advice")
	if out := must(t, "-measures"); !strings.Contains(out, "settled_share") || strings.Count(out, "\n") != len(review.Measures()) {
		t.Errorf("-measures prints\n%s", out)
	}
}
