package delimited

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, test := range []struct {
		text  string
		point byte
		want  float64
		kind  Kind
	}{
		{"1.5", '.', 1.5, Number},
		{"1,5", ',', 1.5, Number},
		{"-12345678901234567890,5e-1", ',', -1234567890123456789.05, Number}, // the long way
		{"1.5", ',', 0, Text},
		{"1,5", '.', 0, Text},
		{"1e+2", '.', 100, Number},
		{"1e400000000000", '.', 0, Infinite},
		{"1e-400000000000", '.', 0, Number},
		{"", '.', 0, Missing}, {"-", '.', 0, Missing}, {"--", '.', 0, Missing},
		{"NaN", '.', 0, Missing}, {"-nan", '.', 0, Missing}, {"NONE", '.', 0, Missing}, {"N/A", '.', 0, Missing},
		{"inf", '.', 0, Infinite}, {"+Inf", '.', 0, Infinite}, {"-INFINITY", '.', 0, Infinite},
		{".", '.', 0, Text}, {"+", '.', 0, Text}, {"e5", '.', 0, Text}, {"1e", '.', 0, Text}, {"1e+", '.', 0, Text},
		{"1.2.3", '.', 0, Text}, {"1 2", '.', 0, Text}, {"--1", '.', 0, Text}, {"0x1p3", '.', 0, Text},
		{"1_0", '.', 0, Text}, {"nano", '.', 0, Text}, {"infinitely", '.', 0, Text}, {"١", '.', 0, Text},
	} {
		got, kind := Parse([]byte(test.text), test.point)
		if kind != test.kind || kind == Number && got != test.want || kind != Number && !math.IsNaN(got) {
			t.Errorf("Parse(%q, %q) = %v, %v; want %v, %v", test.text, test.point, got, kind, test.want, test.kind)
		}
	}
}

// TestParseNearest holds the ways of conversion against strconv, which rounds
// correctly: every count of digits and place of the point that needs no
// exponent, and the shortest and the 17-digit form of float64 values.
func TestParseNearest(t *testing.T) {
	check := func(text string) {
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, kind := Parse([]byte(text), '.'); kind != Number || got != want {
			t.Errorf("%s: got %v, want %v", text, got, want)
		}
	}
	rng := rand.New(rand.NewPCG(4, 180))
	for digits := 1; digits <= 21; digits++ {
		for point := range digits + 1 {
			for range 50 {
				b := make([]byte, 0, digits+1)
				for i := range digits {
					if i == point {
						b = append(b, '.')
					}
					b = append(b, byte('0'+rng.IntN(10)))
				}
				check(string(b))
			}
		}
	}
	for range 20_000 {
		v := 2000 * (rng.Float64() - 0.5)
		check(strconv.FormatFloat(v, 'g', -1, 64))
		check(strconv.FormatFloat(v, 'e', 16, 64))
		// Halfway between two neighbours, where that has few enough digits.
		m := float64(1<<53+2*rng.Int64N(1<<40)) / 4
		check(strconv.FormatFloat(m, 'f', 2, 64))
	}
	for k := range maxCount + 1 {
		for _, w := range []uint64{1, 1<<53 - 1, 1 << 53, 1<<53 + 1, 1<<63 - 1, 1 << 63, 1<<63 + 1, math.MaxUint64} {
			want, err := strconv.ParseFloat(strconv.FormatUint(w, 10)+"e-"+strconv.Itoa(k), 64)
			if got := quotient(w, k); err != nil || got != want {
				t.Errorf("%d / 10^%d: got %v, want %v", w, k, got, want)
			}
		}
	}
}

// FuzzParse holds Parse against strconv, which rounds correctly, wherever the
// text is a decimal.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.5", "-0.1e-5", "9007199254740993", "1e22", "nan", "-", "0x1", "1e309", ".e1", "1.e1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, kind := Parse([]byte(s), '.')
		want, err := strconv.ParseFloat(s, 64)
		switch kind {
		case Number:
			if err != nil || math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("%q: got %v, want %v (%v)", s, got, want, err)
			}
		case Infinite:
			if !math.IsInf(want, 0) {
				t.Errorf("%q: infinite, want %v", s, want)
			}
		case Text:
			if err == nil && !strings.ContainsAny(s, "xX_") {
				t.Errorf("%q: text, want %v", s, want)
			}
		}
	})
}
