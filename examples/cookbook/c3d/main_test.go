package main

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

//go:generate go test . -run ^TestNotebook$ -update

func TestMain(m *testing.M) { browsertest.Main(m) }

var must = clitest.Run(run).Must

// asked is what a call finds.
func asked(t *testing.T, args ...string) *file {
	t.Helper()
	return recipetest.Asked(t, parse, settings.open, args...)
}

func TestNotebook(t *testing.T) {
	clitest.Notebook(t, program, "examples/cookbook/c3d", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/c3d/1", []string{"points.csv"})
	if csv := must(t, "-csv"); csv != made["points.csv"] {
		t.Error("-csv prints another table than the folder holds")
	}
	clitest.WantAll(t, "the words", must(t), "241 frames of 4 points in mm, 120.0 a second, from 3.000 to 5.000 s", "left out: wrist_angle.", "elbow: seen throughout", "tip: 6 % missing in 2 gaps")
}

// TestReference reads the files of testdata/reference/c3d.json, put together byte by
// byte in Python (c3d.py) from the user guide of the format (c3d.org), by way of the
// table that the program prints.
func TestReference(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/reference/c3d.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Files  []struct{ Name, Hex string }
		Frames [][][]float64
		Points []string
		Unit   string
		Rate   float64
		First  int
	}
	if err := json.Unmarshal(data, &ref); err != nil || len(ref.Files) != 6 {
		t.Fatalf("%d files, %v", len(ref.Files), err)
	}
	t.Chdir(t.TempDir())
	for _, f := range ref.Files {
		raw, err := hex.DecodeString(f.Hex)
		if err != nil {
			t.Fatal(err)
		}
		clitest.Save(t, "a.c3d", string(raw))
		rec, err := tracks.Read(strings.NewReader(must(t, "-csv", "a.c3d")), tracks.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if rec.Unit != ref.Unit || len(rec.Points) != len(ref.Points) || len(rec.T) != len(ref.Frames) {
			t.Fatalf("%s: %d frames of %d points in %q", f.Name, len(rec.T), len(rec.Points), rec.Unit)
		}
		for i, frame := range ref.Frames {
			if want := float64(ref.First-1+i) / ref.Rate; math.Abs(rec.T[i]-want) > 1e-5 {
				t.Errorf("%s: frame %d at %v s, want %v", f.Name, i, rec.T[i], want)
			}
			for k, want := range frame {
				p := rec.Points[k]
				got := []float64{p.X[i], p.Y[i], p.Z[i]}
				if p.Name != ref.Points[k] || (want == nil) != math.IsNaN(got[0]) {
					t.Errorf("%s: frame %d of %s: %v, want %v", f.Name, i, p.Name, got, want)
				}
				for a := range want {
					if math.Abs(got[a]-want[a]) > 1e-4 {
						t.Errorf("%s: frame %d of %s: %v, want %v", f.Name, i, p.Name, got, want)
					}
				}
			}
		}
		clitest.WantAll(t, f.Name, must(t, "a.c3d"), "3 frames of 2 points in mm, 59.94 a second", "tip: 33 % missing in 1 gap", "wrist: seen throughout")
	}
}

// made is a file of a few frames of points of these names.
func made(names ...string) string {
	var points []trajectory.Path
	for k, name := range names {
		p := trajectory.Path{Name: name}
		for i := range 6 {
			v := float64(10*k + i)
			if i == 2 {
				v = 0
			}
			p.T, p.X, p.Y, p.Z = append(p.T, float64(i)), append(p.X, v), append(p.Y, v), append(p.Z, v)
		}
		points = append(points, p)
	}
	return string(encode(points, "angle", 100, 1))
}

func TestSettings(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "a.c3d", made("tip", "wrist"))
	if f := asked(t, "-points", "wrist", "a.c3d"); len(f.rec.Points) != 1 || f.rec.Points[0].Gaps().Missing != 0 {
		t.Errorf("%+v", f.rec.Points)
	}
	if g := asked(t, "-zero-missing", "a.c3d").rec.Points[1].Gaps(); g.Missing != 1 {
		t.Errorf("zeros count as seen: %+v", g)
	}
	// More points than the figure shows.
	var names []string
	for i := range 12 {
		names = append(names, fmt.Sprintf("point %d", i+1))
	}
	names[3] = "" // "point 4" then
	clitest.Save(t, "many.c3d", made(names...))
	f := asked(t, "many.c3d")
	clitest.WantAll(t, "the notebook", fmt.Sprint(f.page().Sections[1].Blocks), "the first 10 points")
	if n := strings.Count(must(t, "-csv", "many.c3d"), "_x_mm"); n != 12 {
		t.Errorf("%d points are written", n)
	}
}

// TestHostile: labels are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	// A label of this writer has 12 bytes.
	const evil = "<img|*a*`$\"&"
	clitest.Save(t, "h.c3d", made(evil, "tip"))
	made := recipetest.Check(t, run, "plectrace/c3d/1", []string{"points.csv"}, "h.c3d")
	if page := made["page.html"]; strings.Contains(page, "<img") || !strings.Contains(clitest.Visible(page), evil) {
		t.Error("the label is markup in the page, or not in it")
	}
	rec, err := tracks.Read(strings.NewReader(made["points.csv"]), tracks.Options{})
	if err != nil || rec.Points[0].Name != evil {
		t.Errorf("%v, %v", rec, err)
	}
}

func TestBadInput(t *testing.T) {
	whole := made("tip", "wrist")
	files := func(text string) map[string]string { return map[string]string{"a.c3d": text} }
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "two files", Args: "a b", Code: cli.BadUsage, Names: `"b"`, Next: "one C3D file"},
		{Name: "no file", Args: "none.c3d", Code: cli.BadInput, Names: `"none.c3d"`, Next: "check the name"},
		{Name: "a folder", Args: "d", Files: map[string]string{"d/": ""}, Code: cli.BadInput, Names: "it is a folder", Next: "check the name"},
		{Name: "text", Args: "a.c3d", Files: files("time_s,tip_x,tip_y\n0,1,2\n1,2,3\n"), Code: cli.BadInput, Names: "a.c3d is text", Next: "as it is"},
		{Name: "empty", Args: "a.c3d", Files: files(""), Code: cli.BadInput, Names: "a.c3d is no C3D file", Next: "right file"},
		{Name: "a picture", Args: "a.c3d", Files: files("\x89PNG\r\n\x1a\n"), Code: cli.BadInput, Names: "a.c3d is no C3D file", Next: "right file"},
		{Name: "cut in the parameters", Args: "a.c3d", Files: files(whole[:700]), Code: cli.BadInput, Names: "a.c3d", Next: "export it again"},
		{Name: "cut in the frames", Args: "a.c3d", Files: files(whole[:1050]), Code: cli.BadInput, Names: "a.c3d", Next: "export it again"},
		{Name: "no such point", Args: "-points elbow a.c3d", Files: files(whole), Code: cli.BadInput, Names: `"elbow"`, Next: "the points are"},
		{Name: "no position", Args: "-points angle a.c3d", Files: files(whole), Code: cli.BadInput, Names: "angle", Next: ""},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
	})
}
