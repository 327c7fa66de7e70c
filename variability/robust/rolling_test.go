package robust_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/robust"
)

// TestRollingMedian holds the sliding window to sorting each window anew, with ties
// and missing values, and windows wider than the series and than the stack has room
// for.
func TestRollingMedian(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, half := range []int{-1, 0, 1, 6, 12, 40} {
		for _, n := range []int{0, 1, 2, 5, 7, 13, 14, 100} {
			xs := make([]float64, n)
			for i := range xs {
				if xs[i] = math.Floor(10 * rng.Float64()); n == 100 && xs[i] == 9 {
					xs[i] = math.NaN()
				}
			}
			kept := slices.Clone(xs)
			got := robust.RollingMedian(nil, xs, half)
			for i := range xs {
				w := slices.Clone(xs[max(0, i-max(0, half)):min(n, i+max(0, half)+1)])
				slices.Sort(w)
				want := (w[(len(w)-1)/2] + w[len(w)/2]) / 2
				if !scalar.Same(got[i], want) {
					t.Fatalf("half %d, n %d: median at %d is %v, want %v", half, n, i, got[i], want)
				}
				if !scalar.Same(xs[i], kept[i]) {
					t.Fatalf("half %d, n %d: the input has changed at %d", half, n, i)
				}
			}
		}
	}
}

func TestRollingMedianAllocates(t *testing.T) {
	xs, dst := make([]float64, 200), make([]float64, 200)
	if n := testing.AllocsPerRun(10, func() { robust.RollingMedian(dst, xs, 31) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
	defer func() {
		if recover() == nil {
			t.Error("a short dst is not refused")
		}
	}()
	robust.RollingMedian(dst[:9], xs, 3)
}

// BenchmarkRollingMedian takes the local scatter of the strokes of a minute, and the
// same window by window.
func BenchmarkRollingMedian(b *testing.B) {
	const half = 12
	rng := rand.New(rand.NewPCG(1, 1))
	xs := make([]float64, 600)
	for i := range xs {
		xs[i] = rng.NormFloat64()
	}
	dst, w := make([]float64, len(xs)), make([]float64, 0, 2*half+1)
	b.Run(fmt.Sprintf("half=%d", half), func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			robust.RollingMedian(dst, xs, half)
		}
	})
	b.Run("each anew", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			for i := range xs {
				w = append(w[:0], xs[max(0, i-half):min(len(xs), i+half+1)]...)
				dst[i] = robust.MedianInPlace(w)
			}
		}
	})
}
