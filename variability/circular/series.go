package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// student returns the two-sided Student quantile of a level.
func student(df, level float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 + level) / 2)
}

// studentP returns the two-sided probability of a Student statistic.
func studentP(df, t float64) float64 {
	return 2 * distuv.StudentsT{Sigma: 1, Nu: df}.Survival(math.Abs(t))
}

// terms returns what each angle adds to the mean direction to first order,
// sin(θ - mean)/R.
func (s sample) terms() []float64 {
	terms := make([]float64, len(s.theta))
	for i, t := range s.theta {
		terms[i] = math.Sin(t-s.mean) / s.r
	}
	return terms
}

// seriesError returns the standard error of the mean direction of a series and
// its degrees of freedom, 0 if there is none.
func seriesError(s sample) (se float64, df int) {
	variance, df := estimate.LongRun(s.terms())
	return math.Sqrt(variance / s.n), df
}

// seriesHalf is the half width of the interval for a series.
func seriesHalf(s sample, level float64) float64 {
	se, df := seriesError(s)
	if df == 0 {
		return math.NaN()
	}
	return math.Asin(student(float64(df), level) * se) // NaN above 1
}

// seriesRayleighP is the probability of Hotelling's T² of the mean vector.
func seriesRayleighP(theta []float64) float64 {
	n := len(theta)
	cos, sin, both := make([]float64, n), make([]float64, n), make([]float64, n)
	var c, s float64
	for i, t := range theta {
		sin[i], cos[i] = math.Sincos(t)
		both[i] = sin[i] + cos[i]
		c += cos[i] / float64(n)
		s += sin[i] / float64(n)
	}
	vc, q := estimate.LongRun(cos)
	vs, _ := estimate.LongRun(sin)
	vb, _ := estimate.LongRun(both)
	if q < 2 {
		return math.NaN()
	}
	cov := (vb - vc - vs) / 2
	det := vc*vs - cov*cov
	if !(det > 0) { // the angles lie on one line through the circle
		return math.NaN()
	}
	t2 := float64(n) * (vs*c*c - 2*cov*c*s + vc*s*s) / det
	f := t2 * float64(q-1) / float64(2*q)
	return distuv.F{D1: 2, D2: float64(q - 1)}.Survival(f)
}
