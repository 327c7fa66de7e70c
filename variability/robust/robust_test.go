package robust_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/robust"
)

// golden is testdata/reference/robust.json, made by robust.py there.
type golden struct {
	Trends []struct {
		Name             string
		X, Y             []float64
		S, Var, Z, P     float64
		Tau              float64
		Slope, Intercept float64
		Low, High        *float64
		Siegel           [2]float64
	}
	Tails []struct {
		N, S         int
		Count, Total float64
	}
	Quantiles struct {
		X, P, Q    []float64
		MAD, Scale float64
	}
}

func load(t *testing.T) (g golden) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/robust.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

// near allows a relative difference, and equals NaN to NaN.
func near(got, want, tol float64) bool {
	return scalar.Same(got, want) || scalar.EqualWithinAbsOrRel(got, want, tol, tol)
}

func TestTheilSen(t *testing.T) {
	for _, c := range load(t).Trends {
		got := robust.TheilSen(c.X, c.Y)
		want := robust.Line{Slope: c.Slope, Intercept: c.Intercept, SlopeLow: math.NaN(), SlopeHigh: math.NaN(), N: len(c.X)}
		if c.Low != nil {
			want.SlopeLow, want.SlopeHigh = *c.Low, *c.High
		}
		if !near(got.Slope, want.Slope, 1e-12) || !near(got.Intercept, want.Intercept, 1e-12) ||
			!near(got.SlopeLow, want.SlopeLow, 1e-12) || !near(got.SlopeHigh, want.SlopeHigh, 1e-12) || got.N != want.N {
			t.Errorf("%s: got %+v, want %+v", c.Name, got, want)
		}
	}
}

func TestTheilSenSpecial(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		x, y []float64
	}{
		{"empty", nil, nil},
		{"one point", []float64{1}, []float64{2}},
		{"one x", []float64{1, 1, 1}, []float64{2, 3, 4}},
		{"missing x", []float64{1, nan, 3}, []float64{2, 3, 4}},
		{"missing y", []float64{1, 2, 3}, []float64{2, 3, nan}},
		{"infinite", []float64{1, 2, inf}, []float64{2, 3, 4}},
	} {
		l := robust.TheilSen(c.x, c.y)
		if !math.IsNaN(l.Slope) || !math.IsNaN(l.Intercept) || !math.IsNaN(l.SlopeLow) || !math.IsNaN(l.SlopeHigh) || l.N != len(c.x) {
			t.Errorf("%s: %+v, want NaN", c.name, l)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for slices of unequal length")
		}
	}()
	robust.TheilSen(make([]float64, 2), make([]float64, 3))
}

// TestTheilSenTurns checks properties that hold for any data: the order of the
// points is of no importance; a line added to y is added to the result; 29 %
// of wild points do no harm to an exact line.
func TestTheilSenTurns(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	const n = 900
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i], y[i] = float64(i)/8, float64(rng.IntN(1<<20))/(1<<18) // sums below are exact
	}
	first := robust.TheilSen(x, y)
	sx, sy := slices.Clone(x), slices.Clone(y)
	rng.Shuffle(n, func(i, j int) { sx[i], sx[j] = sx[j], sx[i]; sy[i], sy[j] = sy[j], sy[i] })
	if got := robust.TheilSen(sx, sy); got != first {
		t.Errorf("shuffled: %+v, want %+v", got, first)
	}
	for i := range sy {
		sy[i] += 0.5*sx[i] + 3
	}
	if got := robust.TheilSen(sx, sy); !near(got.Slope, first.Slope+0.5, 1e-9) || !near(got.SlopeLow, first.SlopeLow+0.5, 1e-9) {
		t.Errorf("line added: %+v, want the slopes of %+v and 0.5", got, first)
	}
	for i := range y {
		y[i] = 2 - 0.25*x[i]
		if i%100 < 28 {
			y[i] = 1e6 * rng.NormFloat64()
		}
	}
	if got := robust.TheilSen(x, y); got.Slope != -0.25 || !near(got.At(8), 0, 30) {
		t.Errorf("28 %% wild: %+v, want a slope of -0.25", got)
	}
}

