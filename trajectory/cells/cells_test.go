package cells_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory/cells"
)

func ExampleGuard() {
	for _, text := range []string{"=1+1", "-0.25", "'=1", "it's"} {
		fmt.Println(cells.Guard(text))
	}
	// Output:
	// '=1+1
	// -0.25
	// ''=1
	// it's
}

func ExamplePlain() {
	fmt.Println(cells.Plain("'=1+1"), cells.Plain("it's"), cells.Plain("'quoted'"))
	// Output: =1+1 it's 'quoted'
}

func ExampleNewWriter() {
	w := cells.NewWriter(os.Stdout)
	w.Write([]string{"player", "change"})
	w.Write([]string{"@class, Monday", "-1.5e-3"})
	if err := w.Flush(); err != nil {
		fmt.Println(err)
	}
	// Output:
	// player,change
	// "'@class, Monday",-1.5e-3
}

// TestGuard: what a spreadsheet computes is guarded, and nothing else.
func TestGuard(t *testing.T) {
	for _, text := range []string{
		"=1", "+1+1", "-1-1", "@x", "\t=1", "\r=1", "\n=1", "\x00=1", "-", "+", "--1", "-x", "-1,5", "-1.5.2", "-inf", "+Infinity", "-NaN", "-0x10", "-1e", "-1e+", "-e5", "-.", "'=1", "''-x", "-1 ", "-1_000", "+1e5e5", "-1'",
	} {
		if got := cells.Guard(text); got != "'"+text {
			t.Errorf("%q is written as %q", text, got)
		}
	}
	for _, text := range []string{
		"", "x", "1", "-1", "+1", "-.5", "-5.", "-1.5e-07", "+2E+10", "it's", "'", "''", "'x'", "'1", " =1", "a=b", "e5", "'-1",
	} {
		if got := cells.Guard(text); got != text {
			t.Errorf("%q is written as %q", text, got)
		}
	}
}

// FuzzGuard: every text comes back, and no two are written alike.
func FuzzGuard(f *testing.F) {
	for _, text := range []string{"", "=1", "'=1", "''=1", "-1", "'-1", "it's", "+\x00", "\t", "'\r'", "'-1'", "-1e5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		cell := cells.Guard(text)
		if got := cells.Plain(cell); got != text {
			t.Errorf("%q is written as %q and reads back as %q", text, cell, got)
		}
		if again := cells.Plain(text); cells.Guard(again) != text && again != text {
			t.Errorf("%q reads as %q, which is written as %q", text, again, cells.Guard(again))
		}
	})
}

// TestWriter: cells come back through another reader, the line is left as it was,
// and a failure of the writer is told.
func TestWriter(t *testing.T) {
	line := []string{"=a,b", "-1.5", "two\nlines", `"q"`}
	var b strings.Builder
	w := cells.NewWriter(&b)
	if err := w.Write(line); err != nil || line[0] != "=a,b" {
		t.Fatal(err, line)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	got, err := csv.NewReader(strings.NewReader(b.String())).Read()
	if err != nil || strings.Join(got, "|") != "'=a,b|-1.5|two\nlines|\"q\"" {
		t.Errorf("%q, %v", got, err)
	}
	full := cells.NewWriter(broken{})
	full.Write(line)
	if err := full.Flush(); !errors.Is(err, errFull) {
		t.Errorf("a full disk gives %v", err)
	}
}

var errFull = errors.New("no space")

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errFull }
