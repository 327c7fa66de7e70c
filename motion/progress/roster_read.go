package progress

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/plectrace/plectrace/trajectory/cells"
)

// Bounds of a list that a person keeps: a list beyond them is another file.
const (
	rosterBytes   = 16 << 20
	rosterColumns = 200
)

// field is one of the columns that a list of takes may have.
type field struct {
	name     string
	required bool
	get      func(Take) string
	set      func(*Take, string) error
}

// fields are the columns in the order in which they are written.
var fields = []field{
	{"player", true, func(t Take) string { return t.Player }, func(t *Take, s string) error { t.Player = s; return nil }},
	{"date", false, func(t Take) string { return formatDate(t.Date) }, func(t *Take, s string) (err error) { t.Date, err = parseDate(s); return err }},
	{"session", false, func(t Take) string { return t.Session }, func(t *Take, s string) error { t.Session = s; return nil }},
	{"take", false, func(t Take) string { return t.Take }, func(t *Take, s string) error { t.Take = s; return nil }},
	{"file", true, func(t Take) string { return t.File }, func(t *Take, s string) error { t.File = s; return nil }},
	{"setup", false, func(t Take) string { return t.Setup }, func(t *Take, s string) error { t.Setup = s; return nil }},
	{"stopped_by", false, func(t Take) string { return t.StoppedBy }, func(t *Take, s string) error { t.StoppedBy = s; return nil }},
	{"grip", false, func(t Take) string { return t.Grip }, func(t *Take, s string) error { t.Grip = s; return nil }},
	{"comfort", false, func(t Take) string { return t.Comfort.String() }, func(t *Take, s string) error {
		if t.Comfort.UnmarshalText([]byte(strings.ToLower(s))) != nil {
			return &Error{Rule: "comfort", Msg: "this is not one of good, tired and pain", Hint: "write one of them, or leave the cell empty"}
		}
		return nil
	}},
}

// fieldOf returns the index of the column of that name, -1 for a further one.
// Case, spaces, hyphens and underscores do not matter.
func fieldOf(name string) int {
	key := strings.ToLower(squeeze(name))
	for i, f := range fields {
		if strings.ReplaceAll(f.name, "_", "") == key {
			return i
		}
	}
	return -1
}

// ReadRoster reads a list of takes: a table with a header, as a spreadsheet
// saves it, with commas, semicolons or tabs between the cells and any line ends.
//
//	player      a code, in every line
//	date        2024-03-05, or with the time of day 2024-03-05T17:30
//	session     tells the sessions of a day apart
//	take        tells the takes of a session apart
//	file        the export, relative to the folder of the list, in every line
//	setup       the name of the set-up
//	stopped_by  what ended the take
//	grip        how the pick was held
//	comfort     good, tired or pain
//
// The columns come in any order; only player and file must be there. Names are
// read whatever their case and however their words are joined. Further columns
// are kept as they are (Roster.Columns, Take.Extra). A moment without a zone is
// as the clock of the place showed it. Space around a cell goes; empty lines are
// skipped. The apostrophe that WriteRoster puts before what a spreadsheet would compute
// goes (package trajectory/cells).
//
// name is the file's name for errors, all of which are of type *Error. A file
// named twice, and two lines for one take of a player's session, are errors.
func ReadRoster(r io.Reader, name string) (Roster, error) {
	data, err := io.ReadAll(io.LimitReader(r, rosterBytes+1))
	if err != nil {
		return Roster{}, &Error{File: name, Rule: "read", Msg: err.Error(), Hint: "check that the file can be opened", Err: err}
	}
	p := &rosterReader{name: name}
	if data, err = p.text(data); err != nil {
		return Roster{}, err
	}
	if err := p.parse(data); err != nil {
		return Roster{}, err
	}
	if a, b, why := unique(p.out.Takes); why != "" {
		t := p.out.Takes[b]
		return Roster{}, &Error{File: name, Line: t.Line, Text: t.Label(), Rule: "duplicate",
			Msg: fmt.Sprintf("this line %s as line %d", why, p.out.Takes[a].Line), Hint: "remove one of the two, or number the takes apart (take)"}
	}
	p.out.look()
	return p.out, nil
}

