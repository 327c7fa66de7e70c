package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/cookbook/internal/columns"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// found are the directions of strums.
type found struct {
	names    [2]string
	invented bool
	path     trajectory.Placed
	times    []float64
	said     []motion.Direction // by the list
	ways     []motion.Direction
}

// find reads the channel and the list, and tells the directions.
func (s settings) find(files []string) (*found, error) {
	f := &found{names: [2]string{"an invented hand", "its strums"}, invented: len(files) == 0}
	var err error
	if f.invented {
		s.down = "rising"
		err = f.demo()
	} else {
		f.names = [2]string{files[0], files[1]}
		err = f.load(files[0], files[1])
	}
	if err != nil {
		return nil, err
	}
	m, err := strokes(f.path)
	var short *trajectory.DataError
	switch {
	case errors.As(err, &short):
		return nil, cli.Input(fmt.Errorf("%s: %s", f.names[0], short.Rule), "check that its first two columns are times and values of a hand that strums")
	case err != nil:
		return nil, cli.Input(fmt.Errorf("%s: %w", f.names[0], err), "check the channel")
	}
	f.ways = directions(m, f.path, f.times, s.down == "falling")
	return f, nil
}

// demo is a simulated hand, whose tip's place across is the channel.
func (f *found) demo() error {
	take, err := simulate.Make(simulate.Options{
		Seed: 21, Duration: 30, Rate: 4, Length: 60, Jitter: 0.12, LengthScatter: 0.2, Noise: 1.5, Scale: 1, FrameRate: 19, TimeJitter: 0.002,
	})
	if err != nil {
		return err
	}
	tip, _ := take.Recording.Point("tip")
	f.path = channelPath(tip.T, tip.X)
	for _, s := range take.Truth.Strokes {
		d := motion.Up
		if s.Down {
			d = motion.Down
		}
		if s.Reached {
			f.times, f.said = append(f.times, s.Struck), append(f.said, d)
		}
	}
	return nil
}

// load reads the channel and the list.
func (f *found) load(channel, times string) error {
	table, err := columns.Open(channel)
	if err != nil {
		return err
	}
	if len(table.Head) < 2 {
		return cli.Input(fmt.Errorf("%s, line %d: it has 1 cell", channel, table.Line(0)), "give a time and a value on each line")
	}
	t, err := table.Times(0)
	if err != nil {
		return err
	}
	values, err := table.Numbers(1)
	if err != nil {
		return err
	}
	f.path = channelPath(t, values)
	if table, err = columns.Open(times); err != nil {
		return err
	}
	if f.times, err = table.Given(0); err != nil {
		return err
	}
	f.said = make([]motion.Direction, len(f.times))
	if len(table.Head) > 1 {
		words := map[string]motion.Direction{"D": motion.Down, "DOWN": motion.Down, "U": motion.Up, "UP": motion.Up}
		for i, text := range table.Texts(1) {
			f.said[i] = words[strings.ToUpper(text)]
		}
	}
	return nil
}
