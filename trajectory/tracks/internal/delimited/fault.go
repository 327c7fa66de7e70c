package delimited

import "fmt"

// Fault is what is wrong with a text and where: the line and the cell in it,
// both counted from 1, 0 where the fault has no such place.
type Fault struct {
	Rule         string
	Line, Column int
	Text         string // offending text, at full length
	Msg, Hint    string
	Err          error // cause, for failures of the reader
}

func (f *Fault) Error() string {
	return fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, f.Msg)
}

func (f *Fault) Unwrap() error { return f.Err }
