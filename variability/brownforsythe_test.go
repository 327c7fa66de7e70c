package variability_test

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability"
)

// NIST/SEMATECH handbook 1.3.5.10, gear diameters in 10 batches of 10: it
// prints W = 1.705910, double precision gives 1.705918. About means W would be
// 2.159. The critical value there is F(0.95; 9, 90) = 1.9855.
func TestBrownForsytheGear(t *testing.T) {
	b, err := os.ReadFile("../testdata/reference/nist/gear.txt")
	if err != nil {
		t.Fatal(err)
	}
	groups := make([][]float64, 10)
	fields := strings.Fields(string(b))
	for i := 0; i+1 < len(fields); i += 2 {
		d, err1 := strconv.ParseFloat(fields[i], 64)
		batch, err2 := strconv.ParseFloat(fields[i+1], 64)
		if err1 != nil || err2 != nil || batch < 1 || batch > 10 {
			t.Fatalf("gear.txt: %q %q", fields[i], fields[i+1])
		}
		groups[int(batch)-1] = append(groups[int(batch)-1], d)
	}
	w := variability.BrownForsythe(groups...)
	if !near(w, 1.705910, 1e-5) {
		t.Errorf("W = %v, want 1.705910", w)
	}
	// scipy 1.10.1, stats.levene(center="median").
	if !near(w, 1.7059176930, 1e-10) {
		t.Errorf("W = %v, want 1.7059176930", w)
	}
	if p := (distuv.F{D1: 9, D2: 90}).Survival(w); !near(p, 0.0990830, 1e-7) {
		t.Errorf("P = %v, want 0.0990830", p)
	}
}

func TestBrownForsytheReference(t *testing.T) {
	for _, p := range readReference(t).Pairs {
		if got := variability.BrownForsythe(p.A, p.B); !near(got, p.Levene, 1e-12) {
			t.Errorf("%s: W %v, want %v", p.Name, got, p.Levene)
		}
	}
}

func TestBrownForsytheSpecial(t *testing.T) {
	nan := math.NaN()
	x, y := []float64{1, 2, 4, 9}, []float64{1, 5, 6, 7, 20}
	w := variability.BrownForsythe(x, y)
	for _, tc := range []struct {
		name   string
		groups [][]float64
		want   float64
	}{
		{"no group", nil, nan},
		{"one group", [][]float64{x}, nan},
		{"an empty group", [][]float64{x, {}}, nan},
		{"a missing group", [][]float64{x, {nan, nan}}, nan},
		{"one value each", [][]float64{{1}, {2}}, nan},
		{"no deviation at all", [][]float64{{1, 1}, {2, 2}}, nan},
		{"deviations all alike", [][]float64{{1, 3}, {2, 4}}, nan},
		{"alike in each group", [][]float64{{1, 3}, {2, 8}}, math.Inf(1)},
		{"missing left out", [][]float64{{1, nan, 2, 4, 9}, {nan, 1, 5, 6, 7, 20}}, w},
		{"groups moved apart", [][]float64{each(x, func(v float64) float64 { return v + 1024 }), y}, w},
		{"another unit", [][]float64{each(x, func(v float64) float64 { return -4 * v }), each(y, func(v float64) float64 { return 4 * v })}, w},
		{"other order", [][]float64{y, x}, w},
	} {
		if got := variability.BrownForsythe(tc.groups...); !near(got, tc.want, 1e-13) {
			t.Errorf("%s: W %v, want %v", tc.name, got, tc.want)
		}
	}
}
