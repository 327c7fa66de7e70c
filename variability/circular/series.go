package circular

import (
	"math"

	"gonum.org/v1/gonum/floats"
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

// fewest is the number of angles below which a series has no interval and no
// test: with fewer it does not tell how alike neighbours are.
const fewest = 15

// Two means are tested at once in a series of at least longRayleigh angles, or one
// whose lag-1 autocorrelation is no more than likeRayleigh.
const longRayleigh, likeRayleigh = 100, 0.5

// longRun returns the long-run variance of a series, by [estimate.Prewhitened], and
// its degrees of freedom, 0 with fewer than 15 values.
func longRun(xs []float64) (variance float64, df int) {
	if len(xs) < fewest {
		return math.NaN(), 0
	}
	return estimate.Prewhitened(xs, estimate.Lag1(0, xs), 0)
}

// welch compares the means of series, or of independent values, of which each has
// its own squared standard error and degrees of freedom, by the F ratio of Welch
// (1951): between is Σ w (mean - weighted mean)², w = 1/squared error.
func welch(between float64, squares, dfs []float64) (f float64, df [2]float64, p float64) {
	var all, loss float64
	for _, s := range squares {
		all += 1 / s
	}
	for j, s := range squares {
		rest := 1 - 1/s/all
		loss += rest * rest / dfs[j]
	}
	k := float64(len(squares))
	f = between / (k - 1) / (1 + 2*(k-2)/(k*k-1)*loss)
	df = [2]float64{k - 1, (k*k - 1) / (3 * loss)}
	return f, df, distuv.F{D1: df[0], D2: df[1]}.Survival(f)
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
	variance, df := longRun(s.terms())
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
	cos, sin := each(theta, math.Cos), each(theta, math.Sin)
	n := float64(len(theta))
	c, s := floats.Sum(cos)/n, floats.Sum(sin)/n
	if n < fewest {
		return math.NaN()
	}
	r := estimate.Lag1(0, cos, sin)
	if n < longRayleigh && r > likeRayleigh {
		return math.NaN()
	}
	both := append([]float64(nil), cos...)
	floats.Add(both, sin)
	vc, q := estimate.Prewhitened(cos, r, 0)
	vs, _ := estimate.Prewhitened(sin, r, 0)
	vb, _ := estimate.Prewhitened(both, r, 0)
	cov := (vb - vc - vs) / 2
	det := vc*vs - cov*cov
	if !(det > 1e-12*vc*vs) { // the angles lie on one line through the circle
		return math.NaN()
	}
	t2 := n * (vs*c*c - 2*cov*c*s + vc*s*s) / det
	return distuv.F{D1: 2, D2: float64(q - 1)}.Survival(t2 * float64(q-1) / float64(2*q))
}
