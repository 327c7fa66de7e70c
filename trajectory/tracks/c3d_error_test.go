package tracks_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// spot is what a test checks of an error of a C3D file.
type spot struct {
	Rule   string
	Offset int64
	Name   string
	Text   string
	Msg    string // part of it
}

func TestC3DErrors(t *testing.T) {
	inf := math.Inf(1)
	enc := &c3dFile{}
	plain := twoPoints(c3dFile{}).bytes()
	change := func(at int, b ...byte) []byte {
		c := bytes.Clone(plain)
		copy(c[at:], b)
		return c
	}
	with := func(f c3dFile) []byte { return twoPoints(f).bytes() }
	// The records of a plain file: the group POINT at 516, USED at 526.
	if string(plain[518:523]) != "POINT" || string(plain[528:532]) != "USED" {
		t.Fatalf("the file is not laid out as these tests think: %q", plain[516:560])
	}
	const frames = 1024 // where they begin
	for _, test := range []struct {
		name string
		file []byte
		opts tracks.Options
		want spot
	}{
		// Header.
		{"parameters in the header", change(0, 1), tracks.Options{}, spot{Rule: "damaged", Msg: "in the header"}},
		{"parameters behind the end", change(0, 200), tracks.Options{}, spot{Rule: "truncated", Offset: int64(len(plain))}},
		{"processor", change(515, 87), tracks.Options{}, spot{Rule: "damaged", Offset: 515, Text: "87"}},
		{"no points", with(c3dFile{without: []string{"USED"}, words: map[int]uint16{2: 0}}), tracks.Options{}, spot{Rule: "point", Offset: 2}},
		{"number of points", with(c3dFile{words: map[int]uint16{2: 3}}), tracks.Options{}, spot{Rule: "damaged", Offset: 536, Msg: "2 by POINT:USED and 3 by the header"}},
		{"first block", with(c3dFile{words: map[int]uint16{9: 7}}), tracks.Options{}, spot{Rule: "damaged", Offset: 666, Msg: "POINT:DATA_START"}},
		{"frames among the parameters", with(c3dFile{without: []string{"DATA_START"}, words: map[int]uint16{9: 2}}), tracks.Options{}, spot{Rule: "damaged", Offset: 16}},
		{"frames behind the end", with(c3dFile{without: []string{"DATA_START"}, words: map[int]uint16{9: 60000}}), tracks.Options{}, spot{Rule: "truncated", Offset: 1536}},
		{"analog values", with(c3dFile{analog: 4, words: map[int]uint16{3: 5}}), tracks.Options{}, spot{Rule: "damaged", Offset: 606, Msg: "ANALOG:USED"}},
		{"integers and reals", with(c3dFile{words: map[int]uint16{8: 0xbd00}}), tracks.Options{}, spot{Rule: "damaged", Offset: 550, Msg: "integers by one"}},
		{"no scale", with(c3dFile{without: []string{"SCALE"}, words: map[int]uint16{7: 0, 8: 0}}), tracks.Options{}, spot{Rule: "damaged", Offset: 12, Msg: "scale of 0"}},
		{"scale no number", with(c3dFile{without: []string{"SCALE"}, words: map[int]uint16{8: 0x7fc0}}), tracks.Options{}, spot{Rule: "damaged", Offset: 12, Msg: "scale of NaN"}},
		{"no frames", with(c3dFile{extra: []c3dParam{enc.ints("POINT", "FRAMES", 0)}}), tracks.Options{}, spot{Rule: "empty", Offset: 6}},
		{"no frames in the header", with(c3dFile{without: []string{"FRAMES"}, words: map[int]uint16{4: 5, 5: 4}}), tracks.Options{}, spot{Rule: "empty", Offset: 6}},

		// Parameters.
		{"record ends before it begins", change(532, 1, 0), tracks.Options{}, spot{Rule: "damaged", Offset: 532}},
		{"record goes on behind the section", change(532, 0, 200), tracks.Options{}, spot{Rule: "damaged", Offset: 526}},
		{"name goes on behind the section", change(526, 127, 1), tracks.Options{}, spot{Rule: "damaged"}},
		{"type", change(534, 3), tracks.Options{}, spot{Rule: "damaged", Offset: 534, Msg: "POINT:USED"}},
		{"dimensions", change(535, 8), tracks.Options{}, spot{Rule: "damaged", Offset: 534, Msg: "POINT:USED"}},
		{"more values than the record", change(535, 1, 255), tracks.Options{}, spot{Rule: "damaged", Offset: 534, Msg: "POINT:USED"}},

		// Frames.
		{"infinite", with(c3dFile{reals: true, frames: [][][4]float64{{{1, 2, 3, 0}, {1, 2, 3, 0}}, {{1, 2, 3, 0}, {1, -inf, 3, 0}}}}), tracks.Options{},
			spot{Rule: "infinite", Offset: frames + 32 + 16 + 4, Name: "wrist", Text: "-Inf", Msg: "frame 2"}},
		{"infinite, the first of several", with(c3dFile{reals: true, first: 10, frames: [][][4]float64{{{1, 2, 3, 0}, {1, 2, inf, 0}}, {{inf, 2, 3, 0}, {1, 2, 3, 0}}}}), tracks.Options{},
			spot{Rule: "infinite", Offset: frames + 16 + 8, Name: "wrist", Text: "+Inf", Msg: "frame 10"}},
		{"more frames than there are", with(c3dFile{extra: []c3dParam{enc.ints("POINT", "FRAMES", 65000)}}), tracks.Options{},
			spot{Rule: "truncated", Offset: 1536, Msg: "in frame 33 of 65000"}},
		{"frames without end", with(c3dFile{extra: []c3dParam{enc.float("POINT", "FRAMES", 2e9)}}), tracks.Options{},
			spot{Rule: "truncated", Offset: 1536, Msg: "of 2000000000"}},

		// Options.
		{"no rate", with(c3dFile{without: []string{"RATE"}, words: map[int]uint16{11: 0, 12: 0}}), tracks.Options{}, spot{Rule: "rate"}},
		{"two rates", with(c3dFile{words: map[int]uint16{12: 0x4000}}), tracks.Options{}, spot{Rule: "rate", Msg: "two that differ"}},
		{"rate not wanted", plain, tracks.Options{Time: "-"}, spot{Rule: "rate"}},
		{"time column", plain, tracks.Options{Time: "when"}, spot{Rule: "column"}},
		{"header", plain, tracks.Options{Header: []string{"time", "tip_x", "tip_y"}}, spot{Rule: "option"}},
		{"unknown point", plain, tracks.Options{Points: []string{"Tip"}}, spot{Rule: "point"}},
		{"angle", with(c3dFile{extra: []c3dParam{texts("POINT", "ANGLES", "wrist")}}), tracks.Options{Points: []string{"wrist"}}, spot{Rule: "point", Msg: "listed as an angle"}},
		{"forces only", with(c3dFile{extra: []c3dParam{texts("POINT", "FORCES", "tip", "wrist")}}), tracks.Options{}, spot{Rule: "point"}},
		{"times run together", plain, tracks.Options{SlowedBy: math.MaxFloat64}, spot{Rule: "time"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			test.opts.Source = "take.c3d"
			rec, err := tracks.Read(bytes.NewReader(test.file), test.opts)
			if rec != nil {
				t.Error("a recording besides the error")
			}
			var e *tracks.Error
			if !errors.As(err, &e) {
				t.Fatalf("got %T: %v", err, err)
			}
			got := spot{e.Rule, e.Offset, e.Name, e.Text, test.want.Msg}
			if !strings.Contains(e.Msg, test.want.Msg) {
				got.Msg = e.Msg
			}
			if test.name == "name goes on behind the section" {
				got.Offset = 0 // what comes behind the name is a matter of chance
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("%v\n(-want +got)\n%s", err, diff)
			}
			if e.Hint == "" || e.File != "take.c3d" {
				t.Errorf("hint or file missing: %#v", e)
			}
			if s := err.Error(); strings.ContainsAny(s, "\n\r") || len(s) > 300 {
				t.Errorf("not one short line: %q", s)
			}
			t.Log(err)
		})
	}
}

