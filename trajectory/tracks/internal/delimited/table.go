package delimited

import (
	"bytes"
	"fmt"
	"math"
	"slices"
)

// Table is the part of a text that consists of rows of numbers. The first
// fields say what is wanted, the others are what Read found.
type Table struct {
	Dialect
	// Target has an element for each cell of a row: the index in Columns where
	// the cell goes, or -1 to pass over it.
	Target []int
	// Clock is the index in Columns of the one that must increase from row to
	// row, -1 if there is none. Rows of separators only, of any number, are
	// passed over where there is a clock.
	Clock     int
	ClockWord string // what the clock is, for messages
	// MaxRows is the largest number of rows; more are a fault.
	MaxRows int

	// Columns are the values, all of Rows elements after Read; their capacity
	// before it is the expected number of rows.
	Columns [][]float64
	Rows    int

	class  [256]class
	last   float64 // value of the clock in the row before
	seam   []seam
	inside int // line ends within the quotes of the row at hand
}

type class uint8

const (
	plain class = iota
	between
	lineEnd
)

// seam is a row whose line does not directly follow the one before.
type seam struct{ row, line int }

// Line returns the number of the line that a row came from.
func (t *Table) Line(row int) int {
	i, found := slices.BinarySearchFunc(t.seam, row, func(s seam, row int) int { return s.row - row })
	if !found {
		i--
	}
	return t.seam[i].line + row - t.seam[i].row
}

// Read parses the rows that s has left.
func (t *Table) Read(s *Source) error {
	t.class = [256]class{'\n': lineEnd, '\r': lineEnd}
	t.class[t.Sep] = between
	if t.Sep == ' ' {
		t.class['\t'] = between
	}
	for k, col := range t.Columns {
		t.Columns[k] = col[:cap(col)]
	}
	for {
		if err := t.block(s); err != nil {
			return err
		}
		if s.eof {
			break
		}
		s.reserve(blockSize + 1)
		if err := s.fill(); err != nil {
			return t.unclosed(s, err)
		}
	}
	for k, col := range t.Columns {
		t.Columns[k] = clip(col[:t.Rows])
	}
	return nil
}

// clip gives back the memory behind the end of a column if it is much.
func clip(col []float64) []float64 {
	if cap(col)-len(col) <= len(col)/8+64 {
		return col[:len(col):len(col)]
	}
	return append(make([]float64, 0, len(col)), col...)
}

// grow makes room for more rows than expected.
func (t *Table) grow() {
	n := max(64, t.Rows+t.Rows/2)
	if n > t.MaxRows {
		n = t.MaxRows + 1 // for a row that does not count, or one too many
	}
	for k, col := range t.Columns {
		c := make([]float64, n)
		copy(c, col)
		t.Columns[k] = c
	}
}

// block parses the rows that the buffer of s holds completely and leaves s at
// the first that it does not. At the end of the text every row is complete.
func (t *Table) block(s *Source) error {
	buf := s.buf[:s.end+1]
	for s.at < s.end {
		i, data := t.lead(buf, s.at)
		if data {
			if len(t.Columns) > 0 && t.Rows == len(t.Columns[0]) {
				t.grow()
			}
			t.inside = 0
			end, err := t.row(s, buf, i)
			if err != nil {
				return err
			}
			i = end
		}
		if s.cut(i) {
			return nil
		}
		if data {
			if err := t.keep(s, buf[s.at:i]); err != nil {
				return err
			}
		}
		s.line++
		if buf[i] == '\r' && i+1 < s.end && buf[i+1] == '\n' {
			i++
		}
		s.at = min(i+1, s.end)
	}
	return nil
}

// lead looks at the line that begins at i. It returns the index of its first
// cell, or the one of its end if it is blank or a comment.
func (t *Table) lead(buf []byte, i int) (j int, data bool) {
	if buf[i] > '#' {
		return i, true
	}
	j = t.blanks(buf, i)
	if t.class[buf[j]] == lineEnd {
		return j, false
	}
	if buf[j] != '#' {
		return j, true
	}
	for t.class[buf[j]] != lineEnd {
		j++
	}
	return j, false
}

// row parses the row whose first cell is at i into the columns and returns the
// index of its line end. Where that is a line end only as far as the buffer
// tells, the row is to be read again.
func (t *Table) row(s *Source, buf []byte, i int) (end int, err error) {
	sep, point, runs := t.Sep, t.point(false), t.Sep == ' '
	last := len(t.Target) - 1
	for c, k := range t.Target {
		if k < 0 && buf[i] > '"' && !runs {
			for t.class[buf[i]] == plain {
				i++
			}
		} else {
			// The fast path: [-] digits [point digits], ended by a separator
			// or line end. All else goes through cell.
			j := i
			b := buf[j]
			neg := b == '-'
			if neg {
				j++
				b = buf[j]
			}
			var w uint64
			from := j
			for b-'0' <= 9 {
				w = w*10 + uint64(b-'0')
				j++
				b = buf[j]
			}
			digits := j - from
			frac := 0
			if b == point {
				j++
				b = buf[j]
				from = j
				for b-'0' <= 9 {
					w = w*10 + uint64(b-'0')
					j++
					b = buf[j]
				}
				frac = j - from
				digits += frac
			}
			if k >= 0 && uint(digits-1) < maxCount && (b == sep && (!runs || buf[j+1] > ' ') || b == '\n') {
				v := float64(w)
				if w > maxExact {
					v = quotient(w, frac)
				} else if frac > 0 {
					v /= pow10[frac]
				}
				if neg {
					v = -v
				}
				t.Columns[k][t.Rows] = v
				i = j
			} else if i, err = t.cell(s, buf, i, c, k); err != nil {
				return 0, err
			}
		}
		switch {
		case c == last:
		case t.class[buf[i]] == between:
			i++
		case !s.eof && isBlankText(buf[i:s.end]):
			return s.end, nil // more cells may come, or none
		case t.Clock >= 0 && t.hollow(buf[s.at:i]):
			t.Columns[t.Clock][t.Rows] = math.NaN() // keep passes over it
			return i, nil
		default:
			return 0, t.short(s, buf, i, c+1)
		}
	}
	if t.class[buf[i]] == between {
		return t.rest(s, buf, i)
	}
	return i, nil
}

