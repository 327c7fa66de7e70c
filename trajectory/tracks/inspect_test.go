package tracks_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

func TestInspect(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       tracks.Layout
	}{
		{"header in one row", "# made up\ntime_ms;tip_x_mm;tip_y_mm;tip_conf;note;nut_x\n0;1,5;2;1;a;3\n4;1;2;1;b;3\n9;1;2;1;c;3\n12;1;2;1;c;3\n", tracks.Layout{
			Format:    tracks.FormatText,
			Delimiter: ';', DecimalComma: true, HeaderLines: 2, Points: []string{"tip"},
			Time: "time_ms", TimeUnit: "ms", Step: 0.004, Unit: "mm",
			Columns: []tracks.Column{
				{Index: 1, Name: "time_ms", Role: tracks.RoleTime, Unit: "ms"},
				{Index: 2, Name: "tip_x_mm", Role: tracks.RoleCoordinate, Point: "tip", Axis: "x", Unit: "mm"},
				{Index: 3, Name: "tip_y_mm", Role: tracks.RoleCoordinate, Point: "tip", Axis: "y", Unit: "mm"},
				{Index: 4, Name: "tip_conf", Role: tracks.RoleConfidence, Point: "tip"},
				{Index: 5, Name: "note"},
				{Index: 6, Name: "nut_x"},
			}}},
		{"header in three rows", "scorer,net,net,net\nbodyparts,tip,tip,tip\ncoords,x,y,likelihood\n0,1,2,1\n1,1,2,1\n", tracks.Layout{
			Format:    tracks.FormatText,
			Delimiter: ',', HeaderLines: 3, Points: []string{"tip"}, Frame: "coords", Step: math.NaN(),
			Columns: []tracks.Column{
				{Index: 1, Name: "coords", Role: tracks.RoleFrame},
				{Index: 2, Name: "tip.x", Role: tracks.RoleCoordinate, Point: "tip", Axis: "x"},
				{Index: 3, Name: "tip.y", Role: tracks.RoleCoordinate, Point: "tip", Axis: "y"},
				{Index: 4, Name: "tip.likelihood", Role: tracks.RoleConfidence, Point: "tip"},
			}}},
		{"no header", "0 1 2\n0.5 3 4\n", tracks.Layout{
			Format:    tracks.FormatText,
			Delimiter: ' ', Step: math.NaN(),
			Columns: []tracks.Column{{Index: 1, Name: "c1"}, {Index: 2, Name: "c2"}, {Index: 3, Name: "c3"}}}},
		{"units that differ", "t,tip_x_mm,tip_y_mm,nut_x_px,nut_y_px\n0,1,2,3,4\n", tracks.Layout{
			Format:    tracks.FormatText,
			Delimiter: ',', HeaderLines: 1, Points: []string{"tip", "nut"}, Time: "t", TimeUnit: "s", Step: math.NaN(),
			Columns: []tracks.Column{
				{Index: 1, Name: "t", Role: tracks.RoleTime},
				{Index: 2, Name: "tip_x_mm", Role: tracks.RoleCoordinate, Point: "tip", Axis: "x", Unit: "mm"},
				{Index: 3, Name: "tip_y_mm", Role: tracks.RoleCoordinate, Point: "tip", Axis: "y", Unit: "mm"},
				{Index: 4, Name: "nut_x_px", Role: tracks.RoleCoordinate, Point: "nut", Axis: "x", Unit: "px"},
				{Index: 5, Name: "nut_y_px", Role: tracks.RoleCoordinate, Point: "nut", Axis: "y", Unit: "px"},
			}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := tracks.Inspect(strings.NewReader(test.text))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, got, cmpopts.EquateNaNs()); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			name := filepath.Join(t.TempDir(), "take.csv")
			if err := os.WriteFile(name, []byte(test.text), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := sameFromFile(name, test.text); err != nil {
				t.Error(err)
			}
			got, err = tracks.InspectFile(name)
			if diff := cmp.Diff(test.want, got, cmpopts.EquateNaNs()); diff != "" || err != nil {
				t.Errorf("file: %v (-want +got)\n%s", err, diff)
			}
		})
	}
}

