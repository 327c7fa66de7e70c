package delimited

import (
	"cmp"
	"slices"
	"strings"
)

// Dialect is how cells and numbers are written.
type Dialect struct {
	Sep   byte // ',', '\t', ';', '|', or ' ' for runs of blanks
	Comma bool // the decimal mark is a comma
}

// point returns the decimal mark of cells in quotes or not. In a file with
// commas both as separator and as decimal mark only quoted cells can have the
// latter.
func (d Dialect) point(quoted bool) byte {
	if d.Comma && (quoted || d.Sep != ',') {
		return ','
	}
	return '.'
}

// sniffed bounds the number of rows that the dialect is judged by.
const sniffed = 200

// View is what the beginning of a text shows.
type View struct {
	Dialect
	Records []Record // the first rows, comments included
	First   int      // index in Records of the first row of numbers; their count if there is none
	Width   int      // usual number of cells in rows of numbers
}

// Look finds the dialect and the first row of numbers. seps are the candidate
// separators in order of preference. Where comma is true the decimal mark is
// known to be a comma, else it is found out. isAxes reports whether the cells
// of a row are names of axes: rows up to there are never numbers, so that
// points may be named 1, 2, 3.
//
// The dialect is the one that makes the most rows consist of numbers only,
// then the one with the largest share of numbers.
func Look(text string, complete bool, seps string, comma bool, isAxes func([]string) bool) View {
	var (
		best      View
		bestScore score
	)
	for i := range len(seps) {
		sep := seps[i]
		if len(seps) > 1 && strings.IndexByte(text, sep) < 0 && (sep != ' ' || strings.IndexByte(text, '\t') < 0) {
			continue
		}
		recs := Records(text, sep, sniffed, complete)
		for _, d := range []Dialect{{sep, false}, {sep, true}} {
			if comma && !d.Comma || d.Comma && !comma && strings.IndexByte(text, ',') < 0 {
				continue
			}
			v, s := look(recs, d, isAxes)
			if best.Records == nil || s.better(bestScore) {
				best, bestScore = v, s
			}
		}
	}
	if best.Records == nil {
		sep := seps[0]
		best = View{Dialect: Dialect{sep, comma}, Records: Records(text, sep, sniffed, complete)}
		best.First = len(best.Records)
	}
	return best
}

type score struct {
	pure  int     // rows of the usual width, two cells or more, without text
	share float64 // of numbers among numbers and texts
}

func (s score) better(t score) bool {
	if c := cmp.Compare(s.pure, t.pure); c != 0 {
		return c > 0
	}
	return s.share > t.share
}

// tally is what the cells of a row hold.
type tally struct {
	kinds          []Kind
	numbers, texts int
}

// isData reports whether the row counts as one of numbers: a text among them is
// a fault of the row, not a header. A wide row that is half text is a line of
// keys and values above the table.
func (t tally) isData() bool {
	return t.numbers > t.texts || t.numbers == t.texts && t.numbers > 0 && len(t.kinds) <= 3 ||
		t.texts == 0 && len(t.kinds) >= 2
}

// fills reports whether a row has numbers in most of the columns of numbers,
// whatever else it has.
func (t tally) fills(numeric []bool) bool {
	columns, numbers := 0, 0
	for i, k := range t.kinds {
		if i < len(numeric) && numeric[i] {
			columns++
			if k == Number {
				numbers++
			}
		}
	}
	return numbers >= 2 && 2*numbers > columns
}

// numericColumns tells the columns that hold more numbers than texts.
func numericColumns(rows []tally) []bool {
	var balance []int
	for _, t := range rows {
		for i, k := range t.kinds {
			if i == len(balance) {
				balance = append(balance, 0)
			}
			switch k {
			case Number:
				balance[i]++
			case Text:
				balance[i]--
			}
		}
	}
	numeric := make([]bool, len(balance))
	for i, b := range balance {
		numeric[i] = b > 0
	}
	return numeric
}

func look(recs []Record, d Dialect, isAxes func([]string) bool) (View, score) {
	v := View{Dialect: d, Records: recs, First: len(recs)}
	rows := make([]tally, len(recs))
	numbers, texts := 0, 0
	from := 0 // rows of numbers come after the names of axes
	for i, r := range recs {
		if r.Comment {
			continue
		}
		if i < 16 && isAxes(r.Cells) {
			from = i + 1
		}
		t := d.tally(r.Cells)
		rows[i] = t
		numbers += t.numbers
		texts += t.texts
	}
	numeric := numericColumns(rows[len(rows)/2:])
	isData := func(i int) bool {
		return i >= from && !recs[i].Comment && (rows[i].isData() || rows[i].fills(numeric))
	}
	widths := map[int]int{}
	for i := range recs {
		if isData(i) {
			widths[len(rows[i].kinds)]++
		}
	}
	for w, n := range widths {
		if n > widths[v.Width] || n == widths[v.Width] && w > v.Width {
			v.Width = w
		}
	}
	var s score
	if numbers > 0 && v.Width > 1 {
		s.share = float64(numbers) / float64(numbers+texts)
	}
	for i := range slices.Backward(recs) {
		if !isData(i) {
			continue
		}
		if len(rows[i].kinds) == v.Width {
			v.First = i
			if v.Width > 1 && rows[i].texts == 0 {
				s.pure++
			}
		} else if v.First == i+1 {
			// A row of another width right before is a faulty row of numbers.
			v.First = i
		}
	}
	return v, s
}

func (d Dialect) tally(cells []string) tally {
	t := tally{kinds: make([]Kind, len(cells))}
	// Records drops the quotes, so a cell that holds the separator had them.
	for i, c := range cells {
		quoted := strings.IndexByte(c, d.Sep) >= 0
		_, t.kinds[i] = Parse([]byte(c), d.point(quoted))
		switch t.kinds[i] {
		case Number, Infinite:
			t.numbers++
		case Text:
			t.texts++
		}
	}
	return t
}
