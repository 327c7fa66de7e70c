package main

import (
	"io"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
)

const head = "time_s,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y\n"

func TestRefuses(t *testing.T) {
	one := func(args []string, out io.Writer) error {
		return runWith(args, strings.NewReader(""), out, io.Discard, nil)
	}
	still := head + "0,1,2,3,4,5,60\n0.01,1,2,3,4,5,60\n0.02,1,2,3,4,5,60\n0.03,1,2,3,4,5,60\n"
	clitest.Run(one).Refuses(t, nil, []clitest.Bad{
		{Name: "nothing comes", Args: "-", Code: cli.BadInput, Names: "no sample came from standard input", Next: "live -h"},
		{Name: "an empty file", Args: "-replay a.csv", Files: map[string]string{"a.csv": ""}, Code: cli.BadInput, Names: "no sample came from a.csv", Next: "check the file"},
		{Name: "a file without -replay", Args: "lesson.csv", Code: cli.BadUsage, Names: "1 argument", Next: "-replay FILE"},
		{Name: "two sources", Args: "-replay a.csv -", Code: cli.BadUsage, Names: "two sources", Next: "one of them"},
		{Name: "speed of standard input", Args: "-speed 2 -", Code: cli.BadUsage, Names: "-speed", Next: "leave it out"},
		{Name: "no speed", Args: "-speed x", Code: cli.BadUsage, Names: "no factor of speed", Next: "live -h"},
		{Name: "no minutes", Args: "-rest -3", Code: cli.BadUsage, Names: "no number of minutes", Next: "live -h"},
		{Name: "no file", Args: "-replay no.csv", Code: cli.BadInput, Names: `"no.csv"`, Next: "check the name"},
		{Name: "no settings", Args: "-settings no.json", Code: cli.BadInput, Names: "no.json", Next: "-settings"},
		{Name: "settings beside it", Args: "-replay a.csv", Files: map[string]string{"a.csv": still, "a.take.json": "{"}, Code: cli.BadInput, Names: "a.take.json", Next: "correct the settings file"},
		{Name: "no numbers", Args: "-replay a.csv", Files: map[string]string{"a.csv": "hello\n"}, Code: cli.BadInput, Names: "no table of numbers", Next: "one row per sample"},
		{Name: "no times", Args: "-replay a.csv", Files: map[string]string{"a.csv": "tip_x,tip_y,bass_x,bass_y,treble_x,treble_y\n1,2,3,4,5,60\n"}, Code: cli.BadInput, Names: "no capture rate", Next: "give rate in the settings"},
		{Name: "no tip", Args: "-replay a.csv", Files: map[string]string{"a.csv": strings.ReplaceAll(still, "tip", "foo")}, Code: cli.BadInput, Names: "which point is the tip", Next: `"foo"`},
		{Name: "no marks", Args: "-replay a.csv", Files: map[string]string{"a.csv": strings.ReplaceAll(still, "bass", "foo")}, Code: cli.BadInput, Names: "marks", Next: "-settings"},
		{Name: "no such point", Args: "-replay a.csv", Files: map[string]string{"a.csv": still, "a.take.json": `{"schema":"plectrace/take/1","tip":"pick"}`}, Code: cli.BadInput, Names: `"pick"`, Next: "-settings"},
		{Name: "a card that is followed", Args: "-replay a.csv", Files: map[string]string{"a.csv": still, "a.take.json": `{"schema":"plectrace/take/1","tip":"tip","view":"end-on","card":{"corners":["bass","treble",[1,1],[0,1]]}}`}, Code: cli.BadInput, Names: "tracked point", Next: "treble marks"},
		{Name: "a card in another view", Args: "-replay a.csv", Files: map[string]string{"a.csv": still, "a.take.json": `{"schema":"plectrace/take/1","tip":"tip","view":"front","card":{"corners":[[0,0],[1,0],[1,1],[0,1]]}}`}, Code: cli.BadInput, Names: "the view front", Next: "see the settings"},
		{Name: "no minutes to keep", Args: "-keep x", Code: cli.BadUsage, Names: "no number of minutes", Next: "live -h"},
		{Name: "milliseconds", Args: "-speed 0 -replay a.csv", Files: map[string]string{"a.csv": "time,tip_x,tip_y,bass_x,bass_y,treble_x,treble_y\n0,1,2,3,4,5,60\n4,1,2,3,4,5,60\n8,1,2,3,4,5,60\n12,1,2,3,4,5,60\n"}, Code: cli.BadInput, Names: "too much for seconds", Next: "state the unit"},
		{Name: "a tip that stays", Args: "-replay a.csv", Files: map[string]string{"a.csv": still}, Code: cli.BadInput, Names: "stays in one place", Next: "choose the point"},
		{Name: "a broken object", Args: "-replay a.csv", Files: map[string]string{"a.csv": "{\"tip_x\": 1\n"}, Code: cli.BadInput, Names: "line 1", Next: "one object a line"},
		{Name: "a folder that is there", Args: "-out o", Files: map[string]string{"o/": "", "o/x": ""}, Code: cli.BadInput, Names: "there already", Next: "-force"},
		{Name: "a notebook without a folder", Args: "-json -notebook", Code: cli.BadUsage, Names: "-notebook", Next: "-out FOLDER"},
	})
}
