package circular

import "math"

// A1 returns I₁(κ)/I₀(κ), the mean resultant length of the von Mises
// distribution with concentration κ ≥ 0. I are modified Bessel functions of
// the first kind.
//
// It is the continued fraction
//
//	1/(2/κ + 1/(4/κ + 1/(6/κ + …)))
//
// up to κ = 200 and the asymptotic series in 1/κ beyond; the relative error
// is below 1e-14.
//
// Special cases are: A1(0) = 0, A1(+Inf) = 1, NaN for negative κ and NaN.
//
// See K. V. Mardia and P. E. Jupp (2000), Directional Statistics, Wiley,
// (A.11), and NIST Digital Library of Mathematical Functions, 10.33, 10.40.
func A1(kappa float64) float64 {
	switch {
	case math.IsNaN(kappa) || kappa < 0:
		return math.NaN()
	case kappa == 0:
		return 0
	case kappa > 200:
		u := 1 / kappa
		return 1 - u*(1./2+u*(1./8+u*(1./8+u*(25./128+u*(13./32+u*(1073./1024+u*103./32))))))
	}
	// Backward, from a term so far out that it is of no account.
	f := 0.0
	for k := 30 + int(2*kappa); k >= 1; k-- {
		f = 1 / (2*float64(k)/kappa + f)
	}
	return f
}

// A1Inverse returns the concentration κ for which [A1] is r, the maximum
// likelihood estimate of κ from a mean resultant length. It is the root by
// Newton's method, A1'(κ) = 1 - A1/κ - A1², started at the approximation of
// Best and Fisher (1981), and good to 1e-12 relative for r up to 0.999.
//
// Special cases are: A1Inverse(0) = 0, A1Inverse(1) = +Inf, NaN outside
// [0, 1].
func A1Inverse(r float64) float64 {
	switch {
	case !(r >= 0 && r <= 1):
		return math.NaN()
	case r == 0:
		return 0
	case r == 1:
		return math.Inf(1)
	}
	kappa := bestFisher(r)
	for range 20 {
		a := A1(kappa)
		step := (a - r) / (1 - a/kappa - a*a)
		next := kappa - step
		if next <= 0 {
			next = kappa / 2
		}
		if kappa > 1e5 || math.Abs(next-kappa) <= 1e-15*kappa {
			break
		}
		kappa = next
	}
	return kappa
}

// bestFisher is the approximation of D. J. Best and N. I. Fisher (1981), The
// bias of the maximum likelihood estimators of the von Mises-Fisher
// concentration parameters, Commun. Stat. B 10, 493-502.
func bestFisher(r float64) float64 {
	switch {
	case r < 0.53:
		return 2*r + r*r*r + 5*math.Pow(r, 5)/6
	case r < 0.85:
		return -0.4 + 1.39*r + 0.43/(1-r)
	}
	return 1 / (r * (1 - r) * (3 - r)) // of r³ - 4r² + 3r
}
