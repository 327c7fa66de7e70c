package cohort

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/trajectory/cells"
	"github.com/plectrace/plectrace/variability/estimate"
)

// ownColumns are the columns of rows after those of the list of takes. Names are
// fixed; more may follow.
var ownColumns = []string{
	"view", "measure", "unit", "estimate", "low", "high", "level", "n", "flags", "absent", "why",
	"seconds", "strokes", "lost", "samples_per_second", "samples_per_stroke", "length_unit", "version", "options", "content",
}

// at is the place of a column in ownColumns.
var at = func() map[string]int {
	m := map[string]int{}
	for i, name := range ownColumns {
		m[name] = i
	}
	return m
}()

// RowWriter writes records as tidy rows, one measurement a line.
type RowWriter struct {
	out     *cells.Writer
	columns []string
	line    []string
}

// NewRowWriter returns a writer of rows whose takes have these further columns
// (progress.Roster.Columns). A further column may not be named as one of the
// rows' own. noHeader leaves the header out.
func NewRowWriter(w io.Writer, columns []string, noHeader bool) (*RowWriter, error) {
	for _, c := range columns {
		if slices.Contains(ownColumns, strings.ToLower(strings.TrimSpace(c))) {
			return nil, fmt.Errorf("cohort: the list of takes has a column %q, which the rows have too: rename it in the list", c)
		}
	}
	out := &RowWriter{out: cells.NewWriter(w), columns: columns}
	if noHeader {
		return out, nil
	}
	var b bytes.Buffer
	if err := progress.WriteRoster(&b, progress.Roster{Columns: columns}); err != nil {
		return nil, err
	}
	head, err := plainLine(csv.NewReader(&b))
	if err != nil {
		return nil, err
	}
	return out, out.out.Write(append(head, ownColumns...))
}

// Write writes the rows of a take: one for each measure, with an empty estimate
// and the reason where it is absent, and one without a measure for a take that
// could not be measured.
func (w *RowWriter) Write(rec *Record) error {
	list, err := listCells(rec.Take, w.columns)
	if err != nil {
		return err
	}
	rows := rec.Rows
	if rec.Failure != nil {
		rows = []Row{{Value: estimate.Value[float64]{Absent: rec.Failure}}}
	}
	flags := strings.Join(rec.Flags, ";")
	for _, r := range rows {
		v := r.Value
		value, low, high, level, n, absent, why := "", "", "", "", "", "", ""
		switch {
		case v.Known() && v.Value == v.Value:
			value, low, high, n = number(v.Value), number(v.Low), number(v.High), strconv.Itoa(v.N)
			if v.Level > 0 {
				level = number(v.Level)
			}
		case v.Absent != nil:
			absent, why = v.Absent.Code, v.Absent.Why
		default:
			absent = notMeasured
		}
		w.line = append(append(w.line[:0], list...),
			rec.View, r.Measure, r.Unit, value, low, high, level, n, flags, absent, why,
			number(rec.Seconds), strconv.Itoa(rec.Strokes), number(rec.Lost), number(rec.SampleHz), number(rec.PerStroke), rec.Unit,
			rec.Version, rec.Options, rec.Content)
		if err := w.out.Write(w.line); err != nil {
			return err
		}
	}
	return nil
}

// notMeasured is the absence of a value that nobody gave a reason for.
const notMeasured = "not measured"

// Flush writes what is buffered, and reports any error so far.
func (w *RowWriter) Flush() error { return w.out.Flush() }

// listCells returns the line of a take in a list of takes.
func listCells(t progress.Take, columns []string) ([]string, error) {
	var b bytes.Buffer
	if err := progress.WriteRoster(&b, progress.Roster{Takes: []progress.Take{t}, Columns: columns}); err != nil {
		return nil, err
	}
	in := csv.NewReader(&b)
	if _, err := in.Read(); err != nil { // the header
		return nil, err
	}
	return plainLine(in)
}

// plainLine is the next line of a table, its cells as they were before they were
// guarded.
func plainLine(in *csv.Reader) ([]string, error) {
	line, err := in.Read()
	for i := range line {
		line[i] = cells.Plain(line[i])
	}
	return line, err
}

// RowReader reads rows back, one take at a time, in bounded memory.
type RowReader struct {
	// Columns are the further columns of the takes.
	Columns []string

	name string
	csv  *csv.Reader
	own  []int // place of each of ownColumns in a line
	list []int // places of the others
	head []string
	next []string // first line of the next take
	line int
}