// keep counts the row that was parsed last, if its clock goes on. A row of
// separators only is not counted.
func (t *Table) keep(s *Source, row []byte) error {
	if t.Clock >= 0 {
		v := t.Columns[t.Clock][t.Rows]
		if !(v > t.last) && (t.Rows > 0 || v != v) {
			if v != v && t.hollow(row) {
				return nil
			}
			return t.backwards(s, v)
		}
		t.last = v
	}
	if t.Rows == t.MaxRows {
		return t.tooMany(s)
	}
	if n := len(t.seam); n == 0 || s.line != t.seam[n-1].line+t.Rows-t.seam[n-1].row {
		t.seam = append(t.seam, seam{t.Rows, s.line})
	}
	t.Rows++
	s.line += t.inside
	return nil
}

// blanks returns the index behind the blanks at i that are no separators of
// one cell from the next.
func (t *Table) blanks(buf []byte, i int) int {
	for buf[i] == ' ' || buf[i] == '\t' && t.Sep != '\t' {
		i++
	}
	return i
}

// cell parses the cell at i the long way: blanks around it, quotes, exponents,
// more digits, words. It returns the index of the byte that ends it. Where
// that is the end of the buffer but not of the text, the row is to be read
// again and nothing else counts.
func (t *Table) cell(s *Source, buf []byte, i, c, k int) (end int, err error) {
	i = t.blanks(buf, i)
	from, to := i, i // the content
	quoted := buf[i] == '"'
	if quoted {
		j := i + 1
		for {
			n := bytes.IndexByte(buf[j:s.end], '"')
			if n < 0 {
				if s.eof {
					return 0, t.quoteFault(s, c)
				}
				return s.end, nil
			}
			if j += n + 1; buf[j] != '"' || j == s.end {
				break
			}
			j++
		}
		from, to, end = i+1, j-1, j
		t.inside += lineEnds(buf[from:to])
		for from < to && isBlankByte(buf[from]) {
			from++
		}
	} else {
		for end = i; t.class[buf[end]] == plain; {
			end++
		}
		to = end
	}
	for from < to && isBlankByte(buf[to-1]) {
		to--
	}
	content := buf[from:to]
	if j := t.blanks(buf, end); t.Sep != ' ' || j == end || t.class[buf[j]] == lineEnd {
		end = j
	} else {
		end = j - 1 // a run of blanks is one separator
	}
	if end == s.end && !s.eof {
		return end, nil
	}
	if quoted && t.class[buf[end]] == plain {
		return 0, &Fault{Rule: "quote", Line: s.line, Column: c + 1, Text: string(content),
			Msg: "there is text behind the closing quote", Hint: `write a quote within quotes twice ("")`}
	}
	if k < 0 {
		return end, nil
	}
	v, kind := Parse(content, t.point(quoted))
	switch kind {
	case Text:
		return 0, t.textFault(s, c, string(content))
	case Infinite:
		return 0, &Fault{Rule: "infinite", Line: s.line, Column: c + 1, Text: string(content),
			Msg: "the value is infinite", Hint: "write missing samples as empty cells or NaN"}
	}
	t.Columns[k][t.Rows] = v
	return end, nil
}

// rest passes over separators behind the last cell, with nothing in between.
func (t *Table) rest(s *Source, buf []byte, i int) (end int, err error) {
	full := -1
	var text []byte // the last cell there
	n := len(t.Target)
	for t.class[buf[i]] == between {
		n++
		i = t.blanks(buf, i+1)
		if buf[i] == '"' && buf[i+1] == '"' {
			i = t.blanks(buf, i+2)
		}
		from := i
		for t.class[buf[i]] == plain {
			i++
		}
		if i > from {
			full, text = n, buf[from:i]
		}
	}
	if full < 0 || i == s.end && !s.eof {
		return i, nil
	}
	return 0, &Fault{Rule: "ragged", Line: s.line, Column: full, Text: string(text),
		Msg:  fmt.Sprintf("the row has %d cells, the table has %d columns", full, len(t.Target)),
		Hint: "look for a stray separator, a decimal comma, or text with separators and no quotes"}
}

// hollow reports whether a row holds separators and nothing else.
func (t *Table) hollow(row []byte) bool {
	for _, c := range row {
		if t.class[c] != between && c != ' ' && c != '\t' {
			return false
		}
	}
	return true
}

func isBlankByte(c byte) bool { return c == ' ' || c == '\t' }

// isBlankText reports whether b is blanks and line ends.
func isBlankText(b []byte) bool {
	for _, c := range b {
		if !isBlankByte(c) && !isEOL(c) {
			return false
		}
	}
	return true
}
