package tempo

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestTransforms holds the cosine transform against scipy.fft.dct, and the
// trend of blocks against scipy.stats.theilslopes and kendalltau.
func TestTransforms(t *testing.T) {
	text, err := os.ReadFile("../testdata/reference/tempo_timing.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Cosines struct{ Y, C []float64 }
		Slope   struct {
			At, Y    []float64
			Slope, S float64
		}
	}
	if err := json.Unmarshal(text, &ref); err != nil {
		t.Fatal(err)
	}
	c := cosines(ref.Cosines.Y)
	if len(c) != len(ref.Cosines.C) {
		t.Fatalf("%d components, want %d", len(c), len(ref.Cosines.C))
	}
	for j, want := range ref.Cosines.C {
		if !scalar.EqualWithinAbs(c[j], want, 1e-12) {
			t.Errorf("component %d: %v, want %v", j, c[j], want)
		}
	}
	slope, s := newPairwise(ref.Slope.At).trend(ref.Slope.Y)
	if !scalar.EqualWithinRel(slope, ref.Slope.Slope, 1e-12) || s != ref.Slope.S {
		t.Errorf("slope %v, S %v, want %v, %v", slope, s, ref.Slope.Slope, ref.Slope.S)
	}
}

// TestLeap holds the leap of a clock over a block against the covariances of
// its strokes, φ^|i-j|, added up.
func TestLeap(t *testing.T) {
	p := player{leaps: make([][]leap, len(correlations))}
	for which, phi := range correlations {
		for _, n := range []int{1, 4, 7, 125} {
			l := p.leap(which, n)
			var sum, cross float64
			for i := range n {
				for j := range n {
					sum += math.Pow(phi, math.Abs(float64(i-j)))
				}
				cross += math.Pow(phi, float64(n-i))
			}
			for _, c := range []struct {
				what      string
				got, want float64
			}{
				{"variance of the sum", l.sum*l.sum + l.both*l.both + l.rest*l.rest, sum},
				{"covariance of sum and end", l.sum*l.decay + l.both*l.end, cross},
				{"variance of the end", l.decay*l.decay + l.end*l.end, 1},
			} {
				if !scalar.EqualWithinAbsOrRel(c.got, c.want, 1e-12, 1e-12) {
					t.Errorf("correlation %v over %d strokes: %s is %v, want %v", phi, n, c.what, c.got, c.want)
				}
			}
		}
	}
}

// TestSurrogate checks that a surrogate has the power of the strokes at each
// frequency but the lowest, which a line took, and goes on as its mirror image
// where the number of strokes is not an easy one.
func TestSurrogate(t *testing.T) {
	for _, n := range []int{60, 293, 300} {
		rng := estimate.Stream(3, "surrogate test")
		y := make([]float64, n)
		for i := range y {
			y[i] = 0.03 * rng.NormFloat64()
		}
		detrend(y)
		easy := easyLength(n)
		want := cosines(y)
		s := newSurrogate(y)
		d := make([]float64, n)
		s.draw(d, rng)
		got := cosines(d)
		if len(want) != easy || n-easy > n/10 {
			t.Errorf("%d strokes: %d components, easy length %d", n, len(want), easy)
		}
		other := 0
		for j := 2; j < easy; j++ {
			if !scalar.EqualWithinAbs(math.Abs(got[j]), math.Abs(want[j]), 1e-12) {
				t.Fatalf("%d strokes: component %d is %v, want ±%v", n, j, got[j], want[j])
			}
			if got[j]*want[j] < 0 {
				other++
			}
		}
		if other < easy/4 || other > easy*3/4 {
			t.Errorf("%d strokes: %d of %d signs changed", n, other, easy)
		}
		if math.Abs(got[0]) > 1e-12 {
			t.Errorf("%d strokes: mean %v", n, got[0])
		}
		for i := easy; i < n; i++ {
			if d[i] != d[2*easy-1-i] {
				t.Errorf("%d strokes: %d is no mirror image", n, i)
			}
		}
	}
}
