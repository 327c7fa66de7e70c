package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

const (
	longest   = 1 << 20 // bytes of a line
	patience  = 200     // lines within which the header and a row of numbers must have come
	clockRows = 4       // from which the unit of times is checked
	longClock = 1e8     // seconds: a time beyond it counts from some day long ago
)

// line is one of those that came. What is left of one that is too long is not kept.
type line struct {
	text    string
	tooLong bool
	err     error // the last: io.EOF, or why no more can be read
}

// feed reads lines until the end or until stop is closed.
func feed(r io.Reader, stop <-chan struct{}) <-chan line {
	out := make(chan line, 64)
	go func() {
		in := bufio.NewReaderSize(r, 1<<16)
		for {
			l := next(in)
			select {
			case out <- l:
			case <-stop:
				return
			}
			if l.err != nil {
				return
			}
		}
	}()
	return out
}

// next reads a line. One that ends without a line end is a line of its own before the
// end.
func next(in *bufio.Reader) line {
	var l line
	var text []byte
	for {
		part, err := in.ReadSlice('\n')
		if text = append(text, part...); len(text) > longest {
			text, l.tooLong = text[:0], true
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if err != nil && len(text) == 0 && !l.tooLong {
			l.err = err
		}
		l.text = strings.TrimRight(string(text), "\r\n")
		return l
	}
}

// lines makes frames of lines: delimited text below its header, or JSON objects. Each
// line is read as an export of its own with that header, so that all that package
// tracks understands is understood here.
type lines struct {
	name   string
	number int      // of the last line
	begun  bool     // a line that holds something has come
	keys   []string // of the first object, nil for delimited text
	json   bool
	told   map[string]bool // names in others that it has not
	above  int             // lines of the header, 0 for not known
	head   []string        // the lines so far, until the layout is known
	at     []int           // their numbers
	header string          // afterwards, with its line ends
	names  map[string]bool // in its cells
	wide   int             // cells of its last line
	read   tracks.Options
	// Rows are counted where there are neither times nor frame numbers.
	counted bool
	rows    int
	first   []string // rows, until the steps of their times are known
	origin  float64  // is taken off the times
}

// start tells by the first line, without the byte order mark before it, whether lines
// are objects, and which names are in them. Others it leaves alone.
func (l *lines) start(text *string) error {
	if l.begun {
		return nil
	}
	l.begun = true
	*text = strings.TrimPrefix(*text, "\ufeff")
	if l.json = strings.HasPrefix(strings.TrimSpace(*text), "{"); !l.json {
		return nil
	}
	keys, err := keysOf(*text)
	l.keys, l.head, l.at = keys, []string{row(keys)}, []int{l.number}
	return l.bad(l.number, err)
}

// opening adds a row to the head, and reports what it shows of the layout. The error
// says why it shows none yet.
func (l *lines) opening(text string) (tracks.Layout, error) {
	l.head, l.at = append(l.head, text), append(l.at, l.number)
	if l.number <= l.above {
		return tracks.Layout{}, l.bad(l.number, errors.New("no row of numbers follows the header"))
	}
	layout, err := tracks.Inspect(strings.NewReader(strings.Join(l.head, "\n") + "\n"))
	return layout, l.bad(0, err)
}

// begin takes the layout for that of all lines, and returns the frames of those that
// came already, with the numbers of their lines.
func (l *lines) begin(layout tracks.Layout, s review.Setup) (texts []string, numbers []int, note string) {
	l.read, note = s.Tracks(layout.Time != "")
	l.read.Source, l.read.Delimiter, l.read.DecimalComma = l.name, layout.Delimiter, layout.DecimalComma
	l.counted = s.Time == "-" || layout.Time == "" && s.Time == ""
	l.counted = l.counted && layout.Frame == ""
	n := layout.HeaderLines
	l.header = strings.Join(l.head[:n], "\n") + "\n"
	l.names = make(map[string]bool)
	for _, h := range l.head[:n] {
		for _, name := range l.cells(h) {
			l.names[name] = true
		}
		l.wide = len(l.cells(h))
	}
	texts, numbers = l.head[n:], l.at[n:]
	l.head, l.at = nil, nil
	return texts, numbers, note
}

// frame reads line number n.
func (l *lines) frame(n int, text string) (*trajectory.Recording, error) {
	l.rows++
	rec, err := tracks.Read(strings.NewReader(l.header+text+"\n"), l.read)
	if err != nil {
		return nil, l.bad(n, err)
	}
	if l.counted { // of one row, its time is 0
		per := l.read.Rate
		if l.read.SlowedBy > 0 {
			per *= l.read.SlowedBy
		}
		rec.T[0] = float64(l.rows-1) / per
	}
	if l.rows == 1 && rec.T[0] > longClock {
		l.origin = rec.T[0]
	}
	rec.T[0] -= l.origin
	return rec, nil
}

// clock adds a row to the first ones, and refuses their times where the steps between
// them are too long for seconds.
func (l *lines) clock(text string) error {
	if len(l.first) == clockRows {
		return nil
	}
	if l.first = append(l.first, text); len(l.first) < clockRows {
		return nil
	}
	_, err := tracks.Read(strings.NewReader(l.header+strings.Join(l.first, "\n")+"\n"), l.read)
	var e *tracks.Error
	if errors.As(err, &e) && e.Rule == "time-unit" {
		return l.bad(l.number, err)
	}
	return nil
}

// asRow is a line as a row of delimited text. unknown are names in an object that the
// first one has not, each told once.
func (l *lines) asRow(text string) (cells string, unknown []string, err error) {
	if !l.json {
		return text, nil, nil
	}
	cells, others, err := objectRow(text, l.keys)
	for _, k := range others {
		if !l.told[k] && len(l.told) < mostUnknown {
			if l.told == nil {
				l.told = make(map[string]bool)
			}
			l.told[k] = true
			unknown = append(unknown, k)
		}
	}
	return cells, unknown, err
}

// mostUnknown is how many names that are passed over are told.
const mostUnknown = 20

// heads reports whether a line is a header: the same again, or that of another table.
// Its cells are names, each once, as many as in the first or two of those at least.
func (l *lines) heads(text string) (same, other bool) {
	if l.json {
		return false, false
	}
	cells := l.cells(text)
	seen := make(map[string]bool)
	known := 0
	for _, c := range cells {
		if c == "" || seen[c] || c[0] >= '0' && c[0] <= '9' || c[0] == '-' || c[0] == '+' || c[0] == '.' {
			return false, false // as in nearly all lines by the first cell
		}
		if seen[c] = true; l.names[c] {
			known++
		}
	}
	same = strings.Contains("\n"+l.header, "\n"+strings.TrimRight(text, "\r")+"\n")
	return same, !same && len(cells) > 1 && (len(cells) == l.wide || known > 1)
}

// cells are those of a line, without blanks and quotes around them.
func (l *lines) cells(text string) []string {
	cells := strings.Fields(text)
	if d := l.read.Delimiter; d != 0 && d != ' ' {
		cells = strings.Split(strings.TrimSuffix(text, "\r"), string(d))
	}
	for i, c := range cells {
		cells[i] = strings.Trim(c, " \t\"")
	}
	return cells
}

// bad is an error about line n; 0 leaves the line that it names.
func (l *lines) bad(n int, err error) error {
	if err == nil {
		return nil
	}
	var e *tracks.Error
	if !errors.As(err, &e) {
		return fmt.Errorf("%s: line %d: %w", l.name, n, err)
	}
	at := *e
	at.File = l.name
	switch {
	case n > 0:
		at.Line = n
	case at.Line > 0 && at.Line <= len(l.at):
		at.Line = l.at[at.Line-1]
	}
	return &at
}

// passed reports whether a line holds nothing: it is blank, or a comment below the
// header. One above may name the columns.
func (l *lines) passed(text string) bool {
	text = strings.TrimSpace(text)
	return text == "" || strings.HasPrefix(text, "#") && l.header != ""
}
