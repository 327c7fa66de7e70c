package robust

import (
	"math"
	"slices"
)

// Median returns the median of xs: the middle value, or the mean of the two
// middle ones.
//
// Special cases are: NaN if xs is empty or holds a NaN.
func Median(xs []float64) float64 { return MedianInPlace(slices.Clone(xs)) }

// MedianInPlace is [Median] without allocation; it reorders xs as [Select]
// does for k = len(xs)/2.
func MedianInPlace(xs []float64) float64 {
	n := len(xs)
	if n == 0 || hasNaN(xs) {
		return math.NaN()
	}
	k := n / 2
	upper := Select(xs, k)
	if n%2 == 1 {
		return upper
	}
	lower := xs[0]
	for _, x := range xs[:k] {
		if x > lower { // slices.Max takes five times as long for floats
			lower = x
		}
	}
	return between(lower, upper, 0.5)
}

// Quantile returns the p-quantile of xs, p in [0, 1], type 7 of Hyndman and
// Fan (1996): linear between the order statistics, with the smallest at p = 0
// and the largest at p = 1.
//
//	h = (n-1)p, Q = x(⌊h⌋) + (h-⌊h⌋)(x(⌊h⌋+1) - x(⌊h⌋)), counted from 0
//
// Special cases are: NaN if xs is empty or holds a NaN, or if p is outside
// [0, 1] or NaN.
//
// See R. J. Hyndman and Y. Fan (1996), Sample quantiles in statistical
// packages. The American Statistician 50(4), 361-365.
func Quantile(p float64, xs []float64) float64 {
	return QuantileInPlace(p, slices.Clone(xs))
}

// QuantileInPlace is [Quantile] without allocation; it reorders xs.
func QuantileInPlace(p float64, xs []float64) float64 {
	n := len(xs)
	if n == 0 || !(p >= 0 && p <= 1) || hasNaN(xs) {
		return math.NaN()
	}
	whole, part := math.Modf(float64(n-1) * p)
	k := int(whole)
	Select(xs, k)
	if part == 0 {
		return xs[k]
	}
	return between(xs[k], slices.Min(xs[k+1:]), part)
}

// between returns a + part (b - a), and a if the two are equal, also when
// they are infinite.
func between(a, b, part float64) float64 {
	if a == b {
		return a
	}
	return a + part*(b-a)
}

// MAD returns the median absolute deviation of xs from its median, without a
// factor; see [Scale].
//
// Special cases are: NaN if xs is empty or holds a NaN, 0 for one value.
func MAD(xs []float64) float64 { return MADInPlace(slices.Clone(xs)) }

// MADInPlace is [MAD] without allocation; it overwrites xs with the absolute
// deviations, in some order.
func MADInPlace(xs []float64) float64 {
	m := MedianInPlace(xs)
	for i, x := range xs {
		xs[i] = math.Abs(x - m)
	}
	return MedianInPlace(xs)
}

// perMAD is 1/Φ⁻¹(3/4), the standard deviation of a normal distribution over
// its median absolute deviation.
const perMAD = 1.482602218505602

// Scale returns the robust standard deviation MAD/Φ⁻¹(3/4) = 1.4826… MAD,
// which agrees with the standard deviation for normal data.
//
// Special cases are those of [MAD].
func Scale(xs []float64) float64 { return perMAD * MAD(xs) }

// ScaleInPlace is [Scale] without allocation; it overwrites xs as
// [MADInPlace] does.
func ScaleInPlace(xs []float64) float64 { return perMAD * MADInPlace(xs) }
