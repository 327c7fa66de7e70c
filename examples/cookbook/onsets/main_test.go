package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/contact"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

var must = clitest.Run(run).Must

// write puts a file into a new folder and returns its name.
func write(t *testing.T, name string, data []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// rows reads a table as its users do.
func rows(t *testing.T, text string) (times, levels []float64) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(all) == 0 || strings.Join(all[0], ",") != "time_s,level_db" {
		t.Fatalf("no table: %v\n%s", err, text)
	}
	for _, r := range all[1:] {
		time, err1 := strconv.ParseFloat(r[0], 64)
		level, err2 := strconv.ParseFloat(r[1], 64)
		if err1 != nil || err2 != nil || level > 3 || level < -90 {
			t.Fatalf("line %v", r)
		}
		times, levels = append(times, time), append(levels, level)
	}
	return times, levels
}

func TestFile(t *testing.T) {
	r := typical
	r.seconds, r.codec, r.gain = 3, 15000, 0.2
	x, truth := r.play()
	file := write(t, "lesson.wav", encode(x, r.rate))

	printed := must(t, file)
	times, _ := rows(t, printed)
	both := 0
	for _, m := range pairs(truth, times) {
		if m >= 0 {
			both++
		}
	}
	if f1 := score(len(truth), len(times), both); f1 < 0.98 {
		t.Errorf("F1 %.3f", f1)
	}
	for i := 1; i < len(times); i++ {
		if times[i]-times[i-1] < 0.02 {
			t.Errorf("onsets at %v and %v s", times[i-1], times[i])
		}
	}

	// Shifted, and as a folder.
	t.Chdir(t.TempDir())
	clitest.WantAll(t, "the words", must(t, "-shift", "-0.35", file, "-out", "o"), "lesson.wav:\n", "onsets in 4.5 s of sound", "notes a second")
	shifted, _ := rows(t, clitest.Read(t, "o/onsets.csv"))
	if len(shifted) != len(times) {
		t.Fatalf("%d and %d onsets", len(shifted), len(times))
	}
	for i := range times {
		if math.Abs(shifted[i]-times[i]+0.35) > 2e-4 {
			t.Errorf("onset %d at %v, shifted %v", i, times[i], shifted[i])
		}
	}
	var got struct {
		Onsets []struct {
			Time  float64 `json:"time_s"`
			Level float64 `json:"level_db"`
		}
	}
	if err := json.Unmarshal([]byte(must(t, "-json", file)), &got); err != nil || len(got.Onsets) != len(times) || got.Onsets[3].Time != times[3] {
		t.Errorf("%+v, %v", got, err)
	}
	if list, err := contact.ReadOnsets(strings.NewReader(printed)); err != nil || len(list) != len(times) {
		t.Errorf("the list is read as %d onsets, %v", len(list), err)
	}

	// A higher -rise and a wider -gap leave fewer.
	for _, flags := range [][]string{{"-rise", "12"}, {"-gap", "0.25"}} {
		if fewer, _ := rows(t, must(t, append(flags, file)...)); len(fewer) >= len(times) {
			t.Errorf("%v: %d onsets of %d", flags, len(fewer), len(times))
		}
	}
}

func TestSilentAndClipped(t *testing.T) {
	silent := write(t, "silent.wav", encode(make([]float64, 44100), 44100))
	r := typical
	r.seconds, r.gain = 1, 5
	x, _ := r.play()
	loud := write(t, "loud.wav", encode(x, r.rate))
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/onsets/1", []string{"onsets.csv"}, silent)
	clitest.WantAll(t, "the page", recipetest.Prose(made["page.html"]), "0 onsets in 1.0 s", "right file")
	clitest.WantAll(t, "the words", must(t, "-out", "loud", loud), "clipped")
	if printed := must(t, silent); printed != "time_s,level_db\n" {
		t.Errorf("silence is printed as %q", printed)
	}
}

// TestHostile: the name of the file is text wherever it is shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	r := typical
	r.seconds = 1
	x, _ := r.play()
	clitest.Save(t, clitest.Hostile, string(encode(x, r.rate)))
	clitest.WantEscaped(t, recipetest.Check(t, run, "plectrace/onsets/1", []string{"onsets.csv"}, clitest.Hostile))
}

func TestBadInput(t *testing.T) {
	sound := func(x []float64, rate int) string { return string(encode(x, rate)) }
	files := func(text string) map[string]string { return map[string]string{"a.wav": text} }
	quiet := make([]float64, 9000)
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "two files", Args: "a.wav b.wav", Code: cli.BadUsage, Names: "b.wav", Next: "onsets -h"},
		{Name: "rise", Args: "-rise 0 a.wav", Code: cli.BadUsage, Names: "-rise 0", Next: "onsets -h"},
		{Name: "no rise", Args: "-rise NaN a.wav", Code: cli.BadUsage, Names: "-rise NaN", Next: "onsets -h"},
		{Name: "gap", Args: "-gap -1 a.wav", Code: cli.BadUsage, Names: "-gap -1", Next: "onsets -h"},
		{Name: "lowest", Args: "-lowest 1e9 a.wav", Code: cli.BadUsage, Names: "-lowest", Next: "onsets -h"},
		{Name: "shift", Args: "-shift Inf a.wav", Code: cli.BadUsage, Names: "-shift", Next: "onsets -h"},
		{Name: "shift in words", Args: "-shift x a.wav", Code: cli.BadUsage, Names: "shift", Next: "onsets -h"},
		{Name: "no room", Args: "-lowest 3500 a.wav", Files: files(sound(quiet, 8000)), Code: cli.BadInput, Names: "lowest octave", Next: "WAV"},
		{Name: "no file", Args: "none.wav", Code: cli.BadInput, Names: "none.wav", Next: "WAV"},
		{Name: "a folder", Args: "d", Files: map[string]string{"d/": ""}, Code: cli.BadInput, Names: "it is a folder", Next: "WAV"},
		{Name: "text", Args: "a.wav", Files: files("time,x,y\n0,1,2\n"), Code: cli.BadInput, Names: "a.wav: this is no WAV file", Next: "PCM"},
		{Name: "cut", Args: "a.wav", Files: files(sound(quiet, 44100)[:300]), Code: cli.BadInput, Names: "at byte 36", Next: "PCM"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}

func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/cookbook/onsets", recipetest.Asked(t, parse, setup.hear).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	recipetest.Check(t, run, "plectrace/onsets/1", []string{"onsets.csv"})
}

func TestDemo(t *testing.T) {
	text := must(t)
	clitest.WantAll(t, "the words", text, "The sound is invented", "No real player")
	m := regexp.MustCompile(`(\d+) notes were played, \d+ of the onsets are true: F1 (\d\.\d+)\. Half of those lie within (\d+\.\d) ms`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no result:\n%s", text)
	}
	f1, _ := strconv.ParseFloat(m[2], 64)
	half, _ := strconv.ParseFloat(m[3], 64)
	if f1 < 0.98 || half > 1 {
		t.Errorf("F1 %v, half within %v ms", f1, half)
	}
	// Shifted times are held against a truth that is shifted.
	if shifted := must(t, "-shift", "3.5"); !strings.Contains(shifted, m[0]) {
		t.Errorf("shifted it says\n%s", shifted)
	}
}
