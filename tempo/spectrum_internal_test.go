package tempo

import (
	"math"
	"testing"
)

// TestJointGaps adds up the powers of columns that lack the same samples, and
// of columns that do not.
func TestJointGaps(t *testing.T) {
	const n = 101
	a, b := make([]float64, n), make([]float64, n)
	for i := range a {
		a[i], b[i] = math.Sin(0.3*float64(i)), math.Cos(0.31*float64(i)+1)
	}
	late := append([]float64(nil), b...)
	for i := 10; i < 30; i++ {
		a[i], b[i], late[i+40] = math.NaN(), math.NaN(), math.NaN()
	}
	for _, columns := range [][][]float64{{a, b}, {a, late}, {late, a, b}} {
		var all joint
		all.load(columns, 0, n, hann(nil, n))
		const frequency = 0.045
		var want float64
		for _, c := range columns {
			var one joint
			one.load([][]float64{c}, 0, n, hann(nil, n))
			want += one.power(frequency)
		}
		if got := all.power(frequency); math.Abs(got/want-1) > 1e-13 {
			t.Errorf("%d columns: power %v, want %v", len(columns), got, want)
		}
	}
}

// TestTransformSize wants room for all samples, four times in a short take,
// little padding in a long one, and a length of small factors.
func TestTransformSize(t *testing.T) {
	for n := 2; n < 300_000; n += 1 + n/50 {
		size := transformSize(n)
		if least := 4 * n; n < 4096 && (size < least || size > 2*least) {
			t.Errorf("%d samples, short: padded to %d", n, size)
		}
		if n >= 4096 && (size < n || float64(size) > 1.26*float64(n)) {
			t.Errorf("%d samples: padded to %d", n, size)
		}
		for _, p := range []int{2, 3, 5} {
			for size%p == 0 {
				size /= p
			}
		}
		if size != 1 {
			t.Errorf("%d samples: the size has a factor of %d", n, size)
		}
	}
}
