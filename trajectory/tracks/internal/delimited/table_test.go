package delimited

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"
)

// rows are texts with everything that a row may have at the end of a block.
var rows = []struct {
	name string
	sep  byte
	text string
}{
	{"plain", ',', "0,1.25,-3\n1,2,3e2\n\n2,,nan\n"},
	{"CRLF", ',', "0,1,2\r\n\r\n# c\r\n1,2,3\r\n"},
	{"lone CR", ',', "0,1,2\r\r1,2,3\r"},
	{"mixed line ends", ',', "0,1,2\r1,2,3\n2,3,4\r\n3,4,5"},
	{"quotes", ',', "\"0\",\"1\"\"\n\"\"\",\"2\"\n1,\"a,b\r\nc\", \"3\" \n"},
	{"trailing separators", ',', "0,1,2,,\n1,2,3, \"\" ,\n,,\n,, ,\n"},
	{"blanks", ',', " 0 , 1 , 2 \n \t \n  # c\n1,2,3\n"},
	{"runs of blanks", ' ', "  0 1\t2\n1   2 \t 3  \n \n2 3 4"},
	{"runs of blanks, quotes", ' ', "\"0\" 1 \"2\"\n\"1\"\t \"2\" 3 \n"},
	{"tabs", '\t', "0\t1\t2\n\t\t\n1\t \t3\n"},
	{"no line end", ',', "0,1,2\n1,2,3"},
	{"text", ',', "0,1,2\n1,2,3x\n2,3,4\n"},
	{"short", ',', "0,1,2\n1,2\n2,3,4\n"},
	{"cut off", ',', "0,1,2\n1,2\n \n\n"},
	{"long", ',', "0,1,2\n1,2,3,,4\n"},
	{"quote", ',', "0,1,2\n1,\"2,3\n4,5,6\n"},
	{"text behind a quote", ',', "0,1,2\n1,\"2\"3,3\n"},
	{"clock", ',', "0,1,2\n0,1,2\n"},
	{"long numbers", ',', "0,1.2345678901234567890123,2\n1e-1,1234567890123456789012,2\n1.00000000000000000000000000000001,1,-0\n"},
	{"infinite", ',', "0,1,2\n1,2,-1e999\n"},
}

// parse reads text in a first block of n bytes and the rest after that.
func parse(text string, sep byte, n, expected int) string {
	s := &Source{r: strings.NewReader(text), buf: make([]byte, n+1), line: 1}
	if err := s.fill(); err != nil {
		return err.Error()
	}
	t := Table{Dialect: Dialect{Sep: sep}, Target: []int{0, -1, 1}, ClockWord: "time", MaxRows: math.MaxInt,
		Columns: [][]float64{make([]float64, 0, expected), make([]float64, 0, expected)}}
	if err := t.Read(s); err != nil {
		f := *err.(*Fault)
		return fmt.Sprintf("%+v", f)
	}
	lines := make([]int, t.Rows)
	for i := range lines {
		lines[i] = t.Line(i)
	}
	return fmt.Sprint(t.Columns, lines)
}

// TestBlocks cuts every text at every byte.
func TestBlocks(t *testing.T) {
	for _, r := range rows {
		want := parse(r.text, r.sep, len(r.text)+1, 100)
		t.Logf("%s: %s", r.name, want)
		for n := range len(r.text) + 2 {
			if got := parse(r.text, r.sep, n+1, n%4); got != want {
				t.Errorf("%s, block of %d: got %s, want %s", r.name, n+1, got, want)
			}
		}
	}
}

