package trajectory_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
)

// kernel is one way of turning a column into another of the same or of other
// times, with what it claims.
type kernel struct {
	name string
	// run returns the new times and values; a nil dst allocates.
	run func(dst, t, x []float64) (times, values []float64)
	// order of the derivative that the values are: 0 for smoothed samples.
	order int
	// linear: the result of a sum is the sum of the results.
	linear bool
	// lines come through, and near the ends too if lineEnds is 0; otherwise
	// from that many samples on.
	lines    bool
	lineEnds int
	// turns: the result of the reversed column is the reversed result (with the
	// sign of the order), apart from turnEnds samples at each end.
	turns    bool
	turnEnds int
	// reach is how many samples away a sample counts; endless if negative.
	reach int
	// spoilt says which of n samples are NaN when sample i is.
	spoilt func(n, i int) []int
	// least is the smallest number of samples that give a finite result.
	least int
	// resamples: the result may have other times, dst must be another column.
	resamples bool
}

const rate = 100.0 // of all columns here

// span returns the whole numbers in [from, to).
func span(from, to int) []int {
	var list []int
	for i := from; i < to; i++ {
		list = append(list, i)
	}
	return list
}

func all(n, _ int) []int     { return span(0, n) }
func onward(n, i int) []int  { return span(i, n) }
func itself(_, i int) []int  { return []int{i} }
func beside(_, i int) []int  { return []int{i - 1, i + 1} }
func around3(_, i int) []int { return span(i-1, i+2) }
func nothing(_, _ int) []int { return nil }
func within(half int) func(n, i int) []int {
	return func(_, i int) []int { return span(i-half, i+half+1) }
}

