package tracks

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/plectrace/plectrace/trajectory/tracks/internal/c3d"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/delimited"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/header"
)

// Inspect reads the beginning of an export and returns its layout, so that a
// program can make its guesses and say what it assumed. Only the header and
// the first 200 rows of a text count, and of a C3D file the header and the
// parameters; an error further down is left to Read.
func Inspect(r io.Reader) (Layout, error) {
	return inspect(r, Options{})
}

// InspectFile is Inspect for the file of that name. A pipe is an error, since its
// beginning could not be read again.
func InspectFile(name string) (Layout, error) {
	if err := refusePipe(name); err != nil {
		return Layout{}, err
	}
	f, err := open(name)
	if err != nil {
		return Layout{}, err
	}
	defer f.Close()
	return inspect(f, Options{Source: name})
}

func inspect(r io.Reader, o Options) (Layout, error) {
	src := newSource(r)
	if c3d.Is(src.head) {
		return inspectC3D(src, o)
	}
	s, err := look(src, o)
	if err != nil {
		return Layout{}, err
	}
	return s.Layout, nil
}

// survey is the beginning of an export, looked through.
type survey struct {
	Layout
	src         *delimited.Source // at the first row of numbers
	dialect     delimited.Dialect
	rows        []delimited.Record // the first rows of numbers
	headerLine  int                // of the names of the columns, 0 without
	time, frame int                // indices in Columns, -1 without
	rowBytes    float64            // mean length of a row
	skipped     int                // bytes above the first row of numbers
	promise     promise            // of the lines above, zero without any
}

// separators are tried in this order.
const separators = ",\t;| "

// look finds the layout and leaves the source at the first row of numbers.
func look(r io.Reader, o Options) (*survey, error) {
	src, err := delimited.NewSource(r)
	if err != nil {
		return nil, located(err, o.Source, nil)
	}
	seps := separators
	if o.Delimiter != 0 {
		seps = string(o.Delimiter)
	}
	var (
		view     delimited.View
		text     []byte
		complete bool
	)
	for more := true; more; {
		text, complete = src.Unread()
		if complete && len(bytes.TrimSpace(text)) == 0 {
			return nil, &Error{File: o.Source, Rule: "empty", Msg: "there is no text",
				Hint: "check the export; it may have failed"}
		}
		view = delimited.Look(string(text), complete, seps, o.DecimalComma, header.IsAxes)
		if view.First < len(view.Records) {
			break
		}
		if more, err = src.More(); err != nil {
			return nil, located(err, o.Source, nil)
		}
	}
	if view.First == len(view.Records) {
		return nil, notTable(string(text), complete, seps, view.Records, o.Source)
	}
	s := &survey{src: src, dialect: view.Dialect}
	for _, rec := range view.Records[view.First:] {
		if !rec.Comment {
			s.rows = append(s.rows, rec)
		}
	}
	first := s.rows[0]
	s.skipped = first.Offset
	s.rowBytes = rowBytes(text[first.Offset:])
	s.Delimiter = rune(view.Sep)
	s.DecimalComma = view.Comma
	s.HeaderLines = first.Line - 1
	s.Format = FormatText
	s.promised(view)
	s.name(view, o)
	if err := s.unique(o.Source); err != nil {
		return nil, err
	}
	if len(o.Header) == 0 {
		if err := s.markers(o.Source); err != nil {
			return nil, err
		}
	}
	s.clock(o)
	src.Skip(first.Offset, first.Line)
	return s, nil
}

// rowBytes returns the mean length of the rows that a line end closes.
func rowBytes(b []byte) float64 {
	for _, eol := range []byte("\n\r") {
		if i := bytes.LastIndexByte(b, eol); i >= 0 {
			return float64(i+1) / float64(bytes.Count(b, []byte{eol}))
		}
	}
	return float64(len(b))
}

