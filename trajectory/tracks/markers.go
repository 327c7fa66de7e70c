package tracks

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory/tracks/internal/delimited"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/header"
)

// promise is what the lines above a marker table say about it.
type promise struct {
	header.Promise
	line int // of the values
}

// promised reads the lines above the table; rows of a marker table begin with
// PathFileType, then come a line of keys and one of values.
func (s *survey) promised(view delimited.View) {
	var rows [][]string
	var lines []int
	for _, rec := range view.Records[:view.First] {
		if !rec.Comment {
			rows = append(rows, rec.Cells)
			lines = append(lines, rec.Line)
		}
	}
	p, ok := header.MarkerTable(rows)
	if !ok {
		return
	}
	s.Format = FormatTRC
	s.Rate = p.Rate
	s.Samples = p.Frames
	s.promise = promise{p, lines[2]}
}

// markers returns the error of a marker table whose columns are not for as
// many markers as its header promises.
func (s *survey) markers(file string) error {
	p := s.promise
	if p.line == 0 || p.Markers == 0 || p.Markers == len(s.Points) && p.Named == len(s.Points) {
		return nil
	}
	return &Error{File: file, Line: p.line, Rule: "markers",
		Msg: fmt.Sprintf("NumMarkers is %d, and there are names for %d and columns of coordinates for %d",
			p.Markers, p.Named, len(s.Points)),
		Hint: "export the file again, or correct NumMarkers and the two rows of names"}
}

// frames returns the error of a marker table that ends too soon. More rows than
// promised are no loss.
func (s *survey) frames(t *delimited.Table, file string) error {
	if t.Rows >= s.promise.Frames {
		return nil
	}
	return &Error{File: file, Line: t.Line(t.Rows - 1), Rule: "truncated",
		Msg:  fmt.Sprintf("the table ends after %d rows, and NumFrames is %d", t.Rows, s.promise.Frames),
		Hint: "export the file again, or correct NumFrames"}
}
