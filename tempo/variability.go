package tempo

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// WingKristofferson parts the variance of intervals, in seconds, into that of a
// clock that times them one by one and that of the motor delays of the turns
// between them, both in s² (Wing and Kristofferson 1973):
//
//	clock = γ(0) + 2γ(1), motor = -γ(1)
//
// where γ are the autocovariances with divisor N. NaN is a break; the mean is
// that of all. With alternating, the intervals are strokes: every second one of
// a run is taken about a mean of its own, so that a difference between down and
// up does not count as motor variance.
//
// Neither has an interval. A variance that comes out negative is absent, with
// its size in the reason: the intervals do not keep to the model, mostly
// because the rate wanders (motor) or because neighbours make up for each other
// (clock). With fewer than 12 intervals both are absent.
func WingKristofferson(intervals []float64, alternating bool) (clock, motor estimate.Value[float64]) {
	var sum [2]float64
	var count [2]int
	kind := func(i, from int) int {
		if alternating {
			return (i - from) % 2
		}
		return 0
	}
	about := append([]float64(nil), intervals...)
	for _, r := range runsOf(intervals) {
		if alternating { // means of its own, whichever kind comes first
			sum, count = [2]float64{}, [2]int{}
		}
		for i := r[0]; i < r[1]; i++ {
			sum[kind(i, r[0])] += intervals[i]
			count[kind(i, r[0])]++
		}
		if alternating {
			for i := r[0]; i < r[1]; i++ {
				k := kind(i, r[0])
				about[i] -= sum[k] / float64(count[k])
			}
		}
	}
	n := 0
	var zero, one float64
	for _, r := range runsOf(intervals) {
		for i := r[0]; i < r[1]; i++ {
			if !alternating {
				about[i] -= sum[0] / float64(count[0])
			}
			zero += about[i] * about[i]
			if i > r[0] {
				one += about[i] * about[i-1]
			}
			n++
		}
	}
	if n < 12 {
		const why = "fewer than 12 intervals: take a longer stretch of playing"
		return estimate.Missing[float64]("too-short", "clock variance", why), estimate.Missing[float64]("too-short", "motor variance", why)
	}
	part := func(v float64, what string) estimate.Value[float64] {
		if v < 0 {
			return estimate.Missing[float64]("negative", what, fmt.Sprintf("it comes out negative, %.4g s²: the intervals do not keep to the model of clock and motor delays", v))
		}
		return estimate.Value[float64]{Value: v, Low: math.NaN(), High: math.NaN(), N: n}
	}
	zero, one = zero/float64(n), one/float64(n)
	return part(zero+2*one, "clock variance"), part(-one, "motor variance")
}

// NPVI returns the normalised pairwise variability index of durations (Grabe and
// Low 2002),
//
//	100/(m-1) Σ |d(k) - d(k+1)|/((d(k) + d(k+1))/2)
//
// 0 for even ones, 66.7 for those that alternate as 2 to 1. Pairs with a NaN,
// or a sum that is not positive, are left out; NaN without any pair.
func NPVI(durations []float64) float64 {
	var sum float64
	pairs := 0
	for i := 1; i < len(durations); i++ {
		a, b := durations[i-1], durations[i]
		if a+b > 0 && !math.IsInf(a+b, 0) {
			sum += math.Abs(a-b) / ((a + b) / 2)
			pairs++
		}
	}
	return 100 * sum / float64(pairs)
}

// runsOf returns the ranges of xs between NaN.
func runsOf(xs []float64) (runs [][2]int) {
	for from := 0; from < len(xs); {
		if math.IsNaN(xs[from]) {
			from++
			continue
		}
		to := from
		for to < len(xs) && !math.IsNaN(xs[to]) {
			to++
		}
		runs = append(runs, [2]int{from, to})
		from = to
	}
	return runs
}
