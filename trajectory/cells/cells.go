package cells

import (
	"encoding/csv"
	"io"
	"strings"
)

// guard is what is put before a text that a spreadsheet would compute.
const guard = "'"

// Guard returns text as a cell that no spreadsheet computes. What needs no guard is
// returned as it is.
func Guard(text string) string {
	if computed(text) {
		return guard + text
	}
	return text
}

// Plain returns the text of a cell that Guard returned. Any other cell is returned
// as it is, but for one that looks as if Guard had written it.
func Plain(cell string) string {
	if rest, ok := strings.CutPrefix(cell, guard); ok && computed(rest) {
		return rest
	}
	return cell
}

// computed reports whether a spreadsheet takes text, less any guards before it, for
// a formula.
func computed(text string) bool {
	text = strings.TrimLeft(text, guard)
	return text != "" && strings.IndexByte("=+-@\t\r\n\x00", text[0]) >= 0 && !number(text)
}

// number reports whether text is a decimal number as programs write it: a sign,
// digits with a point among them, an exponent.
func number(text string) bool {
	mantissa, exponent, with := strings.Cut(strings.ToLower(text), "e")
	whole, decimals, _ := strings.Cut(unsigned(mantissa), ".")
	return whole+decimals != "" && digits(whole) && digits(decimals) &&
		(!with || unsigned(exponent) != "" && digits(unsigned(exponent)))
}

// unsigned is text without one sign before it.
func unsigned(text string) string {
	if text != "" && (text[0] == '+' || text[0] == '-') {
		return text[1:]
	}
	return text
}

// digits reports whether text is nothing but digits.
func digits(text string) bool { return strings.Trim(text, "0123456789") == "" }

// Writer writes lines of cells, each of which it guards, between commas.
type Writer struct {
	csv  *csv.Writer
	line []string
}

// NewWriter returns a writer to w. It buffers: call Flush at the end.
func NewWriter(w io.Writer) *Writer { return &Writer{csv: csv.NewWriter(w)} }

// Write writes a line. It may report an error of an earlier line, or leave it to Flush.
func (w *Writer) Write(line []string) error {
	w.line = w.line[:0]
	for _, c := range line {
		w.line = append(w.line, Guard(c))
	}
	return w.csv.Write(w.line)
}

// Flush writes what is buffered, and returns the first error of all lines so far.
func (w *Writer) Flush() error {
	w.csv.Flush()
	return w.csv.Error()
}
