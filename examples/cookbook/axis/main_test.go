package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipetest"
	"github.com/plectrace/plectrace/examples/internal/browsertest"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
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
	clitest.Notebook(t, program, "examples/cookbook/axis", asked(t).page())
}

func TestCommonFlags(t *testing.T) {
	t.Chdir(t.TempDir())
	made := recipetest.Check(t, run, "plectrace/axis/1", []string{"axis.csv"})
	if n := strings.Count(made["axis.csv"], "\n"); n != 13 {
		t.Errorf("%d lines for 12 parts", n)
	}
}

// The demo finds the angle at which its path was made.
func TestDemo(t *testing.T) {
	if v := inDegrees(asked(t).angle); !(v.Low < made && made < v.High) || v.High-v.Low > 2 {
		t.Errorf("%+v, want %d", v, made)
	}
}

// TestReference holds points without times against testdata/reference/trajectory.json,
// made by numpy and scipy (trajectory.py): Pearson (1901) and two of Sokal and Rohlf
// (1995), with the interval of Jolicoeur and Mosimann (1968).
func TestReference(t *testing.T) {
	data, err := os.ReadFile("../../../testdata/reference/trajectory.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Axes []struct {
			Name  string
			X, Y  []float64
			Slope float64
			Low   float64 `json:"slope_low"`
			High  float64 `json:"slope_high"`
		}
	}
	if err := json.Unmarshal(data, &ref); err != nil || len(ref.Axes) != 3 {
		t.Fatalf("%d axes, %v", len(ref.Axes), err)
	}
	t.Chdir(t.TempDir())
	degrees := func(slope float64) float64 { return math.Atan(slope) * 180 / math.Pi }
	for _, a := range ref.Axes {
		text := "a;b\n"
		for i := range a.X {
			text += strings.ReplaceAll(fmt.Sprintf("%v;%v\n", a.X[i], a.Y[i]), ".", ",")
		}
		clitest.Save(t, "a.csv", text)
		f := asked(t, "-x", "a", "-y", "b", "a.csv")
		v := inDegrees(f.angle)
		for _, c := range [][2]float64{{v.Value, degrees(a.Slope)}, {v.Low, degrees(a.Low)}, {v.High, degrees(a.High)}} {
			if math.Abs(c[0]-c[1]) > 1e-9 {
				t.Errorf("%s: %v, want %v", a.Name, c[0], c[1])
			}
		}
		// The y axis turned round, and the picture tilted, turn the angle with them.
		g := asked(t, "-x", "a", "-y", "b", "-y-down", "-plane", "30", "a.csv")
		if d := (g.angle.Value + f.angle.Value + 30*circular.Degree).Axial(); math.Abs(d.Degrees()) > 1e-9 {
			t.Errorf("%s: turned and tilted it lies at %v", a.Name, inDegrees(g.angle).Value)
		}
		clitest.WantAll(t, "the answer", f.words(), "one axis through "+fmt.Sprint(len(a.X))+" points, each taken for an observation of its own")
	}
}

// Parts of a path across the end of the scale of axes, at rest and unseen.
func TestPieces(t *testing.T) {
	var at, x, y []float64
	for i := range 5 * 240 {
		u := float64(i) / 240
		swing := 10 * math.Sin(2*math.Pi*5*u)
		angle := []float64{89, -89, 90, 0, 0}[int(u)] * math.Pi / 180
		switch int(u) {
		case 3: // at rest
			swing = 0.01 * math.Sin(float64(i*i))
		case 4:
			swing = math.NaN()
		}
		at, x, y = append(at, u), append(x, swing*math.Cos(angle)), append(y, swing*math.Sin(angle)+0.01*math.Cos(float64(i*i)))
	}
	all := pieces(at, x, y, 1)
	kept := played(all)
	if len(all) != 5 || len(kept) != 3 {
		t.Fatalf("%d parts, %d played", len(all), len(kept))
	}
	// The mean of 89, 90 and 91 degrees; half its interval is at least Student's t of 2
	// degrees of freedom at 95 %, 4.303 in any table, times 1/√3.
	v := inDegrees(meanAngle(kept))
	if half := (v.High - v.Low) / 2; math.Abs(math.Abs(v.Value)-90) > 0.01 || half < 4.303/math.Sqrt(3)-0.01 || half > 30 || math.Abs(v.Low+half-v.Value) > 1e-9 {
		t.Errorf("the mean axis lies at %+v", v)
	}
	if v := meanAngle(nil); v.Known() || v.Absent.Why == "" {
		t.Errorf("no parts: %+v", v)
	}
}

