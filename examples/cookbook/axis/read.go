package main

import (
	"fmt"
	"io"
	"slices"

	"github.com/plectrace/plectrace/examples/cookbook/internal/columns"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory/tracks"
	"github.com/plectrace/plectrace/variability/circular"
)

// made is the path angle of the demo, roll how its camera is turned.
const made, roll = 18, 5

// demo is the path of an invented player, filmed by a camera that is not level.
func demo(s *settings) (*columns.Table, error) {
	take, err := simulate.Make(simulate.Options{
		Seed: 5, Duration: 12, Rate: 8, PathAngle: made * circular.Degree, AngleScatter: 3 * circular.Degree, HandWander: 1, Roll: roll * circular.Degree,
	})
	if err != nil {
		return nil, err
	}
	s.x, s.y, s.time, s.yDown, s.plane = "tip_x", "tip_y", "time_s", true, roll
	return columns.Written("an invented take", func(w io.Writer) error {
		return tracks.Write(w, &take.Recording, tracks.WriteOptions{Decimals: 2, TimeDecimals: 5})
	})
}

// find reads the table and puts the axes through the path.
func (s settings) find(files []string) (*found, error) {
	var table *columns.Table
	var err error
	if len(files) == 0 {
		table, err = demo(&s)
	} else {
		table, err = columns.Open(files[0])
	}
	if err != nil {
		return nil, err
	}
	f := &found{settings: s, file: table.Name, invented: len(files) == 0}
	read := func(flag, name string) (v []float64, err error) {
		i, err := table.Column(flag, name)
		if err == nil {
			v, err = table.Numbers(i)
		}
		return v, err
	}
	x, err := read("-x", s.x)
	if err != nil {
		return nil, err
	}
	y, err := read("-y", s.y)
	if err != nil {
		return nil, err
	}
	f.across, f.out = ontoPlane(x, y, circular.Angle(s.plane)*circular.Degree, s.yDown)
	f.whole = cloud(f.across, f.out)
	f.angle = f.whole.Angle
	name := s.time
	for _, usual := range []string{"time_s", "time", "t"} {
		if name == "" && slices.Contains(table.Head, usual) {
			name = usual
		}
	}
	if name != "" && name != "-" {
		i, err := table.Column("-time", name)
		if err != nil {
			return nil, err
		}
		t, err := table.Times(i)
		if err != nil {
			return nil, err
		}
		f.all = pieces(t, f.across, f.out, s.piece)
		f.played = played(f.all)
		f.angle = meanAngle(f.played)
	}
	if !f.angle.Known() {
		return nil, cli.Input(fmt.Errorf("%s: %s", table.Name, f.angle.Absent.Why), "check that these are the columns of a path")
	}
	return f, nil
}
