package estimate

import (
	"math"
	"slices"
)

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
	return longRun(present(xs))
}

// longRun is [LongRun] of a series that has no NaN; it overwrites xs.
func longRun(xs []float64) (variance float64, df int) {
	n := len(xs)
	if n < 2 {
		return math.NaN(), 0
	}
	mean := meanOf(xs)
	for i := range xs {
		xs[i] -= mean
	}
	q := min(max(4, int(math.Round(0.4*math.Cbrt(float64(n)*float64(n))))), 48, n-1)
	// cos(π j (i+1/2)/n) is symmetric about the middle of the series for even
	// j, antisymmetric for odd: half of the sums, and half of the differences,
	// of the values equally far from it say the same.
	half := n / 2
	sums, differences := xs[:n-half], xs[n-half:]
	slices.Reverse(differences)
	for i, later := range differences {
		sums[i], differences[i] = sums[i]+later, sums[i]-later
	}
	w := math.Pi / float64(n)
	for j := 1; j <= q; j += 8 {
		odd := cosineSums(differences, w*float64(j), 2*w)
		even := cosineSums(sums, w*float64(j+1), 2*w)
		for k := range odd {
			if j+2*k <= q {
				variance += odd[k] * odd[k]
			}
			if j+2*k+1 <= q {
				variance += even[k] * even[k]
			}
		}
	}
	return variance * 2 / float64(n) / float64(q), q
}

// cosineSums returns Σ xs[i] cos(w (i+1/2)) for the four frequencies first,
// first + step, and so on, which keep a processor busier than one alone.
//
// It is Clenshaw's recurrence, b(i) = xs[i] + 2 cos w b(i+1) - b(i+2), begun
// anew every 128 terms to hold its error near rounding.
func cosineSums(xs []float64, first, step float64) (sum [4]float64) {
	const stretch = 128
	var w, twice [4]float64
	for k := range w {
		w[k] = first + float64(k)*step
		twice[k] = 2 * math.Cos(w[k])
	}
	t0, t1, t2, t3 := twice[0], twice[1], twice[2], twice[3]
	for at := 0; at < len(xs); at += stretch {
		part := xs[at:min(at+stretch, len(xs))]
		var b0, b1, b2, b3, c0, c1, c2, c3 float64 // b(i+1) and b(i+2)
		for i := len(part) - 1; i >= 0; i-- {
			x := part[i]
			b0, c0 = (x-c0)+t0*b0, b0
			b1, c1 = (x-c1)+t1*b1, b1
			b2, c2 = (x-c2)+t2*b2, b2
			b3, c3 = (x-c3)+t3*b3, b3
		}
		b, c := [4]float64{b0, b1, b2, b3}, [4]float64{c0, c1, c2, c3}
		for k := range sum {
			sum[k] += b[k]*math.Cos(w[k]*(float64(at)+0.5)) - c[k]*math.Cos(w[k]*(float64(at)-0.5))
		}
	}
	return sum
}