// notTable says why there are no rows of numbers.
func notTable(text string, complete bool, seps string, recs []delimited.Record, file string) error {
	e := &Error{File: file}
	if n := len(recs); n > 0 && recs[n-1].Open {
		e.Rule, e.Line, e.Column = "quote", recs[n-1].Line, len(recs[n-1].Cells)
		e.Text = recs[n-1].Cells[e.Column-1]
		e.Msg, e.Hint = "a quote is opened and never closed", `close it, or delete the " at the beginning of the cell`
		return e
	}
	for i := range len(seps) {
		var rows [][]string
		line := 0
		for _, rec := range delimited.Records(text, seps[i], 8, complete) {
			if !rec.Comment {
				rows = append(rows, rec.Cells)
				line = rec.Line
			}
		}
		if cols := header.Parse(rows, 0); complete && len(points(cols)) > 0 {
			return noRows(file, line)
		}
	}
	e.Rule, e.Line = "prose", 1
	e.Msg = "no table of numbers was found"
	if !complete {
		e.Msg += " in its first 1 MiB"
	}
	e.Hint = "export one row per sample with the coordinates in columns, separated by commas, semicolons or tabs"
	if len(recs) > 0 {
		e.Line = recs[0].Line
		e.Text = strings.Join(recs[0].Cells, " ")
	}
	return e
}

func noRows(file string, line int) error {
	return &Error{File: file, Line: line, Rule: "header-only",
		Msg: "there is a header and no row of numbers", Hint: "check the export; it may have failed"}
}

// name sets the columns, the points and the unit.
func (s *survey) name(view delimited.View, o Options) {
	var rows, comments [][]string
	for _, rec := range view.Records[:view.First] {
		if rec.Comment {
			comments = append(comments, rec.Cells)
		} else {
			rows = append(rows, rec.Cells)
			s.headerLine = rec.Line
		}
	}
	named := rows
	if n := len(comments); len(named) == 0 && n > 0 && len(comments[n-1]) == view.Width {
		named = comments[n-1:]
		s.headerLine = view.Records[view.First-1].Line
	}
	if len(o.Header) > 0 {
		named = [][]string{o.Header}
	}
	cols := header.Parse(named, view.Width)
	if cols == nil {
		cols = make([]header.Column, view.Width)
		for i := range cols {
			cols[i].Name = fmt.Sprint("c", i+1)
		}
	}
	s.Points = points(cols)
	isPoint := make(map[string]bool, len(s.Points))
	for _, p := range s.Points {
		isPoint[p] = true
	}
	s.Unit = header.StatedUnit(append(comments, rows...))
	stated := ""
	for i, c := range cols {
		col := Column{Index: i + 1, Name: c.Name, Unit: c.Unit}
		switch c.Role {
		case header.Time:
			col.Role = RoleTime
		case header.Frame:
			col.Role = RoleFrame
		case header.Coordinate, header.Confidence:
			if !isPoint[c.Point] {
				break
			}
			col.Point, col.Axis, col.Role = c.Point, c.Axis, RoleConfidence
			if c.Role == header.Coordinate {
				col.Role = RoleCoordinate
				switch {
				case c.Unit == "" || c.Unit == stated:
				case stated == "":
					stated = c.Unit
				default:
					stated = "several"
				}
			}
		}
		s.Columns = append(s.Columns, col)
	}
	if stated == "several" {
		s.Unit = ""
	} else if stated != "" {
		s.Unit = stated
	}
	s.time = timeColumn(cols)
}

// points returns the names of the points that have an x and a y.
func points(cols []header.Column) []string {
	axes := map[string]int{}
	for _, c := range cols {
		if c.Role == header.Coordinate {
			axes[c.Point] |= 1 << (c.Axis[0] - 'x')
		}
	}
	var names []string
	for _, c := range cols {
		if c.Role == header.Coordinate && axes[c.Point]&3 == 3 {
			names = append(names, c.Point)
			axes[c.Point] = 0
		}
	}
	return names
}

