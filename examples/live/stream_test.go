package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/examples/internal/clitest"
	"github.com/plectrace/plectrace/motion/live"
)

// part are the header and rows of an export from one time to another.
func part(export string, from, to int) string {
	all := strings.SplitAfter(export, "\n")
	return strings.Join(append([]string{all[0]}, all[1+from:1+to]...), "")
}

// TestGap: a time without samples is told, and no stroke is made up in it.
func TestGap(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	all := strings.SplitAfter(export, "\n")
	hole := strings.Join(slices.Concat(all[:1200], all[1680:]), "") // two seconds at 240 frames/s
	got := call(strings.NewReader(hole), "-settings", "s.take.json", "-json", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	told := false
	for _, l := range events(t, got.out) {
		switch {
		case (l.Event == live.Gap.String() || l.Event == live.Pause.String()) && float64(*l.Seconds) > 1.5:
			told = true
		case l.Event == live.Final.String() && float64(l.Stroke.Start) > 5.3 && float64(l.Stroke.End) < 6.7:
			t.Errorf("a stroke from %v to %v s lies in the gap", l.Stroke.Start, l.Stroke.End)
		}
	}
	if !told {
		t.Error("no event tells of the gap")
	}
}

// TestBadLines: lines that cannot be read are told with their number, and change
// nothing else.
func TestBadLines(t *testing.T) {
	export, settings := bundled(t, "tutor")
	all := strings.SplitAfter(part(export, 0, 1500), "\n")
	last := all[900]
	back := strings.Replace(all[500], strings.SplitN(all[500], ",", 2)[0], "-7", 1)
	inserted := []struct{ text, why string }{
		{"hello\n", "no row of numbers"},
		{"\n", ""},
		{"# a remark\n", ""},
		{strings.Replace(last, ",", ",,", 1), "not as many cells as the header"},
		{strings.TrimSpace(last) + ",x\n", "not as many cells as the header"},
		{last, "was there already"},
		{all[899], "lies behind"},
		{back, "lies far back"},
		{"\xff\xfe\x00\n", "no row of numbers"},
		{all[0], ""}, // the header again
		{strings.Repeat("9", longest+5) + "\n", "longer than"},
		{"\x1b[31m\n", "no row of numbers"},
	}
	var text strings.Builder
	for i, l := range all {
		text.WriteString(l)
		if i == 900 {
			for _, b := range inserted {
				text.WriteString(b.text)
			}
		}
	}
	t.Chdir(t.TempDir())
	clitest.Save(t, "s.take.json", settings)
	got := call(strings.NewReader(text.String()), "-settings", "s.take.json", "-out", "o", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	n := 0
	for i, b := range inserted {
		said := "line " + strconv.Itoa(902+i) + " is left out: "
		_, said, told := strings.Cut(got.complaints, said)
		said, _, _ = strings.Cut(said, "\n")
		if told {
			n++
		}
		if told != (b.why != "") || !strings.Contains(said, b.why) {
			t.Errorf("line %d: %q does not say %q", 902+i, said, b.why)
		}
	}
	if strings.Count(got.complaints, "\n") != n || strings.ContainsAny(got.complaints, "\x1b\x00") {
		t.Errorf("complaints %q", got.complaints)
	}
	clitest.WantAll(t, "the program", got.out, strconv.Itoa(n)+" lines could not be used and left out; the first was line 902")
	want := strokesCSV(t, offline(t, strings.Join(all, ""), settings))
	if diff := clitest.Differs(want, clitest.Read(t, "o/strokes.csv")); diff != "" {
		t.Error(diff)
	}
}

// TestBadFirstLines: lines that are left out before the first sample are told too, as
// events below the one that says what comes.
func TestBadFirstLines(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	good := strings.SplitAfter(objects(t, part(export, 0, 1500)), "\n")
	text := regexp.MustCompile(`"tip_x":[^,}]+`).ReplaceAllString(good[0], `"tip_x":[1]`) + "{\n" + strings.Join(good[2:], "")
	got := call(strings.NewReader(text), "-settings", "s.take.json", "-json", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	clitest.WantAll(t, "the complaints", got.complaints, `line 1 is left out: "tip_x" is no number`, "line 2 is left out: it is not a JSON object")
	all := events(t, got.out)
	if all[0].Event != "begin" || all[1].Line != 1 || all[2].Line != 2 {
		t.Errorf("it begins with %+v, %+v, %+v", all[0], all[1], all[2])
	}
}

// TestManyBadLines: after twenty they are counted.
func TestManyBadLines(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	got := call(strings.NewReader(part(export, 0, 1000)+strings.Repeat("hello\n", 100)), "-settings", "s.take.json", "-out", "o", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	if n := strings.Count(got.complaints, "\n"); n != most+1 {
		t.Errorf("%d complaints", n)
	}
	clitest.WantAll(t, "the program", got.out, "100 lines could not be used")
}

// slow gives its text, then waits for an interrupt to have been sent, and for ever.
type slow struct {
	text io.Reader
	sent func()
}

func (s *slow) Read(b []byte) (int, error) {
	n, err := s.text.Read(b)
	if err == io.EOF {
		s.sent()
		select {}
	}
	return n, err
}

// TestInterrupt: Ctrl-C ends with the whole folder of what was heard.
func TestInterrupt(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	interrupt := make(chan os.Signal, 1)
	in := &slow{strings.NewReader(part(export, 0, 2400)), func() { interrupt <- os.Interrupt }}
	var out bytes.Buffer
	if err := runWith([]string{"-settings", "s.take.json", "-notebook", "-out", "o", "-"}, in, &out, io.Discard, interrupt); err != nil {
		t.Fatal(err)
	}
	clitest.WantAll(t, "the program", out.String(), "The take was ended by hand after", "Written: o with page.html")
	var got []string
	for name := range clitest.Tree(t, "o") {
		got = append(got, name)
	}
	slices.Sort(got)
	if want := []string{"details.html", "live.html", "notebook.ipynb", "page.html", "review.json", "spans.csv", "strokes.csv"}; !slices.Equal(got, want) {
		t.Errorf("the folder holds %q", got)
	}
	if tree := clitest.Tree(t, "."); len(tree) != len(got)+2 {
		t.Errorf("something is left behind: %d files", len(tree))
	}
}

// TestInterruptBeforeAnything: nothing is written of nothing.
func TestInterruptBeforeAnything(t *testing.T) {
	t.Chdir(t.TempDir())
	interrupt := make(chan os.Signal, 1)
	err := runWith([]string{"-"}, &slow{strings.NewReader(""), func() { interrupt <- os.Interrupt }}, io.Discard, io.Discard, interrupt)
	if cli.Code(err) != cli.BadInput || !strings.Contains(err.Error(), "no sample came") {
		t.Error(err)
	}
	if tree := clitest.Tree(t, "."); len(tree) > 0 {
		t.Errorf("files are written: %v", tree)
	}
}

// broken fails after its text.
type broken struct{ io.Reader }

func (b broken) Read(p []byte) (int, error) {
	n, err := b.Reader.Read(p)
	if err == io.EOF {
		err = errors.New("the cable is out")
	}
	return n, err
}

// TestBrokenInput: what came before is reviewed, and the failure told.
func TestBrokenInput(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	got := call(broken{strings.NewReader(part(export, 0, 1500))}, "-settings", "s.take.json", "-out", "o", "-")
	if cli.Code(got.err) != cli.BadInput {
		t.Fatal(got.err)
	}
	clitest.WantAll(t, "the message", got.err.Error(), "line 1501", "the cable is out")
	clitest.WantAll(t, "the program", got.out, "Written: o with page.html")
}

// TestReplayKeepsTime: at speed 10, 20 s take 2 s at least.
func TestReplayKeepsTime(t *testing.T) {
	t.Chdir(t.TempDir())
	began := time.Now()
	if got := call(nil, "-speed", "10", "-json"); got.err != nil {
		t.Fatal(got.err)
	}
	if lasts := time.Since(began).Seconds(); lasts < 1.95 {
		t.Errorf("it took %.2f s", lasts)
	}
}

// TestRest: the prompt comes after the minutes that were asked for, with its caution.
func TestRest(t *testing.T) {
	t.Chdir(t.TempDir())
	got := call(nil, "-rest", "0.1", "-out", "o")
	if got.err != nil {
		t.Fatal(got.err)
	}
	clitest.WantAll(t, "the program", got.out, "time for a rest", live.Caution)
	if never := call(nil, "-rest", "0", "-out", "p"); never.err != nil || strings.Contains(never.out, "rest:") {
		t.Error(never.err, never.out)
	}
}

// TestPain: where pain was felt the page says to stop, and gives nothing to work on.
func TestPain(t *testing.T) {
	t.Chdir(t.TempDir())
	got := call(nil, "-comfort", "pain", "-task", "one-string")
	if got.err != nil {
		t.Fatal(got.err)
	}
	page := clitest.Visible(clitest.Read(t, "demo-live-review/page.html"))
	clitest.WantAll(t, "the page", page, "Stop first", "Pain was noted")
	if strings.Contains(page, "What to work on") || strings.Contains(got.out, "To work on") {
		t.Error("it gives something to work on")
	}
}

// TestRowsAreCounted: without times the rate of the settings tells them.
func TestRowsAreCounted(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	var b strings.Builder
	for l := range strings.Lines(export) {
		_, rest, _ := strings.Cut(l, ",")
		b.WriteString(rest)
	}
	got := call(strings.NewReader(b.String()), "-settings", "s.take.json", "-out", "o", "-")
	if got.err != nil {
		t.Fatal(got.err)
	}
	if n, want := strings.Count(clitest.Read(t, "o/strokes.csv"), "\n"), strings.Count(strokesCSV(t, offline(t, export, settings)), "\n"); n != want {
		t.Errorf("%d strokes, want %d", n-1, want-1)
	}
}

// TestLongClock: times that count from long ago count from the first sample.
func TestLongClock(t *testing.T) {
	t.Chdir(t.TempDir())
	export, settings := bundled(t, "tutor")
	clitest.Save(t, "s.take.json", settings)
	head, rows, _ := strings.Cut(part(export, 0, 2000), "\n")
	var b strings.Builder
	b.WriteString(head + "\n")
	for l := range strings.Lines(rows) {
		at, rest, _ := strings.Cut(l, ",")
		whole, tenths, _ := strings.Cut(at, ".")
		b.WriteString("179600000" + whole + "." + tenths + "0," + rest)
	}
	got := call(strings.NewReader(b.String()), "-settings", "s.take.json", "-out", "o", "-")
	if got.err != nil || got.complaints != "" {
		t.Fatal(got.err, got.complaints)
	}
	clitest.WantAll(t, "the program", got.out, "Times count from the first sample.")
}
