// Command resample puts the points of a tracking export on even times. It bridges what
// a curve through the neighbours bears, and invents nothing over wider gaps.
package main

import (
	_ "embed"
	"fmt"
	"io"
	"math"
	"os"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

//go:embed steps.go
var steps notebook.Source

var program = cli.Program{
	Name:  "resample",
	Does:  "Puts the points of a tracking export on even times, bridges short gaps, leaves wider ones empty, and prints the result as comma-separated text.",
	Usage: []string{"[flags] FILE > EVEN.csv", "[flags]"},
	Examples: []string{
		"",
		"take.csv > even.csv",
		"-rate 240 -max-gap 0.05 -points tip,wrist take.csv > even.csv",
		"-out even take.csv",
	},
	Groups: []cli.Group{
		{Title: "What is read:", Flags: []string{"points", "capture"}},
		{Title: "What to make of it:", Flags: []string{"rate", "max-gap"}}, recipe.Group(),
	},
	Notes: []string{
		"FILE is what trackers export: delimited text, a marker table (TRC) or a C3D file. One without times needs its capture rate (-capture). Without it the program makes a take by a telephone whose frames come unevenly.",
		"Between two samples runs a cubic through their neighbours; a sample that lies on an even time is copied. A gap wider than -max-gap stays empty: what was not seen there, nobody knows.",
		"A rate lower than that of the recording is not smoothed first: what swings faster than half of it comes out as something slower.",
		recipe.Care,
	},
}

func main() { cli.Main(program, run) }

// settings are what the command line says.
type settings struct {
	recipe.Flags
	trajectory.UniformOptions
	points  []string
	capture float64 // samples per second of an export without times
}

func run(args []string, out io.Writer) error {
	s, files, err := parse(args, out)
	if err != nil {
		return err
	}
	m, err := s.make(files)
	if err != nil {
		return err
	}
	table := func(w io.Writer) error { return write(w, m.after) }
	r := recipe.Result{Words: m.words(), Page: m.page(), Files: []cli.Output{{Name: "even.csv", Write: table}}, JSON: m.json()}
	if !m.invented {
		r.Table = table
	}
	return s.Deliver(out, r)
}

// parse reads the command line.
func parse(args []string, out io.Writer) (s settings, files []string, err error) {
	fs := program.Flags()
	fs.Float64Var(&s.Rate, "rate", 0, "samples per second to make, `HZ`; otherwise those of the recording")
	fs.Float64Var(&s.MaxGap, "max-gap", 0, "widest gap to bridge, from one seen sample to the next, in `SECONDS`, -1 for none; otherwise two and a half intervals, which bridges single samples")
	fs.Float64Var(&s.capture, "capture", 0, "capture rate, `HZ`, of an export that has no times")
	recipe.Points(fs, &s.points, "`NAMES` of the points to keep, joined by commas; otherwise all")
	s.Add(fs)
	files, err = program.Parse(fs, args, out)
	switch {
	case err != nil:
		return s, nil, err
	case len(files) > 1:
		return s, nil, cli.Usage(fmt.Errorf("%q is one file too many", files[1]), "give one export")
	case s.Rate < 0 || s.Rate > 1e5 || math.IsNaN(s.Rate):
		return s, nil, cli.Usage(fmt.Errorf("-rate %v is no rate", s.Rate), "give samples per second, up to 100000")
	case !(s.capture >= 0 && s.capture <= 1e5):
		return s, nil, cli.Usage(fmt.Errorf("-capture %v is no rate", s.capture), "give samples per second, up to 100000")
	case math.IsNaN(s.MaxGap) || s.MaxGap > 60:
		return s, nil, cli.Usage(fmt.Errorf("-max-gap %v is no gap to bridge", s.MaxGap), "give seconds, up to 60")
	}
	if err := recipe.NeedFile(fs, files, "points", "capture"); err != nil {
		return s, nil, err
	}
	return s, files, s.Check("even.csv")
}

// make reads the export and puts it on even times.
func (s settings) make(files []string) (*made, error) {
	m := &made{settings: s, invented: len(files) == 0}
	var err error
	if m.invented {
		m.before, err = demo()
	} else {
		var f *os.File
		if f, err = cli.OpenFile(files[0], "export", "check the name and the folder"); err != nil {
			return nil, err
		}
		defer f.Close()
		m.before, err = read(f, files[0], s.points, s.capture)
	}
	if err != nil {
		return nil, cli.Input(err, "")
	}
	if m.after, m.bridged, err = evenly(m.before, s.UniformOptions); err != nil {
		return nil, cli.Input(err, "")
	}
	return m, nil
}

// demo is a take by a telephone: 60 frames a second that come unevenly, a point that
// is lost now and then, and one that is hidden at some turns.
func demo() (*trajectory.Recording, error) {
	take, err := simulate.Make(simulate.Options{
		Seed: 3, Duration: 8, Rate: 4, Length: 30, FrameRate: 60, TimeJitter: 0.003, DropOuts: 0.03, HideDown: 0.1, HideFor: 0.5,
	})
	return &take.Recording, err
}
