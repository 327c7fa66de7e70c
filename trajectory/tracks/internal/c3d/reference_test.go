package c3d

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// The reference values are made by testdata/reference/c3d.py, which puts bytes
// together from the user guide.
type reference struct {
	Reals []struct{ Value, Intel, DEC, MIPS string }
	Files []struct{ Name, Hex string }
	// Frames are the coordinates of every point of every frame, nil where it
	// was not seen.
	Frames [][][]float64
	Points []string
	Unit   string
	Rate   float64
	First  int64
}

func load(t *testing.T) (r reference) {
	t.Helper()
	b, err := os.ReadFile("../../../../testdata/reference/c3d.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Reals) == 0 || len(r.Files) != 6 || len(r.Frames) == 0 {
		t.Fatal("no reference values")
	}
	return r
}

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestReals holds real, to the bit, against bytes of known values.
func TestReals(t *testing.T) {
	for _, r := range load(t).Reals {
		want, err := strconv.ParseFloat(r.Value, 64) // hexadecimal, exact
		if err != nil {
			t.Fatal(err)
		}
		for o, s := range map[order]string{intel: r.Intel, dec: r.DEC, mips: r.MIPS} {
			if s == "" { // out of its range
				continue
			}
			if got := o.real(unhex(t, s)); math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("%d: %s is %v, want %v", o, s, got, want)
			}
		}
	}
}

// TestDECRange checks every exponent of DEC reals against the formula of the
// package documentation.
func TestDECRange(t *testing.T) {
	for e := range uint32(256) {
		for _, m := range []uint32{0, 1, 0x400000, 0x7fffff} {
			for s := range uint32(2) {
				bits := s<<31 | e<<23 | m
				b := []byte{byte(bits >> 16), byte(bits >> 24), byte(bits), byte(bits >> 8)}
				want := math.Ldexp(float64(1<<23+m), int(e)-152) * (1 - 2*float64(s))
				switch {
				case e == 0 && s == 1:
					want = math.NaN()
				case e == 0:
					want = 0
				}
				if got := dec.real(b); got != want && !(got != got && want != want) {
					t.Errorf("sign %d, exponent %d, fraction %#x: got %v, want %v", s, e, m, got, want)
				}
			}
		}
	}
}

// TestFiles reads a file of each kind of processor and number.
func TestFiles(t *testing.T) {
	ref := load(t)
	for _, file := range ref.Files {
		t.Run(file.Name, func(t *testing.T) {
			b := unhex(t, file.Hex)
			if !Is(b[:512]) {
				t.Error("not recognized")
			}
			f, err := Open(bytes.NewReader(b))
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, p := range f.Points {
				names = append(names, p.Name)
			}
			if diff := cmp.Diff(ref.Points, names); diff != "" {
				t.Errorf("names (-want +got)\n%s", diff)
			}
			if f.Frames != len(ref.Frames) || f.Rate != ref.Rate || f.Unit != ref.Unit || f.First != ref.First {
				t.Errorf("%d frames from %d, rate %v, unit %q", f.Frames, f.First, f.Rate, f.Unit)
			}
			got, err := f.Read([]int{0, 1}, int64(len(b)), math.MaxInt)
			if err != nil {
				t.Fatal(err)
			}
			want := make([]Columns, 2)
			for _, frame := range ref.Frames {
				for k, p := range frame {
					if p == nil {
						p = []float64{math.NaN(), math.NaN(), math.NaN()}
					}
					want[k].X = append(want[k].X, p[0])
					want[k].Y = append(want[k].Y, p[1])
					want[k].Z = append(want[k].Z, p[2])
				}
			}
			if diff := cmp.Diff(want, got, cmpopts.EquateNaNs()); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

func TestIs(t *testing.T) {
	for _, test := range []struct {
		head string
		want bool
	}{
		{"", false}, {"\x02", false}, {"\x02P", true}, {"\x02P\x00\x01", true},
		{"\x02Q\x00\x01", false}, {"\x00P\x00", false},
		{"XPos,YPos\n1,2\n", false}, {"\nP,x,y\n", false}, {"%PDF-1.7\x00", false}, {"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", false},
		{"2P\x01\x00", true}, // parameters in block 50
	} {
		if got := Is([]byte(test.head)); got != test.want {
			t.Errorf("Is(%q) = %v", test.head, got)
		}
	}
}
