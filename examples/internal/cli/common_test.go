package cli

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// common returns the flags as args set them.
func common(t *testing.T, args ...string) Common {
	t.Helper()
	var c Common
	fs := flag.NewFlagSet("x", flag.ContinueOnError)
	c.Add(fs, "x-out")
	if err := fs.Parse(args); err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCommon(t *testing.T) {
	for _, c := range []struct {
		args   string
		folder string
		words  bool
		prints string
	}{
		{"", "usual", true, ""},
		{"-out a", "a", true, ""},
		{"-quiet", "usual", false, ""},
		{"-json", "", false, "{\n  \"rate\": 11\n}\n"},
		{"-json -quiet -out a", "a", false, "{\n  \"rate\": 11\n}\n"},
	} {
		got := common(t, strings.Fields(c.args)...)
		if f := got.Folder("usual"); f != c.folder {
			t.Errorf("%q: the folder is %q, want %q", c.args, f, c.folder)
		}
		var out bytes.Buffer
		if words := got.Words(&out) != io.Discard; words != c.words {
			t.Errorf("%q: words %t, want %t", c.args, words, c.words)
		}
		if err := got.PrintJSON(&out, map[string]int{"rate": 11}); err != nil || out.String() != c.prints {
			t.Errorf("%q prints %q (%v), want %q", c.args, out.String(), err, c.prints)
		}
	}
	var out bytes.Buffer
	j := Common{JSON: true}
	if err := j.PrintJSON(&out, []byte("{}\n")); err != nil || out.String() != "{}\n" {
		t.Errorf("bytes are printed as %q (%v)", out.String(), err)
	}
	out.Reset()
	if err := j.PrintJSON(&out, "P<1> & co"); err != nil || out.String() != "\"P<1> & co\"\n" {
		t.Errorf("a name is printed as %q (%v)", out.String(), err)
	}
	if err := j.PrintJSON(&out, func() {}); Code(err) != BadInput {
		t.Errorf("what is no JSON: %v", err)
	}
	for _, c := range []struct {
		with  Common
		given bool
		code  int
	}{{Common{JSON: true}, true, BadUsage}, {Common{JSON: true}, false, OK}, {Common{JSON: true, Out: "a"}, true, OK}, {Common{}, true, OK}} {
		if err := c.with.InFolder("-notebook", c.given); Code(err) != c.code {
			t.Errorf("%+v, -notebook %t: %v", c.with, c.given, err)
		}
	}
	if err := (Common{Force: true}).Alone("with -check"); Code(err) != BadUsage {
		t.Errorf("-force with nothing to write: %v", err)
	}
}

// TestMeter walks a clock: nothing for two seconds, then a line that is taken away.
func TestMeter(t *testing.T) {
	var out bytes.Buffer
	clock := time.Date(2026, 1, 5, 19, 0, 0, 0, time.UTC)
	m := newMeter(&out, "Reviewing", func() time.Time { return clock })
	m.Count(3, 10)
	clock = clock.Add(1900 * time.Millisecond)
	if m.show(); out.Len() > 0 {
		t.Errorf("after 1.9 s: %q", out.String())
	}
	clock = clock.Add(1100 * time.Millisecond)
	m.show()
	if got, want := out.String(), "\rReviewing, 3 of 10, 1.0 a second, about 7s left \x1b[K"; got != want {
		t.Errorf("after 3 s: %q, want %q", got, want)
	}
	out.Reset()
	m.Count(0, 0)
	m.show()
	m.End()
	m.End()
	if got, want := out.String(), "\rReviewing, 3 s \x1b[K\r\x1b[K"; got != want {
		t.Errorf("without a count: %q, want %q", got, want)
	}
	var none *Meter
	none.Count(1, 2)
	none.End()
	if got := (Common{Quiet: true}).Meter("x"); got != nil {
		t.Error("a meter with -quiet")
	}
}

// TestMeterStandsAside: words that are printed while a meter stands are not put behind
// its line.
func TestMeterStandsAside(t *testing.T) {
	var screen bytes.Buffer
	clock := time.Date(2026, 1, 5, 19, 0, 0, 0, time.UTC)
	m := newMeter(&screen, "Reviewing", func() time.Time { return clock })
	standing.Store(m)
	clock = clock.Add(3 * time.Second)
	m.show()
	words := Common{}.Words(&screen)
	fmt.Fprintln(words, "b.csv: there is no such file")
	fmt.Fprintln(words, "c.csv: there is no such file")
	m.End()
	fmt.Fprintln(words, "Written.")
	want := "\rReviewing, 3 s \x1b[K" + "\r\x1b[K" + "b.csv: there is no such file\nc.csv: there is no such file\nWritten.\n"
	if got := screen.String(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if standing.Load() != nil {
		t.Error("a meter that has ended still stands")
	}
}

// TestInPlace: a file, a buffer and what swallows everything are no place to write over.
func TestInPlace(t *testing.T) {
	t.Setenv("TERM", "xterm")
	open := func(name string, flags int) *os.File {
		f, err := os.OpenFile(name, flags, 0o666)
		if err != nil {
			t.Skip(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	for name, out := range map[string]io.Writer{
		"a buffer": new(bytes.Buffer), "a file": open(filepath.Join(t.TempDir(), "a"), os.O_CREATE|os.O_WRONLY), "the null device": open(os.DevNull, os.O_WRONLY),
	} {
		if InPlace(out) {
			t.Errorf("%s is written over", name)
		}
	}
	terminal := open("/dev/ptmx", os.O_RDWR)
	if !InPlace(terminal) {
		t.Error("a terminal is not written over")
	}
	if columns, rows := Size(terminal); columns < 1 || rows < 1 {
		t.Errorf("a terminal has %d columns and %d rows", columns, rows)
	}
	if columns, rows := Size(new(bytes.Buffer)); columns != 80 || rows != 24 {
		t.Errorf("what is no terminal has %d columns and %d rows", columns, rows)
	}
	t.Setenv("TERM", "dumb")
	if InPlace(terminal) {
		t.Error("one that does not move its cursor is written over")
	}
}
