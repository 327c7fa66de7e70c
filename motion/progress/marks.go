package progress

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory/cells"
)

// Mark is a stretch of a take of which a viewer, or the program, says what it
// is: Kind is "settled", "searching" or any other word. Start and End are in
// seconds of the take, as in the spans of a review; of a film that plays in slow
// motion divide what its player shows by the set-up's slowed_by.
type Mark struct {
	Kind       string
	Start, End float64
	// Line is the line of the file that the mark stands in, 0 for none.
	Line int
}

// markColumns are the columns of a file of marks; they are the first three of
// the spans that a review writes.
var markColumns = [...]string{"kind", "start_s", "end_s"}

// marksLimit is the size beyond which a file is none of marks.
const marksLimit = 4 << 20

// ReadMarks reads a viewer's marks: delimited text with the columns kind,
// start_s and end_s under a header, in any order. Further columns are passed
// over, so that the spans that review.WriteSpans writes are marks too. name
// stands for the file in messages.
//
// Blank lines and lines that begin with # do not count; cells may be quoted, and
// the separator may be a comma, a semicolon or a tab. A kind is compared without
// regard to case and to blanks around it. Marks may come in any order and are
// returned in that of time. Time between marks is unmarked: nobody has said what
// it is. Marks of one viewer do not overlap, which is an error, as are an end
// that is not after its start, a time that is not a number, and no marks at all.
// Every error is an [*Error]: its Rule is one of empty, size, binary, read, quote,
// header, duplicate, missing, time, order, kind and overlap.
func ReadMarks(r io.Reader, name string) ([]Mark, error) {
	data, err := io.ReadAll(io.LimitReader(r, marksLimit+1))
	if err != nil {
		return nil, &Error{File: name, Rule: "read", Msg: err.Error(), Hint: "see whether the file can be opened", Err: err}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	switch {
	case len(data) > marksLimit:
		return nil, &Error{File: name, Rule: "size", Msg: "over 4 MiB", Hint: "see whether this is the file of marks"}
	case strings.ContainsRune(text, 0), !utf8.ValidString(text):
		return nil, &Error{File: name, Rule: "binary", Msg: "this is not text in UTF-8", Hint: `save it as "CSV UTF-8"`}
	}
	// A line may end in CR alone, which package csv does not know.
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.Comment = markSeparator(text), '#'
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true

	m := marksReader{file: name, csv: c}
	if err := m.header(); err != nil {
		return nil, err
	}
	var marks []Mark
	for {
		row, err := c.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, m.fault(err)
		}
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue // a line of separators
		}
		mark, err := m.mark(row)
		if err != nil {
			return nil, err
		}
		marks = append(marks, mark)
	}
	if len(marks) == 0 {
		return nil, &Error{File: name, Rule: "empty", Msg: "there is no mark below the header", Hint: "write a line such as settled,12.5,18 for each stretch"}
	}
	marks, err = inOrder(marks)
	var e *Error
	if errors.As(err, &e) {
		e.File = name
	}
	return marks, err
}

// markSeparator returns the separator of the first line that counts.
func markSeparator(text string) rune {
	for line := range strings.Lines(text) {
		if s := strings.TrimSpace(line); s == "" || s[0] == '#' {
			continue
		}
		for _, sep := range ";\t" {
			if strings.ContainsRune(line, sep) {
				return sep
			}
		}
		break
	}
	return ','
}

// marksReader reads the rows of a file of marks.
type marksReader struct {
	file string
	csv  *csv.Reader
	at   [len(markColumns)]int // index of each column
	wide int                   // number of columns
}

// fault turns an error of package csv into one of this package.
func (m *marksReader) fault(err error) error {
	e := &Error{File: m.file, Rule: "quote", Msg: "a quote does not fit", Hint: "put a cell that holds a quote or a separator in quotes as a whole", Err: err}
	var p *csv.ParseError
	if errors.As(err, &p) {
		e.Line = p.StartLine
	}
	return e
}

// header finds the columns.
func (m *marksReader) header() error {
	const hint = "begin the file with the line kind,start_s,end_s"
	row, err := m.csv.Read()
	switch {
	case err == io.EOF:
		return &Error{File: m.file, Rule: "empty", Msg: "there is nothing in it", Hint: hint}
	case err != nil:
		return m.fault(err)
	}
	line, _ := m.csv.FieldPos(0)
	m.wide = len(row)
	for i, want := range markColumns {
		m.at[i] = -1
		for j, cell := range row {
			if strings.ToLower(strings.TrimSpace(cell)) != want {
				continue
			}
			if m.at[i] >= 0 {
				return &Error{File: m.file, Line: line, Column: j + 1, Name: want, Rule: "duplicate", Msg: "this column comes twice", Hint: "keep one of them"}
			}
			m.at[i] = j
		}
		if m.at[i] < 0 {
			return &Error{File: m.file, Line: line, Text: strings.Join(row, string(m.csv.Comma)), Rule: "header",
				Msg: "the header has no column " + want, Hint: hint}
		}
	}
	return nil
}

