package main

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/tempo"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

var must = clitest.Run(run).Must

func TestNotebook(t *testing.T) {
	_, a, err := parse(nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	clitest.Notebook(t, program, "examples/cookbook/bpm", a.page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	recipetest.Check(t, run, "plectrace/bpm/1", []string{"bpm.csv"})
}

// TestReference holds the tables against values that were made without this project:
// testdata/reference/tempo.json, by exact fractions in Python (tempo.py) from the note
// values of MusicXML 4.0 and the set-tempo event of Standard MIDI Files 1.0.
func TestReference(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/reference/tempo.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Notes []struct {
			Type                 string
			Dots, Actual, Normal int
			Num, Den             float64
		}
		SetTempo []struct{ BPM, Micros float64 } `json:"set_tempo"`
	}
	if err := json.Unmarshal(data, &ref); err != nil {
		t.Fatal(err)
	}
	if len(ref.Notes) < 40 || len(ref.SetTempo) < 5 {
		t.Fatalf("%d notes and %d tempi", len(ref.Notes), len(ref.SetTempo))
	}
	for _, n := range ref.Notes {
		v, err := tempo.FromMusicXML(n.Type, n.Dots, n.Actual, n.Normal)
		if err != nil {
			t.Fatal(err)
		}
		// At 60 quarters a minute a note of num/den quarters lasts as many seconds.
		got := ratesAt([]float64{60}, tempo.Quarter, []tempo.NoteValue{v})[0][0]
		if want := n.Den / n.Num; math.Abs(got-want) > 1e-12*want {
			t.Errorf("%v: %v notes per second at 60, want %v", v, got, want)
		}
	}
	for _, s := range ref.SetTempo {
		// A quarter note lasts micros µs, to half a microsecond.
		got := tempiAt([]float64{1e6 / s.Micros}, tempo.Quarter, []tempo.NoteValue{tempo.Quarter})[0][0]
		if math.Abs(got-s.BPM) > s.BPM*0.5/s.Micros {
			t.Errorf("%v µs: %v BPM, want %v", s.Micros, got, s.BPM)
		}
	}
}

// TestPrinted: common practice, from memory. Sixteenths at 165 are 11 notes a second;
// 120 quarters a minute are as fast as 80 dotted quarters.
func TestPrinted(t *testing.T) {
	for args, want := range map[string]string{
		"-tempi 165 -values 16":                     "     165   11.00\n",
		"-values 16 11":                             "       11   165.0\n",
		"-values 16 9.6":                            "      9.6   144.0\n",
		"-beat 4. -tempi 80 -values quarter":        "      80    2.00\n",
		"-tempi 60:70:5 -values semiquavers,8.":     "      60    4.00    1.33\n      65    4.33    1.44\n      70    4.67    1.56\n",
		"-tempi 0.1:0.3:0.1 -values whole":          "     0.3    0.00\n",
		"-values 16(6:4) -tempi 100 -beat Crotchet": "  10.00\n",
		"-values 16 -json -tempi 120":               `"notes_per_second": 8`,
		"-values 16 -json 8":                        `"beats_per_minute": 120`,
		"-beat 2 -tempi 60 -values 16t":             "12.00",
	} {
		if got := must(t, strings.Fields(args)...); !strings.Contains(got, want) {
			t.Errorf("%s prints\n%s\nwant %q", args, got, want)
		}
	}
}

func TestTable(t *testing.T) {
	t.Chdir(t.TempDir())
	must(t, "-tempi", "120,165", "-values", "16,8t", "-out", "o")
	want := "beats_per_minute,note_value,notes_per_second\n120,16,8\n165,16,11\n120,8t,6\n165,8t,8.25\n"
	if got := clitest.Read(t, "o/bpm.csv"); got != want {
		t.Errorf("the table is\n%s", got)
	}
}

func TestBadInput(t *testing.T) {
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "word", Args: "fast", Code: cli.BadUsage, Names: `"fast" is not a rate`, Next: "notes per second"},
		{Name: "zero", Args: "0", Code: cli.BadUsage, Names: `"0"`, Next: "above 0"},
		{Name: "no number", Args: "NaN", Code: cli.BadUsage, Names: `"NaN"`, Next: "above 0"},
		{Name: "too fast", Args: "1e9", Code: cli.BadUsage, Names: `"1e9"`, Next: "up to 100"},
		{Name: "a tempo", Args: "-tempi 60,x", Code: cli.BadUsage, Names: `"x" is not a tempo`, Next: "beats per minute"},
		{Name: "step", Args: "-tempi 60:200:0", Code: cli.BadUsage, Names: `"0"`, Next: "above 0"},
		{Name: "backwards", Args: "-tempi 200:60:10", Code: cli.BadUsage, Names: "200:60:10", Next: "FROM:TO:STEP"},
		{Name: "endless", Args: "-tempi 1:999:0.001", Code: cli.BadUsage, Names: "200 tempi", Next: "60:200:10"},
		{Name: "note", Args: "-values 16,17", Code: cli.BadUsage, Names: "17", Next: "8t"},
		{Name: "beat", Args: "-beat triplet", Code: cli.BadUsage, Names: "triplet", Next: "bpm -h"},
		{Name: "both", Args: "-tempi 60 9.6", Code: cli.BadUsage, Names: "two questions", Next: "one of them"},
		{Name: "hostile", Args: "-values <b>\x1b[31m", Code: cli.BadUsage, Names: "<b>", Next: "bpm -h"},
		{Name: "no folder", Args: "-notebook", Code: cli.BadUsage, Names: "-notebook", Next: "-out"},
		{Name: "folder is a file", Args: "-out f", Files: map[string]string{"f": "x"}, Code: cli.BadInput, Names: "f", Next: "-out"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/bpm.csv": ""}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}
