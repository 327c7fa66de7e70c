package filter_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// hampelVector and the expected values are the output of hampel in the R
// package pracma 2.4.2 (constant 1.4826, threshold 3); the published constant
// is rounded, which changes none of them.
var hampelVector = []float64{1, 1.2, .9, 1.1, 8, 1.05, .95, 1.15, 1, -6, 1.1, .98, 1.02, 1.3, .9}

func TestHampel(t *testing.T) {
	nan := math.NaN()
	rest := []float64{5, 5, 5, 5.01, 5, 5, 5, 5, 9, 5, 5}
	for _, tc := range []struct {
		name  string
		h     filter.Hampel
		x     []float64
		at    []int
		value []float64
	}{
		{"5 samples", filter.Hampel{HalfWidth: 2}, hampelVector, []int{4, 9, 10}, []float64{1.05, 1, 1}},
		{"7 samples, by default", filter.Hampel{}, hampelVector, []int{4, 9}, []float64{1.1, 1}},
		{"7 samples", filter.Hampel{HalfWidth: 3, Threshold: 3}, hampelVector, []int{4, 9}, []float64{1.1, 1}},
		{"a floor spares the small one", filter.Hampel{HalfWidth: 2, Floor: 0.2}, hampelVector, []int{4, 9}, []float64{1.05, 1}},
		{"a floor is to be exceeded", filter.Hampel{HalfWidth: 2, Floor: 7}, hampelVector, nil, nil},
		{"high threshold", filter.Hampel{HalfWidth: 2, Threshold: 1000}, hampelVector, nil, nil},
		{"off", filter.Hampel{HalfWidth: -1}, hampelVector, nil, nil},
		{"shorter than the window", filter.Hampel{HalfWidth: 8}, hampelVector, nil, nil},
		{"at rest every difference counts", filter.Hampel{HalfWidth: 2}, rest, []int{3, 8}, []float64{5, 5}},
		{"unless there is a floor", filter.Hampel{HalfWidth: 2, Floor: 0.1}, rest, []int{8}, []float64{5}},
		{"floor alone", filter.Hampel{HalfWidth: 2, Threshold: -1, Floor: 0.1}, rest, []int{8}, []float64{5}},
		{"a missing sample shields its window", filter.Hampel{HalfWidth: 2},
			[]float64{1, 2, 1, 2, 50, 2, nan, 2, 1, 2, 50, 2, 1, 2}, []int{10}, []float64{2}},
	} {
		want, wantFlags := slices.Clone(tc.x), make([]bool, len(tc.x))
		for i, at := range tc.at {
			want[at], wantFlags[at] = tc.value[i], true
		}
		flags := make([]bool, len(tc.x))
		for i := range flags {
			flags[i] = true
		}
		got, n := tc.h.Apply(nil, flags, tc.x)
		allNear(t, tc.name, got, want, 0)
		if n != len(tc.at) || !slices.Equal(flags, wantFlags) {
			t.Errorf("%s: %d flagged, %v; want %v", tc.name, n, flags, tc.at)
		}
	}
}

// TestHampelPlain compares the sliding window with the definition.
func TestHampelPlain(t *testing.T) {
	median := func(x []float64) float64 {
		x = slices.Sorted(slices.Values(x))
		return x[len(x)/2]
	}
	rng := rand.New(rand.NewPCG(2, 2))
	for trial := range 200 {
		h := filter.Hampel{HalfWidth: 1 + rng.IntN(6), Threshold: 0.5 + 3*rng.Float64(), Floor: rng.Float64()}
		if trial%50 == 0 {
			h.HalfWidth = 40
		}
		x := make([]float64, rng.IntN(150))
		for i := range x {
			x[i] = math.Round(8*rng.NormFloat64()) / 4 // many ties
			if rng.IntN(9) == 0 {
				x[i] *= 20
			}
		}
		k := h.HalfWidth
		want, count := slices.Clone(x), 0
		for i := k; i+k < len(x); i++ {
			w := slices.Clone(x[i-k : i+k+1])
			m := median(w)
			for j := range w {
				w[j] = math.Abs(w[j] - m)
			}
			if d := math.Abs(x[i] - m); d > h.Threshold*1.482602218505602*median(w) && d > h.Floor {
				want[i] = m
				count++
			}
		}
		got, n := h.Apply(nil, nil, x)
		allNear(t, "sliding", got, want, 0)
		if n != count {
			t.Errorf("trial %d: %d flagged, want %d", trial, n, count)
		}
	}
}

// The result of the reversed samples is the reversed result.
func TestHampelReversal(t *testing.T) {
	x := wander(300)
	y, n := filter.Hampel{}.Apply(nil, nil, x)
	if n == 0 {
		t.Fatal("nothing flagged")
	}
	slices.Reverse(x)
	z, _ := filter.Hampel{}.Apply(x, nil, x)
	slices.Reverse(z)
	if !slices.Equal(y, z) {
		t.Error("another result backward")
	}
}
