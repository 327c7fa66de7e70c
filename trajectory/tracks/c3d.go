package tracks

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/c3d"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/header"
)

// clockName is the name of the times of a C3D file, which has no columns.
const clockName = "time"

// inspectC3D returns the layout of a C3D file.
func inspectC3D(r io.Reader, o Options) (Layout, error) {
	f, err := c3d.Open(r)
	if err != nil {
		return Layout{}, offsetError(err, o.Source)
	}
	l := Layout{Format: FormatC3D, Rate: f.Rate, Samples: f.Frames, Unit: header.LengthUnit(f.Unit), Step: math.NaN()}
	column := func(c Column) {
		c.Index = len(l.Columns) + 1
		l.Columns = append(l.Columns, c)
	}
	if f.Rate > 0 {
		l.Time, l.TimeUnit, l.Step = clockName, "s", 1/f.Rate
		column(Column{Name: clockName, Role: RoleTime, Unit: "s"})
	}
	for _, p := range f.Points {
		if p.Kind == "" {
			l.Points = append(l.Points, p.Name)
		}
		for _, axis := range []string{"x", "y", "z"} {
			c := Column{Name: p.Name + "." + axis}
			if p.Kind == "" {
				c.Role, c.Point, c.Axis, c.Unit = RoleCoordinate, p.Name, axis, l.Unit
			}
			column(c)
		}
	}
	return l, nil
}

// readC3D reads a C3D file.
func readC3D(s source, o Options) (*trajectory.Recording, error) {
	if len(o.Header) > 0 {
		return nil, &Error{File: o.Source, Rule: "option", Msg: "a C3D file has names of its own, and no header to replace",
			Hint: "leave the names of columns out, and choose points by the names in the file"}
	}
	f, err := c3d.Open(s)
	if err != nil {
		return nil, offsetError(err, o.Source)
	}
	points, err := choose(f, o)
	if err != nil {
		return nil, err
	}
	rate, err := frameRate(f, o)
	if err != nil {
		return nil, err
	}
	columns, err := f.Read(points, s.length, o.most()/(1+3*len(points)))
	if err != nil {
		return nil, offsetError(err, o.Source)
	}
	rec := &trajectory.Recording{Source: o.Source, Unit: o.Unit, T: make([]float64, f.Frames)}
	if rec.Unit == "" {
		rec.Unit = header.LengthUnit(f.Unit)
	}
	first := f.First - 1
	if o.ByRow {
		first = 0
	}
	for i := range rec.T {
		rec.T[i] = float64(first + int64(i))
	}
	scaled(rate*o.slowed())(rec.T, 0)
	for i, t := range rec.T {
		if math.IsInf(t, 0) || i > 0 && !(t > rec.T[i-1]) {
			return nil, &Error{File: o.Source, Rule: "time", Msg: "the times cannot be told apart once they are in seconds",
				Hint: "check the rate and by how much the film was slowed"}
		}
	}
	for i, c := range columns {
		p := trajectory.Path{Name: f.Points[points[i]].Name, T: rec.T, X: c.X, Y: c.Y, Z: c.Z}
		blank(p, o.ZeroMissing)
		rec.Points = append(rec.Points, p)
	}
	return rec, nil
}

// choose returns the indices of the points to keep.
func choose(f *c3d.File, o Options) ([]int, error) {
	var names []string // of positions
	at := make(map[string]int, len(f.Points))
	for i, p := range f.Points {
		at[p.Name] = i
		if p.Kind == "" {
			names = append(names, p.Name)
		}
	}
	wanted := o.Points
	if len(wanted) == 0 {
		wanted = names
	}
	if len(wanted) == 0 {
		return nil, &Error{File: o.Source, Rule: "point", Msg: "none of the points in the file is a position",
			Hint: "export the tracked points; angles, forces and moments alone are no motion"}
	}
	var points []int
	for _, name := range wanted {
		i, ok := at[name]
		if ok && f.Points[i].Kind == "" {
			points = append(points, i)
			continue
		}
		e := &Error{File: o.Source, Rule: "point", Msg: fmt.Sprintf("there is no point %q", name), Hint: "the points are " + list(names)}
		if ok {
			e.Msg = fmt.Sprintf("%q is no position but listed as %s %s", name, article(f.Points[i].Kind), f.Points[i].Kind)
		}
		for _, p := range names {
			if strings.EqualFold(p, name) {
				e.Hint = fmt.Sprintf("did you mean %q?", p)
			}
		}
		return nil, e
	}
	return points, nil
}

func article(noun string) string {
	if strings.HasPrefix(noun, "a") {
		return "an"
	}
	return "a"
}

// frameRate returns the frames per second: those of the file, or of the
// options where they do without the former or there are none.
func frameRate(f *c3d.File, o Options) (float64, error) {
	if o.Time != "" && o.Time != "-" && o.Time != clockName {
		return 0, &Error{File: o.Source, Rule: "column", Msg: fmt.Sprintf("there is no time column %q in a C3D file", o.Time),
			Hint: "leave it out: the file states its rate"}
	}
	if f.Rate > 0 && o.Time != "-" {
		return f.Rate, nil
	}
	if o.Rate > 0 {
		return o.Rate, nil
	}
	e := &Error{File: o.Source, Rule: "rate", Msg: "the file states no capture rate, or two that differ",
		Hint: "give the capture rate (samples per second)"}
	if f.Rate > 0 {
		e.Msg = "the rate in the file is not to be used, and no other is given"
	}
	return 0, e
}

// offsetError turns a fault of a C3D file into an Error.
func offsetError(err error, file string) error {
	var f *c3d.Fault
	if !errors.As(err, &f) {
		return err
	}
	return &Error{File: file, Offset: f.Offset, Name: f.Point, Text: f.Text, Rule: f.Rule, Msg: f.Msg, Hint: f.Hint, Err: f.Err}
}
