package tracks_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// two are two frames of two points; the wrist is lost in the second.
var two = [][][4]float64{
	{{1, 2, 3, 0x310}, {-4, 5, 6, 0}},
	{{1.5, -2.5, 3.25, 1}, {0, 0, 0, -1}},
}

const wantTwo = "t[0 0.008333333333333333]mm tip x[1 1.5] y[2 -2.5] z[3 3.25] wrist x[-4 NaN] y[5 NaN] z[6 NaN]"

func twoPoints(f c3dFile) c3dFile {
	if f.frames == nil {
		f.frames = two
	}
	if f.labels == nil {
		f.labels = []string{"tip", "wrist"}
	}
	if f.unit == "" {
		f.unit = "mm"
	}
	return f
}

func named(labels ...string) c3dFile {
	f := c3dFile{labels: labels, frames: make([][][4]float64, 1), unit: "mm", rate: 1}
	for i := range labels {
		f.frames[0] = append(f.frames[0], [4]float64{float64(i), 0, 0, 0})
	}
	return f
}

func TestC3D(t *testing.T) {
	nan := math.NaN()
	big := c3dFile{processor: 86}
	video := 59.94
	for _, test := range []struct {
		name string
		file c3dFile
		opts tracks.Options
		want string
	}{
		{"Intel", c3dFile{processor: 84}, tracks.Options{}, wantTwo},
		{"DEC", c3dFile{processor: 85}, tracks.Options{}, wantTwo},
		{"MIPS", c3dFile{processor: 86}, tracks.Options{}, wantTwo},
		{"Intel reals", c3dFile{processor: 84, reals: true}, tracks.Options{}, wantTwo},
		{"DEC reals", c3dFile{processor: 85, reals: true}, tracks.Options{}, wantTwo},
		{"MIPS reals", c3dFile{processor: 86, reals: true}, tracks.Options{}, wantTwo},
		{"analog", c3dFile{analog: 7}, tracks.Options{}, wantTwo},
		{"analog reals", c3dFile{analog: 7, reals: true}, tracks.Options{}, wantTwo},
		{"analog samples by the rates", c3dFile{processor: 86, analog: 6, words: map[int]uint16{3: 0, 10: 0}, extra: []c3dParam{
			big.ints("ANALOG", "USED", 3), big.float("ANALOG", "RATE", 240)}}, tracks.Options{}, wantTwo},
		{"analog samples by the header", c3dFile{processor: 86, analog: 6, words: map[int]uint16{10: 2}, extra: []c3dParam{
			big.ints("ANALOG", "USED", 3)}}, tracks.Options{}, wantTwo},
		{"groups last", c3dFile{groupsLast: true}, tracks.Options{}, wantTwo},
		{"gap before the frames", c3dFile{gap: 3}, tracks.Options{}, wantTwo},
		{"nothing in the header", c3dFile{words: map[int]uint16{2: 0, 4: 0, 5: 0, 7: 0, 8: 0, 9: 0, 11: 0, 12: 0}}, tracks.Options{}, wantTwo},
		{"nothing but the header", c3dFile{without: []string{"USED", "FRAMES", "RATE", "SCALE", "DATA_START"}}, tracks.Options{}, wantTwo},
		{"not a number", c3dFile{reals: true, frames: [][][4]float64{
			{{1, 2, 3, 1}, {nan, nan, nan, 1}}, {{1, nan, 3, 1}, {1, 2, 3, nan}}}}, tracks.Options{Rate: 5},
			"t[0 0.008333333333333333]mm tip x[1 NaN] y[2 NaN] z[3 NaN] wrist x[NaN NaN] y[NaN NaN] z[NaN NaN]"},
		{"infinite where it was not seen", c3dFile{reals: true, frames: [][][4]float64{
			{{1, 2, 3, 1}, {math.Inf(1), 0, 0, -1}}}}, tracks.Options{}, "t[0]mm tip x[1] y[2] z[3] wrist x[NaN] y[NaN] z[NaN]"},
		{"zero is missing", c3dFile{frames: [][][4]float64{{{0, 0, 0, 0}, {0, 1, 0, 0}}}}, tracks.Options{ZeroMissing: true},
			"t[0]mm tip x[NaN] y[NaN] z[NaN] wrist x[0] y[1] z[0]"},

		// Points.
		{"one point", c3dFile{}, tracks.Options{Points: []string{"wrist"}}, "t[0 0.008333333333333333]mm wrist x[-4 NaN] y[5 NaN] z[6 NaN]"},
		{"order of points", named("a", "b"), tracks.Options{Points: []string{"b", "a"}}, "t[0]mm b x[1] y[0] z[0] a x[0] y[0] z[0]"},
		{"no label", named("a", "", "point 2"), tracks.Options{}, "t[0]mm a x[0] y[0] z[0] point 2 again x[1] y[0] z[0] point 2 x[2] y[0] z[0]"},
		{"same label", named("a", "a\x00"), tracks.Options{}, "t[0]mm a x[0] y[0] z[0] a (point 2) x[1] y[0] z[0]"},
		{"label of no known text", named("m\xe4r"), tracks.Options{}, "t[0]mm mär x[0] y[0] z[0]"},
		{"control characters", named("a\nb", "c\t"), tracks.Options{}, "t[0]mm a b x[0] y[0] z[0] c x[1] y[0] z[0]"},
		{"no labels", c3dFile{without: []string{"LABELS"}}, tracks.Options{Points: []string{"point 2"}}, "t[0 0.008333333333333333]mm point 2 x[-4 NaN] y[5 NaN] z[6 NaN]"},
		{"labels in parts", c3dFile{extra: []c3dParam{texts("POINT", "LABELS", "tip"), texts("POINT", "LABELS2", "wrist", "left")}}, tracks.Options{}, wantTwo},
		{"no positions", func() c3dFile {
			f := named("tip", "elbow", "push", "wrist")
			f.extra = []c3dParam{texts("POINT", "ANGLES", "elbow"), texts("POINT", "ANGLES2", "wrist"), texts("POINT", "FORCES", "push")}
			return f
		}(), tracks.Options{}, "t[0]mm tip x[0] y[0] z[0]"},

		// Units.
		{"unit in capitals", c3dFile{unit: " CM "}, tracks.Options{}, strings.Replace(wantTwo, "mm", "cm", 1)},
		{"unit in full", c3dFile{unit: "Meters"}, tracks.Options{}, strings.Replace(wantTwo, "mm", "m", 1)},
		{"unknown unit", c3dFile{unit: "inch"}, tracks.Options{}, strings.Replace(wantTwo, "mm", "", 1)},
		{"no unit", c3dFile{without: []string{"UNITS"}}, tracks.Options{}, strings.Replace(wantTwo, "mm", "", 1)},
		{"unit by option", c3dFile{}, tracks.Options{Unit: "cm"}, strings.Replace(wantTwo, "mm", "cm", 1)},

		// Times.
		{"first frame", c3dFile{first: 13, rate: 4}, tracks.Options{}, "t[3 3.25]mm tip x[1 1.5] y[2 -2.5] z[3 3.25] wrist x[-4 NaN] y[5 NaN] z[6 NaN]"},
		{"by row", c3dFile{first: 13, rate: 4}, tracks.Options{ByRow: true}, "t[0 0.25]mm tip x[1 1.5] y[2 -2.5] z[3 3.25] wrist x[-4 NaN] y[5 NaN] z[6 NaN]"},
		{"header of another range", c3dFile{first: 13, words: map[int]uint16{5: 99}}, tracks.Options{}, wantTwo},
		{"first frame of a trial", c3dFile{first: 1, rate: 1, words: map[int]uint16{5: 99}, extra: []c3dParam{
			(&c3dFile{}).ints("TRIAL", "ACTUAL_START_FIELD", 1, 2), (&c3dFile{}).ints("TRIAL", "ACTUAL_END_FIELD", 2, 2)}}, tracks.Options{},
			"t[131072 131073]mm tip x[1 1.5] y[2 -2.5] z[3 3.25] wrist x[-4 NaN] y[5 NaN] z[6 NaN]"},
		{"rate of video", c3dFile{rate: 59.94, frames: two[:1], first: 2}, tracks.Options{}, fmt.Sprintf("t[%v]mm tip x[1] y[2] z[3] wrist x[-4] y[5] z[6]", 1/video)},
		{"slowed", c3dFile{rate: 30}, tracks.Options{SlowedBy: 4}, wantTwo},
		{"rate given is not used", c3dFile{}, tracks.Options{Rate: 7}, wantTwo},
		{"rate in place of that of the file", c3dFile{rate: 7}, tracks.Options{Rate: 120, Time: "-"}, wantTwo},
		{"rate where there is none", c3dFile{without: []string{"RATE"}, words: map[int]uint16{11: 0, 12: 0}}, tracks.Options{Rate: 120}, wantTwo},
		{"rate where there are two", c3dFile{words: map[int]uint16{12: 0x4000}}, tracks.Options{Rate: 120}, wantTwo},
		{"frames as a real", c3dFile{extra: []c3dParam{(&c3dFile{}).float("POINT", "FRAMES", 2)}}, tracks.Options{}, wantTwo},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := twoPoints(test.file).bytes()
			readers := map[string]io.Reader{"bytes": bytes.NewReader(b), "stream": iotest.OneByteReader(bytes.NewReader(b))}
			for name, r := range readers {
				rec, err := tracks.Read(r, test.opts)
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(test.want, dump(rec)); diff != "" {
					t.Errorf("%s: (-want +got)\n%s", name, diff)
				}
				if err := rec.Validate(); err != nil {
					t.Error(err)
				}
			}
		})
	}
}

