package estimate

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Mean returns the mean of observations in time order with a Student interval
// that bears autocorrelation:
//
//	mean ± t √(s²/n'), n' = n s²/V
//
// where s² is the variance, V the long-run variance of [LongRun] and n' the
// effective number of observations: n for independent ones, fewer when
// neighbours are alike, more when they alternate. t has the degrees of
// freedom of V rather than n'-1, because V is the uncertain part; this is
// what keeps the interval honest in short series.
//
// Missing observations (NaN) are left out, their neighbours joined, and N
// counts the others; without any the result is absent. A single one has NaN
// for its bounds, and Level 0.
func Mean(xs []float64, level float64) Value[float64] {
	known := present(xs)
	n := len(known)
	if n == 0 {
		return nothing("mean")
	}
	v := pointOnly(meanOf(known), n)
	level, wanted := confidence(level)
	variance, df := LongRun(known)
	if !wanted || df == 0 {
		return v
	}
	half := studentQuantile(level, df) * math.Sqrt(variance/float64(n))
	v.Low, v.High, v.Level = v.Value-half, v.Value+half, level
	return v
}

// LongRun returns the long-run variance of a series, the V for which V/n is
// the variance of its mean, and the degrees of freedom with which it is
// known. It is the average power of the q lowest cosine components:
//
//	V   = (1/q) Σ c(j)², j = 1 … q
//	c(j) = √(2/n) Σ x(i) cos(π j (i+1/2)/n), i = 0 … n-1
//	q   = 0.4 n^(2/3) rounded, at least 4, at most 48 and n-1
//
// The c(j) do not see the mean, each estimates V, and they are independent to
// a good approximation, so that (mean - μ)/√(V/n) follows Student's t with q
// degrees of freedom. With q = n-1 (n up to 5) V is the ordinary variance.
//
// Missing observations (NaN) are left out and their neighbours joined. Fewer
// than two observations give NaN with 0 degrees of freedom.
//
// # References
//
//   - U. K. Müller (2007), A theory of robust long-run variance estimation.
//     Journal of Econometrics 141(2), 1331-1352.
//   - E. Lazarus, D. J. Lewis, J. H. Stock and M. W. Watson (2018), HAR
//     inference: recommendations for practice. Journal of Business & Economic
//     Statistics 36(4), 541-559. (The rule for q.)
func LongRun(xs []float64) (variance float64, df int) {
	known := present(xs)
	n := len(known)
	if n < 2 {
		return math.NaN(), 0
	}
	mean := meanOf(known)
	q := min(max(4, int(math.Round(0.4*math.Cbrt(float64(n)*float64(n))))), 48, n-1)
	for j := 1; j <= q; j++ {
		c := cosineSum(known, mean, math.Pi*float64(j)/float64(n))
		variance += c * c
	}
	return variance * 2 / float64(n) / float64(q), q
}

// cosineSum returns Σ (xs[i] - mean) cos(w (i+1/2)) by the recurrence of the
// Chebyshev polynomials, cos((k+1)w) = 2 cos w cos kw - cos((k-1)w), started
// anew every 64 terms to hold its error near rounding.
func cosineSum(xs []float64, mean, w float64) float64 {
	const stretch = 64
	var sum float64
	twice := 2 * math.Cos(w)
	for at := 0; at < len(xs); at += stretch {
		before, now := math.Cos(w*(float64(at)-0.5)), math.Cos(w*(float64(at)+0.5))
		for _, x := range xs[at:min(at+stretch, len(xs))] {
			sum += (x - mean) * now
			before, now = now, twice*now-before
		}
	}
	return sum
}

// meanOf returns the mean of a non-empty slice, corrected by the mean of its
// residuals.
func meanOf(xs []float64) float64 {
	n := float64(len(xs))
	var m, r float64
	for _, x := range xs {
		m += x / n
	}
	for _, x := range xs {
		r += x - m
	}
	return m + r/n
}

// present returns a copy of xs without its missing observations.
func present(xs []float64) []float64 {
	known := make([]float64, 0, len(xs))
	for _, x := range xs {
		if !math.IsNaN(x) {
			known = append(known, x)
		}
	}
	return known
}

// confidence returns the level to use, 0.95 for 0, and whether it is one: a
// level outside (0, 1) asks for no interval.
func confidence(level float64) (float64, bool) {
	if level == 0 {
		return 0.95, true
	}
	return level, level > 0 && level < 1
}

// studentQuantile returns the two-sided Student quantile of that level.
func studentQuantile(level float64, df int) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}
	return t.Quantile((1 + level) / 2)
}

// pointOnly is a value without an interval.
func pointOnly(x float64, n int) Value[float64] {
	return Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: n}
}

func nothing(what string) Value[float64] {
	return Missing[float64]("no-observations", what, "there is no observation to take it from")
}
