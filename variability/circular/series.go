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

// batches are series made ready for [estimate.LongRun]: less r times the value
// before, and added up over batches.
type batches struct {
	cols  [][]float64
	grown float64 // by which their long-run variance is to be multiplied
	r     float64 // the lag-1 autocorrelation
}

// batched makes series of one length ready. What neighbours share is taken off
// with one lag-1 autocorrelation r for all, which prewhitening puts back into the
// variance as 1/(1-r)² (Andrews and Monahan 1992).
// At most 64 batches leave only the lowest cosines, four to six.
func batched(cols ...[]float64) (b batches, ok bool) {
	n := len(cols[0])
	if n < fewest {
		return b, false
	}
	for i, xs := range cols {
		cols[i] = centred(xs)
	}
	r := likeness(cols)
	b.grown = 1 / ((1 - r) * (1 - r))
	b.r = r
	m := min(64, n-1)
	for _, d := range cols {
		sums := make([]float64, m)
		for k := range sums {
			from, to := 1+k*(n-1)/m, 1+(k+1)*(n-1)/m
			for i := from; i < to; i++ {
				sums[k] += d[i] - r*d[i-1]
			}
			sums[k] /= math.Sqrt(float64(to - from))
		}
		b.cols = append(b.cols, sums)
	}
	return b, true
}

// likeness returns the lag-1 autocorrelation of series that have mean 0, without
// its bias (Kendall 1954), within ±0.97. It is 0 for series of zeros.
func likeness(series [][]float64) float64 {
	var products, squares, n float64
	for _, x := range series {
		products += floats.Dot(x[1:], x[:len(x)-1])
		squares += floats.Dot(x, x)
		n += float64(len(x)) / float64(len(series))
	}
	if !(squares > 0) {
		return 0
	}
	r := products / squares
	return min(max(r+(1+4*r)/n, -0.97), 0.97)
}

// longRun returns the long-run variance of a series and its degrees of freedom, 0
// with fewer than 15 values.
func longRun(xs []float64) (variance float64, df int) {
	b, ok := batched(xs)
	if !ok {
		return math.NaN(), 0
	}
	variance, df = estimate.LongRun(b.cols[0])
	return variance * b.grown, df
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
	b, ok := batched(cos, sin)
	if !ok || n < longRayleigh && b.r > likeRayleigh {
		return math.NaN()
	}
	vc, q := estimate.LongRun(b.cols[0])
	vs, _ := estimate.LongRun(b.cols[1])
	both := append([]float64(nil), b.cols[0]...)
	floats.Add(both, b.cols[1])
	vb, _ := estimate.LongRun(both)
	cov := (vb - vc - vs) / 2
	det := vc*vs - cov*cov
	if !(det > 1e-12*vc*vs) { // the angles lie on one line through the circle
		return math.NaN()
	}
	t2 := n * (vs*c*c - 2*cov*c*s + vc*s*s) / det / b.grown
	return distuv.F{D1: 2, D2: float64(q - 1)}.Survival(t2 * float64(q-1) / float64(2*q))
}