// NewRowReader reads the header of rows. name is the file's for errors, which
// say the line, the column and what to do.
func NewRowReader(r io.Reader, name string) (*RowReader, error) {
	in := &RowReader{name: name, csv: csv.NewReader(r), own: make([]int, len(ownColumns))}
	head, err := in.read()
	if err == io.EOF {
		return nil, in.fail(0, "the file is empty", "name a file of rows")
	}
	if err != nil {
		return nil, err
	}
	for i := range in.own {
		in.own[i] = -1
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff")
	for i, name := range head {
		if k, ok := at[name]; ok {
			in.own[k] = i
		} else {
			in.list = append(in.list, i)
			in.head = append(in.head, name)
		}
	}
	for k, i := range in.own {
		if i < 0 {
			return nil, in.fail(0, fmt.Sprintf("there is no column %q", ownColumns[k]), "name a file of rows as this module writes it, with its header")
		}
	}
	if in.next, err = in.read(); err != nil && err != io.EOF {
		return nil, err
	}
	take, err := in.take(nil)
	if err != nil {
		return nil, err
	}
	in.Columns = take.Columns
	return in, nil
}

// Read returns the next take: all lines in a row that name it. It returns io.EOF
// after the last.
func (in *RowReader) Read() (*Record, error) {
	if in.next == nil {
		return nil, io.EOF
	}
	first := in.next
	roster, err := in.take(first)
	if err != nil {
		return nil, err
	}
	rec := &Record{Take: roster.Takes[0]}
	rec.Line = 0
	if err := in.fill(rec, first); err != nil {
		return nil, err
	}
	for {
		if err := in.row(rec, in.next); err != nil {
			return nil, err
		}
		line, err := in.read()
		if err == io.EOF {
			in.next = nil
			return rec, nil
		}
		if err != nil {
			return nil, err
		}
		in.next = line
		if !in.same(first, line) {
			return rec, nil
		}
	}
}

func (in *RowReader) read() ([]string, error) {
	line, err := plainLine(in.csv)
	var p *csv.ParseError
	switch {
	case errors.As(err, &p):
		in.line = p.Line
		return nil, in.fail(0, p.Err.Error(), "write the rows again")
	case err != nil:
		return nil, err
	}
	in.line, _ = in.csv.FieldPos(0)
	return line, nil
}

// same reports whether two lines are of one take.
func (in *RowReader) same(a, b []string) bool {
	for _, i := range in.list {
		if a[i] != b[i] {
			return false
		}
	}
	return a[in.own[at["content"]]] == b[in.own[at["content"]]] && a[in.own[at["options"]]] == b[in.own[at["options"]]]
}

// take reads what a line says of the take, with the rules of a list of takes.
// Without a line it reads the header alone.
func (in *RowReader) take(line []string) (progress.Roster, error) {
	of := make([]string, len(in.list))
	for k, i := range in.list {
		if line != nil {
			of[k] = line[i]
		} else {
			of[k] = "1" // a take of no meaning
			switch in.head[k] {
			case "date", "comfort":
				of[k] = ""
			}
		}
	}
	var b bytes.Buffer
	w := cells.NewWriter(&b)
	w.Write(in.head)
	w.Write(of)
	w.Flush()
	r, err := progress.ReadRoster(&b, in.name)
	var e *progress.Error
	if errors.As(err, &e) {
		e.Line = in.line
	}
	return r, err
}

// fill reads what all lines of a take repeat.
func (in *RowReader) fill(rec *Record, line []string) error {
	cell := func(name string) string { return line[in.own[at[name]]] }
	rec.View, rec.Unit, rec.Version, rec.Options, rec.Content = cell("view"), cell("length_unit"), cell("version"), cell("options"), cell("content")
	if f := cell("flags"); f != "" {
		rec.Flags = strings.Split(f, ";")
	}
	for _, c := range []struct {
		name string
		to   *float64
	}{{"seconds", &rec.Seconds}, {"lost", &rec.Lost}, {"samples_per_second", &rec.SampleHz}, {"samples_per_stroke", &rec.PerStroke}} {
		if err := in.number(line, c.name, c.to); err != nil {
			return err
		}
	}
	return in.whole(line, "strokes", &rec.Strokes)
}

// row adds the measure of a line.
func (in *RowReader) row(rec *Record, line []string) error {
	cell := func(name string) string { return line[in.own[at[name]]] }
	r := Row{Measure: cell("measure"), Unit: cell("unit")}
	v := &r.Value
	if code := cell("absent"); code != "" {
		switch {
		case r.Measure == "": // the take could not be measured
			rec.Failure = &estimate.Absence{Code: code, What: rec.File, Why: cell("why")}
			return nil
		case code != notMeasured:
			v.Absent = &estimate.Absence{Code: code, What: r.Measure, Why: cell("why")}
		}
		rec.Rows = append(rec.Rows, r)
		return nil
	}
	for _, c := range []struct {
		name string
		to   *float64
	}{{"estimate", &v.Value}, {"low", &v.Low}, {"high", &v.High}, {"level", &v.Level}} {
		if err := in.number(line, c.name, c.to); err != nil {
			return err
		}
	}
	if v.Value != v.Value {
		return in.fail(in.own[at["estimate"]]+1, "the estimate is empty and no reason is given", "write the rows again")
	}
	if v.Level != v.Level {
		v.Level = 0
	}
	if err := in.whole(line, "n", &v.N); err != nil {
		return err
	}
	rec.Rows = append(rec.Rows, r)
	return nil
}

func (in *RowReader) number(line []string, name string, to *float64) error {
	i := in.own[at[name]]
	if *to = math.NaN(); line[i] == "" {
		return nil
	}
	x, err := strconv.ParseFloat(line[i], 64)
	if err != nil || math.IsInf(x, 0) || x != x {
		return in.fail(i+1, fmt.Sprintf("%s is %q", name, line[i]), "a number or nothing stands here: write the rows again")
	}
	*to = x
	return nil
}

func (in *RowReader) whole(line []string, name string, to *int) error {
	i := in.own[at[name]]
	x, err := strconv.Atoi(line[i])
	if err != nil || x < 0 {
		return in.fail(i+1, fmt.Sprintf("%s is %q", name, line[i]), "a whole number stands here: write the rows again")
	}
	*to = x
	return nil
}

// fail is an error about a line of the rows, and a cell in it if it is above 0.
func (in *RowReader) fail(cell int, msg, hint string) error {
	return &progress.Error{File: in.name, Line: in.line, Column: cell, Rule: "rows", Msg: msg, Hint: hint}
}

// number is x with six significant digits; NaN is empty.
func number(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}
