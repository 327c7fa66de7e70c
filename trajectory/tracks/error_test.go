package tracks_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

const head = "time,tip_x,tip_y\n"

// place is what a test checks of an error.
type place struct {
	Rule         string
	Line, Column int
	Name, Text   string
}

var faulty = []struct {
	name string
	text string
	opts tracks.Options
	want place
}{
	// No table.
	{"empty", "", tracks.Options{}, place{Rule: "empty"}},
	{"blank", "\n \r\n\t\n", tracks.Options{}, place{Rule: "empty"}},
	{"byte order mark only", "\ufeff", tracks.Options{}, place{Rule: "empty"}},
	{"header only", head, tracks.Options{}, place{Rule: "header-only", Line: 1}},
	{"header only, no line end", "time;tip_x;tip_y", tracks.Options{}, place{Rule: "header-only", Line: 1}},
	{"header rows only", "\nbodyparts,tip,tip\ncoords,x,y\n", tracks.Options{}, place{Rule: "header-only", Line: 3}},
	{"header and separators only", head + ",,\n,,\n", tracks.Options{}, place{Rule: "header-only", Line: 1}},
	{"prose", "Dear tutor,\nhere is my take, as promised.\n", tracks.Options{}, place{Rule: "prose", Line: 1, Text: "Dear tutor "}},
	{"one line", "hello", tracks.Options{}, place{Rule: "prose", Line: 1, Text: "hello"}},
	{"comments only", "# a\n# b\n", tracks.Options{}, place{Rule: "prose", Line: 1, Text: "a"}},
	{"markup", "<html>\n<body>x</body>\n", tracks.Options{}, place{Rule: "prose", Line: 1, Text: "<html>"}},
	{"binary", "time,tip_x\n\x00\x01", tracks.Options{}, place{Rule: "binary", Line: 2}},
	{"workbook", "PK\x03\x04....", tracks.Options{}, place{Rule: "binary", Line: 1}},
	{"UTF-16, little-endian", "\xff\xfet\x00i\x00m\x00e\x00", tracks.Options{}, place{Rule: "binary", Line: 1}},
	{"UTF-16, big-endian", "\xfe\xff\x00t\x00i\x00m\x00e", tracks.Options{}, place{Rule: "binary", Line: 1}},
	{"UTF-16, no mark", "t\x00i\x00m\x00e\x00,\x00x\x00", tracks.Options{}, place{Rule: "binary", Line: 1}},
	{"one column", "tip_x\n1\n2\n", tracks.Options{Rate: 1}, place{Rule: "prose", Line: 1, Text: "tip_x"}},

	// Header.
	{"no header", "0,1,2\n1,2,3\n", tracks.Options{Rate: 1}, place{Rule: "header", Line: 1}},
	{"no points", "\ntime,a,b\n0,1,2\n", tracks.Options{}, place{Rule: "header", Line: 2}},
	{"no y", "time,tip_x,tip_z\n0,1,2\n", tracks.Options{}, place{Rule: "header", Line: 1}},
	{"duplicate", "time,tip_x,tip_y,tip_x\n0,1,2,3\n", tracks.Options{}, place{Rule: "duplicate", Line: 1, Column: 4, Name: "tip_x"}},
	{"duplicate spelling", "time,tip_x,tip_y,tip.x\n0,1,2,3\n", tracks.Options{}, place{Rule: "duplicate", Line: 1, Column: 4, Name: "tip.x"}},
	{"duplicate time", "time,tip_x,tip_y,time\n0,1,2,3\n", tracks.Options{}, place{Rule: "duplicate", Line: 1, Column: 4, Name: "time"}},
	{"duplicate axes", "#\ntime,x,y,x,y\n0,1,2,3,4\n", tracks.Options{}, place{Rule: "duplicate", Line: 2, Column: 4, Name: "x"}},
	{"units", "time,tip_x_mm,tip_y_mm,nut_x_px,nut_y_px\n0,1,2,3,4\n", tracks.Options{}, place{Rule: "unit", Line: 1, Column: 4, Name: "nut_x_px"}},
	{"unknown point", head + "0,1,2\n", tracks.Options{Points: []string{"Tip"}}, place{Rule: "point", Line: 1}},
	{"unknown time", head + "0,1,2\n", tracks.Options{Time: "when"}, place{Rule: "column", Line: 1}},
	{"no time", "tip_x,tip_y\n1,2\n", tracks.Options{}, place{Rule: "rate", Line: 1}},
	{"frames and no rate", "frame,tip_x,tip_y\n0,1,2\n", tracks.Options{}, place{Rule: "rate", Line: 1}},

	// Rows.
	{"text", head + "0,1,2\n0.1,abc,2\n", tracks.Options{}, place{"text", 3, 2, "tip_x", "abc"}},
	{"text in the first row", head + "0,abc,2\n0.1,1,2\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "abc"}},
	{"text behind a blank line, a comment and CRLF", "time,tip_x,tip_y\r\n\r\n# c\r\n0,1,2\r\n0.1,1,1.5.2\r\n", tracks.Options{}, place{"text", 5, 3, "tip_y", "1.5.2"}},
	{"text, lone CR", "time,tip_x,tip_y\r0,1,2\r0.1,1,x\r", tracks.Options{}, place{"text", 3, 3, "tip_y", "x"}},
	{"text, line ends in quotes", "time,note,tip_x,tip_y\n0,\"a\nb\r\nc\",1,2\n0.1,\"\",1,?\n", tracks.Options{}, place{"text", 5, 4, "tip_y", "?"}},
	{"text, runs of blanks", "time tip_x tip_y\n0  1  2\n1  oops  2\n", tracks.Options{}, place{"text", 3, 2, "tip_x", "oops"}},
	{"header again", head + "0,1,2\n" + head, tracks.Options{}, place{"text", 3, 1, "time", "time"}},
	{"number with unit", head + "0,12.5 px,2\n1,1,2\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "12.5 px"}},
	{"thousands", head + "0,\"1,234.5\",2\n1,1,2\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "1,234.5"}},
	{"decimal comma late", "time;tip_x;tip_y\n0;1.5;2\n1;1,5;2\n", tracks.Options{}, place{"text", 3, 2, "tip_x", "1,5"}},
	{"decimal point late", "time;tip_x;tip_y\n0;1,5;2\n1;1,5;2\n2;1.5;2\n", tracks.Options{}, place{"text", 4, 2, "tip_x", "1.5"}},
	{"time of day", head + "0:00:01.5,1,2\n0:00:02.5,1,2\n", tracks.Options{}, place{"text", 2, 1, "time", "0:00:01.5"}},
	{"hexadecimal", head + "0,0x10,1\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "0x10"}},
	{"underscore", head + "0,1_000,1\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "1_000"}},
	{"exponent cut off", head + "0,1e,1\n", tracks.Options{}, place{"text", 2, 2, "tip_x", "1e"}},
	{"infinity", head + "0,1,2\n1,1,-inf\n", tracks.Options{}, place{"infinite", 3, 3, "tip_y", "-inf"}},
	{"Infinity", head + "0,1,2\n1,Infinity,2\n", tracks.Options{}, place{"infinite", 3, 2, "tip_x", "Infinity"}},
	{"overflow", head + "0,1,2\n1,1,1e309\n", tracks.Options{}, place{"infinite", 3, 3, "tip_y", "1e309"}},
	{"infinite time", head + "0,1,2\ninf,1,2\n", tracks.Options{}, place{"infinite", 3, 1, "time", "inf"}},
	{"too few cells", head + "0,1,2\n1,1\n2,1,2\n", tracks.Options{}, place{"ragged", 3, 2, "tip_x", "1,1"}},
	{"too few cells in the first row", head + "0,1\n1,1,2\n2,1,2\n", tracks.Options{}, place{"ragged", 2, 2, "tip_x", "0,1"}},
	{"too many cells", head + "0,1,2\n1,1,2,,3\n", tracks.Options{}, place{"ragged", 3, 5, "", "3"}},
	{"header too short", "time,tip_x,tip_y\n0,1,2,3\n1,1,2,3\n", tracks.Options{}, place{"ragged", 2, 4, "", "3"}},
	{"header too long", "time,tip_x,tip_y,nut_x,nut_y\n0,1,2\n1,1,2\n", tracks.Options{}, place{"ragged", 2, 3, "tip_y", "0,1,2"}},
	{"header given too short", "0,1,2\n1,1,2\n", tracks.Options{Rate: 1, Header: []string{"tip_x", "tip_y"}}, place{"ragged", 1, 3, "", "2"}},
	{"last row cut off", head + "0,1,2\n1,1", tracks.Options{}, place{"truncated", 3, 2, "tip_x", "1,1"}},
	{"last row cut off, line end", head + "0,1,2\n1,1\n\n", tracks.Options{}, place{"truncated", 3, 2, "tip_x", "1,1"}},
	{"quote not closed", head + "0,1,2\n1,\"1,2\n2,1,2\n", tracks.Options{}, place{"quote", 3, 2, "tip_x", ""}},
	{"quote not closed in the header", "time,\"tip_x,tip_y\n0,1,2\n", tracks.Options{}, place{"quote", 1, 2, "", "tip_x,tip_y\n0,1,2\n"}},
	{"text behind a quote", head + "0,\"1\"2,2\n", tracks.Options{}, place{"quote", 2, 2, "tip_x", "1"}},
	{"text behind a quote, blanks", "time tip_x tip_y\n0 \"1\"2 2\n", tracks.Options{}, place{"quote", 2, 2, "tip_x", "1"}},

	// Time.
	{"time back", head + "0,1,2\n0.5,1,2\n0.25,1,2\n", tracks.Options{}, place{"time", 4, 1, "time", "0.25"}},
	{"time repeated", "tip_x,tip_y,time\n1,2,0\n\n1,2,0\n", tracks.Options{}, place{"time", 4, 3, "time", "0"}},
	{"time missing", head + "0,1,2\n,1,2\n", tracks.Options{}, place{"time", 3, 1, "time", ""}},
	{"first time missing", head + "nan,1,2\n1,1,2\n", tracks.Options{}, place{"time", 2, 1, "time", ""}},
	{"frames back", "frame,tip_x,tip_y\n5,1,2\n4,1,2\n", tracks.Options{Rate: 1}, place{"time", 3, 1, "frame", "4"}},
	{"milliseconds", head + "\n0,1,2\n4.17,1,2\n8.33,1,2\n", tracks.Options{}, place{Rule: "time-unit", Line: 4, Column: 1, Name: "time"}},
	{"times run together", head + "0,1,2\n1e-320,1,2\n", tracks.Options{SlowedBy: 1e300}, place{Rule: "time", Line: 3}},

	{"confidence", "time,tip_x,tip_y,tip_likelihood\n0,1,2,0.5\n# c\n1,1,2,87\n", tracks.Options{}, place{"confidence", 4, 4, "tip_likelihood", "87"}},

	// Options.
	{"rate", head, tracks.Options{Rate: -1}, place{Rule: "option"}},
	{"rate NaN", head, tracks.Options{Rate: math.NaN()}, place{Rule: "option"}},
	{"slowed", head, tracks.Options{SlowedBy: math.Inf(1)}, place{Rule: "option"}},
	{"time unit", head, tracks.Options{TimeUnit: "h"}, place{Rule: "option"}},
	{"separator", head, tracks.Options{Delimiter: 'x'}, place{Rule: "option"}},
	{"points twice", head, tracks.Options{Points: []string{"a", "a"}}, place{Rule: "option"}},
}

func TestErrors(t *testing.T) {
	for _, test := range faulty {
		t.Run(test.name, func(t *testing.T) {
			test.opts.Source = "take.csv"
			rec, err := tracks.Read(strings.NewReader(test.text), test.opts)
			if rec != nil {
				t.Error("a recording besides the error")
			}
			var e *tracks.Error
			if !errors.As(err, &e) {
				t.Fatalf("got %T: %v", err, err)
			}
			if diff := cmp.Diff(test.want, place{e.Rule, e.Line, e.Column, e.Name, e.Text}); diff != "" {
				t.Errorf("%v\n(-want +got)\n%s", err, diff)
			}
			if e.Msg == "" || e.Hint == "" || e.File != "take.csv" {
				t.Errorf("message, hint or file missing: %#v", e)
			}
			if s := err.Error(); strings.ContainsAny(s, "\n\r") || len(s) > 300 {
				t.Errorf("not one short line: %q", s)
			}
			t.Log(err)
		})
	}
}

// TestErrorLists checks that a message of a wide table stays short.
func TestErrorLists(t *testing.T) {
	var names, row []string
	for i := range 300 {
		names = append(names, fmt.Sprintf("m%d_x", i), fmt.Sprintf("m%d_y", i))
		row = append(row, "1", "2")
	}
	text := strings.Join(names, ",") + "\n" + strings.Join(row, ",") + "\n"
	_, err := tracks.Read(strings.NewReader(text), tracks.Options{})
	if s := err.Error(); len(s) > 300 || !strings.Contains(s, `"m5_y" and 588 more`) {
		t.Errorf("got %s", s)
	}
}

func TestErrorOneLine(t *testing.T) {
	e := &tracks.Error{File: "a\nb", Line: 3, Column: 2, Name: "tip\rx", Rule: "text",
		Text: strings.Repeat("ä", 100), Msg: "this is not a number", Hint: "fix it"}
	want := `tracks: a b, line 3, column 2 (tip x): "ääääääääääääääääääää…": this is not a number; fix it`
	if got := e.Error(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestReaderFails(t *testing.T) {
	broken := errors.New("broken pipe")
	for _, n := range []int{0, 10, 1 << 17} {
		text := head + strings.Repeat(" \n", n/2)
		r := io.MultiReader(strings.NewReader(text), iotest.ErrReader(broken))
		_, err := tracks.Read(r, tracks.Options{})
		var e *tracks.Error
		if !errors.Is(err, broken) || !errors.As(err, &e) || e.Rule != "read" {
			t.Errorf("after %d bytes: got %v", n, err)
		}
	}
	r := io.MultiReader(strings.NewReader(head+"0,1,2\n"+strings.Repeat("\n", 1<<20)), iotest.ErrReader(broken))
	if _, err := tracks.Read(r, tracks.Options{}); !errors.Is(err, broken) {
		t.Errorf("in the rows: got %v", err)
	}
	for _, f := range []func(string) error{
		func(name string) error { _, err := tracks.ReadFile(name, tracks.Options{}); return err },
		func(name string) error { _, err := tracks.InspectFile(name); return err },
	} {
		err := f(filepath.Join(t.TempDir(), "none.csv"))
		var e *tracks.Error
		if !errors.Is(err, fs.ErrNotExist) || !errors.As(err, &e) || e.Rule != "read" {
			t.Errorf("no such file: got %v", err)
		}
	}
}

func TestLongLine(t *testing.T) {
	const mb = 1 << 20
	cell := "," + strings.Repeat("x", mb)
	for _, test := range []struct {
		name, text string
		want       place
	}{
		{"in a row", "time,tip_x,tip_y,note\n0,1,2,\n1,1,2" + cell + cell + "\n", place{Rule: "long-line", Line: 3}},
		{"in a comment", head + "0,1,2\n#" + cell + cell + "\n", place{Rule: "long-line", Line: 3}},
		{"in quotes", "time,tip_x,tip_y,note\n0,1,2,\n1,1,2,\"" + strings.Repeat("0,1,2,\n", mb/3), place{"quote", 3, 4, "note", ""}},
		{"of prose", strings.Repeat("no line end ", mb/4), place{Rule: "prose", Line: 1}},
	} {
		_, err := tracks.Read(strings.NewReader(test.text), tracks.Options{})
		var e *tracks.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: got %v", test.name, err)
			continue
		}
		if test.want.Rule == "prose" {
			e.Text = ""
		}
		if diff := cmp.Diff(test.want, place{e.Rule, e.Line, e.Column, e.Name, e.Text}); diff != "" {
			t.Errorf("%s: %v\n(-want +got)\n%s", test.name, err, diff)
		}
	}
	// Just under the bound is no fault.
	text := "time,tip_x,tip_y,note\n0,1,2,\n1,1,2," + strings.Repeat("x", mb-20) + "\n"
	if _, err := tracks.Read(strings.NewReader(text), tracks.Options{}); err != nil {
		t.Errorf("under the bound: %v", err)
	}
}

func TestWriteErrors(t *testing.T) {
	rec := func(f func(r *trajectory.Recording)) *trajectory.Recording {
		ts := []float64{0, 1}
		r := &trajectory.Recording{Unit: "mm", T: ts, Points: []trajectory.Path{
			{Name: "tip", T: ts, X: []float64{1, 2}, Y: []float64{3, 4}, Confidence: []float64{0, 1}},
			{Name: "nut", T: ts, X: []float64{1, 2}, Y: []float64{3, 4}, Z: []float64{5, 6}}}}
		f(r)
		return r
	}
	for _, test := range []struct {
		name string
		rec  *trajectory.Recording
		opts tracks.WriteOptions
	}{
		{"no points", rec(func(r *trajectory.Recording) { r.Points = nil }), tracks.WriteOptions{}},
		{"same name", rec(func(r *trajectory.Recording) { r.Points[1].Name = "tip" }), tracks.WriteOptions{}},
		{"no name", rec(func(r *trajectory.Recording) { r.Points[1].Name = "" }), tracks.WriteOptions{}},
		{"blank at the end", rec(func(r *trajectory.Recording) { r.Points[1].Name = "nut " }), tracks.WriteOptions{}},
		{"line end", rec(func(r *trajectory.Recording) { r.Points[1].Name = "n\nut" }), tracks.WriteOptions{}},
		{"unit", rec(func(r *trajectory.Recording) { r.Unit = "furlong" }), tracks.WriteOptions{Units: true}},
		{"short", rec(func(r *trajectory.Recording) { r.Points[1].Z = r.Points[1].Z[:1] }), tracks.WriteOptions{}},
		{"infinite", rec(func(r *trajectory.Recording) { r.Points[0].Y[1] = math.Inf(1) }), tracks.WriteOptions{}},
		{"confidence", rec(func(r *trajectory.Recording) { r.Points[0].Confidence[1] = 1.5 }), tracks.WriteOptions{}},
		{"time back", rec(func(r *trajectory.Recording) { r.T[1] = 0 }), tracks.WriteOptions{}},
		{"time missing", rec(func(r *trajectory.Recording) { r.T[0] = math.NaN() }), tracks.WriteOptions{}},
		{"time rounded", rec(func(r *trajectory.Recording) { r.T[1] = 0.004 }), tracks.WriteOptions{TimeDecimals: 2}},
	} {
		var b bytes.Buffer
		err := tracks.Write(&b, test.rec, test.opts)
		var e *tracks.Error
		if !errors.As(err, &e) || e.Rule != "recording" || e.Hint == "" {
			t.Errorf("%s: got %v", test.name, err)
		}
		if b.Len() > 0 {
			t.Errorf("%s: something was written", test.name)
		}
	}
	full := errors.New("disk full")
	err := tracks.Write(failing{full}, rec(func(*trajectory.Recording) {}), tracks.WriteOptions{})
	if !errors.Is(err, full) {
		t.Errorf("failing writer: got %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
