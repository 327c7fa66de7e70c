package robust

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// allSlopes is the definition: every slope of two points that differ in x,
// sorted.
func allSlopes(x, y []float64) []float64 {
	var all []float64
	for i := range x {
		for j := range x {
			if x[i] < x[j] {
				all = append(all, (y[j]-y[i])/(x[j]-x[i]))
			}
		}
	}
	slices.Sort(all)
	return all
}

// TestRankAgainstSorting compares selection with sorting all slopes. The
// results must be equal bit for bit: the same two points give the slope. Ties
// in thousands are let off within rounding, as documented.
func TestRankAgainstSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	data := map[string]func(i int) (x, y float64){
		"noise":           func(i int) (float64, float64) { return float64(i), rng.NormFloat64() },
		"trend":           func(i int) (float64, float64) { return float64(i), 3e-4*float64(i) + rng.NormFloat64() },
		"uneven x":        func(i int) (float64, float64) { return rng.ExpFloat64(), rng.NormFloat64() },
		"repeated x":      func(i int) (float64, float64) { return float64(i / 7), rng.NormFloat64() },
		"far from origin": func(i int) (float64, float64) { return 1e6 + float64(i)/240, 1e5 + rng.NormFloat64() },
		"whole numbers":   func(i int) (float64, float64) { return float64(i), math.Round(3 * rng.NormFloat64()) },
		"two heights":     func(i int) (float64, float64) { return float64(i), float64(rng.IntN(2)) },
		"constant":        func(i int) (float64, float64) { return float64(i), 5 },
		"exact line":      func(i int) (float64, float64) { return float64(i), 0.1 * float64(i) },
		"random walk": func() func(i int) (float64, float64) {
			w := 0.0
			return func(i int) (float64, float64) { w += rng.NormFloat64(); return float64(i), w }
		}(),
		"two slopes":      func(i int) (float64, float64) { return float64(i % 2), float64((i % 4) / 2) },
		"near-repeated x": func(i int) (float64, float64) { return float64(i) + 1e-13*float64(i%3), rng.NormFloat64() },
		"one point is far": func(i int) (float64, float64) {
			if i == 3 {
				return 1e9, -4
			}
			return float64(i), rng.NormFloat64()
		},
	}
	for name, point := range data {
		t.Run(name, func(t *testing.T) {
			for _, n := range []int{2, 3, 10, 180, 700} {
				x, y := make([]float64, n), make([]float64, n)
				for i := range x {
					x[i], y[i] = point(i)
				}
				all := allSlopes(x, y)
				s := newSlopes(x, y)
				if int(s.total) != len(all) {
					t.Fatalf("n=%d: %d slopes, want %d", n, s.total, len(all))
				}
				if len(all) == 0 {
					continue
				}
				for _, p := range []float64{0, 0.01, 0.3, 0.5, 0.51, 0.9, 1} {
					k := int(p * float64(len(all)-1))
					k2 := min(k+1, len(all)-1)
					a, b := s.rank(int64(k), int64(k2))
					got, want := []float64{a, b}, []float64{all[k], all[k2]}
					tol := 1e-12 * math.Abs(want[0])
					if !cmp.Equal(got, want) && !(math.Abs(a-want[0]) <= tol && math.Abs(b-want[1]) <= tol) {
						t.Errorf("n=%d rank %d: got %v, want %v", n, k, got, want)
					}
				}
			}
		})
	}
}

// TestMemory holds the promise of O(n) memory where every slope is the same,
// where 12 million of them would be 100 MB.
func TestMemory(t *testing.T) {
	x, y := make([]float64, 5000), make([]float64, 5000)
	for i := range x {
		x[i] = float64(i)
	}
	for _, height := range []float64{0, 0.1} {
		for i := range y {
			y[i] = height
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		TheilSen(x, y)
		runtime.ReadMemStats(&after)
		got := after.TotalAlloc - before.TotalAlloc
		if got > 4_000_000 {
			t.Errorf("height %v: %d bytes", height, got)
		}
	}
}

func BenchmarkTheilSen(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{100, 1000, 6600, 100_000} {
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = float64(i), rng.NormFloat64()+1e-4*float64(i)
		}
		b.Run("n="+strconv.Itoa(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				TheilSen(x, y)
			}
		})
	}
}
