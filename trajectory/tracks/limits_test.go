package tracks_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/trajectory/tracks"
)

// endless is a reader of a text that comes again and again, n bytes of it. It tells
// how many were taken.
type endless struct {
	text  string
	n, at int
}

func (e *endless) Read(p []byte) (int, error) {
	if e.at >= e.n {
		return 0, io.EOF
	}
	got := 0
	for got < min(len(p), 4096) && e.at < e.n {
		k := copy(p[got:min(len(p), got+e.n-e.at)], e.text[e.at%len(e.text):])
		got, e.at = got+k, e.at+k
	}
	return got, nil
}

// TestMaxNumbers reads up to the limit, and no further: of a text, and of a C3D
// file, with and without a length to go by.
func TestMaxNumbers(t *testing.T) {
	three := twoPoints(c3dFile{})
	for len(three.frames) < 40 {
		three.frames = append(three.frames, three.frames[0])
	}
	c3d := string(three.bytes())
	rows := "tip_x,tip_y\n" + strings.Repeat("1,2\n", 40)
	hollow := "t,tip_x,tip_y\n0,1,2\n1,1,2\n2,1,2\n,,\n,,\n" // rows of separators do not count
	for _, c := range []struct {
		name, text string
		most       int
		samples    int // 0 is too many
	}{
		{"text, as many", rows, 80, 40},
		{"text, one more", rows, 79, 0},
		{"text, far more", rows, 2, 0},
		{"text, not one row", rows, 1, 0},
		{"text, no limit", rows, -1, 40},
		{"hollow rows", hollow, 9, 3},
		{"a row too many", hollow, 8, 0},
		{"c3d, as many", c3d, 40 * 7, 40},
		{"c3d, one more", c3d, 40*7 - 1, 0},
		{"c3d, no limit", c3d, -1, 40},
	} {
		for _, r := range []io.Reader{strings.NewReader(c.text), struct{ io.Reader }{strings.NewReader(c.text)}} {
			rec, err := tracks.Read(r, tracks.Options{Rate: 240, MaxNumbers: c.most})
			var e *tracks.Error
			switch {
			case c.samples > 0 && (err != nil || len(rec.T) != c.samples):
				t.Errorf("%s: %v, want %d samples", c.name, err, c.samples)
			case c.samples == 0 && (!errors.As(err, &e) || e.Rule != "size" || e.Line == 0 && e.Offset == 0 || e.Hint == ""):
				t.Errorf("%s: %v, want an error of the size", c.name, err)
			case err != nil:
				t.Log(err)
			}
		}
	}
}

// TestEndless: what has no end, or no line end, is refused by its beginning, or where
// the limit is reached, in little memory.
func TestEndless(t *testing.T) {
	const (
		gigabyte = 1 << 30
		most     = 1 << 16 // numbers
		head     = "time,tip_x,tip_y\n0,1,2\n1,2,3\n"
	)
	if testing.Short() {
		t.Skip("slow: texts of 1 GiB")
	}
	for _, c := range []struct {
		name, head, text string
		rule             string
		taken            int // bytes at most
	}{
		{"zeros", "", "\x00", "binary", 1 << 17},
		{"a line of numbers", "", "1,2,3,", "prose", 2 << 20},
		{"a line of axes", "", "x,y,", "prose", 2 << 20},
		{"a line of words", "", "a time - (s) x.", "prose", 2 << 20},
		{"a line of separators", "", ",", "prose", 2 << 20},
		{"a line of quotes", "", `""`, "prose", 2 << 20},
		{"a quote", `"`, "a,b\n", "prose", 2 << 20},
		{"a quote below", head + `2,"`, "1\n", "quote", 4 << 20},
		{"blank lines", "", "\r\n", "prose", 2 << 20},
		{"comments", "", "# a line\n", "prose", 2 << 20},
		{"lines above", strings.Repeat("a line\n", 200) + head, "4", "prose", 2 << 20},
		{"a line below", head, "4", "long-line", 4 << 20},
		{"a comment below", head + "#", " no end", "long-line", 4 << 20},
		{"rows", "tip_x,tip_y\n", "1.25,2.5\n", "size", most/2*9 + 1<<19},
		{"zeros below", head, "\x00", "binary", 1 << 17},
	} {
		in := &endless{text: c.text, n: gigabyte}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := tracks.Read(io.MultiReader(strings.NewReader(c.head), in), tracks.Options{Rate: 240, MaxNumbers: most})
		runtime.ReadMemStats(&after)
		var e *tracks.Error
		if !errors.As(err, &e) || e.Rule != c.rule {
			t.Errorf("%s: %v, want an error %q", c.name, err, c.rule)
		}
		if in.at > c.taken {
			t.Errorf("%s: %d bytes are read for that, more than %d", c.name, in.at, c.taken)
		}
		allocated := after.TotalAlloc - before.TotalAlloc
		if allocated > 512<<20 {
			t.Errorf("%s: %d MiB are allocated", c.name, allocated>>20)
		}
		t.Logf("%s: %d bytes read, %d KiB allocated: %v", c.name, in.at, allocated>>10, err)
	}
}