// TestC3DLong reads more frames than 16 bits can say, and more labels than a
// parameter can hold.
func TestC3DLong(t *testing.T) {
	long := func(frames int, extra ...c3dParam) c3dFile {
		f := c3dFile{labels: []string{"tip"}, scale: 1, extra: extra, words: map[int]uint16{5: 65535}}
		for i := range frames {
			f.frames = append(f.frames, [][4]float64{{float64(i % 1000), float64(i / 1000), 0, 0}})
		}
		return f
	}
	enc := &c3dFile{}
	const n = 65535 + 4465
	stated := func(v int) c3dParam { return enc.ints("POINT", "FRAMES", v) }
	trial := []c3dParam{enc.ints("TRIAL", "ACTUAL_START_FIELD", 1, 0), enc.ints("TRIAL", "ACTUAL_END_FIELD", n%65536, n/65536)}
	for name, f := range map[string]c3dFile{
		"LONG_FRAMES":         long(n, stated(65535), enc.float("POINT", "LONG_FRAMES", n)),
		"TRIAL":               long(n, stated(65535), trial[0], trial[1]),
		"TRIAL, cut off":      long(n, stated(n%65536), trial[0], trial[1]),
		"real FRAMES":         long(n, enc.float("POINT", "FRAMES", n)),
		"as many as can be":   long(65535, stated(65535)),
		"unsigned":            long(40000, stated(40000)),
		"LONG_FRAMES, no use": long(9, stated(9), enc.float("POINT", "LONG_FRAMES", 0)),
	} {
		b := f.bytes()
		rec, err := tracks.Read(bytes.NewReader(b), tracks.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		tip, last := rec.Points[0], len(f.frames)-1
		if len(tip.X) != len(f.frames) || tip.X[last] != float64(last%1000) || tip.Y[last] != float64(last/1000) || rec.T[0] != 0 {
			t.Errorf("%s: %d frames, the last %v, %v; from %v s", name, len(tip.X), tip.X[last], tip.Y[last], rec.T[0])
		}
	}
	for name, f := range map[string]c3dFile{
		"full":    long(n, stated(65535)),
		"cut off": long(n, stated(n%65536)),
	} {
		_, err := tracks.Read(bytes.NewReader(f.bytes()), tracks.Options{})
		var e *tracks.Error
		if !errors.As(err, &e) || e.Rule != "damaged" || !strings.Contains(e.Msg, "goes on behind") {
			t.Errorf("%s: got %v", name, err)
		}
	}

	var f c3dFile
	f.frames = make([][][4]float64, 2)
	var parts [3][]string
	for i := range 600 {
		for k := range f.frames {
			f.frames[k] = append(f.frames[k], [4]float64{float64(i), float64(k), 0, 0})
		}
		parts[i/255] = append(parts[i/255], fmt.Sprint("m", i))
	}
	f.extra = []c3dParam{texts("POINT", "LABELS3", parts[2]...), texts("POINT", "LABELS", parts[0]...), texts("POINT", "LABELS2", parts[1]...)}
	rec, err := tracks.Read(bytes.NewReader(f.bytes()), tracks.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p := rec.Points[599]; len(rec.Points) != 600 || p.Name != "m599" || p.X[1] != 599 || p.Y[1] != 1 {
		t.Errorf("%d points, the last %+v", len(rec.Points), p)
	}
}

// TestC3DRoundTrip writes what was read from C3D files as text, and reads it.
func TestC3DRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for _, processor := range []byte{84, 85, 86} {
		for _, reals := range []bool{false, true} {
			f := c3dFile{processor: processor, reals: reals, scale: 0.0744, unit: "mm", rate: 239.76, first: 1001, analog: 5,
				labels: []string{"tip", "hand:wrist", "*110", "R-A1", "", "tip", "ä b"}}
			for range 1000 {
				frame := make([][4]float64, len(f.labels))
				for k := range frame {
					frame[k] = [4]float64{500 * rng.NormFloat64(), 500 * rng.NormFloat64(), 500 * rng.NormFloat64(), float64(rng.IntN(1000) - 100)}
				}
				f.frames = append(f.frames, frame)
			}
			rec, err := tracks.Read(bytes.NewReader(f.bytes()), tracks.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var text bytes.Buffer
			if err := tracks.Write(&text, rec, tracks.WriteOptions{Units: true}); err != nil {
				t.Fatal(err)
			}
			got, err := tracks.Read(&text, tracks.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(rec, got, cmpopts.EquateNaNs()); diff != "" {
				t.Errorf("processor %d, reals %v: (-want +got)\n%s", processor, reals, diff)
			}
			// The numbers themselves, to the resolution of the file.
			for k, p := range rec.Points {
				for i, frame := range f.frames {
					want := frame[k]
					if seen := want[3] >= 0; seen != (p.X[i] == p.X[i]) {
						t.Fatalf("point %d, frame %d: x %v, fourth value %v", k, i, p.X[i], want[3])
					} else if !seen {
						continue
					}
					tol := 0.0744 / 2 * 1.0001
					if reals {
						tol = 5000 * 0x1p-24
					}
					if math.Abs(p.X[i]-want[0]) > tol || math.Abs(p.Y[i]-want[1]) > tol || math.Abs(p.Z[i]-want[2]) > tol {
						t.Fatalf("point %d, frame %d: %v %v %v, want %v", k, i, p.X[i], p.Y[i], p.Z[i], want)
					}
				}
			}
		}
	}
}

func TestC3DInspect(t *testing.T) {
	f := twoPoints(c3dFile{labels: []string{"tip", "elbow"}, rate: 100, extra: []c3dParam{texts("POINT", "ANGLES", "elbow")}})
	column := func(i int, name, axis string) tracks.Column {
		return tracks.Column{Index: i, Name: name + "." + axis, Role: tracks.RoleCoordinate, Point: name, Axis: axis, Unit: "mm"}
	}
	want := tracks.Layout{Format: tracks.FormatC3D, Points: []string{"tip"}, Time: "time", TimeUnit: "s", Step: 0.01,
		Rate: 100, Samples: 2, Unit: "mm",
		Columns: []tracks.Column{
			{Index: 1, Name: "time", Role: tracks.RoleTime, Unit: "s"},
			column(2, "tip", "x"), column(3, "tip", "y"), column(4, "tip", "z"),
			{Index: 5, Name: "elbow.x"}, {Index: 6, Name: "elbow.y"}, {Index: 7, Name: "elbow.z"},
		}}
	got, err := tracks.Inspect(bytes.NewReader(f.bytes()))
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("%v (-want +got)\n%s", err, diff)
	}
	f.words = map[int]uint16{11: 0x7fff, 12: 0x7fff} // another rate
	got, err = tracks.Inspect(bytes.NewReader(f.bytes()))
	if err != nil || got.Rate != 100 {
		t.Errorf("rate in the header no number: %v, %v", got.Rate, err)
	}
	f.words = map[int]uint16{12: 0x4000}
	got, err = tracks.Inspect(bytes.NewReader(f.bytes()))
	if err != nil || got.Rate != 0 || got.Time != "" || got.Step == got.Step || got.Columns[0].Name != "tip.x" {
		t.Errorf("two rates: %+v, %v", got, err)
	}
}

// TestC3DMemory checks that points that are not asked for take no memory, and
// that the others take little more than their columns.
func TestC3DMemory(t *testing.T) {
	var f c3dFile
	for i := range 20000 {
		frame := make([][4]float64, 40)
		for k := range frame {
			frame[k] = [4]float64{float64(i % 500), float64(k), 0, 0}
		}
		f.frames = append(f.frames, frame)
	}
	b := f.bytes()
	for _, test := range []struct {
		name   string
		points []string
		stream bool
		factor float64
	}{
		{"all", nil, false, 1.1},
		{"all, of a stream", nil, true, 5.5}, // 1 + 1/1.5 + 1/1.5^2 + ... times 1.5, and clipped
		{"one", []string{"point 7"}, false, 1.1},
	} {
		n := len(test.points)
		if n == 0 {
			n = 40
		}
		var r io.Reader = bytes.NewReader(b)
		if test.stream {
			r = struct{ io.Reader }{r}
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		rec, err := tracks.Read(r, tracks.Options{Points: test.points})
		runtime.ReadMemStats(&after)
		if err != nil {
			t.Fatal(err)
		}
		columns := float64(8 * len(rec.T) * (3*n + 1))
		if got := float64(after.TotalAlloc - before.TotalAlloc); got > test.factor*columns+(400<<10) {
			t.Errorf("%s: %.0f bytes allocated for columns of %.0f", test.name, got, columns)
		}
	}
}

func BenchmarkReadC3D(b *testing.B) {
	for _, bench := range []struct {
		name      string
		processor byte
		reals     bool
		points    []string
	}{
		{"reals", 84, true, nil},
		{"DEC reals", 85, true, nil},
		{"integers", 84, false, nil},
		{"one point of forty", 84, true, []string{"point 7"}},
	} {
		f := c3dFile{processor: bench.processor, reals: bench.reals}
		for i := range 10_000 {
			frame := make([][4]float64, 40)
			for k := range frame {
				frame[k] = [4]float64{float64(i % 500), float64(k), 1.5, 0}
			}
			f.frames = append(f.frames, frame)
		}
		file := f.bytes()
		b.Run(bench.name, func(b *testing.B) {
			b.SetBytes(int64(len(file)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := tracks.Read(bytes.NewReader(file), tracks.Options{Points: bench.points}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
