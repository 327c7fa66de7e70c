package progress_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/plectrace/plectrace/motion/progress"
)

func day(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

// twoTakes is the list that the tables below write in many ways.
var twoTakes = []progress.Take{
	{Player: "P01", Date: day(2024, 3, 5), Session: "1", Take: "1", File: "a.csv", Setup: "bench", StoppedBy: "timer", Grip: "flat", Comfort: progress.ComfortGood, Line: 2},
	{Player: "P01", Date: time.Date(2024, 3, 5, 17, 30, 0, 0, time.UTC), Session: "1", Take: "2", File: "b, late.csv", Comfort: progress.ComfortPain, Line: 3},
}

const plain = "player,date,session,take,file,setup,stopped_by,grip,comfort\n" +
	"P01,2024-03-05,1,1,a.csv,bench,timer,flat,good\n" +
	"P01,2024-03-05T17:30,1,2,\"b, late.csv\",,,,pain\n"

// TestReadRosterDialects: however a spreadsheet saves the list, it reads alike.
func TestReadRosterDialects(t *testing.T) {
	semicolons := strings.ReplaceAll(strings.ReplaceAll(plain, ",", ";"), "b; late", "b, late")
	tabs := strings.ReplaceAll(semicolons, ";", "\t")
	for _, c := range []struct {
		name, text string
		skipped    int // lines before the header
	}{
		{"commas", plain, 0},
		{"semicolons", semicolons, 0},
		{"tabs", tabs, 0},
		{"byte order mark", "\ufeff" + plain, 0},
		{"CRLF", strings.ReplaceAll(plain, "\n", "\r\n"), 0},
		{"CR alone", strings.ReplaceAll(plain, "\n", "\r"), 0},
		{"no last line end", strings.TrimSuffix(plain, "\n"), 0},
		{"separator named", "sep=;\r\n" + strings.ReplaceAll(semicolons, "\n", "\r\n"), 1},
		{"empty lines before", "\n\n" + plain, 2},
		{"empty lines and cells after", plain + "\n,,,,,,,,\n  \n", 0},
		{"empty cells beyond the header", strings.ReplaceAll(plain, ",good", ",good,,"), 0},
		{"names in any case", strings.Replace(strings.Replace(plain, "stopped_by", " Stopped By ", 1), "setup", "Set-up", 1), 0},
		{"space about cells", strings.ReplaceAll(plain, ",bench,", " , bench ,"), 0},
		{"comfort in any case", strings.Replace(plain, "pain", "Pain", 1), 0},
		{"space for T", strings.Replace(plain, "05T17:30", "05 17:30", 1), 0},
		{"seconds and zone", strings.Replace(plain, "05T17:30", "05T17:30:00Z", 1), 0},
		{"a column without name or content", strings.ReplaceAll(strings.Replace(plain, "comfort\n", "comfort,\n", 1), "good\n", "good,\n"), 0},
	} {
		if c.name == "a column without name or content" {
			c.text = strings.Replace(c.text, ",pain\n", ",pain,\n", 1)
		}
		r, err := progress.ReadRoster(strings.NewReader(c.text), "takes.csv")
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		want := append([]progress.Take(nil), twoTakes...)
		for i := range want {
			want[i].Line += c.skipped
		}
		if d := cmp.Diff(want, r.Takes); d != "" || len(r.Columns) != 0 || len(r.Notes) != 0 {
			t.Errorf("%s: columns %q, notes %q, takes (-want +got):\n%s", c.name, r.Columns, r.Notes, d)
		}
	}
}

// TestReadRosterErrors: each says where, what was read, and what to do.
func TestReadRosterErrors(t *testing.T) {
	const head = "player,date,take,file,comfort\n"
	many := strings.Repeat("x,", 300)
	for _, c := range []struct {
		name, text   string
		rule         string
		line, column int
		says         []string
	}{
		{"nothing", "", "empty", 0, 0, []string{"takes.csv", "write a header"}},
		{"space alone", " \n\r\n", "empty", 0, 0, nil},
		{"separator and nothing", "sep=;\n", "empty", 0, 0, nil},
		{"a header alone", head, "empty", 0, 0, []string{"no take follows"}},
		{"no player", "date,file\n2024-03-05,a.csv\n", "header", 1, 0, []string{`no column "player"`, "begin the list with"}},
		{"no file", "\nplayer,date\nP01,2024-03-05\n", "header", 2, 0, []string{`no column "file"`}},
		{"a column twice", "player,file,Player\nP01,a,P02\n", "duplicate", 1, 3, []string{"column 1 has that name"}},
		{"a further column twice", "player,file,pick mm,pick_mm\nP01,a,1,2\n", "duplicate", 1, 4, nil},
		{"a column without a name", "player,file,\nP01,a,1\n", "header", 2, 3, []string{`"1"`, "name it in the header"}},
		{"too few cells", head + "P01,2024-03-05,1,a.csv\n", "ragged", 2, 0, []string{"4 cells where the header has 5"}},
		{"too many cells", head + "P01,2024-03-05,1,a.csv,good,x\n", "ragged", 2, 0, []string{"6 cells"}},
		{"no code", head + ",2024-03-05,1,a.csv,good\n", "missing", 2, 1, []string{"(player)", "every line needs a player"}},
		{"no export", head + "P01,2024-03-05,1,,good\n", "missing", 2, 4, []string{"every line needs a file"}},
		{"day first", head + "P01,05.03.2024,1,a.csv,good\n", "date", 2, 2, []string{`"05.03.2024"`, "(date)", "2024-03-05"}},
		{"month first", head + "P01,3/5/2024,1,a.csv,good\n", "date", 2, 2, []string{`"3/5/2024"`}},
		{"no such day", head + "P01,2024-02-30,1,a.csv,good\n", "date", 2, 2, nil},
		{"a year cut off", head + "P01,0024-02-03,1,a.csv,good\n", "date", 2, 2, nil},
		{"a serial number", head + "P01,45356,1,a.csv,good\n", "date", 2, 2, nil},
		{"comfort", head + "P01,2024-03-05,1,a.csv,fine\n", "comfort", 2, 5, []string{`"fine"`, "good, tired and pain"}},
		{"a quote left open", head + "P01,2024-03-05,1,\"a.csv,good\n", "quote", 2, 0, []string{"not closed"}},
		{"a quote within", head + "P01,2024-03-05,1,a\"b.csv,good\n", "quote", 2, 0, nil},
		{"a file twice", head + "P01,2024-03-05,1,a.csv,\nP01,2024-03-06,1,a.csv,\n", "duplicate", 3, 0, []string{"same file as line 2"}},
		{"a take twice", head + "P01,2024-03-05,1,a.csv,\nP01,2024-03-05T10:00,1,b.csv,\n", "duplicate", 3, 0, []string{"same take", "line 2", "take"}},
		{"UTF-16", "\xff\xfep\x00", "binary", 0, 0, []string{"UTF-16", "CSV UTF-8"}},
		{"not UTF-8", head + "P01,2024-03-05,1,a\xe4.csv,\n", "binary", 2, 0, []string{"CSV UTF-8"}},
		{"no text", head + "\x00\x01", "binary", 0, 0, nil},
		{"too many columns", "player,file," + many + "\n", "size", 1, 0, nil},
	} {
		_, err := progress.ReadRoster(strings.NewReader(c.text), "takes.csv")
		var e *progress.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: %v, want an *Error", c.name, err)
			continue
		}
		if e.Rule != c.rule || e.Line != c.line || e.Column != c.column || e.File != "takes.csv" || e.Hint == "" {
			t.Errorf("%s: %+v, want rule %q at line %d, column %d, and what to do", c.name, *e, c.rule, c.line, c.column)
		}
		for _, s := range c.says {
			if !strings.Contains(err.Error(), s) {
				t.Errorf("%s: %q does not say %q", c.name, err, s)
			}
		}
	}
}