func TestMannKendall(t *testing.T) {
	g := load(t)
	for _, c := range g.Trends {
		got := robust.MannKendall(c.Y)
		if got.S != c.S || !near(got.Var, c.Var, 1e-14) || !near(got.Z, c.Z, 1e-13) || !near(got.Tau, c.Tau, 1e-13) {
			t.Errorf("%s: got %+v, want S %v Var %v Z %v tau %v", c.Name, got, c.S, c.Var, c.Z, c.Tau)
		}
		if !got.Exact && !near(got.P, c.P, 1e-12) {
			t.Errorf("%s: P = %v, want %v", c.Name, got.P, c.P)
		}
	}
	for _, c := range g.Tails {
		y := withS(c.N, c.S)
		got := robust.MannKendall(y)
		if want := min(1, 2*c.Count/c.Total); got.S != float64(c.S) || !got.Exact || !near(got.P, want, 1e-12) {
			t.Errorf("n=%d S=%d: got %+v, want P = %v", c.N, c.S, got, want)
		}
	}
}

// withS returns an order of 1 … n whose S is s: falling pairs are made one by
// one by moving the largest values down.
func withS(n, s int) []float64 {
	falls := (n*(n-1)/2 - s) / 2
	var y []float64
	for v := range n {
		at := max(0, len(y)-falls)
		falls -= len(y) - at
		y = slices.Insert(y, at, float64(v))
	}
	return y
}

func TestMannKendallSpecial(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		y    []float64
		want robust.Trend
	}{
		{nil, robust.Trend{P: 1, Tau: nan, Exact: true}},
		{[]float64{3}, robust.Trend{P: 1, Tau: nan, N: 1, Exact: true}},
		{[]float64{3, 3, 3}, robust.Trend{P: 1, Tau: nan, N: 3}},
		{[]float64{3, nan, 3}, robust.Trend{S: nan, Var: nan, Z: nan, P: nan, Tau: nan, N: 3}},
		{[]float64{1, math.Inf(1)}, robust.Trend{S: 1, Var: 1, P: 1, Tau: 1, N: 2, Exact: true}},
	} {
		got := robust.MannKendall(c.y)
		if !near(got.S, c.want.S, 0) || !near(got.Var, c.want.Var, 0) || !near(got.Z, c.want.Z, 0) ||
			!near(got.P, c.want.P, 0) || !near(got.Tau, c.want.Tau, 0) || got.N != c.want.N || got.Exact != c.want.Exact {
			t.Errorf("%v: got %+v, want %+v", c.y, got, c.want)
		}
	}
}

// TestQuantile checks type 7 with numpy (and R 4.2.2, quantile(type = 7)).
func TestQuantile(t *testing.T) {
	q := load(t).Quantiles
	for i, p := range q.P {
		if got := robust.Quantile(p, q.X); !near(got, q.Q[i], 1e-14) {
			t.Errorf("Quantile(%v) = %v, want %v", p, got, q.Q[i])
		}
	}
	if got := robust.MAD(q.X); !near(got, q.MAD, 1e-14) {
		t.Errorf("MAD = %v, want %v", got, q.MAD)
	}
	if got := robust.Scale(q.X); !near(got, q.Scale, 1e-14) {
		t.Errorf("Scale = %v, want %v", got, q.Scale)
	}
	// R package MASS, chem: median 3.385, mad 0.526323.
	chem := []float64{2.9, 3.1, 3.4, 3.4, 3.7, 3.7, 2.8, 2.5, 2.4, 2.4, 2.7, 2.2, 5.28, 3.37, 3.03, 3.03, 28.95, 3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7}
	if m, s := robust.Median(chem), robust.Scale(chem); !near(m, 3.385, 1e-14) || math.Abs(s-0.526323) > 5e-6 {
		t.Errorf("chem: median %v, scale %v, want 3.385, 0.526323", m, s)
	}
}

