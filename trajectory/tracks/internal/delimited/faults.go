package delimited

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// The faults of a row that take more than a line to tell.

// short is the fault of a row that ends after n cells, at index i.
func (t *Table) short(s *Source, buf []byte, i, n int) error {
	msg := fmt.Sprintf("the row has %d %s, the table has %d columns", n, plural(n, "cell", "cells"), len(t.Target))
	if s.eof && isBlankText(buf[i:s.end]) {
		return &Fault{Rule: "truncated", Line: s.line, Column: n, Text: string(buf[s.at:i]),
			Msg: "the last row is cut off: " + msg, Hint: "export the file again, or delete its last line"}
	}
	return &Fault{Rule: "ragged", Line: s.line, Column: n, Text: string(buf[s.at:i]), Msg: msg,
		Hint: "give every row a cell for every column; a missing value is an empty cell"}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// backwards is the fault of a clock that is missing or does not go on.
func (t *Table) backwards(s *Source, v float64) error {
	f := &Fault{Rule: "time", Line: s.line, Column: 1 + slices.Index(t.Target, t.Clock)}
	before := strconv.FormatFloat(t.last, 'g', -1, 64)
	switch {
	case math.IsNaN(v):
		f.Msg = "the " + t.ClockWord + " is missing"
		f.Hint = "every row needs one; delete the row or fill it in"
		return f
	case v == t.last:
		f.Msg = "the " + t.ClockWord + " is the same as in the row before"
		f.Hint = "give every sample a time of its own; a table with one row per point and frame needs one column per point and axis instead"
	default:
		f.Msg = "the " + t.ClockWord + " goes back from " + before
		f.Hint = "sort the rows, or keep one take per file"
	}
	f.Text = strconv.FormatFloat(v, 'g', -1, 64)
	return f
}

func (t *Table) textFault(s *Source, c int, text string) error {
	f := &Fault{Rule: "text", Line: s.line, Column: c + 1, Text: text, Msg: "this is not a number"}
	swapped := byte(',')
	if t.point(false) == ',' {
		swapped = '.'
	}
	_, kind := Parse([]byte(text), swapped)
	const digits, letters = "0123456789.,-+'\u00a0 ", "abcdefghijklmnopqrstuvwxyzµ°%"
	rest := strings.TrimLeft(text, digits)
	switch {
	case kind == Number && swapped == ',':
		f.Hint = "for a decimal comma everywhere say so; in this file the decimal mark is a point"
	case kind == Number:
		f.Hint = "the decimal mark of this file is a comma"
	case strings.Contains(text, ":"):
		f.Hint = "write times as plain numbers of seconds, or leave the time column out and give the capture rate"
	case rest == "" && strings.ContainsAny(text, ",' \u00a0"):
		f.Hint = "write numbers without separators of thousands"
	case rest != "" && rest != text && rest != "e" && strings.Trim(rest, letters) == "":
		f.Hint = "leave units out of the cells"
	default:
		f.Hint = "write missing samples as empty cells or NaN, and leave columns of text out of the points"
	}
	return f
}

// tooMany is the fault of a row beyond the last that may be kept.
func (t *Table) tooMany(s *Source) error {
	return &Fault{Rule: "size", Line: s.line, Msg: fmt.Sprintf("there are more than %d rows with %d numbers each to keep", t.MaxRows, len(t.Columns)),
		Hint: "choose fewer points, or export a shorter part"}
}

func (t *Table) quoteFault(s *Source, c int) error {
	return &Fault{Rule: "quote", Line: s.line, Column: c + 1, Msg: "a quote is opened and never closed",
		Hint: `close it, or delete the " at the beginning of the cell`}
}

// unclosed turns the fault of a line too long into that of a quote that makes
// it so.
func (t *Table) unclosed(s *Source, err error) error {
	if f, ok := err.(*Fault); !ok || f.Rule != "long-line" {
		return err
	}
	recs := Records(string(s.buf[:s.end]), t.Sep, 1, true)
	if len(recs) == 1 && recs[0].Open {
		return t.quoteFault(s, len(recs[0].Cells)-1)
	}
	return err
}
