package cli

import (
	"io"
	"strings"
	"sync/atomic"
	"unicode"
)

// Printable returns text as a terminal shows it: what it would obey in place of
// showing it (control characters, and those that turn the direction of what
// follows) becomes the replacement character, as do bytes that are no text. Line
// ends and tabs stay. Names of files and players come from anywhere.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case unicode.IsControl(r) || unicode.In(r, unicode.Bidi_Control, unicode.Zl, unicode.Zp):
			return unicode.ReplacementChar
		}
		return r
	}, text)
}

// unsaid is the first error of words that could not be printed, for Main to end with.
var unsaid atomic.Pointer[error]

// printer writes words as Printable returns them, with the meter's line out of their
// way. Each call of Write holds whole characters, as those of fmt and io.WriteString
// do, and ends a line while a meter stands.
type printer struct{ out io.Writer }

func (p printer) Write(b []byte) (n int, err error) {
	standing.Load().aside(func() { _, err = io.WriteString(p.out, Printable(string(b))) })
	if err != nil {
		unsaid.CompareAndSwap(nil, &err)
		return 0, err
	}
	return len(b), nil
}