// TestAgainstSorting compares selection with sorting on orders that are hard
// on quickselect, at lengths about its thresholds.
func TestAgainstSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for name, value := range map[string]func(i, n int) float64{
		"random":    func(i, n int) float64 { return rng.NormFloat64() },
		"rising":    func(i, n int) float64 { return float64(i) },
		"falling":   func(i, n int) float64 { return float64(-i) },
		"equal":     func(i, n int) float64 { return 1 },
		"two":       func(i, n int) float64 { return float64(i % 2) },
		"organ":     func(i, n int) float64 { return float64(min(i, n-i)) },
		"sawtooth":  func(i, n int) float64 { return float64(i % 37) },
		"infinite":  func(i, n int) float64 { return math.Inf(1 - 2*(i%2)) },
		"with wild": func(i, n int) float64 { return math.Pow(rng.NormFloat64(), 9) },
	} {
		for _, n := range []int{1, 2, 3, 4, 16, 17, 18, 19, 130, 131, 1000, 5001} {
			xs := make([]float64, n)
			for i := range xs {
				xs[i] = value(i, n)
			}
			before, sorted := slices.Clone(xs), slices.Clone(xs)
			slices.Sort(sorted)
			want := sorted[n/2]
			if a := sorted[(n-1)/2]; a != want {
				want = a + (want-a)/2
			}
			if got := robust.Median(xs); !near(got, want, 0) {
				t.Errorf("%s, n=%d: median %v, want %v", name, n, got, want)
			}
			for k := 0; k < n; k += 1 + n/7 {
				p := float64(k) / float64(max(1, n-1))
				h := float64(n-1) * p // may miss k by rounding
				lo, hi := sorted[int(h)], sorted[min(n-1, int(h)+1)]
				part := slices.Clone(xs)
				if got := robust.Select(part, k); got != sorted[k] || part[k] != got ||
					k > 0 && slices.Max(part[:k]) > got || slices.Min(part[k:]) < got {
					t.Errorf("%s, n=%d: Select(%d) is %v, want %v between the smaller and the larger", name, n, k, got, sorted[k])
				}
				if slices.Sort(part); !slices.Equal(part, sorted) {
					t.Errorf("%s, n=%d: Select(%d) did more than reorder", name, n, k)
				}
				if got := robust.Quantile(p, xs); !math.IsNaN(got) && (got < lo || got > hi) {
					t.Errorf("%s, n=%d: quantile %v is %v, outside %v to %v", name, n, p, got, lo, hi)
				}
			}
			if !slices.Equal(xs, before) {
				t.Errorf("%s, n=%d: the input was changed", name, n)
			}
		}
	}
}

func TestUndefined(t *testing.T) {
	nan := math.NaN()
	for _, f := range []func([]float64) float64{
		robust.Median, robust.MedianInPlace, robust.MAD, robust.MADInPlace, robust.Scale, robust.ScaleInPlace,
		func(xs []float64) float64 { return robust.Quantile(0.5, xs) },
		func(xs []float64) float64 { return robust.QuantileInPlace(0.5, xs) },
	} {
		for _, xs := range [][]float64{nil, {}, {nan}, {1, nan, 2}, {nan, 1, 2, 3}} {
			if got := f(slices.Clone(xs)); !math.IsNaN(got) {
				t.Errorf("%v gives %v, want NaN", xs, got)
			}
		}
	}
	for _, p := range []float64{-0.1, 1.1, nan} {
		if got := robust.Quantile(p, []float64{1, 2}); !math.IsNaN(got) {
			t.Errorf("quantile %v is %v, want NaN", p, got)
		}
	}
	if got := robust.MAD([]float64{7}); got != 0 {
		t.Errorf("MAD of one value is %v, want 0", got)
	}
}

func TestInPlaceDoesNotAllocate(t *testing.T) {
	xs := make([]float64, 999)
	for i := range xs {
		xs[i] = float64(i * 7919 % 999)
	}
	if n := testing.AllocsPerRun(10, func() {
		robust.MedianInPlace(xs)
		robust.QuantileInPlace(0.9, xs)
		robust.ScaleInPlace(xs)
	}); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}

func BenchmarkMedianInPlace(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	xs, dst := make([]float64, 6600), make([]float64, 6600)
	for i := range xs {
		xs[i] = rng.NormFloat64()
	}
	b.ReportAllocs()
	for b.Loop() {
		copy(dst, xs)
		robust.MedianInPlace(dst)
	}
}

func BenchmarkScaleInPlace(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	xs, dst := make([]float64, 6600), make([]float64, 6600)
	for i := range xs {
		xs[i] = rng.NormFloat64()
	}
	b.ReportAllocs()
	for b.Loop() {
		copy(dst, xs)
		robust.ScaleInPlace(dst)
	}
}

func BenchmarkMannKendall(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	xs := make([]float64, 6600)
	for i := range xs {
		xs[i] = rng.NormFloat64()
	}
	b.ReportAllocs()
	for b.Loop() {
		robust.MannKendall(xs)
	}
}
