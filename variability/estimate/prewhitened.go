package estimate

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Lag1 returns the lag-1 autocorrelation that columns share, without its bias
// (Kendall 1954), within ±0.97. The columns are series of one process with equal
// variance, such as the cosines and sines of one list of angles, or one series alone:
//
//	r(1) = Σ d(i) d(i-1)/Σ d(i)², both summed over the columns
//	r    = r(1) + (1 + degree + 4 r(1))/n
//
// where d are the deviations from the column's mean and n is the mean length. The
// degree is 0 for a series as it is and 1 for one from which a straight line was
// taken off, which doubles the constant part of the bias.
//
// Missing observations (NaN) are left out and their neighbours joined. It is 0 for
// columns of equal values, for none, and for fewer than two observations in each.
//
// See M. G. Kendall (1954), Note on bias in the estimation of autocorrelation.
// Biometrika 41, 403-404.
func Lag1(degree int, columns ...[]float64) float64 {
	var products, squares, n float64
	for _, xs := range columns {
		d := centred(xs)
		if len(d) < 2 {
			continue
		}
		products += floats.Dot(d[1:], d[:len(d)-1])
		squares += floats.Dot(d, d)
		n += float64(len(d)) / float64(len(columns))
	}
	if !(squares > 0) {
		return 0
	}
	r := products / squares
	return min(max(r+(1+float64(degree)+4*r)/n, -0.97), 0.97)
}

// Prewhitened returns the long-run variance of a series, the V for which V/n is the
// variance of its mean, and the degrees of freedom with which it is known. It is made
// for short series whose neighbours are alike, where the average of [LongRun] comes
// out too small, and for long ones that wander: what neighbours share, r, is taken
// off, and put back into the variance of what is left (Andrews and Monahan 1992):
//
//	e(i) = d(i) - r d(i-1), d the deviations from the mean
//	V    = (1/(q-degree)) Σ c(j)²/(1-r)², j = 1 … q, c the cosine components of e
//	q    = 0.55 √n rounded, at least 4, at most 6
//
// with the components of [LongRun], and each c(j)² averaged with that of the series
// read backward, e(i) = d(i) - r d(i+1), so that the direction of time is of no
// matter. The degrees of freedom are q less the degree, 1 for a series from which a
// straight line was taken off, which takes the first cosine along. The correlation r
// comes from [Lag1], of the series itself or of several that share it.
//
// So few components make intervals a tenth wider than the many of LongRun would in a
// long series of independent values, and are misled less by a slow wander. At 95 %,
// mean ± t √(V/n) held the truth in 94 to 96 % of autoregressions of 20 to 1000 values
// with r up to 0.6, and with 0.9 in 84 % of 20, 92 % of 60 and 95 % of 240 and more
// (4000 series each, standard error 0.3 %: go test ./variability/estimate -run
// CalibratePrewhitened -v -calibrate 4000).
//
// Missing observations (NaN) are left out and their neighbours joined. Fewer than six
// give NaN with 0 degrees of freedom, since their cosines are not four. An r outside
// ±1 gives NaN.
//
// See D. W. K. Andrews and J. C. Monahan (1992), An improved heteroskedasticity and
// autocorrelation consistent covariance matrix estimator. Econometrica 60, 953-966.
func Prewhitened(xs []float64, r float64, degree int) (variance float64, df int) {
	d := centred(xs)
	n := len(d)
	if n < 6 {
		return math.NaN(), 0
	}
	q := min(max(4, int(math.Round(0.55*math.Sqrt(float64(n))))), 6)
	df = q - degree
	if !(math.Abs(r) < 1) || df < 1 {
		return math.NaN(), 0
	}
	earlier, later := d[:n-1], d[1:]
	w := math.Pi / float64(n-1)
	for j := 1; j <= q; j += 4 {
		a, b := cosineSums(earlier, w*float64(j), w), cosineSums(later, w*float64(j), w)
		for k := range min(4, q+1-j) {
			forward, backward := b[k]-r*a[k], a[k]-r*b[k]
			variance += forward*forward + backward*backward
		}
	}
	// Of each component 2/(n-1) of its square, and the mean of the two directions.
	return variance / float64(n-1) / float64(df) / ((1 - r) * (1 - r)), df
}

// centred returns the known observations less their mean.
func centred(xs []float64) []float64 {
	d := present(xs)
	if len(d) > 0 {
		floats.AddConst(-meanOf(d), d)
	}
	return d
}
