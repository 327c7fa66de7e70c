package tracks_test

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// take returns n samples of invented points: planar with confidence, spatial
// with gaps, and one with a name that needs quotes.
func take(n int) *trajectory.Recording {
	rng := rand.New(rand.NewPCG(11, 13))
	rec := &trajectory.Recording{Unit: "mm", T: make([]float64, n)}
	for i := range rec.T {
		rec.T[i] = (float64(i) + 0.3*rng.Float64()) / 240
	}
	column := func() []float64 {
		c := make([]float64, n)
		for i := range c {
			c[i] = math.Ldexp(rng.NormFloat64(), rng.IntN(60)-30)
		}
		return c
	}
	rec.Points = []trajectory.Path{
		{Name: "tip", T: rec.T, X: column(), Y: column(), Confidence: column()},
		{Name: "R-A1", T: rec.T, X: column(), Y: column(), Z: column()},
		{Name: `a "b", #c; d`, T: rec.T, X: column(), Y: column()},
	}
	for i, c := range rec.Points[0].Confidence {
		rec.Points[0].Confidence[i] = math.Abs(c) - math.Floor(math.Abs(c))
		if i%7 == 3 {
			rec.Points[0].Confidence[i] = math.NaN()
		}
		if p := rec.Points[1]; i%5 == 2 {
			p.X[i], p.Y[i], p.Z[i] = math.NaN(), math.NaN(), math.NaN()
		}
	}
	return rec
}

func TestRoundTrip(t *testing.T) {
	for _, n := range []int{1, 2, 3000} {
		rec := take(n)
		var b bytes.Buffer
		if err := tracks.Write(&b, rec, tracks.WriteOptions{Units: true}); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		got, err := tracks.Read(&b, tracks.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(rec, got, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("%d samples: (-want +got)\n%s", n, diff)
		}
		var again bytes.Buffer
		if err := tracks.Write(&again, got, tracks.WriteOptions{Units: true}); err != nil || again.String() != text {
			t.Errorf("%d samples: written again it is another text (%v)", n, err)
		}
	}
}

func TestWriteText(t *testing.T) {
	nan := math.NaN()
	ts := []float64{0, 1.0 / 240, 0.5}
	rec := &trajectory.Recording{Unit: "px", T: ts, Points: []trajectory.Path{
		{Name: "tip", T: ts, X: []float64{1, nan, 0.1}, Y: []float64{-2.5, 7, 1e-7}, Confidence: []float64{0.99, nan, 1}},
		{Name: "nut", T: ts, X: []float64{1e17, 2, 3}, Y: []float64{1, 2, 3}, Z: []float64{1.0 / 3, 2, 3}},
	}}
	for _, test := range []struct {
		opts tracks.WriteOptions
		want string
	}{
		{tracks.WriteOptions{}, "time_s,tip_x,tip_y,tip_confidence,nut_x,nut_y,nut_z\n" +
			"0,1,-2.5,0.99,1e+17,1,0.3333333333333333\n0.004166666666666667,,,,2,2,2\n0.5,0.1,1e-07,1,3,3,3\n"},
		{tracks.WriteOptions{Decimals: 2, TimeDecimals: 4, Units: true}, "time_s,tip_x_px,tip_y_px,tip_confidence,nut_x_px,nut_y_px,nut_z_px\n" +
			"0.0000,1.00,-2.50,0.99,100000000000000000.00,1.00,0.33\n0.0042,,,,2.00,2.00,2.00\n0.5000,0.10,0.00,1.00,3.00,3.00,3.00\n"},
		{tracks.WriteOptions{Decimals: -1}, "time_s,tip_x,tip_y,tip_confidence,nut_x,nut_y,nut_z\n" +
			"0,1,-2,1,100000000000000000,1,0\n0.004166666666666667,,,,2,2,2\n0.5,0,0,1,3,3,3\n"},
	} {
		var b strings.Builder
		if err := tracks.Write(&b, rec, test.opts); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(test.want, b.String()); diff != "" {
			t.Errorf("%+v: (-want +got)\n%s", test.opts, diff)
		}
	}
	if rec.Points[0].Y[1] != 7 {
		t.Error("Write changed its input")
	}
}

// TestWriteFormula: the name of a point is no formula to a spreadsheet, and comes back.
func TestWriteFormula(t *testing.T) {
	for name, want := range map[string]string{"=HYPERLINK(A1)": "'=HYPERLINK(A1)_x", "@tip": "'@tip_x", "'=tip": "''=tip_x", "it's": "it's_x"} {
		ts := []float64{0, 1}
		rec := &trajectory.Recording{T: ts, Points: []trajectory.Path{{Name: name, T: ts, X: []float64{-1, 2}, Y: []float64{3, 4}}}}
		var b strings.Builder
		if err := tracks.Write(&b, rec, tracks.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), ","+want+",") || !strings.Contains(b.String(), "\n0,-1,3\n") {
			t.Errorf("%s is written as %q, want a column %s", name, b.String(), want)
		}
		got, err := tracks.Read(strings.NewReader(b.String()), tracks.Options{})
		if err != nil || got.Points[0].Name != name {
			t.Errorf("%s comes back as %v (%v)", name, got, err)
		}
	}
}

// FuzzRead checks that no text makes the package panic, that all errors are of
// its type, that Inspect knows the points that Read finds, and that what was
// read comes back when it is written.
func FuzzRead(f *testing.F) {
	for _, d := range dialects {
		f.Add([]byte(d.text))
	}
	for _, d := range faulty {
		f.Add([]byte(d.text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		layout, ierr := tracks.Inspect(bytes.NewReader(text))
		rec, err := tracks.Read(bytes.NewReader(text), tracks.Options{Rate: 100})
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
			return
		}
		if ierr != nil {
			t.Fatalf("Inspect: %v", ierr)
		}
		for i, p := range rec.Points {
			if layout.Points[i] != p.Name {
				t.Fatalf("Inspect names %q, Read %q", layout.Points[i], p.Name)
			}
			for _, col := range [][]float64{p.X, p.Y, p.Z, p.Confidence} {
				if col != nil && len(col) != len(rec.T) || slices.ContainsFunc(col, func(v float64) bool { return math.IsInf(v, 0) }) {
					t.Fatalf("point %q: columns of %d, %d, %d, %d for %d samples", p.Name, len(p.X), len(p.Y), len(p.Z), len(p.Confidence), len(rec.T))
				}
			}
			for j := range p.X {
				if math.IsNaN(p.X[j]) != math.IsNaN(p.Y[j]) || p.Z != nil && math.IsNaN(p.X[j]) != math.IsNaN(p.Z[j]) {
					t.Fatalf("point %q: sample %d is missing in part", p.Name, j)
				}
			}
		}
		if !slices.IsSorted(rec.T) {
			t.Fatal("times go back")
		}
		var b bytes.Buffer
		if err := tracks.Write(&b, rec, tracks.WriteOptions{Units: rec.Unit != ""}); err != nil {
			var e *tracks.Error
			if errors.As(err, &e) && strings.Contains(e.Msg, "read back") {
				return // a name that only stands above the axes
			}
			t.Fatal(err)
		}
		text2 := b.String()
		again, err := tracks.Read(&b, tracks.Options{})
		if err != nil {
			t.Fatalf("%v in\n%s", err, text2)
		}
		if diff := cmp.Diff(rec, again, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("(-read +written and read)\n%s", diff)
		}
	})
}