func TestReadRosterReader(t *testing.T) {
	broken := errors.New("the disk is gone")
	if _, err := progress.ReadRoster(iotest.ErrReader(broken), "takes.csv"); !errors.Is(err, broken) {
		t.Errorf("%v, want the reader's own error within", err)
	}
	if _, err := progress.ReadRoster(io.LimitReader(endless{}, 1<<30), "takes.csv"); err == nil || !strings.Contains(err.Error(), "16 MiB") {
		t.Errorf("a file without end: %v", err)
	}
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = 'a'
	}
	return len(b), nil
}

// TestRosterRoundTrip: what is written reads back alike, further columns too.
func TestRosterRoundTrip(t *testing.T) {
	r := progress.Roster{Columns: []string{"pick mm", "note, long", "=1+1"}, Takes: append([]progress.Take(nil), twoTakes...)}
	r.Takes[0].Extra = []string{"0.88", `says "more", twice`, "-0.5"}
	r.Takes[1].Extra = []string{"", "two\nlines", "'@it's"}
	zone := time.FixedZone("", 3600*5+1800)
	r.Takes = append(r.Takes,
		progress.Take{Player: "=P02", File: "-c.csv", Extra: []string{"", "", ""}, Date: time.Date(2024, 3, 6, 0, 0, 0, 0, zone)},
		progress.Take{Player: "P02", File: "d.csv", Extra: []string{"", "", ""}, Date: time.Date(2024, 3, 6, 9, 8, 7, 0, time.UTC), Comfort: progress.ComfortTired},
		progress.Take{Player: "P02", File: "e.csv", Extra: []string{"", "", ""}})
	var b bytes.Buffer
	if err := progress.WriteRoster(&b, r); err != nil {
		t.Fatal(err)
	}
	for _, guarded := range []string{",'=1+1\n", ",-0.5\n", ",''@it's\n", "\n'=P02,", ",'-c.csv,"} { // for spreadsheets
		if !strings.Contains(b.String(), guarded) {
			t.Errorf("there is no %q in\n%s", guarded, b.String())
		}
	}
	back, err := progress.ReadRoster(&b, "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range back.Takes {
		back.Takes[i].Line = 0
		r.Takes[i].Line = 0
	}
	byInstant := cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) && a.Format(time.RFC3339) == b.Format(time.RFC3339) })
	if d := cmp.Diff(r.Takes, back.Takes, byInstant); d != "" || cmp.Diff(r.Columns, back.Columns) != "" {
		t.Errorf("columns %q, takes (-want +got):\n%s", back.Columns, d)
	}
}