// TestC3DTruncated cuts a file off at every byte.
func TestC3DTruncated(t *testing.T) {
	f := twoPoints(c3dFile{reals: true, analog: 3, gap: 1, groupsLast: true})
	b := f.bytes()
	const frames = 1024 + 512
	end := frames + 2*(2*4+3)*4 // of the last frame
	for n := range len(b) {
		_, err := tracks.Read(bytes.NewReader(b[:n]), tracks.Options{})
		_, ierr := tracks.Inspect(bytes.NewReader(b[:n]))
		var e *tracks.Error
		switch {
		case n >= end:
			if err != nil || ierr != nil {
				t.Errorf("cut off at %d, behind the last frame: %v, %v", n, err, ierr)
			}
		case !errors.As(err, &e):
			t.Errorf("cut off at %d: %v", n, err)
		case n >= 2 && (e.Rule != "truncated" || e.Offset != int64(n)):
			t.Errorf("cut off at %d: %+v", n, e)
		}
		if n >= frames && ierr != nil || n < 512 && ierr == nil {
			t.Errorf("cut off at %d, Inspect: %v", n, ierr)
		}
	}
}

// TestC3DFlipped changes bytes of a file at random. What is read then is sound,
// or the error is one of this package, and neither takes much memory.
func TestC3DFlipped(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 34))
	runs := 4000
	if testing.Short() {
		runs = 500
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	faults := map[string]int{}
	for i := range runs {
		f := twoPoints(c3dFile{processor: byte(84 + i%3), reals: i%2 == 0, analog: i % 5, groupsLast: i%7 == 0})
		b := f.bytes()
		used := len(b)
		if rng.IntN(2) == 0 {
			used = 24 // of the header
		}
		for range 1 + rng.IntN(8) {
			at := rng.IntN(used)
			if rng.IntN(2) == 0 && used > 512 {
				at = 512 + rng.IntN(240)
			}
			b[at] = byte(rng.Uint32())
		}
		b[1] = 'P'
		sound(t, b, faults)
	}
	runtime.ReadMemStats(&after)
	// A frame that is said to be large takes a buffer of 1.3 MB at most.
	if per := (after.TotalAlloc - before.TotalAlloc) / uint64(runs); per > 2<<20 {
		t.Errorf("%d bytes a file of 2 kB", per)
	}
	for _, rule := range []string{"", "damaged", "truncated"} {
		if faults[rule] < runs/50 {
			t.Errorf("too few of %q for a test: %v", rule, faults)
		}
	}
}

