package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Summary describes a sample of angles. N angles were counted, the missing
// ones (NaN) left out. For axial data the mean and the sd refer to the axes,
// the sd being the halved one; R, Rho2, Dispersion and the kappas are by nature
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
	// Rho2 is the second trigonometric moment about the mean, the mean of
	// cos 2(θ - mean).
	Rho2 float64
	// Dispersion is δ = (1 - Rho2)/(2R²), near the variance in radians² for
	// angles close together; δ/n is the variance of the mean.
	Dispersion float64
	// Kappa is the maximum likelihood concentration of a von Mises
	// distribution, the exact root of A1(κ) = R.
	Kappa float64
	// KappaSmall is Kappa with Fisher's correction for small samples, which
	// is for 15 angles or fewer: below them Kappa is too high.
	KappaSmall float64
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
// long-run variance and z by Student's t, as the package comment says, from 15
// angles on.
// Where the data do not fix a direction well enough for the formula, the
// bounds are NaN and Level is 0.
//
// The correction of kappa is that of Fisher (1993, 4.41),
//
//	max(0, κ - 2/(nκ)) below κ = 2, (n-1)³κ/(n³+n) from there on
//
// The Rayleigh probability is the approximation of Wilkie (1983), good to
// three decimal places from n = 10, and no series that can turn negative:
//
//	P = exp(√(1 + 4n + 4(n² - n²R²)) - (1 + 2n))
//
// With Options.Series it is that of Hotelling's T² of the means C and S
// against (0, 0), with V their long-run covariance on q degrees of freedom:
//
//	n (C, S) V⁻¹ (C, S)ᵀ (q-1)/(2q) against F on 2 and q-1
//
// and NaN below 15 angles, and below 100 if neighbours are so alike (a lag-1
// autocorrelation above 0.5) that they say too little.
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
func Directional(angles []Angle, o Options) Summary {
	return summarize(sampleOf(wanted(angles, 1), nil), 1, o)
}

// Axial summarises angles that differ as axes, modulo half a turn: 170° and
// 10° are 20° apart. The angles are doubled, summarised as by [Directional]
// and the mean, its bounds and the sd halved.
func Axial(angles []Angle, o Options) Summary {
	return summarize(sampleOf(wanted(angles, 2), nil), 2, o)
}

// sample holds directions, or doubled axes, with what is counted from them.
type sample struct {
	theta  []float64
	weight []float64 // nil if all count once
	n      float64   // number, the sum of the weights
	r      float64   // mean resultant length
	mean   float64   // direction, noise if r is
	// raise and raise2 are the corrections for grouping of r, which is raised
	// already, and of the second moment.
	raise, raise2 float64
}

// sampleOf counts without a correction.
func sampleOf(theta, weight []float64) sample {
	s := sample{theta: theta, weight: weight, raise: 1, raise2: 1}
	var c1, s1 float64
	for i, t := range theta {
		sin, cos := math.Sincos(t)
		w := s.weigh(i)
		c1 += w * cos
		s1 += w * sin
		s.n += w
	}
	s.r = min(1, math.Hypot(c1, s1)/s.n)
	s.mean = math.Atan2(s1, c1)
	return s
}

func (s sample) weigh(i int) float64 {
	if s.weight == nil {
		return 1
	}
	return s.weight[i]
}

// about returns the means of sin²(θ - mean) and of cos 2(θ - mean).
func (s sample) about() (sin2, rho2 float64) {
	for i, t := range s.theta {
		d := math.Sin(t - s.mean)
		sin2 += s.weigh(i) * d * d
	}
	sin2 /= s.n
	rho2 = 1 - 2*sin2
	if s.raise2 != 1 {
		rho2 = min(1, s.raise2*rho2)
		sin2 = (1 - rho2) / 2
	}
	return sin2, rho2
}

// summarize describes a sample of angles modulo 2π/fold.
func summarize(of sample, fold float64, o Options) Summary {
	n := of.n
	s := Summary{N: int(n), R: of.r}
	s.Variance = 1 - s.R
	s.SD = Angle(math.Sqrt(-2*math.Log(s.R)) / fold)
	s.Kappa = A1Inverse(s.R)
	s.KappaSmall = kappaSmall(s.Kappa, n)
	sin2, rho2 := of.about()
	s.Rho2, s.Dispersion = rho2, sin2/(s.R*s.R)
	s.RayleighP = rayleighP(n, s.R/of.raise)
	if o.Series {
		s.RayleighP = seriesRayleighP(of.theta)
	}
	switch {
	case n == 0:
		s.Mean = estimate.Missing[Angle]("no-observations", "mean direction", "there is no angle to take it from")
		return s
	case s.R <= nowhere:
		s.Mean = estimate.Missing[Angle]("no-direction", "mean direction", "the angles cancel each other, so that no direction is their mean")
		s.Rho2, s.Dispersion = math.NaN(), math.NaN()
		return s
	}
	s.Mean = estimate.Value[Angle]{
		Value: Angle(of.mean / fold),
		Low:   Angle(math.NaN()), High: Angle(math.NaN()),
		N: s.N,
	}
	level, ok := o.level()
	if !ok {
		return s
	}
	var half float64
	switch {
	case o.Series:
		half = seriesHalf(of, level)
	case n >= large:
		z := distuv.UnitNormal.Quantile((1 + level) / 2)
		half = math.Asin(z * math.Sqrt(s.Dispersion/n)) // NaN above 1
	default:
		half = uptonHalf(n, s.R, level)
	}
	if !math.IsNaN(half) {
		s.Mean.Low, s.Mean.High = s.Mean.Value-Angle(half/fold), s.Mean.Value+Angle(half/fold)
		s.Mean.Level = level
	}
	return s
}

// large is the number of angles from which the dispersion is known well enough
// for an interval of the mean, Fisher (1993), 4.4.4.
const large = 25

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

// kappaSmall is Fisher (1993), (4.41).
func kappaSmall(kappa, n float64) float64 {
	switch {
	case kappa == 0 || math.IsNaN(kappa):
		return kappa
	case kappa < 2:
		return max(0, kappa-2/(n*kappa))
	}
	return (n - 1) * (n - 1) * (n - 1) * kappa / (n*n*n + n)
}

// rayleighP is the formula of Wilkie (1983), Zar (2010) (27.4).
func rayleighP(n, r float64) float64 {
	return min(1, math.Exp(math.Sqrt(1+4*n+4*n*n*(1-r*r))-(1+2*n)))
}
