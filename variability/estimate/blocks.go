package estimate

import (
	"math"
	"math/rand/v2"
)

// BlockLength returns the length of block that a circular block bootstrap of
// the mean of xs should use, by the automatic rule of Politis and White
// (2004) with the correction of Patton, Politis and White (2009):
//
//	m  = smallest m ≥ 1 with |ρ(m+k)| < 2 √(log₁₀ n / n) for k = 1 … K
//	K  = max(5, ⌈√log₁₀ n⌉), M = min(2m, ⌈√n⌉ + K)
//	λ(s) = 1 for |s| ≤ 1/2, 2(1-|s|) up to 1, 0 beyond
//	G  = Σ λ(k/M) |k| γ(k), g = Σ λ(k/M) γ(k), k = -M … M
//	b  = (2G² n / (4/3 g²))^(1/3), at most ⌈min(3√n, n/3)⌉
//
// where γ is the sample autocovariance (divisor n) and ρ = γ/γ(0). If no such
// m exists, M takes its largest value. The result is not rounded; use
// math.Ceil of it as a block.
//
// Special cases are: 1 for a series shorter than 10 or constant, and NaN if
// xs holds a NaN: the lags of a series with holes have no meaning, so cut it
// into runs first. The result is never below 1.
//
// # References
//
//   - D. N. Politis and H. White (2004), Automatic block-length selection for
//     the dependent bootstrap. Econometric Reviews 23(1), 53-70.
//   - A. Patton, D. N. Politis and H. White (2009), Correction to "Automatic
//     block-length selection …". Econometric Reviews 28(4), 372-375.
func BlockLength(xs []float64) float64 {
	n := len(xs)
	mean := 0.0
	for _, x := range xs {
		mean += x
	}
	mean /= float64(n)
	if n > 0 && math.IsNaN(mean) {
		return math.NaN()
	}
	if n < 10 {
		return 1
	}
	nf := float64(n)
	run := max(5, int(math.Ceil(math.Sqrt(math.Log10(nf)))))
	most := min(int(math.Ceil(math.Sqrt(nf)))+run, n-1)
	gamma := make([]float64, most+1)
	for k := range gamma {
		gamma[k] = autocovariance(xs, mean, k)
	}
	if gamma[0] <= 1e-28*mean*mean {
		return 1
	}
	m := bandwidth(gamma, run, 2*math.Sqrt(math.Log10(nf)/nf))
	var bigG float64
	g := gamma[0]
	for k := 1; k <= m; k++ {
		w := 2 * flatTop(float64(k)/float64(m)) * gamma[k]
		g += w
		bigG += w * float64(k)
	}
	most = int(math.Ceil(min(3*math.Sqrt(nf), nf/3)))
	b := math.Cbrt(1.5 * nf * (bigG / g) * (bigG / g))
	if !(b < float64(most)) { // also when g is 0
		b = float64(most)
	}
	return max(1, b)
}

// autocovariance returns the lag-k autocovariance of xs with divisor n.
func autocovariance(xs []float64, mean float64, k int) float64 {
	var s float64
	for i, x := range xs[k:] {
		s += (x - mean) * (xs[i] - mean)
	}
	return s / float64(len(xs))
}

// bandwidth returns the M of BlockLength from the autocovariances gamma.
func bandwidth(gamma []float64, run int, bound float64) int {
	most := len(gamma) - 1
	quiet := 0 // length of the quiet stretch that ends at lag k
	for k := 2; k <= most; k++ {
		if math.Abs(gamma[k]) < bound*gamma[0] {
			quiet++
		} else {
			quiet = 0
		}
		if quiet == run {
			return min(2*(k-run), most)
		}
	}
	return most
}

// flatTop is the trapezoidal lag window of Politis and Romano.
func flatTop(s float64) float64 {
	if s <= 0.5 {
		return 1
	}
	return 2 * (1 - s)
}

// BlockDraw fills dst with the indices of one circular block bootstrap sample
// of n observations: blocks of consecutive indices start anywhere with equal
// probability and wrap round the end, and the last one is cut to length. If
// dst is nil a slice of length n is allocated; otherwise its length must be n.
// A block below 1 counts as 1 (the ordinary bootstrap), one above n as n.
//
// See D. N. Politis and J. P. Romano (1992), A circular block-resampling
// procedure for stationary data, in Exploring the Limits of Bootstrap.
func BlockDraw(dst []int, n, block int, rng *rand.Rand) []int {
	if dst == nil {
		dst = make([]int, n)
	}
	if len(dst) != n {
		panic("estimate: length of dst is not n")
	}
	block = max(1, min(block, n))
	for i := 0; i < n; {
		at := rng.IntN(n)
		for range min(block, n-i) {
			dst[i] = at
			i++
			if at++; at == n {
				at = 0
			}
		}
	}
	return dst
}