// timeColumn returns the index of the column that is most likely the time, -1
// if none is: a name that means nothing else first, one with time in it before
// others.
func timeColumn(cols []header.Column) int {
	best, bestRank := -1, 0
	for i, c := range cols {
		rank := 0
		switch {
		case c.Role != header.Time:
		case c.Weak:
			rank = 1
		case !strings.HasPrefix(strings.ToLower(c.Name), "time") || strings.HasPrefix(strings.ToLower(c.Name), "timestamp"):
			rank = 2
		default:
			rank = 3
		}
		if rank > bestRank {
			best, bestRank = i, rank
		}
	}
	return best
}

// clock settles the time and the frame column.
func (s *survey) clock(o Options) {
	switch o.Time {
	case "":
	case "-":
		s.time = -1
	default:
		s.time = slices.IndexFunc(s.Columns, func(c Column) bool { return c.Name == o.Time })
		if s.time >= 0 && s.Columns[s.time].Role == RoleFrame {
			s.time = -1 // frames need the rate, as ever
		}
	}
	s.frame = -1
	for i := range s.Columns {
		c := &s.Columns[i]
		switch {
		case i == s.time:
			c.Role, c.Point, c.Axis = RoleTime, "", ""
		case c.Role == RoleTime:
			c.Role = RoleOther
		case c.Role == RoleFrame && (!s.integers(i) || s.frame >= 0 && s.Columns[s.frame].Name != ""):
			c.Role = RoleOther
		case c.Role == RoleFrame:
			if s.frame >= 0 { // a named one beats one without a name
				s.Columns[s.frame].Role = RoleOther
			}
			s.frame = i
		}
	}
	s.Step = math.NaN()
	if s.frame >= 0 {
		s.Frame = s.Columns[s.frame].Name
	}
	if s.time >= 0 {
		s.Time = s.Columns[s.time].Name
		s.TimeUnit = s.Columns[s.time].Unit
		if o.TimeUnit != "" {
			s.TimeUnit = o.TimeUnit
		}
		if s.TimeUnit == "" {
			s.TimeUnit = "s"
		}
		s.Step = medianStep(s.values(s.time)) / perSecond[s.TimeUnit]
	}
}

// values returns the numbers of a column in the first rows.
func (s *survey) values(col int) []float64 {
	var vs []float64
	point := byte('.')
	if s.DecimalComma {
		point = ','
	}
	for _, rec := range s.rows {
		if col < len(rec.Cells) {
			if v, kind := delimited.Parse([]byte(rec.Cells[col]), point); kind == delimited.Number {
				vs = append(vs, v)
			}
		}
	}
	return vs
}

func (s *survey) integers(col int) bool {
	for _, v := range s.values(col) {
		if v != math.Trunc(v) {
			return false
		}
	}
	return true
}

// medianStep returns the lower median of the differences; NaN under two values.
func medianStep(t []float64) float64 {
	if len(t) < 2 {
		return math.NaN()
	}
	d := make([]float64, len(t)-1)
	for i := range d {
		d[i] = t[i+1] - t[i]
	}
	slices.Sort(d)
	return d[(len(d)-1)/2]
}

// unique returns the error of two columns for the same thing.
func (s *survey) unique(file string) error {
	type key struct {
		role        Role
		point, axis string
	}
	seen := map[key]Column{}
	for _, c := range s.Columns {
		k := key{c.Role, c.Point, c.Axis}
		switch c.Role {
		case RoleOther:
			continue
		case RoleTime, RoleFrame:
			k.point = c.Name
		}
		first, dup := seen[k]
		if !dup {
			seen[k] = c
			continue
		}
		e := &Error{File: file, Line: s.headerLine, Column: c.Index, Name: c.Name, Rule: "duplicate"}
		if first.Name == c.Name {
			e.Msg = fmt.Sprintf("columns %d and %d have the same name", first.Index, c.Index)
		} else {
			e.Msg = fmt.Sprintf("columns %d (%s) and %d (%s) are the same axis of the point %q",
				first.Index, first.Name, c.Index, c.Name, c.Point)
		}
		e.Hint = "rename one in the header, or give the names of the columns"
		return e
	}
	return nil
}