// sameFromFile checks that ReadFile gives what Read gives, with the name of the
// file for the source.
func sameFromFile(name, text string) error {
	o := tracks.Options{Rate: 1, Points: []string{"tip"}}
	fromFile, ferr := tracks.ReadFile(name, o)
	o.Source = name
	want, err := tracks.Read(strings.NewReader(text), o)
	if diff := cmp.Diff(want, fromFile, cmpopts.EquateNaNs()); diff != "" || fmt.Sprint(err) != fmt.Sprint(ferr) {
		return fmt.Errorf("ReadFile: %v, Read: %v (-want +got)\n%s", ferr, err, diff)
	}
	if err == nil && fromFile.Source != name {
		return fmt.Errorf("source %q", fromFile.Source)
	}
	return nil
}

// TestInspectWide reads three header rows that are longer than a block.
func TestInspectWide(t *testing.T) {
	var rows [4]strings.Builder
	rows[0].WriteString("group")
	rows[1].WriteString("marker")
	rows[2].WriteString("axis")
	rows[3].WriteString("0")
	const points = 2000
	for i := range points {
		fmt.Fprint(&rows[0], ",a group with a name of some length,,")
		fmt.Fprintf(&rows[1], ",the marker of number %d,,", i)
		fmt.Fprint(&rows[2], ",x,y,z")
		fmt.Fprintf(&rows[3], ",%d,2,3", i)
	}
	text := rows[0].String() + "\n" + rows[1].String() + "\n" + rows[2].String() + "\n" + rows[3].String() + "\n"
	if len(text) < 150_000 {
		t.Fatalf("%d bytes are no test", len(text))
	}
	rec, err := tracks.Read(strings.NewReader(text), tracks.Options{Rate: 1})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(rec.Points); n != points || rec.Points[n-1].Name != "the marker of number 1999" || rec.Points[n-1].X[0] != points-1 {
		t.Errorf("got %d points, the last %v", n, rec.Points[n-1])
	}
}

// tenMinutes returns the text of 144,000 rows of a time and four points.
func tenMinutes() string {
	var b strings.Builder
	b.Grow(16 << 20)
	b.WriteString("time,tip_x,tip_y,wrist_x,wrist_y,nut_x,nut_y,bridge_x,bridge_y\n")
	for i := range 144_000 {
		fmt.Fprintf(&b, "%.6f", float64(i)/240)
		for k := range 8 {
			fmt.Fprintf(&b, ",%.8f", 500+300*math.Sin(float64(i)/9+float64(k)))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// TestMemory checks that reading allocates little more than the columns of the
// result, whether the length of the text is known or not.
func TestMemory(t *testing.T) {
	text := tenMinutes()
	for _, test := range []struct {
		name string
		opts tracks.Options
		cols int
	}{
		{"all points", tracks.Options{}, 9},
		{"one point", tracks.Options{Points: []string{"nut"}}, 3},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		rec, err := tracks.Read(strings.NewReader(text), test.opts)
		runtime.ReadMemStats(&after)
		if err != nil {
			t.Fatal(err)
		}
		size := float64(test.cols * 8 * len(rec.T))
		got := float64(after.TotalAlloc - before.TotalAlloc)
		t.Logf("%s: %.1f MB of text, columns %.2f MB, allocated %.2f MB", test.name, float64(len(text))/1e6, size/1e6, got/1e6)
		if got > 1.1*size+1.5e6 {
			t.Errorf("%s: allocated %.2f MB for columns of %.2f MB", test.name, got/1e6, size/1e6)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	text := tenMinutes()
	for _, bench := range []struct {
		name string
		opts tracks.Options
	}{
		{"all", tracks.Options{}},
		{"one point of four", tracks.Options{Points: []string{"tip"}}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := tracks.Read(strings.NewReader(text), bench.opts); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkInspect(b *testing.B) {
	text := tenMinutes()[:64<<10]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := tracks.Inspect(strings.NewReader(text)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	rec, err := tracks.Read(strings.NewReader(tenMinutes()), tracks.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for _, o := range []tracks.WriteOptions{{}, {Decimals: 3, TimeDecimals: 6}} {
		b.Run(fmt.Sprint("decimals ", o.Decimals), func(b *testing.B) {
			var out bytes.Buffer
			b.ReportAllocs()
			for b.Loop() {
				out.Reset()
				if err := tracks.Write(&out, rec, o); err != nil {
					b.Fatal(err)
				}
				b.SetBytes(int64(out.Len()))
			}
		})
	}
}
