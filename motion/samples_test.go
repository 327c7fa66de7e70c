package motion

import (
	"math"
	"math/rand/v2"
	"testing"
)

// uneven returns n times of about one step, with gaps.
func uneven(rng *rand.Rand, n int, step float64) []float64 {
	t := make([]float64, n)
	for i := 1; i < n; i++ {
		t[i] = t[i-1] + step*(0.5+rng.Float64())
		if rng.IntN(20) == 0 {
			t[i] += 30 * step * rng.Float64()
		}
	}
	return t
}

// TestSamplesWithin holds the leaping search to a walk through all times, from
// any cursor, and at the times of samples themselves.
func TestSamplesWithin(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	times := uneven(rng, 300, 0.1)
	s := samples{t: times, step: 0.1}
	for range 2000 {
		from := times[rng.IntN(len(times))]
		if rng.IntN(2) == 0 {
			from = -5 + 100*rng.Float64()
		}
		to := from + 3*rng.Float64()
		lo, hi := s.within(from, to)
		for k, v := range times {
			if in := v >= from && v <= to; in != (k >= lo && k < hi) {
				t.Fatalf("[%v, %v]: got samples [%d, %d), but %d lies at %v", from, to, lo, hi, k, v)
			}
		}
		if lo < len(times) && times[lo] < from || lo > 0 && times[lo-1] >= from {
			t.Fatalf("sample %d is not the first from %v on", lo, from)
		}
	}
}

// TestNewSamples: missing samples are left out; nothing is copied when there
// are none.
func TestNewSamples(t *testing.T) {
	nan := math.NaN()
	times := []float64{0, 1, 2, 3, 4}
	s := newSamples(new(pools), times, [][]float64{{nan, 1, 2, nan, 4}, {nan, 5, 6, nan, 8}})
	if len(s.t) != 3 || s.t[0] != 1 || s.t[2] != 4 || s.cols[0][1] != 2 || s.cols[1][2] != 8 {
		t.Errorf("got %v at %v", s.cols, s.t)
	}
	if s = newSamples(new(pools), times, [][]float64{times, times}); &s.t[0] != &times[0] {
		t.Error("copied although no sample is missing")
	}
}

// TestSpans holds the walk by spans to the nearest swing of each sample.
func TestSpans(t *testing.T) {
	l := local{at: []float64{3, 7.5, 8, 8, 20.25, 31}}
	for from := range 40 {
		next := from
		parts := l.spans(from, 40)
		for k, r, ok := parts.next(); ok; k, r, ok = parts.next() {
			if r.Start != next {
				t.Fatalf("from %d: a span begins at %d, want %d", from, r.Start, next)
			}
			for next = r.Start; next < r.End; next++ {
				if want := l.nearest(0, float64(next)); k != want {
					t.Errorf("from %d: swing %d for sample %d, want %d", from, k, next, want)
				}
			}
		}
		if next != 40 {
			t.Errorf("from %d: the spans end at %d", from, next)
		}
	}
}