func TestTable(t *testing.T) {
	for _, test := range []struct {
		name, want string
	}{
		{"plain", "[[0 1 2] [-3 300 NaN]] [1 2 4]"},
		{"CRLF", "[[0 1] [2 3]] [1 4]"},
		{"lone CR", "[[0 1] [2 3]] [1 3]"},
		{"mixed line ends", "[[0 1 2 3] [2 3 4 5]] [1 2 3 4]"},
		{"quotes", "[[0 1] [2 3]] [1 3]"},
		{"trailing separators", "[[0 1] [2 3]] [1 2]"},
		{"blanks", "[[0 1] [2 3]] [1 4]"},
		{"runs of blanks", "[[0 1 2] [2 3 4]] [1 2 4]"},
		{"runs of blanks, quotes", "[[0 1] [2 3]] [1 2]"},
		{"tabs", "[[0 1] [2 3]] [1 3]"},
		{"no line end", "[[0 1] [2 3]] [1 2]"},
	} {
		for _, r := range rows {
			if r.name == test.name {
				if got := parse(r.text, r.sep, 1<<10, 1); got != test.want {
					t.Errorf("%s: got %s, want %s", r.name, got, test.want)
				}
			}
		}
	}
}

// TestBlockSizes reads rows over many blocks, from readers that give what they
// like.
func TestBlockSizes(t *testing.T) {
	var b strings.Builder
	const n = 60_000
	for i := range n {
		fmt.Fprintf(&b, "%d,%d.5,\"%d\"\r\n", i, i, -i)
	}
	text := b.String() // over a megabyte
	for _, r := range []io.Reader{
		strings.NewReader(text),
		iotest.OneByteReader(strings.NewReader(text)),
		iotest.HalfReader(strings.NewReader(text)),
		iotest.DataErrReader(strings.NewReader(text)),
	} {
		s, err := NewSource(r)
		if err != nil {
			t.Fatal(err)
		}
		tab := Table{Dialect: Dialect{Sep: ','}, Target: []int{0, 1, 2}, ClockWord: "time", MaxRows: math.MaxInt, Columns: make([][]float64, 3)}
		if err := tab.Read(s); err != nil {
			t.Fatal(err)
		}
		if tab.Rows != n || tab.Line(n-1) != n {
			t.Fatalf("got %d rows, the last on line %d", tab.Rows, tab.Line(n-1))
		}
		for i := range n {
			v := float64(i)
			if tab.Columns[0][i] != v || tab.Columns[1][i] != v+0.5 || tab.Columns[2][i] != -v {
				t.Fatalf("row %d: got %v %v %v", i, tab.Columns[0][i], tab.Columns[1][i], tab.Columns[2][i])
			}
		}
		for k, col := range tab.Columns {
			if cap(col)-len(col) > n/8+64 {
				t.Errorf("column %d: capacity %d", k, cap(col))
			}
		}
	}
	if _, err := NewSource(idle{}); err == nil {
		t.Error("a reader that gives nothing: no error")
	}
}

type idle struct{}

func (idle) Read([]byte) (int, error) { return 0, nil }

// BenchmarkTable parses 144,000 rows of time and four points, the text of ten
// minutes at 240 samples/s.
func BenchmarkTable(b *testing.B) {
	for _, bench := range []struct {
		name, format string
		target       []int
	}{
		{"6 decimals", ",%.6f", []int{0, 1, 2, 3, 4, 5, 6, 7, 8}},
		{"shortest", ",%v", []int{0, 1, 2, 3, 4, 5, 6, 7, 8}},
		{"exponents", ",%.10e", []int{0, 1, 2, 3, 4, 5, 6, 7, 8}},
		{"one point of four", ",%.6f", []int{0, 1, 2, -1, -1, -1, -1, -1, -1}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			var text strings.Builder
			for i := range 144_000 {
				fmt.Fprintf(&text, "%.6f", float64(i)/240)
				for k := range 8 {
					fmt.Fprintf(&text, bench.format, 500+300*math.Sin(float64(i)/9+float64(k)))
				}
				text.WriteByte('\n')
			}
			t := Table{Dialect: Dialect{Sep: ','}, Target: bench.target, ClockWord: "time", MaxRows: math.MaxInt}
			for _, k := range bench.target {
				if k >= 0 {
					t.Columns = append(t.Columns, make([]float64, 0, 144_000))
				}
			}
			b.SetBytes(int64(text.Len()))
			b.ReportAllocs()
			for b.Loop() {
				s, err := NewSource(strings.NewReader(text.String()))
				if err != nil {
					b.Fatal(err)
				}
				t.Rows, t.seam = 0, t.seam[:0]
				if err := t.Read(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
