package columns

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/trajectory/cells"
)

// Table is delimited text, taken apart.
type Table struct {
	// Name is that of the file, for messages.
	Name string
	// Head are the names of the columns; "column 1", "column 2" and so on where the
	// text names none.
	Head  []string
	named bool
	comma bool // of decimals
	lines []int
	rows  [][]string
}

// Open reads the file of that name, and standard input for "-".
func Open(name string) (*Table, error) {
	if name != "-" {
		data, err := cli.ReadFile(name, "table", "check the name and the folder")
		if err != nil {
			return nil, err
		}
		return Read(name, data)
	}
	data, err := io.ReadAll(os.Stdin)
	if err != nil {
		return nil, cli.Input(fmt.Errorf("cannot read standard input: %w", err), "name a file")
	}
	return Read("standard input", data)
}

// Read takes apart the text of the file of that name.
func Read(name string, data []byte) (*Table, error) {
	t := &Table{Name: name}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, cli.Input(fmt.Errorf("%s is no text in UTF-8", name), "export a table as comma-separated text")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = separator(data), '#', -1, true
	t.comma = r.Comma != ','
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if bad := new(csv.ParseError); errors.As(err, &bad) {
			return nil, t.fault(bad.Line, bad.Column, "%w", "put quotes round a whole cell, or leave them out", bad.Err)
		}
		for i, c := range row {
			row[i] = cells.Plain(strings.TrimSpace(c))
		}
		line, _ := r.FieldPos(0)
		if t.Head == nil {
			t.named = t.names(row)
			for i, c := range row {
				if !t.named || c == "" {
					c = fmt.Sprintf("column %d", i+1)
				}
				t.Head = append(t.Head, c)
			}
			if t.named {
				continue
			}
		}
		if len(row) != len(t.Head) {
			return nil, t.fault(line, 0, "it has %s, and the first line %d", "give every line as many", measured.Count(len(row), "cell"), len(t.Head))
		}
		t.lines, t.rows = append(t.lines, line), append(t.rows, row)
	}
	if len(t.rows) == 0 {
		return nil, cli.Input(fmt.Errorf("%s holds no line of numbers", name), "check that it is the right file")
	}
	return t, nil
}

// names reports whether a first line names the columns: it holds text, and no number.
func (t *Table) names(row []string) bool {
	text := false
	for _, c := range row {
		v, err := t.number(c)
		if err == nil && v == v {
			return false
		}
		text = text || err != nil
	}
	return text
}

// separator is the one of the first line that counts.
func separator(data []byte) rune {
	for line := range bytes.Lines(data) {
		if line = bytes.TrimSpace(line); len(line) == 0 || line[0] == '#' {
			continue
		}
		for _, c := range []rune{'\t', ';'} {
			if bytes.ContainsRune(line, c) {
				return c
			}
		}
		break
	}
	return ','
}

// Len is the number of lines with numbers.
func (t *Table) Len() int { return len(t.rows) }

// Column returns the place of the column of that name, or of that number from 1
// where the text names none. flag is what the name was given with.
func (t *Table) Column(flag, name string) (int, error) {
	if i := slices.Index(t.Head, name); i >= 0 {
		return i, nil
	}
	if i, err := strconv.Atoi(name); err == nil && !t.named && 1 <= i && i <= len(t.Head) {
		return i - 1, nil
	}
	return 0, cli.Input(fmt.Errorf("%s has no column %q", t.Name, short(name)), "give one of its columns with "+flag+": "+t.list())
}

// Numbers returns column i, NaN where a cell is missing.
func (t *Table) Numbers(i int) ([]float64, error) {
	out := make([]float64, len(t.rows))
	for k, cells := range t.rows {
		v, err := t.number(cells[i])
		if err != nil {
			return nil, t.fault(t.lines[k], i+1, "%q is not a number", "leave a cell empty where there is none", short(cells[i]))
		}
		out[k] = v
	}
	return out, nil
}

// Given returns column i, which must hold a time in seconds on every line.
func (t *Table) Given(i int) ([]float64, error) {
	out, err := t.Numbers(i)
	if err != nil {
		return nil, err
	}
	for k, v := range out {
		if v != v {
			return nil, t.fault(t.lines[k], i+1, "the time is missing", "give every line a time in seconds")
		}
	}
	return out, nil
}

// Times returns column i, which must hold times in seconds that increase.
func (t *Table) Times(i int) ([]float64, error) {
	out, err := t.Given(i)
	for k := 1; k < len(out); k++ {
		if out[k] <= out[k-1] {
			return nil, t.fault(t.lines[k], i+1, "the time %g s does not come after %g s", "sort the lines by time, and leave out those that stand twice", out[k], out[k-1])
		}
	}
	return out, err
}

// Texts returns the cells of column i.
func (t *Table) Texts(i int) []string {
	out := make([]string, len(t.rows))
	for k, cells := range t.rows {
		out[k] = cells[i]
	}
	return out
}

// Line is the number of the line that row k stands in.
func (t *Table) Line(k int) int { return t.lines[k] }

// missing are cells without a value, in lower case.
var missing = []string{"", "-", "--", "nan", "na", "n/a", "null", "none"}

// number reads a cell.
func (t *Table) number(cell string) (float64, error) {
	if slices.Contains(missing, strings.ToLower(cell)) {
		return math.NaN(), nil
	}
	if t.comma {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err == nil && math.IsInf(v, 0) {
		err = errors.New("infinite")
	}
	return v, err
}

// fault is an error of the file, in a line and, from 1, a column, 0 for none.
func (t *Table) fault(line, column int, format, next string, args ...any) error {
	at := fmt.Sprintf("%s, line %d", t.Name, line)
	if column > 0 {
		at += fmt.Sprintf(", column %d", column)
	}
	return cli.Input(fmt.Errorf("%s: "+format, append([]any{at}, args...)...), next)
}

// list are the names of the first columns.
func (t *Table) list() string {
	const most = 8
	var names []string
	for i, n := range t.Head {
		if i == most {
			names = append(names, fmt.Sprintf("and %d more", len(t.Head)-most))
			break
		}
		names = append(names, short(n))
	}
	return strings.Join(names, ", ")
}

// short is a text of at most 30 characters on one line, all of which can be seen.
func short(s string) string {
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsGraphic(r) || unicode.IsSpace(r) }), " ")
	if r := []rune(s); len(r) > 30 {
		return string(r[:29]) + "…"
	}
	return s
}

// Written takes apart what write writes, under that name.
func Written(name string, write func(io.Writer) error) (*Table, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return nil, err
	}
	return Read(name, b.Bytes())
}