var calibrate = flag.Int("calibrate", 20, "takes of each kind that TestInterval makes")

// TestInterval counts how often the interval holds the angle that was made.
func TestInterval(t *testing.T) {
	if testing.Short() {
		t.Skip("takes of eight kinds")
	}
	inside, formula, all := 0, 0, 0
	for i, o := range []simulate.Options{
		{Duration: 10, AngleScatter: 2 * circular.Degree}, {Duration: 10, AngleScatter: 6 * circular.Degree}, {Duration: 10, Noise: 3},
		{Duration: 3, AngleScatter: 3 * circular.Degree}, {Duration: 20, HandWander: 1}, {Duration: 10, Curvature: 0.05},
		{Duration: 5, HandWander: 1}, {Duration: 20, Rate: 2.2, HandWander: 0.5},
	} {
		o.PathAngle = 20 * circular.Degree
		held := [2]int{}
		for k := range *calibrate {
			o.Seed = uint64(1000*i + k)
			take, err := simulate.Make(o)
			if err != nil {
				t.Fatal(err)
			}
			tip, _ := take.Recording.Point("tip")
			across, out := ontoPlane(tip.X, tip.Y, 0, true)
			for j, v := range []estimate.Value[circular.Angle]{meanAngle(played(pieces(tip.T, across, out, 1))), cloud(across, out).Angle} {
				if v.Low <= o.PathAngle && o.PathAngle <= v.High {
					held[j]++
				}
			}
		}
		t.Logf("kind %d: %d of %d, the textbook interval %d", i+1, held[0], *calibrate, held[1])
		inside, formula, all = inside+held[0], formula+held[1], all+*calibrate
	}
	// Three standard errors of a binomial below 0.93.
	if least := 0.93 - 3*math.Sqrt(0.93*0.07/float64(all)); float64(inside) < least*float64(all) || formula > all*3/4 {
		t.Errorf("%d and %d of %d intervals hold the angle", inside, formula, all)
	}
}

// TestShort: parts that a jump in the times cuts short, and what is left at the end,
// are left out, and that is said.
func TestShort(t *testing.T) {
	t.Chdir(t.TempDir())
	var b strings.Builder
	b.WriteString("time_s,tip_x,tip_y\n")
	for i := range 100 * 5 {
		at := float64(i) / 100
		if at >= 2.4 {
			at += 3.3 // the second part is 0.4 s long, and the last 0.6 s
		}
		fmt.Fprintf(&b, "%.2f,%.3f,%.3f\n", at, 10*math.Sin(20*at), 4*math.Sin(20*at))
	}
	clitest.Save(t, "take.csv", b.String())
	clitest.WantAll(t, "the words", must(t, "take.csv"), "the mean of 4 parts of 1 s", "Left out: 2 parts shorter than 1 s, before a jump in the times or at the end.")
	if csv := must(t, "-out", "o", "take.csv"); !strings.Contains(csv, "axis.csv") || strings.Count(clitest.Read(t, "o/axis.csv"), ",false\n") != 2 {
		t.Errorf("axis.csv is\n%s", clitest.Read(t, "o/axis.csv"))
	}
	if said := must(t); strings.Contains(said, "shorter") {
		t.Errorf("the example says %q", said)
	}
}

// TestFewSamples: none of the parts is lost that have few samples. Each ends with the
// first sample that does not belong to it, so that it lasts an interval more at most.
func TestFewSamples(t *testing.T) {
	for _, hz := range []float64{25, 30, 240} {
		var at, x []float64
		for i := range int(6.05*hz) + 1 {
			at, x = append(at, float64(i)/hz), append(x, math.Sin(float64(i)))
		}
		if got := len(pieces(at, x, x, 0.2)); float64(got) < 6/(0.2+1/hz)-1 || got > 31 {
			t.Errorf("%g a second: %d parts of 0.2 s in 6 s", hz, got)
		}
	}
}

