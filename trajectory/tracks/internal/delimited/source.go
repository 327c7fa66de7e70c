package delimited

import (
	"bytes"
	"fmt"
	"io"
)

const (
	// MaxLine bounds the length of a row in bytes.
	MaxLine = 1 << 20

	firstBlock = 64 << 10
	blockSize  = 256 << 10
)

// Source is a reader with a buffer that rows are parsed from in place. The
// byte behind the unread text is always a line feed, so that scanning for the
// end of a cell needs no test for the end of the buffer.
type Source struct {
	r       io.Reader
	buf     []byte // buf[at:end] is unread, buf[end] is the sentinel
	at, end int
	line    int  // line of buf[at], from 1
	eof     bool // buf[end] is the end of the text
}

// NewSource returns a Source on the text of r. It reads the first block, drops
// a UTF-8 byte order mark, and refuses what is not text.
func NewSource(r io.Reader) (*Source, error) {
	s := &Source{r: r, buf: make([]byte, firstBlock+1), line: 1}
	if err := s.fill(); err != nil {
		return nil, err
	}
	if bytes.HasPrefix(s.buf[:s.end], []byte("\xef\xbb\xbf")) {
		s.at = 3
	}
	if f := refuse(s.buf[s.at:s.end]); f != nil {
		return nil, f
	}
	return s, nil
}

// Unread returns the unread text in the buffer and whether it goes on to the
// end of the source. It is valid until the next call.
func (s *Source) Unread() (text []byte, complete bool) {
	return s.buf[s.at:s.end], s.eof
}

// More makes the preview longer. It returns false when it is as long as the
// source, or as rows may be.
func (s *Source) More() (bool, error) {
	if s.eof || s.end-s.at >= MaxLine {
		return false, nil
	}
	s.reserve(4 * len(s.buf))
	return true, s.fill()
}

// Skip drops n bytes of the preview and sets the number of the line that comes
// next.
func (s *Source) Skip(n, line int) { s.at, s.line = s.at+n, line }

// fill moves the unread text to the front of the buffer, grows the buffer if
// it is full, and reads until it is full again or the source ends.
func (s *Source) fill() error {
	s.end = copy(s.buf, s.buf[s.at:s.end])
	s.at = 0
	if s.end == len(s.buf)-1 {
		if s.end >= MaxLine {
			return &Fault{Rule: "long-line", Line: s.line,
				Msg:  fmt.Sprintf("the line is longer than %d bytes", MaxLine),
				Hint: "check that the file is a table with line ends and closed quotes"}
		}
		s.reserve(2 * len(s.buf))
	}
	for idle := 0; s.end < len(s.buf)-1 && !s.eof; {
		n, err := s.r.Read(s.buf[s.end : len(s.buf)-1])
		s.end += n
		switch {
		case err == io.EOF:
			s.eof = true
		case err != nil:
			return s.failed(err)
		case n > 0:
			idle = 0
		default:
			if idle++; idle == 100 {
				return s.failed(io.ErrNoProgress)
			}
		}
	}
	s.buf[s.end] = '\n'
	return nil
}

// cut reports whether the line end at i in the buffer may be an artefact of
// the block: the sentinel, or the first half of a CRLF.
func (s *Source) cut(i int) bool {
	return !s.eof && (i == s.end || i+1 == s.end && s.buf[i] == '\r')
}

func (s *Source) failed(err error) error {
	return &Fault{Rule: "read", Msg: "reading failed: " + err.Error(), Err: err}
}

// reserve makes the buffer at least n bytes long.
func (s *Source) reserve(n int) {
	if n > len(s.buf) {
		buf := make([]byte, n)
		copy(buf, s.buf[:s.end])
		s.buf = buf
	}
}

// refuse returns the fault of a beginning that is not text in UTF-8 or another
// superset of ASCII.
func refuse(b []byte) *Fault {
	const csv = "export the table as comma-separated text (CSV)"
	for _, m := range []struct{ magic, msg, hint string }{
		{"\xff\xfe", "the text is UTF-16", "save the file as UTF-8"},
		{"\xfe\xff", "the text is UTF-16", "save the file as UTF-8"},
		{"PK\x03\x04", "this is a zip archive or a workbook, not text", csv},
		{"\xd0\xcf\x11\xe0", "this is a workbook, not text", csv},
		{"\x1f\x8b", "this is gzip data, not text", "unpack the file first"},
		{"\x89HDF", "this is an HDF5 file, not text", csv},
		{"%PDF", "this is a PDF, not a table", csv},
	} {
		if bytes.HasPrefix(b, []byte(m.magic)) {
			return &Fault{Rule: "binary", Line: 1, Msg: m.msg, Hint: m.hint}
		}
	}
	for i, c := range b {
		if c >= ' ' && c != 0x7f || '\t' <= c && c <= '\r' || c == 0x1b || c == 0x1a {
			continue
		}
		if c == 0 && isWide(b) {
			return &Fault{Rule: "binary", Line: 1, Msg: "the text is UTF-16 without a byte order mark",
				Hint: "save the file as UTF-8"}
		}
		return &Fault{Rule: "binary", Line: 1 + bytes.Count(b[:i], []byte{'\n'}),
			Msg: fmt.Sprintf("byte %#02x: this is not text", c), Hint: csv}
	}
	return nil
}

// isWide reports whether nearly every other byte is zero, as in UTF-16 of
// mostly ASCII text.
func isWide(b []byte) bool {
	var zero [2]int
	for i, c := range b {
		if c == 0 {
			zero[i&1]++
		}
	}
	half := len(b) / 2
	return half > 1 && max(zero[0], zero[1]) > half*9/10 && min(zero[0], zero[1]) < max(1, half/10)
}