// sound reads a file and checks what Read promises of any file. It counts the
// rules that were broken.
func sound(t *testing.T, b []byte, faults map[string]int) {
	t.Helper()
	layout, ierr := tracks.Inspect(bytes.NewReader(b))
	rec, err := tracks.Read(struct{ io.Reader }{bytes.NewReader(b)}, tracks.Options{Rate: 100})
	for _, err := range []error{err, ierr} {
		var e *tracks.Error
		if err != nil && (!errors.As(err, &e) || e.Rule == "" || e.Msg == "" || e.Hint == "" && e.Rule != "read") {
			t.Fatalf("error %#v", err)
		}
		if err != nil && strings.ContainsAny(err.Error(), "\r\n") {
			t.Fatalf("error on several lines: %q", err)
		}
	}
	if err != nil {
		var e *tracks.Error
		errors.As(err, &e)
		faults[e.Rule]++
		return
	}
	faults[""]++
	if ierr != nil {
		t.Fatalf("Inspect: %v", ierr)
	}
	if err := rec.Validate(); err != nil {
		t.Fatal(err)
	}
	for i, p := range rec.Points {
		if layout.Points[i] != p.Name {
			t.Fatalf("Inspect names %q, Read %q", layout.Points[i], p.Name)
		}
	}
	if layout.Format == tracks.FormatC3D && layout.Samples != len(rec.T) {
		t.Fatalf("Inspect states %d samples, Read gives %d", layout.Samples, len(rec.T))
	}
}

