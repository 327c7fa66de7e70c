package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Options are the settings of [Directional] and [Axial].
type Options struct {
	// Level of the interval of the mean. Zero means 0.95, negative means no
	// interval.
	Level float64
	// Series says that the angles are in time order and that the interval of
	// the mean has to bear their autocorrelation.
	Series bool
}

// Summary describes a sample of angles. N angles were counted, the missing
// ones (NaN) left out. For axial data every number refers to the axes, not to
// the doubled angles: the sd is the halved one, R and Kappa are by nature
// those of the doubled angles.
type Summary struct {
	N int
	// Mean is the mean direction or axis with its interval, in (-π, π] or
	// (-π/2, π/2]. The bounds do not wrap: Low ≤ Value ≤ High.
	Mean estimate.Value[Angle]
	// R is the mean resultant length, 0 spread evenly to 1 all alike.
	R float64
	// Variance is 1 - R.
	Variance float64
	// SD is √(-2 ln R), halved for axes.
	SD Angle
	// Kappa is the maximum likelihood concentration of a von Mises
	// distribution, the exact root of A1(κ) = R.
	Kappa float64
	// RayleighP is the probability of so large an R if no direction is
	// preferred.
	RayleighP float64
}

// nowhere is the resultant length at and below which a mean direction is
// rounding noise.
const nowhere = 1e-9

// Directional summarises angles that differ in direction, modulo a full turn.
//
//	C = Σ cos θ / n, S = Σ sin θ / n, mean = atan2(S, C), R = √(C² + S²)
//
// The interval of the mean is, for n ≥ 25, that of Fisher (1993, 4.4.4),
//
//	mean ± arcsin(z √(δ/n)), δ = Σ sin²(θ - mean)/(n R²)
//
// and below that the likelihood interval of Upton (1986) as in Zar (2010,
// 26.23, 26.24), with X the chi-squared quantile for one degree of freedom:
//
//	mean ± arccos √(2n(2n²R² - nX)/(n²R²(4n - X))), R ≤ 0.9
//	mean ± arccos √((n² - (n² - n²R²) exp(X/n))/(n²R²)), R > 0.9
//
// With Options.Series the variance δ of sin(θ - mean)/R is replaced by its
// long-run variance and z by Student's t, see [estimate.LongRun], for any n.
// Where the data do not fix a direction well enough for the formula, the
// bounds are NaN and Level is 0.
//
// The Rayleigh probability is the approximation of Wilkie (1983), good to
// three decimal places from n = 10, and no series that can turn negative:
//
//	P = exp(√(1 + 4n + 4(n² - n²R²)) - (1 + 2n))
//
// Special cases are: without any angle, or R within 1e-9 of 0, the mean is
// absent with its reason and R, Variance, SD, Kappa and RayleighP are what the
// formulas give, NaN for no angle. Infinite angles count as missing.
//
// # References
//
//   - N. I. Fisher (1993), Statistical Analysis of Circular Data. Cambridge.
//   - K. V. Mardia and P. E. Jupp (2000), Directional Statistics. Wiley.
//   - G. J. G. Upton (1986), Approximate confidence intervals for the mean
//     direction of a von Mises distribution. Biometrika 73, 525-527.
//   - D. Wilkie (1983), Rayleigh test for randomness of circular data. Appl.
//     Stat. 32, 311-312.
//   - J. H. Zar (2010), Biostatistical Analysis, 5th ed. Prentice Hall.
func Directional(angles []Angle, o Options) Summary { return summarize(angles, 1, o) }

// Axial summarises angles that differ as axes, modulo half a turn: 170° and
// 10° are 20° apart. The angles are doubled, summarised as by [Directional]
// and the mean, its bounds and the sd halved.
func Axial(angles []Angle, o Options) Summary { return summarize(angles, 2, o) }

// summarize treats angles modulo 2π/fold.
func summarize(angles []Angle, fold float64, o Options) Summary {
	theta := wanted(angles, fold)
	n := float64(len(theta))
	s := Summary{N: len(theta)}
	var c1, s1 float64
	for _, t := range theta {
		sin, cos := math.Sincos(t)
		c1 += cos
		s1 += sin
	}
	s.R = min(1, math.Hypot(c1, s1)/n)
	s.Variance = 1 - s.R
	s.SD = Angle(math.Sqrt(-2*math.Log(s.R)) / fold)
	s.Kappa = A1Inverse(s.R)
	s.RayleighP = rayleighP(n, s.R)
	switch {
	case s.N == 0:
		s.Mean = estimate.Missing[Angle]("no-observations", "mean direction", "there is no angle to take it from")
		return s
	case s.R <= nowhere:
		s.Mean = estimate.Missing[Angle]("no-direction", "mean direction", "the angles cancel each other, so that no direction is their mean")
		return s
	}
	mean := math.Atan2(s1, c1)
	s.Mean = estimate.Value[Angle]{
		Value: Angle(mean / fold),
		Low:   Angle(math.NaN()), High: Angle(math.NaN()),
		N: s.N,
	}
	level := o.Level
	if level == 0 {
		level = 0.95
	}
	if !(level > 0 && level < 1) {
		return s
	}
	var half float64
	switch {
	case o.Series:
		half = seriesHalf(theta, mean, s.R, level)
	case s.N >= 25:
		half = fisherHalf(theta, mean, s.R, level)
	default:
		half = uptonHalf(n, s.R, level)
	}
	if !math.IsNaN(half) {
		s.Mean.Low, s.Mean.High = s.Mean.Value-Angle(half/fold), s.Mean.Value+Angle(half/fold)
		s.Mean.Level = level
	}
	return s
}

// wanted returns the finite angles times fold.
func wanted(angles []Angle, fold float64) []float64 {
	theta := make([]float64, 0, len(angles))
	for _, a := range angles {
		if t := float64(a); !math.IsNaN(t) && !math.IsInf(t, 0) {
			theta = append(theta, fold*t)
		}
	}
	return theta
}

// rayleighP is the formula of Wilkie (1983), Zar (2010) (27.4).
func rayleighP(n, r float64) float64 {
	return min(1, math.Exp(math.Sqrt(1+4*n+4*n*n*(1-r*r))-(1+2*n)))
}

// fisherHalf is Fisher (1993), (4.22).
func fisherHalf(theta []float64, mean, r, level float64) float64 {
	var sum float64
	for _, t := range theta {
		d := math.Sin(t - mean)
		sum += d * d
	}
	n := float64(len(theta))
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	return math.Asin(z * math.Sqrt(sum/(n*r*r)/n)) // NaN above 1
}

// seriesHalf is fisherHalf with the long-run variance of the same terms.
func seriesHalf(theta []float64, mean, r, level float64) float64 {
	terms := make([]float64, len(theta))
	for i, t := range theta {
		terms[i] = math.Sin(t-mean) / r
	}
	variance, df := estimate.LongRun(terms)
	if df == 0 {
		return math.NaN()
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1 + level) / 2)
	return math.Asin(t * math.Sqrt(variance/float64(len(theta))))
}

// uptonHalf is Zar (2010), (26.23) and (26.24). One angle has no interval.
func uptonHalf(n, r, level float64) float64 {
	x := distuv.ChiSquared{K: 1}.Quantile(level)
	total := n * r
	var cos float64
	switch {
	case n < 2:
		return math.NaN()
	case r <= 0.9:
		cos = math.Sqrt(2*n*(2*total*total-n*x)/(4*n-x)) / total
	default:
		cos = math.Sqrt(n*n-(n*n-total*total)*math.Exp(x/n)) / total
	}
	return math.Acos(cos) // NaN outside [-1, 1]
}