// TestWriteRosterErrors: what could not be read back is not written.
func TestWriteRosterErrors(t *testing.T) {
	ok := progress.Take{Player: "P01", File: "a.csv"}
	with := func(change func(*progress.Take)) progress.Roster {
		t := ok
		change(&t)
		return progress.Roster{Takes: []progress.Take{t}}
	}
	for _, c := range []struct {
		name string
		r    progress.Roster
		rule string
	}{
		{"no player", with(func(t *progress.Take) { t.Player = " " }), "missing"},
		{"no file", with(func(t *progress.Take) { t.File = "" }), "missing"},
		{"no such comfort", with(func(t *progress.Take) { t.Comfort = 9 }), "comfort"},
		{"a cell too many", with(func(t *progress.Take) { t.Extra = []string{"1"} }), "ragged"},
		{"a further column that is known", progress.Roster{Columns: []string{"Take"}, Takes: []progress.Take{ok}}, "duplicate"},
		{"a take twice", progress.Roster{Takes: []progress.Take{ok, ok}}, "duplicate"},
	} {
		var b bytes.Buffer
		var e *progress.Error
		if err := progress.WriteRoster(&b, c.r); !errors.As(err, &e) || e.Rule != c.rule || b.Len() > 0 {
			t.Errorf("%s: %v with %d bytes written, want rule %q and none", c.name, err, b.Len(), c.rule)
		}
	}
	if err := progress.WriteRoster(failing{}, with(func(*progress.Take) {})); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("%v, want the writer's own error within", err)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// TestRosterOrder: by the clock of the place, in the list's order within a
// moment, without a date last.
func TestRosterOrder(t *testing.T) {
	east := time.FixedZone("", 12*3600)
	r := progress.Roster{Takes: []progress.Take{
		{Player: "P02", File: "no date"},
		{Player: "P01", File: "second", Date: day(2024, 3, 6)},
		{Player: "P01", File: "last", Date: time.Date(2024, 3, 6, 10, 0, 0, 0, east)}, // 22:00 the day before in UTC
		{Player: "P01", File: "third", Date: day(2024, 3, 6)},
		{Player: "P01", File: "first", Date: time.Date(2024, 3, 5, 23, 0, 0, 0, time.UTC)},
	}}
	var got []string
	for _, x := range r.Order() {
		got = append(got, x.File)
	}
	if d := cmp.Diff([]string{"first", "second", "third", "last", "no date"}, got); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"P02", "P01"}, r.Players()); d != "" {
		t.Error(d)
	}
	if own := r.Of("P01"); len(own) != 4 || own[0].File != "first" || own[3].File != "last" {
		t.Errorf("takes of P01: %v", own)
	}
	if r.Takes[0].File != "no date" {
		t.Error("Order changed the list")
	}
}