type rosterReader struct {
	name    string
	names   []string // of the header
	known   []int    // field of each column, -1: a further one
	unnamed []bool   // columns without a name, which must be empty
	out     Roster
}

func (p *rosterReader) fail(line, column int, text, rule, msg, hint string) error {
	e := &Error{File: p.name, Line: line, Column: column, Text: text, Rule: rule, Msg: msg, Hint: hint}
	if 0 < column && column <= len(p.names) {
		e.Name = p.names[column-1]
	}
	return e
}

// text returns the file as UTF-8 with line ends that a reader of CSV knows.
func (p *rosterReader) text(data []byte) ([]byte, error) {
	const save = `save the list as "CSV UTF-8"`
	switch {
	case len(data) > rosterBytes:
		return nil, p.fail(0, 0, "", "size", "the file is over 16 MiB, which no list of takes is", "check that it is the right file")
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return nil, p.fail(0, 0, "", "binary", "the text is in UTF-16", save)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case bytes.IndexByte(data, 0) >= 0:
		return nil, p.fail(0, 0, "", "binary", "this is no text", save)
	case !utf8.Valid(data):
		at := 0
		for rest := data; ; at++ {
			r, n := utf8.DecodeRune(rest)
			if r == utf8.RuneError && n <= 1 {
				break
			}
			rest = rest[n:]
			at += n - 1
		}
		return nil, p.fail(1+bytes.Count(data[:at], []byte("\n")), 0, "", "binary", "a letter that is not in UTF-8", save)
	case len(bytes.TrimSpace(data)) == 0:
		return nil, p.fail(0, 0, "", "empty", "there is nothing in it", "write a header with player and file, and a line for each take")
	}
	if bytes.IndexByte(data, '\n') < 0 {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	return data, nil
}

// separator returns the one of the usual separators that splits the first line
// into the most columns that are known, and then into the most.
func separator(line string) rune {
	best, most, wide := ',', -1, 0
	for _, sep := range []rune{',', ';', '\t'} {
		r := csv.NewReader(strings.NewReader(line))
		r.Comma = sep
		row, err := r.Read()
		if err != nil {
			continue
		}
		known := 0
		for _, s := range row {
			if fieldOf(s) >= 0 {
				known++
			}
		}
		if known > most || known == most && len(row) > wide {
			best, most, wide = sep, known, len(row)
		}
	}
	return best
}

func (p *rosterReader) parse(data []byte) error {
	text := string(data)
	skipped := 0
	sep := rune(0)
	for sep == 0 {
		line, rest, more := strings.Cut(text, "\n")
		switch trimmed := strings.ToLower(strings.TrimSpace(line)); {
		case trimmed == "" && more:
			text = rest
			skipped++
		case len(trimmed) == len("sep=;") && strings.HasPrefix(trimmed, "sep=") && more:
			// A first line by which spreadsheets name the separator.
			text = rest
			skipped++
			sep = rune(trimmed[4])
			if sep == '"' || sep == '\r' {
				sep = 0
			}
		default:
			sep = separator(line)
		}
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = sep, -1
	r.ReuseRecord = true
	for header := true; ; {
		row, err := r.Read()
		if err == io.EOF {
			if header {
				return p.fail(0, 0, "", "empty", "there is nothing in it", "write a header with player and file, and a line for each take")
			}
			break
		}
		if err != nil {
			return p.syntax(err, skipped)
		}
		line, _ := r.FieldPos(0)
		line += skipped
		empty := true
		for i := range row {
			row[i] = cells.Plain(strings.TrimSpace(row[i]))
			empty = empty && row[i] == ""
		}
		switch {
		case empty:
		case header:
			header = false
			if err := p.header(row, line); err != nil {
				return err
			}
		default:
			if err := p.row(row, line); err != nil {
				return err
			}
		}
	}
	if len(p.out.Takes) == 0 {
		return p.fail(0, 0, "", "empty", "no take follows the header", "write a line for each take")
	}
	return nil
}

func (p *rosterReader) syntax(err error, skipped int) error {
	e := &Error{File: p.name, Rule: "quote", Msg: "a quotation mark that is not closed, or that stands within a cell",
		Hint: "put the whole cell into quotation marks and double those within it", Err: err}
	var at *csv.ParseError
	if errors.As(err, &at) {
		e.Line = at.StartLine + skipped
	}
	return e
}

func (p *rosterReader) header(row []string, line int) error {
	if len(row) > rosterColumns {
		return p.fail(line, 0, "", "size", fmt.Sprintf("the header has %d columns, and %d are allowed", len(row), rosterColumns), "check that it is the right file")
	}
	p.names = append([]string(nil), row...)
	p.known, p.unnamed = make([]int, len(row)), make([]bool, len(row))
	seen := map[string]int{}
	for i, s := range p.names {
		p.known[i], p.unnamed[i] = fieldOf(s), s == ""
		if s == "" {
			continue
		}
		key := strings.ToLower(squeeze(s))
		if at, ok := seen[key]; ok {
			return p.fail(line, i+1, "", "duplicate", fmt.Sprintf("column %d has that name already", at+1), "rename or remove one of the two")
		}
		seen[key] = i
		if p.known[i] < 0 {
			p.out.Columns = append(p.out.Columns, s)
		}
	}
	for _, f := range fields {
		if _, ok := seen[strings.ReplaceAll(f.name, "_", "")]; f.required && !ok {
			return p.fail(line, 0, strings.Join(p.names, ", "), "header", fmt.Sprintf("the header has no column %q", f.name),
				"begin the list with a line such as player,date,session,take,file,setup,stopped_by,grip,comfort")
		}
	}
	return nil
}

func (p *rosterReader) row(row []string, line int) error {
	for len(row) > len(p.names) && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	if len(row) != len(p.names) {
		return p.fail(line, 0, "", "ragged", fmt.Sprintf("%d cells where the header has %d", len(row), len(p.names)),
			"give every line as many cells as the header, empty ones too; put cells that hold the separator into quotation marks")
	}
	t := Take{Line: line}
	for i, s := range row {
		f := p.known[i]
		switch {
		case p.unnamed[i]:
			if s != "" {
				return p.fail(line, i+1, s, "header", "the column of this cell has no name", "name it in the header, or empty the cell")
			}
		case f < 0:
			t.Extra = append(t.Extra, s)
		case s == "" && fields[f].required:
			return p.fail(line, i+1, "", "missing", "the cell is empty", fmt.Sprintf("every line needs a %s", fields[f].name))
		default:
			if err := fields[f].set(&t, s); err != nil {
				var e *Error
				if errors.As(err, &e) {
					e.File, e.Line, e.Column, e.Name, e.Text = p.name, line, i+1, p.names[i], s
				}
				return err
			}
		}
	}
	p.out.Takes = append(p.out.Takes, t)
	return nil
}

// dateLayouts are those of ISO 8601 that are read, the day alone first; a space
// may stand for the T (RFC 3339, 5.6).
var dateLayouts = []string{time.DateOnly,
	"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02T15:04Z07:00", time.RFC3339,
	"2006-01-02 15:04", "2006-01-02 15:04:05", "2006-01-02 15:04Z07:00", "2006-01-02 15:04:05Z07:00"}

// parseDate reads a day or a moment; the zero time for an empty cell.
func parseDate(s string) (time.Time, error) {
	if s == "" {
		return time.Time{}, nil
	}
	for _, layout := range dateLayouts {
		if t, err := time.Parse(layout, strings.ToUpper(s)); err == nil && t.Year() >= 1900 {
			if _, offset := t.Zone(); offset == 0 {
				t = t.UTC()
			}
			return t, nil
		}
	}
	return time.Time{}, &Error{Rule: "date", Msg: "this is not a day that can be read without doubt",
		Hint: "write year-month-day, 2024-03-05, and the time of day as 2024-03-05T17:30"}
}

// formatDate is the inverse of parseDate; midnight is the day alone.
func formatDate(t time.Time) string {
	_, offset := t.Zone()
	switch {
	case t.IsZero():
		return ""
	case offset != 0:
		return t.Format(time.RFC3339Nano)
	case t.Equal(dayOf(t)):
		return t.Format(time.DateOnly)
	case t.Second() == 0 && t.Nanosecond() == 0:
		return t.Format("2006-01-02T15:04")
	}
	return t.Format("2006-01-02T15:04:05.999999999")
}
