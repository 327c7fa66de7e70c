package figure

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		in   interval
		n    float64
		want []string
	}{
		{interval{0, 10}, 5, []string{"0", "2", "4", "6", "8", "10"}},
		{interval{-1.5, 1.5}, 3, []string{"−1", "0", "1"}},
		{interval{0.12, 0.31}, 4, []string{"0.15", "0.20", "0.25", "0.30"}},
		{interval{-0.04, 0.04}, 4, []string{"−0.04", "−0.02", "0.00", "0.02", "0.04"}},
		{interval{2e6, 4e6}, 2, []string{"2e+06", "3e+06", "4e+06"}},
		{interval{1e9, 1e9 + 1e-9}, 5, nil},
	} {
		if len(c.want) == 0 {
			if got := ticks(c.in, c.n); len(got) > 2*int(c.n)+1 {
				t.Errorf("ticks(%v, %v): %d of them", c.in, c.n, len(got))
			}
			continue
		}
		var got []string
		for _, k := range ticks(c.in, c.n) {
			got = append(got, k.label)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("ticks(%v, %v) = %q, want %q", c.in, c.n, got, c.want)
		}
	}
}

func TestRoundStep(t *testing.T) {
	for _, c := range []struct{ v, want float64 }{
		{1, 1}, {1.9, 1}, {2, 2}, {4.9, 2}, {5, 5}, {9.9, 5}, {10, 10}, {0.3, 0.2}, {0.1, 0.1}, {0.001, 0.001}, {99, 50},
	} {
		if got := roundStep(c.v); math.Abs(got-c.want) > 1e-12*c.want {
			t.Errorf("roundStep(%v) = %v, want %v", c.v, got, c.want)
		}
	}
}

// TestColumns holds what is kept of a line against its definition, column by
// column.
func TestColumns(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for _, n := range []int{1, 2, 3, 50, 1000} {
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i] = float64(i)*0.07 + 0.05*rng.Float64()
			y[i] = math.Round(8 * rng.NormFloat64()) // with ties
		}
		kept := columns(nil, x, y, 1)
		for k, i := range kept {
			if i < 0 || i >= n || k > 0 && kept[k-1] >= i {
				t.Fatalf("n %d: indices %v", n, kept)
			}
		}
		if kept[0] != 0 || kept[len(kept)-1] != n-1 {
			t.Errorf("n %d: the ends are lost", n)
		}
		lo, hi, count := map[float64]float64{}, map[float64]float64{}, map[float64]int{}
		for i := range x {
			c := math.Floor(x[i])
			if _, ok := lo[c]; !ok {
				lo[c], hi[c] = y[i], y[i]
			}
			lo[c], hi[c] = min(lo[c], y[i]), max(hi[c], y[i])
		}
		for _, i := range kept {
			c := math.Floor(x[i])
			count[c]++
			if v := y[i]; v == lo[c] {
				delete(lo, c)
			} else if v == hi[c] {
				delete(hi, c)
			}
		}
		for c, v := range lo {
			if !slices.ContainsFunc(kept, func(i int) bool { return math.Floor(x[i]) == c && y[i] == v }) {
				t.Errorf("n %d: column %v lost its least value %v", n, c, v)
			}
		}
		for c, v := range hi {
			if !slices.ContainsFunc(kept, func(i int) bool { return math.Floor(x[i]) == c && y[i] == v }) {
				t.Errorf("n %d: column %v lost its greatest value %v", n, c, v)
			}
		}
		for c, k := range count {
			if k > 3 || k > 2 && c != 0 && c != math.Floor(x[n-1]) {
				t.Errorf("n %d: %d samples in column %v", n, k, c)
			}
		}
	}
}

func BenchmarkColumns(b *testing.B) {
	x, y := make([]float64, 144_000), make([]float64, 144_000)
	for i := range x {
		x[i], y[i] = float64(i)/240, math.Sin(float64(i)/7)
	}
	var kept []int
	b.ReportAllocs()
	for b.Loop() {
		kept = columns(kept[:0], x, y, 1)
	}
}

func TestRuns(t *testing.T) {
	nan := math.NaN()
	x := []float64{0, 1, 2, 3, 4, 5, 6}
	for _, c := range []struct {
		y    []float64
		want []int
	}{
		{[]float64{1, 1, 1, 1, 1, 1, 1}, []int{0, 7}},
		{[]float64{nan, 1, 1, nan, nan, 1, nan}, []int{1, 3, 5, 6}},
		{[]float64{1, nan, 1, 1, math.Inf(1), 1, 1}, []int{0, 1, 2, 4, 5, 7}},
		{[]float64{nan, nan, nan, nan, nan, nan, nan}, nil},
	} {
		var got []int
		runs(x, c.y, func(from, to int) { got = append(got, from, to) })
		if !slices.Equal(got, c.want) {
			t.Errorf("runs of %v: %v, want %v", c.y, got, c.want)
		}
	}
}

// TestRunsSeen checks that a line keeps every gap as wide as a column, here of a
// quarter of a second, and no other.
func TestRunsSeen(t *testing.T) {
	nan := math.NaN()
	a := axes{in: rect(0, 0, 100*column, 10), x: interval{0, 25}, y: interval{0, 1}}
	x := []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 5}
	y := []float64{0, 1, nan, 1, nan, nan, nan, 1, 1}
	var got [][]float64
	a.runs(x, y, func(x, _ []float64) { got = append(got, slices.Clone(x)) })
	if len(got) != 2 || !slices.Equal(got[0], []float64{0, 0.1, 0.3}) || !slices.Equal(got[1], []float64{0.7, 5}) {
		t.Errorf("runs %v, want [0 0.1 0.3] and [0.7 5]: samples far apart are no gap", got)
	}
}

func TestBulk(t *testing.T) {
	values := make([]float64, 1000)
	for i := range values {
		values[i] = float64(i % 100)
	}
	if got := bulk(values); got != (interval{0, 99}) {
		t.Errorf("without odd values: %v, want all of 0 to 99", got)
	}
	values[500] = 1e6
	if got := bulk(values); got.lo != 0 || got.hi < 99 || got.hi > 130 {
		t.Errorf("with an odd value: %v, want about 0 to 99", got)
	}
	if got := bulk(nil, []float64{math.NaN()}); !got.empty() {
		t.Errorf("of nothing: %v, want an empty interval", got)
	}
}
