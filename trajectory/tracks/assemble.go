package tracks

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/trajectory"
)

// maxStep is the step, in the numbers of a time column of no stated unit, that
// is too long for seconds: a camera of one picture in two seconds.
const maxStep = 2

// slack is how far a confidence may lie outside [0, 1] and is taken for the
// bound. Peaks of smoothed maps overshoot that much.
const slack = 0.05

// recording turns the columns of the table into points.
func (p *plan) recording(s *survey, o Options) (*trajectory.Recording, error) {
	t := &p.table
	col := func(k int) []float64 {
		if k < 0 {
			return nil
		}
		return t.Columns[k]
	}
	if s.time >= 0 && s.Columns[s.time].Unit == "" && o.TimeUnit == "" {
		raw := col(t.Clock)
		if step := medianStep(raw[:min(len(raw), 1001)]); step >= maxStep {
			return nil, &Error{File: o.Source, Line: t.Line(1), Column: s.time + 1, Name: s.Time, Rule: "time-unit",
				Msg:  fmt.Sprintf("the time goes on by %.4g from row to row, too much for seconds", step),
				Hint: "state the unit, in the header as time_ms or by option: s, ms, us or ns"}
		}
	}
	rec := &trajectory.Recording{Source: o.Source, T: p.times(col(t.Clock), t.Rows)}
	for i, v := range rec.T {
		if math.IsInf(v, 0) || i > 0 && !(v > rec.T[i-1]) {
			return nil, &Error{File: o.Source, Line: t.Line(i), Rule: "time",
				Msg:  "the times cannot be told apart once they are in seconds",
				Hint: "check the rate, the unit of time and by how much the film was slowed"}
		}
	}
	for _, q := range p.points {
		path := trajectory.Path{Name: q.name, T: rec.T, X: col(q.x), Y: col(q.y), Z: col(q.z),
			Confidence: col(q.confidence)}
		blank(path, o.ZeroMissing)
		if row := clamp(path.Confidence); row >= 0 {
			column := 1 + slices.Index(t.Target, q.confidence)
			return nil, &Error{File: o.Source, Line: t.Line(row), Column: column, Name: s.Columns[column-1].Name,
				Text: fmt.Sprint(path.Confidence[row]), Rule: "confidence",
				Msg:  "a confidence lies between 0 and 1",
				Hint: "scale the column, or leave confidences out"}
		}
		rec.Points = append(rec.Points, path)
	}
	var err error
	if rec.Unit, err = p.unit(s, o); err != nil {
		return nil, err
	}
	return rec, nil
}

// blank makes a sample that lacks an axis missing on all axes.
func blank(p trajectory.Path, zero bool) {
	nan := math.NaN()
	for i := range p.X {
		z := 0.0
		if p.Z != nil {
			z = p.Z[i]
		}
		x, y := p.X[i], p.Y[i]
		if x == x && y == y && z == z && !(zero && x == 0 && y == 0 && z == 0) {
			continue
		}
		p.X[i], p.Y[i] = nan, nan
		if p.Z != nil {
			p.Z[i] = nan
		}
	}
}

// clamp takes values a little outside [0, 1] to the bound and returns the index
// of the first that is further out, -1 if there is none.
func clamp(conf []float64) int {
	for i, c := range conf {
		switch {
		case c < -slack || c > 1+slack:
			return i
		case c < 0:
			conf[i] = 0
		case c > 1:
			conf[i] = 1
		}
	}
	return -1
}

// unit returns the unit of the points that are kept.
func (p *plan) unit(s *survey, o Options) (string, error) {
	if o.Unit != "" {
		return o.Unit, nil
	}
	unit := ""
	from := -1
	for i, c := range s.Columns {
		if p.table.Target[i] < 0 || c.Role != RoleCoordinate || c.Unit == "" || c.Unit == unit {
			continue
		}
		if unit != "" {
			return "", &Error{File: o.Source, Line: s.headerLine, Column: c.Index, Name: c.Name, Rule: "unit",
				Msg: fmt.Sprintf("this column is in %s and column %d (%s) in %s", c.Unit,
					s.Columns[from].Index, s.Columns[from].Name, unit),
				Hint: "keep points of one unit only, or convert the others"}
		}
		unit, from = c.Unit, i
	}
	if unit == "" {
		unit = s.Unit
	}
	return unit, nil
}
