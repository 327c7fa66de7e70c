package tracks

import (
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/c3d"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/delimited"
)

// Read reads an export of any format, which its content tells. It keeps two
// blocks of text, or a frame of a C3D file, at most in memory beside the columns
// of the result. The error, if any, is an *Error.
func Read(r io.Reader, o Options) (*trajectory.Recording, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	src := newSource(r)
	if c3d.Is(src.head) {
		return readC3D(src, o)
	}
	s, err := look(src, o)
	if err != nil {
		return nil, err
	}
	p, err := s.plan(o)
	if err != nil {
		return nil, err
	}
	p.table.Columns = make([][]float64, p.columns)
	p.table.MaxRows = o.most() / p.columns
	n := min(s.expect(src.length), p.table.MaxRows)
	for k := range p.table.Columns {
		p.table.Columns[k] = make([]float64, 0, n)
	}
	if err := p.table.Read(s.src); err != nil {
		return nil, s.located(err, o.Source)
	}
	if p.table.Rows == 0 {
		return nil, noRows(o.Source, s.headerLine)
	}
	if err := s.frames(&p.table, o.Source); err != nil {
		return nil, err
	}
	return p.recording(s, o)
}

// ReadFile reads the export in the file of that name, which becomes the Source
// where the options give none.
func ReadFile(name string, o Options) (*trajectory.Recording, error) {
	f, err := open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if o.Source == "" {
		o.Source = name
	}
	return Read(f, o)
}

// expect returns the expected number of rows, from the length of the text where
// it is known.
func (s *survey) expect(length int64) int {
	text, complete := s.src.Unread()
	size := float64(len(text))
	if !complete {
		size = max(size, float64(length)-float64(s.skipped))
	}
	const most = 1 << 24 // rows; beyond that the columns grow as they fill
	return int(min(size/s.rowBytes*1.02, most)) + 16
}

// plan says where the columns of the text go.
type plan struct {
	table   delimited.Table
	columns int
	points  []pointPlan
	times   func(t []float64, rows int) []float64 // from the column of the clock, nil without
}

// pointPlan holds indices in the columns of the table, -1 for none.
type pointPlan struct {
	name                string
	x, y, z, confidence int
}

func (s *survey) plan(o Options) (*plan, error) {
	p := &plan{table: delimited.Table{Dialect: s.dialect, Clock: -1, Target: make([]int, len(s.Columns))}}
	for i := range p.table.Target {
		p.table.Target[i] = -1
	}
	take := func(col int) int {
		p.table.Target[col] = p.columns
		p.columns++
		return p.columns - 1
	}
	if err := s.planClock(p, take, o); err != nil {
		return nil, err
	}
	names := o.Points
	if len(names) == 0 {
		names = s.Points
	}
	if len(names) == 0 {
		return nil, s.pointless(o)
	}
	of := map[string][]int{} // the columns of a point
	for i, c := range s.Columns {
		if c.Point != "" {
			of[c.Point] = append(of[c.Point], i)
		}
	}
	for _, name := range names {
		if len(of[name]) == 0 {
			return nil, s.unknown(name, o)
		}
		q := pointPlan{name, -1, -1, -1, -1}
		for _, i := range of[name] {
			switch c := s.Columns[i]; {
			case c.Role == RoleConfidence && !o.IgnoreConfidence:
				q.confidence = take(i)
			case c.Axis == "x":
				q.x = take(i)
			case c.Axis == "y":
				q.y = take(i)
			case c.Axis == "z":
				q.z = take(i)
			}
		}
		p.points = append(p.points, q)
	}
	return p, nil
}

// planClock settles where the times come from.
func (s *survey) planClock(p *plan, take func(int) int, o Options) error {
	if o.Time != "" && o.Time != "-" && s.time < 0 && s.Frame != o.Time {
		return &Error{File: o.Source, Line: s.headerLine, Rule: "column",
			Msg:  fmt.Sprintf("there is no time column %q", o.Time),
			Hint: "the columns are " + list(s.names())}
	}
	if s.time >= 0 {
		p.table.ClockWord = "time"
		p.table.Clock = take(s.time)
		p.times = scaled(perSecond[s.TimeUnit] * o.slowed())
		return nil
	}
	rate := o.Rate
	if rate == 0 {
		rate = s.Rate
	}
	if rate == 0 {
		e := &Error{File: o.Source, Line: s.headerLine, Rule: "rate",
			Msg:  "there is no time column and no capture rate",
			Hint: "give the capture rate (samples per second), or name the time column; the columns are " + list(s.names())}
		if s.frame >= 0 {
			e.Msg = "there are frame numbers, no time column and no capture rate"
		}
		return e
	}
	if s.frame >= 0 && !o.ByRow {
		p.table.ClockWord = "frame number"
		p.table.Clock = take(s.frame)
		p.times = scaled(rate * o.slowed())
		return nil
	}
	p.times = func(_ []float64, rows int) []float64 {
		t := make([]float64, rows)
		for i := range t {
			t[i] = float64(i)
		}
		return scaled(rate*o.slowed())(t, rows)
	}
	return nil
}

// scaled returns a function that divides a column by d.
func scaled(d float64) func([]float64, int) []float64 {
	return func(t []float64, _ int) []float64 {
		if d != 1 {
			for i := range t {
				t[i] /= d
			}
		}
		return t
	}
}

// names returns the names of the columns that have one.
func (s *survey) names() []string {
	var names []string
	for _, c := range s.Columns {
		if c.Name != "" {
			names = append(names, c.Name)
		}
	}
	return names
}

// pointless is the error of a header without points.
func (s *survey) pointless(o Options) error {
	e := &Error{File: o.Source, Line: s.headerLine, Rule: "header",
		Msg:  "no point has both an x and a y column",
		Hint: "name the columns by point and axis, as tip_x and tip_y; the columns are " + list(s.names())}
	if s.headerLine == 0 {
		e.Line = s.HeaderLines + 1
		e.Msg = "there is no header row"
		e.Hint = fmt.Sprintf("give the names of the %d columns, as time, tip_x, tip_y", len(s.Columns))
	}
	return e
}

// unknown is the error of a point that is asked for and not there.
func (s *survey) unknown(name string, o Options) error {
	e := &Error{File: o.Source, Line: s.headerLine, Rule: "point",
		Msg:  fmt.Sprintf("there is no point %q with an x and a y column", name),
		Hint: "the points are " + list(s.Points)}
	for _, p := range s.Points {
		if strings.EqualFold(p, name) {
			e.Hint = fmt.Sprintf("did you mean %q?", p)
		}
	}
	return e
}
