package tracks

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/plectrace/plectrace/trajectory/tracks/internal/delimited"
)

// Error says what is wrong with an export, where, and what to do about it. All
// errors of this package are of this type; get at it with errors.As.
//
// Rule is the rule that was broken, as a short key that programs may rely on:
//
//	empty        there is nothing in it               binary     not text, or text in UTF-16
//	prose        no table of numbers was found        header     the header names no point
//	header-only  no row of numbers follows            duplicate  two columns for the same thing
//	ragged       too few or too many cells            truncated  the end is cut off
//	text         text among the numbers               infinite   an infinite value
//	quote        a quote that is not closed           long-line  a line of more than 1 MiB
//	time         time missing, repeated, backwards    time-unit  steps too long to be seconds
//	rate         no time column and no rate           confidence outside [0, 1]
//	unit         points in different units            point      no such point
//	column       no such column                       option     an option that makes no sense
//	markers      not as many as the header promises   damaged    not laid out as a C3D file is
//	size         more than Options.MaxNumbers
//	read, write  failure of the reader or writer      recording  not fit to be written
type Error struct {
	File   string // Options.Source
	Line   int    // from 1, 0 if there is none to blame
	Column int    // number of the cell in the row from 1, 0 if there is none to blame
	Offset int64  // of a C3D file: bytes from its beginning, 0 if there are none to blame
	Name   string // name of that column, or of the point
	Text   string // the offending text
	Rule   string
	Msg    string // what is wrong
	Hint   string // what to do about it
	Err    error  // cause, if another error is
}

// Error returns all of it on one line, the text shortened.
func (e *Error) Error() string {
	var place []string
	if e.File != "" {
		place = append(place, e.File)
	}
	if e.Line > 0 {
		place = append(place, fmt.Sprint("line ", e.Line))
	}
	if e.Offset > 0 {
		s := fmt.Sprint("byte ", e.Offset)
		if e.Name != "" {
			s += " (" + e.Name + ")"
		}
		place = append(place, s)
	}
	if e.Column > 0 {
		s := fmt.Sprint("column ", e.Column)
		if e.Name != "" {
			s += " (" + e.Name + ")"
		}
		place = append(place, s)
	}
	var b strings.Builder
	b.WriteString("tracks: ")
	if len(place) > 0 {
		b.WriteString(strings.Join(place, ", "))
		b.WriteString(": ")
	}
	if e.Text != "" {
		fmt.Fprintf(&b, "%q: ", shorten(e.Text, 40))
	}
	b.WriteString(e.Msg)
	if e.Hint != "" {
		b.WriteString("; ")
		b.WriteString(e.Hint)
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, b.String())
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// shorten cuts s after n bytes at most.
func shorten(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n] + "…"
}

// located turns a fault of the text into an Error.
func located(err error, file string, columns []Column) error {
	var f *delimited.Fault
	if !errors.As(err, &f) {
		return err
	}
	e := &Error{File: file, Line: f.Line, Column: f.Column, Text: f.Text,
		Rule: f.Rule, Msg: f.Msg, Hint: f.Hint, Err: f.Err}
	if 0 < f.Column && f.Column <= len(columns) {
		e.Name = columns[f.Column-1].Name
	}
	if e.Rule == "text" && e.Text == e.Name {
		e.Hint = "the header comes again here; keep one take per file"
	}
	return e
}

// located is located of the rows below the header.
func (s *survey) located(err error, file string) error {
	err = located(err, file, s.Columns)
	var e *Error
	if errors.As(err, &e) && e.Rule == "time" && s.time >= 0 && s.Rate > 0 {
		e.Hint = fmt.Sprintf("leave the time column out: the header states %v samples per second", s.Rate)
	}
	return err
}

// list returns at most a dozen names, quoted.
func list(names []string) string {
	var b strings.Builder
	for i, n := range names {
		if i == 12 {
			fmt.Fprintf(&b, " and %d more", len(names)-i)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%q", shorten(n, 40))
	}
	if len(names) == 0 {
		return "none"
	}
	return b.String()
}
