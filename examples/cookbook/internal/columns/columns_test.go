package columns

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/examples/internal/cli"
)

func TestRead(t *testing.T) {
	for _, c := range []struct{ name, text, head, numbers string }{
		{"a header", "time_s,v\n0,1\n0.5,2\n", "[time_s v]", "[1 2]"},
		{"no header", "0,1\n0.5,2e-1\n", "[column 1 column 2]", "[1 0.2]"},
		{"semicolons and decimal commas", "t;v\n0;1,5\n1;-2,25\n", "[t v]", "[1.5 -2.25]"},
		{"tabs", "t\tv\n0\t1\n", "[t v]", "[1]"},
		{"a mark, comments, blank lines, CRLF", "\ufeff# made by hand\r\n\r\nt,v\r\n0,1\r\n\r\n# half\r\n1,2\r\n", "[t v]", "[1 2]"},
		{"quotes (RFC 4180)", "t,\"v, \"\"mm\"\"\"\n0,\"1\"\n", `[t v, "mm"]`, "[1]"},
		{"missing", "t,v\n0,\n1,NaN\n2,-\n3,n/a\n4, 5 \n", "[t v]", "[NaN NaN NaN NaN 5]"},
		{"text beside numbers is no header", "D,0\nU,1\n", "[column 1 column 2]", "[0 1]"},
		{"nor is nothing", "-,\n0,1\n", "[column 1 column 2]", "[NaN 1]"},
		{"a head without a name", "t,\n0,1\n", "[t column 2]", "[1]"},
	} {
		tab, err := Read("x.csv", []byte(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		v, err := tab.Numbers(1)
		if got := fmt.Sprint(tab.Head); err != nil || got != c.head || fmt.Sprint(v) != c.numbers {
			t.Errorf("%s: %s %v, %v", c.name, got, v, err)
		}
	}
}

func TestReadFaults(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"nothing", "", "x.csv holds no line of numbers; check"},
		{"a header alone", "t,v\n", "holds no line"},
		{"ragged", "t,v\n0,1\n\n1,2,3\n", "x.csv, line 4: it has 3 cells, and the first line 2;"},
		{"a quote", "t,v\n0,1\"2\n", "x.csv, line 2, column 4: "},
		{"not text", "t,v\n0,\x00\n", "no text"},
		{"UTF-16", "\xff\xfet\x00,\x00", "no text"},
	} {
		if _, err := Read("x.csv", []byte(c.text)); cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
}

func TestColumnFaults(t *testing.T) {
	tab, err := Read("x.csv", []byte("t,v,\x1b[31mlong name of a column that goes on\n0,1,2\n1,two,Inf\n1,3,\n"))
	if err != nil {
		t.Fatal(err)
	}
	numbers := func(i int) error { _, err := tab.Numbers(i); return err }
	times := func(i int) error { _, err := tab.Times(i); return err }
	column := func(name string) error { _, err := tab.Column("-time", name); return err }
	for _, c := range []struct {
		err  error
		says string
	}{
		{numbers(1), `x.csv, line 3, column 2: "two" is not a number; leave`},
		{numbers(2), `column 3: "Inf" is not a number`},
		{times(0), "x.csv, line 4, column 1: the time 1 s does not come after 1 s; sort"},
		{column("2"), `no column "2"; give one of its columns with -time: t, v, [31mlong name of a column tha…`},
	} {
		if cli.Code(c.err) != cli.BadInput || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("%v, want %q", c.err, c.says)
		}
	}
	if tab, err = Read("y", []byte("0;1\n;2\n")); err != nil {
		t.Fatal(err)
	}
	if err := times(0); err == nil || !strings.Contains(err.Error(), "line 2, column 1: the time is missing") {
		t.Error(err)
	}
	if i, err := tab.Column("-y", "2"); i != 1 || err != nil {
		t.Errorf("column 2 is at %d, %v", i, err)
	}
	if err := column("3"); err == nil || !strings.Contains(err.Error(), "column 1, column 2") {
		t.Error(err)
	}
}

// FuzzRead: no text makes it panic, and what it reads holds no infinity.
func FuzzRead(f *testing.F) {
	f.Add([]byte("t;v\n0;1,5\n"))
	f.Add([]byte("\"a\nb\",#\n#\n1,\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		tab, err := Read("x", text)
		if err != nil {
			return
		}
		for i := range tab.Head {
			v, err := tab.Numbers(i)
			if err == nil && len(v) != tab.Len() {
				t.Errorf("%d numbers of %d lines", len(v), tab.Len())
			}
			for _, x := range v {
				if math.IsInf(x, 0) {
					t.Error("an infinity")
				}
			}
		}
	})
}
