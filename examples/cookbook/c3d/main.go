// Command c3d tells what a C3D file holds, its points, their rate and their gaps, and
// writes the points as comma-separated text.
package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/examples/cookbook/internal/recipe"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

//go:embed steps.go
var steps notebook.Source

// hand is the file that is shown without arguments: the arm of an invented player, two
// seconds from a take. The test of this program made it, and holds it to that.
//
//go:embed testdata/hand.c3d
var hand []byte

var program = cli.Program{
	Name:  "c3d",
	Does:  "Tells what a C3D file of a motion-capture system holds, its points, their rate and their gaps, and writes the points as comma-separated text.",
	Usage: []string{"[flags] [FILE.c3d]", "-csv FILE.c3d > FILE.csv"},
	Examples: []string{
		"",
		"take.c3d",
		"-csv -points tip,wrist take.c3d > take.csv",
		"-zero-missing -out take take.c3d",
	},
	Groups: []cli.Group{{Title: "What is read:", Flags: []string{"points", "zero-missing", "csv"}}, recipe.Group()},
	Notes: []string{
		"A sample is missing where the file says so (a negative residual). Some systems write zeros instead: -zero-missing.",
		"Angles, forces and the like, which the file lists as no positions, are told and left out. Analog channels are passed over.",
		"onetake reads C3D files as they are.",
		recipe.Care,
	},
}

func main() { cli.Main(program, run) }

// settings are what the command line says.
type settings struct {
	recipe.Flags
	points           []string
	csv, zeroMissing bool
}

func run(args []string, out io.Writer) error {
	s, files, err := parse(args, out)
	if err != nil {
		return err
	}
	f, err := s.open(files)
	if err != nil {
		return err
	}
	table := func(w io.Writer) error { return write(w, f.rec) }
	r := recipe.Result{Words: f.words(), Page: f.page(), Files: []cli.Output{{Name: "points.csv", Write: table}}, JSON: f.json()}
	if s.csv {
		r.Table = table
	}
	return s.Deliver(out, r)
}

// parse reads the command line.
func parse(args []string, out io.Writer) (s settings, files []string, err error) {
	fs := program.Flags()
	recipe.Points(fs, &s.points, "`NAMES` of the points to read, joined by commas; otherwise all")
	fs.BoolVar(&s.csv, "csv", false, "print the points as comma-separated text in place of words")
	fs.BoolVar(&s.zeroMissing, "zero-missing", false, "a sample that is 0 on all three axes is missing")
	s.Add(fs)
	files, err = program.Parse(fs, args, out)
	switch {
	case err != nil:
		return s, nil, err
	case len(files) > 1:
		return s, nil, cli.Usage(fmt.Errorf("%q is one file too many", files[1]), "give one C3D file")
	}
	return s, files, s.Check("points.csv")
}

// file is what a C3D file holds.
type file struct {
	name     string
	invented bool
	layout   tracks.Layout
	rec      *trajectory.Recording
}

// open reads the file.
func (s settings) open(files []string) (*file, error) {
	f := &file{name: "hand.c3d", invented: len(files) == 0}
	data := hand
	var err error
	if !f.invented {
		f.name = files[0]
		if data, err = cli.ReadFile(f.name, "C3D file", "check the name and the folder"); err != nil {
			return nil, err
		}
	}
	var fault *tracks.Error
	f.layout, err = look(bytes.NewReader(data))
	switch {
	case errors.As(err, &fault) && fault.Offset == 0: // it was read as text
		return nil, cli.Input(fmt.Errorf("%s is no C3D file", f.name), "check that it is the right file")
	case err != nil:
		return nil, cli.Input(fmt.Errorf("%s: %w", f.name, err), "")
	}
	if f.layout.Format != tracks.FormatC3D {
		return nil, cli.Input(fmt.Errorf("%s is text and no C3D file", f.name), "onetake and resample read it as it is")
	}
	if f.rec, err = read(bytes.NewReader(data), f.name, s.points, s.zeroMissing); err != nil {
		return nil, cli.Input(err, "")
	}
	return f, nil
}
