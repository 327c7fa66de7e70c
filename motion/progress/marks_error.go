package progress

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Error says what is wrong with a list that a person wrote (takes, marks), where,
// and what to do about it. Get at it with errors.As.
//
// Rule is the rule that was broken, as a short key that programs may rely on:
//
//	empty      there is nothing in it        binary     not text, or not in UTF-8
//	size       larger than any such list     quote      a quotation mark out of place
//	header     a column missing or unnamed   duplicate  a column, or a line, for the same thing
//	ragged     too few or too many cells     missing    an empty cell that must be filled
//	date       not a day or a moment         comfort    not good, tired or pain
//	time       not a time in seconds         order      an end that is not after its start
//	kind       a kind that cannot be written overlap    two marks for one moment
//	read       failure of the reader         write      failure of the writer
type Error struct {
	File   string // as the caller names it
	Line   int    // from 1, 0 if there is none to blame
	Column int    // number of the cell in the line from 1, 0 if there is none to blame
	Name   string // name of that column
	Text   string // the offending text
	Rule   string
	Msg    string // what is wrong
	Hint   string // what to do about it
	Err    error  // cause, if another error is
}

// Error returns all of it on one line: the place as tracks.Error has it, the text
// shortened.
func (e *Error) Error() string {
	var place []string
	if e.File != "" {
		place = append(place, e.File)
	}
	if e.Line > 0 {
		place = append(place, fmt.Sprint("line ", e.Line))
	}
	if e.Column > 0 {
		place = append(place, fmt.Sprint("column ", e.Column))
	}
	var b strings.Builder
	b.WriteString(strings.Join(place, ", "))
	if e.Name != "" {
		fmt.Fprintf(&b, " (%s)", e.Name)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	if e.Text != "" {
		fmt.Fprintf(&b, "%q: ", shortened(e.Text))
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
	}, "progress: "+b.String())
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// shortened cuts a text that is quoted in an error after 40 bytes at most.
func shortened(s string) string {
	n := 40
	if len(s) <= n {
		return s
	}
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n] + "…"
}
