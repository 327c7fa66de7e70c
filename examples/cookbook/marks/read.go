package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
)

// find reviews the take, reads the marks and holds them against each other. The
// program is the first viewer.
func (s options) find(files []string) (*found, error) {
	setup, err := takefile.Settings(s.settings)
	if err != nil {
		return nil, err
	}
	f := &found{invented: len(files) == 0}
	open, marks := takefile.Folder("."), marksIn
	if f.invented {
		files, open, marks = []string{"beginner-1.csv", "viewer V01", "viewer V02"}, takefile.Bundled, marksOf
	}
	f.take = files[0]
	meter := s.Meter("Reviewing " + f.take)
	t, err := takefile.Open(progress.Take{File: f.take}, open, cohort.Options{Setup: setup})
	meter.End()
	if err != nil {
		return nil, err
	}
	f.t = t.Review.Tip.T
	own, err := ofProgram(t.Review)
	switch {
	case err != nil:
		return nil, cli.Input(err, "review the take with onetake to see why")
	case len(own) == 0:
		return nil, cli.Input(errors.New("the take has no spans to hold marks against"), "review it with onetake to see why")
	}
	f.viewers = []viewer{{"the program", own}}
	for _, name := range files[1:] {
		data, err := marks(name)
		if err != nil {
			return nil, err
		}
		m, err := read(bytes.NewReader(data), name)
		if err != nil {
			return nil, cli.Input(err, "")
		}
		if err := within(name, m, f.t); err != nil {
			return nil, err
		}
		f.viewers = append(f.viewers, viewer{name, m})
	}
	for i := range f.viewers {
		for k := range i {
			x, y := f.viewers[k], f.viewers[i]
			g, err := agree(x.marks, y.marks)
			if err != nil {
				return nil, cli.Input(err, "")
			}
			f.pairs = append(f.pairs, pair{x, y, g, differences(x.marks, y.marks)})
		}
	}
	return f, nil
}

// slack is by how much marks may reach beyond the take, in seconds: a viewer stops
// the film a little late.
const slack = 1

// within returns an error when a mark lies outside the take, whose samples have the
// times t: its times are then in another unit, or of another film.
func within(name string, marks []progress.Mark, t []float64) error {
	first, last := t[0], t[len(t)-1]
	for _, m := range marks {
		if m.Start < first-slack || m.End > last+slack {
			return cli.Input(fmt.Errorf("%s: line %d: %g to %g s lies outside the take, which lasts from %.1f to %.1f s", name, m.Line, m.Start, m.End, first, last),
				"give seconds of the take; of a film that plays slowed, its time divided by slowed_by")
		}
	}
	return nil
}

// marksIn is the text of a file of marks.
func marksIn(name string) ([]byte, error) {
	return cli.ReadFile(name, "marks", "check the name and the folder")
}

// marksOf is the text of the marks of an invented viewer of the bundled take.
func marksOf(name string) ([]byte, error) {
	starts := "searching,0,3.5\nsettled,3.5,5.2\nsearching,5.2,8\nsettled,8,11.2\nsearching,11.2,15\nsettled,15,19\nsearching,19,20\n"
	if strings.HasSuffix(name, "V02") {
		starts = "searching,0,8.5\nsettled,8.5,10.8\nsearching,10.8,15.4\nsettled,15.4,19.3\n"
	}
	return []byte("kind,start_s,end_s\n" + starts), nil
}
