package delimited

import "strings"

// Record is one row of text. A row goes on over line ends in quotes.
type Record struct {
	Line    int // number of its first line, from 1
	Offset  int // of its first byte
	Cells   []string
	Comment bool // the line began with #, which Cells leave out
	Open    bool // a quote was opened and not closed
}

// Records splits text into at most limit rows, blank lines left out, blanks
// around cells removed. sep ' ' stands for runs of blanks. Unless the text is
// complete, its last row is left out when no line end closes it.
func Records(text string, sep byte, limit int, complete bool) []Record {
	var (
		recs []Record
		s    = splitter{text: text, sep: sep, line: 1}
	)
	for len(recs) < limit && s.at < len(text) {
		rec, closed := s.row()
		if !closed && !complete {
			break
		}
		if !isBlank(rec.Cells) || rec.Comment {
			recs = append(recs, rec)
		}
	}
	return recs
}

func isBlank(cells []string) bool {
	return len(cells) == 0 || len(cells) == 1 && cells[0] == ""
}

type splitter struct {
	text string
	sep  byte
	at   int
	line int
}

// row reads a row with its line end. closed is false where the text ended
// before it.
func (s *splitter) row() (rec Record, closed bool) {
	rec = Record{Line: s.line, Offset: s.at}
	s.blanks()
	if s.at < len(s.text) && s.text[s.at] == '#' {
		rec.Comment = true
		s.at++
		s.blanks()
	}
	for {
		cell, open := s.cell(rec.Comment)
		rec.Open = rec.Open || open
		rec.Cells = append(rec.Cells, cell)
		if s.at == len(s.text) {
			return rec, false
		}
		c := s.text[s.at]
		s.at++
		if c == '\n' || c == '\r' {
			s.line++
			if c == '\n' {
				return rec, true
			}
			if s.at == len(s.text) { // half of a CRLF, as far as one knows
				return rec, false
			}
			if s.text[s.at] == '\n' {
				s.at++
			}
			return rec, true
		}
	}
}

// cell reads up to a separator or line end, which it leaves to be read.
func (s *splitter) cell(comment bool) (cell string, open bool) {
	s.blanks()
	if s.at < len(s.text) && s.text[s.at] == '"' && !comment {
		cell, open = s.quoted()
	} else {
		from := s.at
		for s.at < len(s.text) && !s.stop(s.text[s.at]) {
			s.at++
		}
		cell = strings.TrimRight(s.text[from:s.at], " \t")
	}
	if s.sep == ' ' { // a run of blanks is one separator, none before a line end
		from := s.at
		s.blanks()
		if s.at > from && s.at < len(s.text) && !isEOL(s.text[s.at]) {
			s.at--
		}
	}
	return cell, open
}

// quoted reads a quoted cell and what stands behind it.
func (s *splitter) quoted() (cell string, open bool) {
	var b strings.Builder
	s.at++
	for {
		n := strings.IndexByte(s.text[s.at:], '"')
		if n < 0 {
			b.WriteString(s.text[s.at:])
			s.line += lineEnds(s.text[s.at:])
			s.at = len(s.text)
			return b.String(), true
		}
		b.WriteString(s.text[s.at : s.at+n])
		s.line += lineEnds(s.text[s.at : s.at+n])
		s.at += n + 1
		if s.at == len(s.text) || s.text[s.at] != '"' {
			break
		}
		b.WriteByte('"')
		s.at++
	}
	from := s.at
	for s.at < len(s.text) && !s.stop(s.text[s.at]) {
		s.at++
	}
	b.WriteString(strings.TrimRight(s.text[from:s.at], " \t"))
	return b.String(), false
}

func (s *splitter) stop(c byte) bool {
	return c == s.sep || isEOL(c) || s.sep == ' ' && c == '\t'
}

// blanks passes over blanks that are no separators.
func (s *splitter) blanks() {
	for s.at < len(s.text) && (s.text[s.at] == ' ' || s.text[s.at] == '\t' && s.sep != '\t') {
		s.at++
	}
}

func isEOL(c byte) bool { return c == '\n' || c == '\r' }

// lineEnds counts LF, CRLF and lone CR.
func lineEnds[T string | []byte](b T) int {
	n := 0
	for i := range len(b) {
		if b[i] == '\n' && (i == 0 || b[i-1] != '\r') || b[i] == '\r' {
			n++
		}
	}
	return n
}
