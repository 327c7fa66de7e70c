package variability

import "math"

// Autocorrelation returns the autocorrelation of values at the given lag,
//
//	r(k) = Σ (x[i]-m)(x[i+k]-m) / Σ (x[i]-m)²
//
// with m the mean: the estimate of Box and Jenkins that the NIST reference
// data sets certify. Values alternating between two levels have r(1) near -1;
// a slow drift has r(1) near 1. For independent values r(k) is about -1/n,
// with a standard error of about 1/√n.
//
// Missing values (NaN) keep their place: a pair that lacks one is left out,
// and sums become means over the pairs and values that are there, times
// (n-k)/n. Special cases are: NaN if k is negative, if there is no pair, and
// if all values are equal. Lag 0 is 1.
func Autocorrelation(values []float64, lag int) float64 {
	n := len(values)
	if lag < 0 || lag >= n {
		return math.NaN()
	}
	x := present(values)
	if len(x) == 0 {
		return math.NaN()
	}
	mean := meanOf(x)
	var squares float64
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	var products float64
	pairs := 0
	for i, v := range values[lag:] {
		if p := (v - mean) * (values[i] - mean); !math.IsNaN(p) {
			products += p
			pairs++
		}
	}
	if pairs == 0 || squares == 0 {
		return math.NaN()
	}
	missing := float64(len(x)) / float64(n) * float64(n-lag) / float64(pairs) // 1 if none is
	return products / squares * missing
}