// TestRosterNotes: names of people, and one code in two spellings.
func TestRosterNotes(t *testing.T) {
	for _, c := range []struct {
		players string
		notes   []string
	}{
		{"P01 P02", nil},
		{"Ann,Example Ann,Example", []string{"looks like a person's name"}},
		{"P,01", nil},
		{"P01 p-01", []string{"two players"}},
	} {
		text := "player,file\n"
		for i, p := range strings.Fields(c.players) {
			text += fmt.Sprintf("%s,%d.csv\n", strings.ReplaceAll(p, ",", " "), i)
		}
		r, err := progress.ReadRoster(strings.NewReader(text), "")
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Notes) != len(c.notes) {
			t.Errorf("%q: notes %q", c.players, r.Notes)
			continue
		}
		for i, s := range c.notes {
			if !strings.Contains(r.Notes[i], s) {
				t.Errorf("%q: note %q, want %q in it", c.players, r.Notes[i], s)
			}
		}
	}
}

// FuzzReadRoster: whatever comes, there is a roster that writes and reads back
// alike, or an *Error.
func FuzzReadRoster(f *testing.F) {
	for _, s := range []string{plain, "", "sep=;\nplayer;file\nP;\"\"\"\"\n", "\ufeffplayer\tfile\r\nP\tx", "player,file,a\nP,x,\"1\r\n2\"", "player,file,'=a\n'-P,'@x,\"'\t\""} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := progress.ReadRoster(bytes.NewReader(data), "takes.csv")
		if err != nil {
			var e *progress.Error
			if !errors.As(err, &e) || strings.ContainsAny(err.Error(), "\r\n") {
				t.Fatalf("%v", err)
			}
			return
		}
		var b bytes.Buffer
		if err := progress.WriteRoster(&b, r); err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		back, err := progress.ReadRoster(bytes.NewReader(b.Bytes()), "takes.csv")
		if err != nil || len(back.Takes) != len(r.Takes) || cmp.Diff(r.Columns, back.Columns) != "" {
			t.Fatalf("%v: %d takes of %d, columns %q of %q", err, len(back.Takes), len(r.Takes), back.Columns, r.Columns)
		}
		for i, a := range r.Takes {
			z := back.Takes[i]
			a.Line, z.Line = 0, 0
			if d := cmp.Diff(a, z, cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) })); d != "" {
				t.Fatal(d)
			}
		}
	})
}
