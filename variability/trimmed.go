package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/stat"
)

// trim is the part of the values that a trimmed mean leaves out at each end.
const trim = 0.2

// trimmed returns the mean of xs without the lowest and the highest fifth,
// g = ⌊n/5⌋ values at each end (Tukey & McLaughlin 1963), and what each value
// adds to it: the values, those left out set to the nearest one kept, over the
// share kept, 1 - 2g/n (Yuen 1974). xs holds no NaN and is not empty.
func trimmed(xs []float64) (mean float64, adds []float64) {
	n := len(xs)
	g := int(trim * float64(n))
	sorted := append([]float64(nil), xs...)
	low := robust.Select(sorted, g)
	high := robust.Select(sorted[g:], n-1-2*g)
	mean = stat.Mean(sorted[g:n-g], nil)
	adds = make([]float64, n)
	kept := 1 - 2*float64(g)/float64(n)
	for i, x := range xs {
		adds[i] = math.Min(math.Max(x, low), high) / kept
	}
	return mean, adds
}