// TestWide: a table takes time by its cells, not by the square of its columns.
func TestWide(t *testing.T) {
	wide := func(points int) string {
		var b strings.Builder
		b.WriteString("time")
		for i := range points {
			fmt.Fprintf(&b, ",p%[1]d_x,p%[1]d_y", i)
		}
		b.WriteString("\n0" + strings.Repeat(",1,2", points) + "\n")
		return b.String()
	}
	read := func(text string) time.Duration {
		fastest := time.Duration(math.MaxInt64)
		for range 3 {
			began := time.Now()
			if _, err := tracks.Read(strings.NewReader(text), tracks.Options{}); err != nil {
				t.Fatal(err)
			}
			fastest = min(fastest, time.Since(began))
		}
		return fastest
	}
	const times = 10
	if ratio := float64(read(wide(2000*times))) / float64(read(wide(2000))); ratio > times*4 {
		t.Errorf("%d times the columns take %.0f times as long", times, ratio)
	}
}

// while is a reader that does something to its file after the first read.
type while struct {
	*os.File
	do func()
}

func (w *while) Read(p []byte) (int, error) {
	n, err := w.File.Read(p)
	if w.do != nil {
		w.do()
		w.do = nil
	}
	return n, err
}

// TestChangesMeanwhile: of a file that grows while it is read, what is there counts;
// one that is cut off gives its whole rows, or an error where one is not whole. No
// sample is made up where there were to be more.
func TestChangesMeanwhile(t *testing.T) {
	var text bytes.Buffer
	text.WriteString("time,tip_x,tip_y\n")
	row := func(i int) string { return fmt.Sprintf("%07d,%05d,2.5\n", i, 1+i) } // of 18 bytes
	const rows = 20_000
	for i := range rows {
		text.WriteString(row(i))
	}
	head := len("time,tip_x,tip_y\n")
	for _, c := range []struct {
		name    string
		do      func(name string) error
		samples int // 0 is an error
	}{
		{"left alone", func(string) error { return nil }, rows},
		{"grows by rows", func(name string) error { return appendTo(name, row(rows)+row(rows+1)) }, rows + 2},
		{"grows by part of a row", func(name string) error { return appendTo(name, row(rows)+"0020001,2") }, 0},
		{"is cut between rows", func(name string) error { return os.Truncate(name, int64(head+18*10_000)) }, 10_000},
		{"is cut within a row", func(name string) error { return os.Truncate(name, int64(head+18*10_000+9)) }, 0},
	} {
		name := filepath.Join(t.TempDir(), "take.csv")
		if err := os.WriteFile(name, text.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := tracks.Read(&while{f, func() {
			if err := c.do(name); err != nil {
				t.Fatal(err)
			}
		}}, tracks.Options{})
		f.Close()
		var e *tracks.Error
		switch {
		case c.samples == 0:
			if !errors.As(err, &e) || e.Rule != "truncated" {
				t.Errorf("%s: %v, want an error of the end", c.name, err)
			}
		case err != nil || len(rec.T) != c.samples:
			t.Errorf("%s: %v, want %d samples", c.name, err, c.samples)
		default:
			for i, x := range rec.Points[0].X {
				if x != float64(1+i) || rec.T[i] != float64(i) {
					t.Fatalf("%s: sample %d is %v at %v", c.name, i, x, rec.T[i])
				}
			}
		}
	}
}

func appendTo(name, text string) error {
	f, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	return errors.Join(err, f.Close())
}

// TestPeak holds what doc.go says of memory: the columns of the points kept, twice
// where the length is not known, while the garbage collector is strict.
func TestPeak(t *testing.T) {
	if testing.Short() {
		t.Skip("slow: a text of 100 MB")
	}
	const rows, points = 400_000, 20
	row := strings.Repeat(",123.456,654.321", points)[1:] + "\n"
	var head strings.Builder
	for i := range points {
		fmt.Fprintf(&head, ",p%[1]d_x,p%[1]d_y", i)
	}
	text := endless{text: row, n: rows * len(row)}
	peak := uint64(0)
	rec, err := tracks.Read(io.MultiReader(strings.NewReader(head.String()[1:]+"\n"), &watched{r: &text, peak: &peak}),
		tracks.Options{Rate: 240, Points: []string{"p7"}})
	if err != nil || len(rec.T) != rows {
		t.Fatal(err)
	}
	columns := uint64(3 * 8 * rows)
	t.Logf("%d MB of text, %.1f MB of columns, %.1f MB at the peak", text.n/1e6, float64(columns)/1e6, float64(peak)/1e6)
	if peak > 2*columns+4<<20 {
		t.Errorf("%d bytes at the peak for columns of %d", peak, columns)
	}
}

// watched is a reader that measures what is in use beyond what was at first.
type watched struct {
	r           io.Reader
	first, next int
	heap        uint64
	peak        *uint64
}

func (w *watched) Read(p []byte) (int, error) {
	n, err := w.r.Read(p)
	if w.next -= n; w.next <= 0 {
		w.next = 4 << 20
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		if w.first == 0 {
			w.first, w.heap = 1, m.HeapAlloc
		}
		*w.peak = max(*w.peak, m.HeapAlloc-min(w.heap, m.HeapAlloc))
	}
	return n, err
}
