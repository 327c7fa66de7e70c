package main

import (
	"fmt"
	"io"
	"slices"

	"github.com/plectrace/plectrace/examples/cookbook/internal/columns"
	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/examples/internal/takefile"
	"github.com/plectrace/plectrace/motion/cohort"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// found is what the comparison of a column tells.
type found struct {
	settings
	file        string
	invented    bool
	timed       bool
	change      variability.Change
	early, late []float64
	drawn       estimate.Value[float64]
	block       int
}

// find reads the table and compares.
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
	t, values, err := f.read(table)
	if err != nil {
		return nil, err
	}
	if f.alternate {
		t, values = cycles(t, values)
	}
	if f.change, err = compare(t, values, f.EarlyLateOptions); err != nil {
		return nil, cli.Input(err, "")
	}
	f.early, f.late = within(t, values, f.change.Early), within(t, values, f.change.Late)
	if f.change.Difference.Known() {
		f.drawn, f.block = drawn(f.early, f.late)
	}
	return f, nil
}

// read returns the two columns.
func (f *found) read(table *columns.Table) (t, values []float64, err error) {
	at := -1
	for _, usual := range []string{"start_s", "time_s", "time", "t"} {
		if i := slices.Index(table.Head, usual); i >= 0 && at < 0 && f.time == "" {
			at = i
		}
	}
	if f.time != "" && f.time != "-" {
		if at, err = table.Column("-time", f.time); err != nil {
			return nil, nil, err
		}
	}
	if f.timed = at >= 0; f.timed {
		t, err = table.Times(at)
	} else {
		for i := range table.Len() {
			t = append(t, float64(i+1))
		}
		f.Tail = -1
	}
	if err != nil {
		return nil, nil, err
	}
	others := table.Head
	if f.timed {
		others = slices.Delete(slices.Clone(others), at, at+1)
	}
	switch {
	case f.column == "" && len(others) != 1:
		return nil, nil, cli.Input(fmt.Errorf("%s has %s besides the time", table.Name, measured.Count(len(others), "column")), "name one with -column")
	case f.column == "":
		f.column = others[0]
	}
	i, err := table.Column("-column", f.column)
	if err == nil {
		values, err = table.Numbers(i)
	}
	return t, values, err
}

// demo is the list of strokes of a bundled take, as onetake writes it.
func demo(s *settings) (*columns.Table, error) {
	t, err := takefile.Open(progress.Take{File: "beginner-2.csv"}, takefile.Bundled, cohort.Options{})
	if err != nil {
		return nil, err
	}
	s.column, s.alternate = "duration_ms", true
	for _, span := range t.Review.Spans[1:] {
		s.Changes = append(s.Changes, span.Start)
	}
	return columns.Written("the bundled take beginner-2", func(w io.Writer) error {
		out := measured.NewTable(w, "start_s", "duration_ms")
		for _, stroke := range t.Review.Motion.Strokes {
			out.Line(stroke.Start, 1000*stroke.Duration())
		}
		return out.Flush()
	})
}