func TestC3DReaderFails(t *testing.T) {
	b := twoPoints(c3dFile{}).bytes()
	broken := errors.New("broken pipe")
	for _, n := range []int{2, 100, 600, 1030, 1100} {
		r := io.MultiReader(bytes.NewReader(b[:n]), iotest.ErrReader(broken))
		_, err := tracks.Read(r, tracks.Options{})
		var e *tracks.Error
		if n < 1056 && (!errors.Is(err, broken) || !errors.As(err, &e) || e.Rule != "read") {
			t.Errorf("after %d bytes: got %v", n, err)
		}
	}
	for _, n := range []int{2, 600, 1030} {
		_, err := tracks.Read(io.MultiReader(bytes.NewReader(b[:n]), idle{}), tracks.Options{})
		if !errors.Is(err, io.ErrNoProgress) {
			t.Errorf("idle after %d bytes: got %v", n, err)
		}
	}
}

// idle is a reader that never has anything.
type idle struct{}

func (idle) Read([]byte) (int, error) { return 0, nil }

// FuzzC3D checks that no file makes the package panic, that all errors are of
// its type, and that what is read is sound.
func FuzzC3D(f *testing.F) {
	for processor := byte(84); processor <= 86; processor++ {
		for _, reals := range []bool{false, true} {
			c := twoPoints(c3dFile{processor: processor, reals: reals, analog: 2})
			f.Add(c.bytes())
			c.groupsLast = true
			c.extra = []c3dParam{texts("POINT", "LABELS2", "left"), texts("POINT", "ANGLES", "wrist"),
				c.ints("TRIAL", "ACTUAL_END_FIELD", 1, 1), c.float("POINT", "LONG_FRAMES", 2)}
			f.Add(c.bytes()[:1200])
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) { sound(t, b, map[string]int{}) })
}

// TestC3DClaims reads small files that claim to be large: many points, frames
// without end, a section full of parameters. The names of the points and the
// parameters are what takes memory.
func TestC3DClaims(t *testing.T) {
	enc := &c3dFile{}
	many := twoPoints(c3dFile{words: map[int]uint16{2: 65535, 3: 65535}, extra: []c3dParam{
		enc.ints("POINT", "USED", 65535), enc.float("POINT", "FRAMES", 2e9), enc.ints("ANALOG", "USED", 65535)}}).bytes()
	full := make([]byte, 3<<20)
	copy(full, []byte{2, 'P'})
	full[16], full[17] = 0xff, 0xff // the frames begin far behind
	copy(full[512:], []byte{0, 0, 255, 84})
	for at, i := 516, 0; at < len(full)-8; at, i = at+8, i+1 {
		copy(full[at:], []byte{4, 1, byte('0' + i%10), byte('A' + i/10%64), byte('A' + i/640%64), byte('A' + i/40960%64), 2, 0})
	}
	for name, b := range map[string][]byte{"points": many, "parameters": full} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := tracks.Read(struct{ io.Reader }{bytes.NewReader(b)}, tracks.Options{})
		runtime.ReadMemStats(&after)
		var e *tracks.Error
		if !errors.As(err, &e) || e.Rule != "truncated" && e.Rule != "damaged" && e.Rule != "point" {
			t.Errorf("%s: got %v", name, err)
		}
		got := after.TotalAlloc - before.TotalAlloc
		if got > 32<<20 {
			t.Errorf("%s: %d bytes allocated for a file of %d", name, got, len(b))
		}
		t.Log(name, got, err)
	}
}
