package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
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
	clitest.Notebook(t, program, "examples/cookbook/strums", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/strums/1", []string{"directions.csv"})
	if n := strings.Count(made["directions.csv"], "\n"); n != 1+len(asked(t).times) {
		t.Errorf("%d lines", n)
	}
}

// TestDemo holds the answers against the strums that were made.
func TestDemo(t *testing.T) {
	f := asked(t)
	same, said := f.agree()
	if said < 80 || f.path.Len() < 500 || float64(same) < 0.95*float64(said) {
		t.Errorf("%d of %d strums on %d samples", same, said, f.path.Len())
	}
	clitest.WantAll(t, "the words", must(t), "No real player was measured", "directions are those of the list")
}

// swing is a channel that rises and falls in turn, every 0.2 s.
const swing = "t;v\n0;0\n0.1;1\n0.2;2\n0.3;1\n0.4;0\n0.5;1\n0.6;2\n0.7;1\n0.8;0\n0.9;1\n1.0;2\n1.1;1\n1.2;0\n1.3;1\n1.4;2\n1.5;1\n1.6;0\n1.7;1\n1.8;2\n1.9;1\n2.0;0\n"

func TestFiles(t *testing.T) {
	for _, c := range []struct {
		name, channel, times, args, want string
	}{
		{"rising", swing, "0.1\tD\tC\n0.3\tU\tC\n", "", "time_s,direction,said\n0.1000,down,down\n0.3000,up,up\n"},
		{"falling", swing, "0.1\tU\n0.3\tD\n", "-down falling", "time_s,direction,said\n0.1000,up,up\n0.3000,down,down\n"},
		{"decimal commas", strings.ReplaceAll(swing, ".", ","), "0,1;d\n0,3;d\n", "", "time_s,direction,said\n0.1000,down,down\n0.3000,up,down\n"},
		{"unlabelled, in any order", swing, "time\n0.3\n0.1\n", "", "time_s,direction\n0.3000,up\n0.1000,down\n"},
		{"outside", swing, "9\n", "", "time_s,direction\n9.0000,\n"},
		{"a value is missing", strings.Replace(swing, "0.1;1", "0.1;", 1), "0.5\n", "", "time_s,direction\n0.5000,down\n"},
	} {
		t.Chdir(t.TempDir())
		clitest.Save(t, "c.csv", c.channel)
		clitest.Save(t, "t.csv", c.times)
		if got := must(t, append(strings.Fields(c.args), "c.csv", "t.csv")...); got != c.want {
			t.Errorf("%s: it prints\n%s", c.name, got)
		}
	}
}

// TestAgree: how many answers are those of the list.
func TestAgree(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "c.csv", swing)
	clitest.Save(t, "t.csv", "0.1,D\n0.3,D\n0.5,maybe\n9,U\n")
	clitest.WantAll(t, "the words", must(t, "-out", "o", "c.csv", "t.csv"), "4 strums: 2 downstrokes and 1 upstroke.", "1 of 3 directions", "Of 1 strum the way cannot be told")
	var got struct {
		Strums      []map[string]any
		Agree, Said int
	}
	if err := json.Unmarshal([]byte(must(t, "-json", "c.csv", "t.csv")), &got); err != nil || got.Agree != 1 || got.Said != 3 || len(got.Strums) != 4 || got.Strums[1]["direction"] != "up" {
		t.Errorf("%+v, %v", got, err)
	}
}

// TestHostile: names of files are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, clitest.Hostile, swing)
	clitest.Save(t, "t.csv", "time,<script>\n0.1,<script>\n0.3,U\n")
	clitest.WantEscaped(t, recipetest.Check(t, run, "plectrace/strums/1", []string{"directions.csv"}, clitest.Hostile, "t.csv"))
}

func TestBadInput(t *testing.T) {
	files := func(channel, times string) map[string]string {
		return map[string]string{"c.csv": channel, "t.csv": times}
	}
	const args = "c.csv t.csv"
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "of no file", Args: "-down rising", Code: cli.BadUsage, Names: "-down is given without a file", Next: "name the file"},
		{Name: "no way", Args: "-down up c.csv t.csv", Code: cli.BadUsage, Names: `"up"`, Next: "rising or falling"},
		{Name: "one file", Args: "c.csv", Code: cli.BadUsage, Names: "1 file given", Next: "or neither"},
		{Name: "no channel", Args: args, Code: cli.BadInput, Names: `"c.csv"`, Next: "check the name"},
		{Name: "no list", Args: args, Files: map[string]string{"c.csv": swing}, Code: cli.BadInput, Names: `"t.csv"`, Next: "check the name"},
		{Name: "no value", Args: args, Files: files("0\n1\n", "0.1\n"), Code: cli.BadInput, Names: "c.csv, line 1", Next: "a time and a value"},
		{Name: "words", Args: args, Files: files("0,1\n1,b\n", "0.1\n"), Code: cli.BadInput, Names: "c.csv, line 2, column 2", Next: "empty"},
		{Name: "backward", Args: args, Files: files("0,1\n1,2\n0.5,3\n", "0.1\n"), Code: cli.BadInput, Names: "c.csv, line 3", Next: "sort"},
		{Name: "no times", Args: args, Files: files(swing, "\n"), Code: cli.BadInput, Names: "t.csv holds no line", Next: "right file"},
		{Name: "bad time", Args: args, Files: files(swing, "0.1\nsoon\n"), Code: cli.BadInput, Names: "t.csv, line 2, column 1", Next: "empty"},
		{Name: "missing time", Args: args, Files: files(swing, "0.1,D\n,U\n"), Code: cli.BadInput, Names: "t.csv, line 2, column 1: the time is missing", Next: "every line"},
		{Name: "short", Args: args, Files: files("0,1\n1,2\n", "0.1\n"), Code: cli.BadInput, Names: "c.csv: 2 samples", Next: "a hand that strums"},
		{Name: "notebook of nothing", Args: "-notebook c.csv t.csv", Code: cli.BadUsage, Names: "-notebook", Next: "-out"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}
