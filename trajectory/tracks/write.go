package tracks

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/cells"
	"github.com/plectrace/plectrace/trajectory/tracks/internal/header"
)

// WriteOptions says how an export is written. The zero value loses nothing but
// the unit.
type WriteOptions struct {
	// Decimals is the number of decimals of coordinates and confidences, and
	// TimeDecimals that of times. 0 writes the shortest text that reads back
	// as the same number, a negative number whole numbers.
	Decimals, TimeDecimals int
	// Units adds the unit of length to the names of the coordinates: tip_x_mm.
	Units bool
}

// Write writes a recording as comma-separated text. The columns are time_s and
// for each point name_x, name_y, name_z of a spatial source and
// name_confidence where there is one. Missing values are empty cells. A name that a
// spreadsheet would compute has an apostrophe before it (package trajectory/cells),
// which Read takes off.
//
// With the shortest numbers, Read returns what was written. The unit comes
// back by WriteOptions.Units or Options.Unit; Source is not written. Names
// that would not be read back are an error, as are infinities, times that do
// not increase as they are written, and slices of unequal length.
func Write(w io.Writer, rec *trajectory.Recording, o WriteOptions) error {
	names, err := columnNames(rec, o)
	if err != nil {
		return err
	}
	if err := fit(rec); err != nil {
		return err
	}
	const full = 32 << 10
	b := make([]byte, 0, full+4<<10)
	for i, name := range names {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendQuoted(b, name)
	}
	b = append(b, '\n')
	before := math.Inf(-1)
	for i, t := range rec.T {
		from := len(b)
		b = appendNumber(b, t, o.TimeDecimals)
		if o.TimeDecimals != 0 {
			v, _ := strconv.ParseFloat(string(b[from:]), 64)
			if v <= before {
				return unfit(rec, "", i, "the time is that of the sample before once it is rounded", "write more decimals")
			}
			before = v
		}
		for k := range rec.Points {
			b = appendSample(b, &rec.Points[k], i, o.Decimals)
		}
		b = append(b, '\n')
		if len(b) >= full {
			if _, err := w.Write(b); err != nil {
				return writeError(rec, err)
			}
			b = b[:0]
		}
	}
	if _, err := w.Write(b); err != nil {
		return writeError(rec, err)
	}
	return nil
}

func writeError(rec *trajectory.Recording, err error) error {
	return &Error{File: rec.Source, Rule: "write", Msg: "writing failed: " + err.Error(), Err: err}
}

func unfit(rec *trajectory.Recording, name string, sample int, msg, hint string) error {
	if sample >= 0 {
		msg = fmt.Sprintf("sample %d: %s", sample, msg)
	}
	if name != "" {
		msg = fmt.Sprintf("point %q: %s", name, msg)
	}
	return &Error{File: rec.Source, Name: name, Rule: "recording", Msg: msg, Hint: hint}
}

// columnNames returns the header, which must read back as the points.
func columnNames(rec *trajectory.Recording, o WriteOptions) ([]string, error) {
	if len(rec.Points) == 0 {
		return nil, unfit(rec, "", -1, "there are no points", "add one")
	}
	unit := ""
	if o.Units && rec.Unit != "" {
		if header.LengthUnit(rec.Unit) != rec.Unit {
			return nil, unfit(rec, "", -1, fmt.Sprintf("the unit %q cannot be written", rec.Unit), "use px, mm, cm or m")
		}
		unit = "_" + rec.Unit
	}
	names := []string{"time_s"}
	var points []string // of the columns
	for _, p := range rec.Points {
		cols := []string{p.Name + "_x" + unit, p.Name + "_y" + unit}
		if !p.Planar() {
			cols = append(cols, p.Name+"_z"+unit)
		}
		if p.Confidence != nil {
			cols = append(cols, p.Name+"_confidence")
		}
		for _, c := range cols {
			names, points = append(names, cells.Guard(c)), append(points, p.Name)
		}
	}
	seen := map[string]bool{}
	for i, c := range header.Parse([][]string{names}, len(names)) {
		if i == 0 {
			continue
		}
		if p := points[i-1]; c.Point != p || seen[names[i]] || strings.ContainsAny(p, "\r\n") {
			return nil, unfit(rec, p, -1, "the name would not be read back", "rename the point")
		}
		seen[names[i]] = true
	}
	return names, nil
}

// fit returns what keeps a recording from being written.
func fit(rec *trajectory.Recording) error {
	n := len(rec.T)
	for i, t := range rec.T {
		if math.IsNaN(t) || math.IsInf(t, 0) || i > 0 && t <= rec.T[i-1] {
			return unfit(rec, "", i, fmt.Sprintf("the time %v does not go on", t), "sort the samples by time")
		}
	}
	for _, p := range rec.Points {
		cols := [][]float64{p.X, p.Y}
		if p.Z != nil {
			cols = append(cols, p.Z)
		}
		if p.Confidence != nil {
			cols = append(cols, p.Confidence)
		}
		for _, col := range cols {
			if len(col) != n {
				return unfit(rec, p.Name, -1, fmt.Sprintf("a column has %d values for %d times", len(col), n),
					"give every sample a value, NaN where it is missing")
			}
			for i, v := range col {
				if math.IsInf(v, 0) {
					return unfit(rec, p.Name, i, "the value is infinite", "use NaN for a missing sample")
				}
			}
		}
		for i, c := range p.Confidence {
			if c < 0 || c > 1 {
				return unfit(rec, p.Name, i, fmt.Sprintf("the confidence %v is outside [0, 1]", c), "scale it")
			}
		}
	}
	return nil
}

func appendSample(b []byte, p *trajectory.Path, i, decimals int) []byte {
	x, y, z := p.X[i], p.Y[i], 0.0
	if p.Z != nil {
		z = p.Z[i]
	}
	if x != x || y != y || z != z {
		x, y, z = math.NaN(), math.NaN(), math.NaN()
	}
	b = appendNumber(append(b, ','), x, decimals)
	b = appendNumber(append(b, ','), y, decimals)
	if p.Z != nil {
		b = appendNumber(append(b, ','), z, decimals)
	}
	if p.Confidence != nil {
		b = appendNumber(append(b, ','), p.Confidence[i], decimals)
	}
	return b
}

func appendNumber(b []byte, v float64, decimals int) []byte {
	switch {
	case v != v:
		return b
	case decimals != 0:
		return strconv.AppendFloat(b, v, 'f', max(decimals, 0), 64)
	case v != 0 && (math.Abs(v) < 1e-6 || math.Abs(v) >= 1e17):
		return strconv.AppendFloat(b, v, 'e', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// appendQuoted quotes a cell by the rules of RFC 4180 where it has to be.
func appendQuoted(b []byte, s string) []byte {
	if !strings.ContainsAny(s, "\",#") {
		return append(b, s...)
	}
	b = append(b, '"')
	b = append(b, strings.ReplaceAll(s, `"`, `""`)...)
	return append(b, '"')
}