func kernels(t testing.TB) []kernel {
	t.Helper()
	must := func(f filter.Butterworth, err error) filter.Butterworth {
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	// even makes a kernel of a function that takes no times.
	even := func(f func(dst, x []float64) []float64) func(dst, t, x []float64) ([]float64, []float64) {
		return func(dst, times, x []float64) ([]float64, []float64) { return times, f(dst, x) }
	}
	push := func(f filter.Butterworth) func(dst, x []float64) []float64 {
		return func(dst, x []float64) []float64 {
			if dst == nil {
				dst = make([]float64, len(x))
			}
			s := f.Start()
			for i, v := range x {
				dst[i] = s.Push(v)
			}
			return dst
		}
	}
	hampel := func(h filter.Hampel) func(dst, x []float64) []float64 {
		return func(dst, x []float64) []float64 {
			dst, _ = h.Apply(dst, nil, x)
			return dst
		}
	}
	local := func(window, degree, derivative int) func(dst, x []float64) []float64 {
		return func(dst, x []float64) []float64 {
			dst, err := filter.SavitzkyGolay{Window: window, Degree: degree}.Apply(dst, x, derivative, rate)
			if err != nil {
				t.Fatal(err)
			}
			return dst
		}
	}
	uniform := func(o trajectory.UniformOptions) func(dst, t, x []float64) ([]float64, []float64) {
		return func(dst, times, x []float64) ([]float64, []float64) {
			p := trajectory.Path{T: times, X: x, Y: x}
			q, _, err := trajectory.Uniform(trajectory.Path{X: dst}, p, o)
			if err != nil {
				t.Fatal(err)
			}
			return q.T, q.X
		}
	}
	lp := func(hz float64) filter.Butterworth { return must(filter.LowPass(hz, rate)) }
	once := must(filter.Once(10, rate))
	return []kernel{
		{name: "zero phase, 6 Hz", run: even(lp(6).ZeroPhase), linear: true, lines: true, lineEnds: 100, turns: true, turnEnds: 100, reach: -1, spoilt: all},
		{name: "zero phase, 40 Hz", run: even(lp(40).ZeroPhase), linear: true, lines: true, lineEnds: 100, turns: true, turnEnds: 100, reach: -1, spoilt: all},
		{name: "zero phase, uncorrected", run: even(once.ZeroPhase), linear: true, lines: true, lineEnds: 100, turns: true, turnEnds: 100, reach: -1, spoilt: all},
		{name: "zero phase, off", run: even(filter.Butterworth{}.ZeroPhase), linear: true, lines: true, turns: true, spoilt: itself},
		// A causal filter delays lines.
		{name: "causal", run: even(push(once)), linear: true, reach: -1, spoilt: onward},
		{name: "causal, off", run: even(push(filter.Butterworth{})), linear: true, lines: true, turns: true, spoilt: itself},
		{name: "polynomials, defaults", run: even(local(0, 0, 0)), linear: true, lines: true, turns: true, reach: 6, spoilt: within(3)},
		{name: "polynomials, 21 samples", run: even(local(21, 5, 0)), linear: true, lines: true, turns: true, reach: 20, spoilt: within(10)},
		{name: "polynomials, 101 samples", run: even(local(101, 2, 0)), linear: true, lines: true, turns: true, reach: 100, spoilt: within(50)},
		{name: "moving average", run: even(local(5, -1, 0)), linear: true, lines: true, lineEnds: 2, turns: true, reach: 4, spoilt: within(2)},
		{name: "polynomials, speed", run: even(local(7, 3, 1)), order: 1, linear: true, lines: true, turns: true, reach: 6, spoilt: within(3), least: 2},
		{name: "polynomials, acceleration", run: even(local(9, 2, 2)), order: 2, linear: true, lines: true, turns: true, reach: 8, spoilt: within(4), least: 3},
		{name: "central difference", run: even(func(dst, x []float64) []float64 { return filter.Derivative(dst, x, rate) }), order: 1, linear: true, lines: true, turns: true, reach: 2, spoilt: beside, least: 2},
		{name: "gradient", run: func(dst, times, x []float64) ([]float64, []float64) { return times, filter.Gradient(dst, times, x) }, order: 1, linear: true, lines: true, turns: true, reach: 2, spoilt: around3, least: 2},
		// Medians keep lines, but not sums.
		{name: "outliers, 7 samples", run: even(hampel(filter.Hampel{})), lines: true, turns: true, reach: 3, spoilt: itself},
		{name: "outliers, 5 samples, low threshold", run: even(hampel(filter.Hampel{HalfWidth: 2, Threshold: 2})), lines: true, turns: true, reach: 2, spoilt: itself},
		{name: "running median", run: even(hampel(filter.Hampel{HalfWidth: 1, Threshold: -1})), lines: true, turns: true, reach: 1, spoilt: itself},
		{name: "outliers, 81 samples", run: even(hampel(filter.Hampel{HalfWidth: 40})), lines: true, turns: true, reach: 40, spoilt: itself},
		{name: "outliers, off", run: even(hampel(filter.Hampel{HalfWidth: -1})), linear: true, lines: true, turns: true, spoilt: itself},
		// Uniform takes a path; here both of its axes are the column.
		{name: "resampling, same rate", run: uniform(trajectory.UniformOptions{}), linear: true, lines: true, turns: true, reach: 0, spoilt: nothing, least: 2, resamples: true},
		{name: "resampling, no gap bridged", run: uniform(trajectory.UniformOptions{MaxGap: -1}), linear: true, lines: true, turns: true, reach: 0, spoilt: itself, least: 2, resamples: true},
		{name: "resampling, twice the rate", run: uniform(trajectory.UniformOptions{Rate: 2 * rate}), linear: true, lines: true, turns: true, reach: 3, spoilt: nothing, least: 2, resamples: true},
		{name: "resampling, 0.7 of the rate", run: uniform(trajectory.UniformOptions{Rate: 0.7 * rate, MaxGap: 1}), linear: true, lines: true, reach: 3, spoilt: nothing, least: 2, resamples: true},
	}
}

// wander returns times and n samples of an oscillation with noise and jumps.
func wander(n int, seed uint64) (times, x []float64) {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	times, x = make([]float64, n), make([]float64, n)
	for i := range x {
		times[i] = 2 + float64(i)/rate
		x[i] = 5*math.Sin(float64(i)/4) + 0.3*rng.NormFloat64()
		if rng.IntN(20) == 0 {
			x[i] += 40
		}
	}
	return times, x
}

// of returns f of each value.
func of(x []float64, f func(v float64) float64) []float64 {
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = f(v)
	}
	return y
}

// same fails unless the columns agree, apart from ends samples at each end.
func same(t *testing.T, what string, got, want []float64, ends int, tolerance float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d samples, want %d", what, len(got), len(want))
		return
	}
	for i := ends; i < len(got)-ends; i++ {
		if !(math.Abs(got[i]-want[i]) <= tolerance) && !(math.IsNaN(got[i]) && math.IsNaN(want[i])) {
			t.Errorf("%s: sample %d of %d is %v, want %v within %v", what, i, len(got), got[i], want[i], tolerance)
			return
		}
	}
}

// unit is how much rounding the order of a derivative magnifies.
func (k kernel) unit() float64 { return math.Pow(4*rate, float64(k.order)) }