// mark reads one row.
func (m *marksReader) mark(row []string) (Mark, error) {
	line, _ := m.csv.FieldPos(0)
	e := &Error{File: m.file, Line: line}
	cell := func(i int) string {
		e.Column, e.Name = m.at[i]+1, markColumns[i]
		if m.at[i] >= len(row) {
			return ""
		}
		e.Text = strings.TrimSpace(row[m.at[i]])
		return e.Text
	}
	for j := m.wide; j < len(row); j++ {
		if e.Text = strings.TrimSpace(row[j]); e.Text != "" {
			e.Column, e.Rule, e.Msg = j+1, "cells", "the header has no column for this"
			e.Hint = "write times with a decimal point, and put a text with a comma in quotes"
			return Mark{}, e
		}
	}
	mark := Mark{Line: line, Kind: cells.Plain(cell(0))}
	if mark.Kind == "" {
		e.Rule, e.Msg, e.Hint = "missing", "the kind is missing", "say settled, searching or a word of your own"
		return Mark{}, e
	}
	mark.Kind = strings.ToLower(mark.Kind)
	for i, t := range []*float64{&mark.Start, &mark.End} {
		e.Text = ""
		s := cell(i + 1)
		if m.csv.Comma != ',' {
			s = strings.Replace(s, ",", ".", 1) // a spreadsheet's decimal comma
		}
		v, err := strconv.ParseFloat(s, 64)
		switch {
		case s == "":
			e.Rule, e.Msg, e.Hint = "missing", "the time is missing", "write it in seconds, such as 12.5"
		case err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(s, "xX_"):
			e.Rule, e.Msg, e.Hint = "time", "this is not a time in seconds", "write seconds with a decimal point, such as 72.5 for 1:12.5"
		default:
			*t = v
			continue
		}
		return Mark{}, e
	}
	if !(mark.End > mark.Start) {
		e.Rule, e.Msg, e.Hint = "order", fmt.Sprintf("the end is not after the start, %s s", secondsText(mark.Start)), "see whether the two are the right way round"
		return Mark{}, e
	}
	return mark, nil
}

// secondsText writes a time so that it reads back as the same number.
func secondsText(s float64) string { return strconv.FormatFloat(s, 'f', -1, 64) }

func (m Mark) text() string {
	return fmt.Sprintf("%s %s to %s s", m.Kind, secondsText(m.Start), secondsText(m.End))
}

// inOrder returns marks in the order of time; an overlap of two, and a mark that
// is none, are errors.
func inOrder(marks []Mark) ([]Mark, error) {
	marks = slices.Clone(marks)
	for i := range marks {
		m := &marks[i]
		m.Kind = strings.ToLower(strings.TrimSpace(m.Kind))
		e := &Error{Line: m.Line, Text: m.text(), Rule: "kind"}
		switch {
		case !(m.End > m.Start) || math.IsInf(m.End-m.Start, 0):
			e.Rule, e.Msg, e.Hint = "order", fmt.Sprintf("mark %d has no length", i+1), "give it a start and an end after it, in seconds"
		case m.Kind == "" || m.Kind[0] == '#' || strings.ContainsFunc(m.Kind, unicode.IsControl):
			e.Msg, e.Hint = fmt.Sprintf("the kind of mark %d cannot be written", i+1), "say settled, searching or a word of your own"
		default:
			continue
		}
		return nil, e
	}
	slices.SortStableFunc(marks, func(a, b Mark) int {
		if a.Start < b.Start {
			return -1
		}
		if a.Start > b.Start {
			return 1
		}
		return 0
	})
	for i := 1; i < len(marks); i++ {
		a, b := marks[i-1], marks[i]
		if b.Start >= a.End {
			continue
		}
		if b.Line > 0 && b.Line < a.Line {
			a, b = b, a // blame the later line
		}
		where := ""
		if a.Line > 0 {
			where = fmt.Sprintf(" (line %d)", a.Line)
		}
		return nil, &Error{Line: b.Line, Rule: "overlap", Text: b.text(),
			Msg:  fmt.Sprintf("this overlaps %s%s", a.text(), where),
			Hint: "end the one where the other begins; keep the marks of two viewers in two files"}
	}
	return marks, nil
}

// WriteMarks writes marks as ReadMarks reads them, in the order of time. Times
// are rounded to milliseconds, which is finer than any viewer marks them; where a
// mark is so short that it would vanish by that, all are written in full. Marks
// that overlap, or are none, are an [*Error], and nothing is written.
func WriteMarks(w io.Writer, marks []Mark) error {
	marks, err := inOrder(marks)
	if err != nil {
		return err
	}
	text := milliseconds
	if slices.ContainsFunc(marks, func(m Mark) bool { return text(m.Start) == text(m.End) }) {
		text = secondsText
	}
	c := cells.NewWriter(w)
	c.Write(markColumns[:])
	for _, m := range marks {
		c.Write([]string{m.Kind, text(m.Start), text(m.End)})
	}
	return c.Flush()
}

// milliseconds writes a time to the millisecond, without zeros at its end.
func milliseconds(s float64) string {
	return strings.TrimSuffix(strings.TrimRight(fixed(s, 3), "0"), ".")
}

// SpanMarks returns the settled and searching spans of a review as marks, to be
// held against those of a viewer; none where the review tells no spans. It
// returns the reason then.
func SpanMarks(r *review.Review) ([]Mark, error) {
	if a := r.Settling.Absent; a != nil {
		return nil, errors.New("progress: this take has no spans to hold marks against: " + a.Why)
	}
	marks := make([]Mark, len(r.Spans))
	for i, s := range r.Spans {
		marks[i] = Mark{Kind: s.Kind(), Start: s.Start, End: s.End}
	}
	return inOrder(marks)
}