// TestHostile: names of columns are text wherever they are shown.
func TestHostile(t *testing.T) {
	t.Chdir(t.TempDir())
	text := "t," + clitest.Hostile + ",y\n"
	for i := range 600 {
		text += fmt.Sprintf("%g,%g,%g\n", float64(i)/200, math.Sin(float64(i)/5), math.Cos(float64(i*i))/50)
	}
	clitest.Save(t, "h.csv", text)
	made := recipetest.Check(t, run, "plectrace/axis/1", []string{"axis.csv"}, "-x", clitest.Hostile, "-y", "y", "h.csv")
	clitest.WantEscaped(t, made)
}

// TestStandardInput: - is standard input.
func TestStandardInput(t *testing.T) {
	t.Chdir(t.TempDir())
	clitest.Save(t, "in.csv", "x,y\n0,0\n1,1.1\n2,1.9\n3,3\n")
	in, err := os.Open("in.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	old := os.Stdin
	defer func() { os.Stdin = old }()
	os.Stdin = in
	clitest.WantAll(t, "the answer", must(t, "-x", "x", "-y", "y", "-"), "degrees to the strings: one axis through 4 points")
}

func TestBadInput(t *testing.T) {
	path := "time_s,tip_x,tip_y\n0,1,2\n0.1,3,4\n0.2,5,6.1\n0.3,4,4.4\n"
	clitest.Run(run).Refuses(t, nil, []clitest.Bad{
		{Name: "two files", Args: "a b", Code: cli.BadUsage, Names: `"b"`, Next: "one table"},
		{Name: "plane", Args: "-plane NaN", Code: cli.BadUsage, Names: "-plane NaN", Next: "-180 to 180"},
		{Name: "piece", Args: "-piece 0", Code: cli.BadUsage, Names: "-piece 0", Next: "two strokes"},
		{Name: "of no file", Args: "-plane 4", Code: cli.BadUsage, Names: "-plane is given without a file", Next: "name the file"},
		{Name: "no file", Args: "none.csv", Code: cli.BadInput, Names: `"none.csv"`, Next: "check the name"},
		{Name: "no column", Args: "-x wrist_x a.csv", Files: map[string]string{"a.csv": path}, Code: cli.BadInput, Names: `no column "wrist_x"`, Next: "with -x: time_s, tip_x, tip_y"},
		{Name: "no time", Args: "-time when a.csv", Files: map[string]string{"a.csv": path}, Code: cli.BadInput, Names: `no column "when"`, Next: "-time"},
		{Name: "text", Args: "a.csv", Files: map[string]string{"a.csv": path + "0.4,left,1\n"}, Code: cli.BadInput, Names: `a.csv, line 6, column 2: "left"`, Next: "leave a cell empty"},
		{Name: "backward", Args: "a.csv", Files: map[string]string{"a.csv": path + "0.2,1,1\n"}, Code: cli.BadInput, Names: "line 6, column 1: the time 0.2 s", Next: "sort"},
		{Name: "one point", Args: "-time - a.csv", Files: map[string]string{"a.csv": "tip_x,tip_y\n1,2\n1,2\n,\n"}, Code: cli.BadInput, Names: "a.csv", Next: "columns of a path"},
		{Name: "never moves", Args: "a.csv", Files: map[string]string{"a.csv": "time_s,tip_x,tip_y\n0,1,2\n1,1,2\n2,1,2\n3,1,2\n"}, Code: cli.BadInput, Names: "no part of the path", Next: "columns of a path"},
		{Name: "folder is there", Args: "-out d", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "d is there already", Next: "-force"},
		{Name: "would be lost", Args: "-out d -force", Files: map[string]string{"d/": "", "d/notes.txt": "x"}, Code: cli.BadInput, Names: "notes.txt, which would be lost", Next: "-out"},
	})
}
