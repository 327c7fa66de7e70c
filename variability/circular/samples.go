package circular

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// WatsonWilliams tests whether groups of independent directions, or with o.Axes
// axes, have the same mean (Watson and Williams 1956; Zar 2010, 27.4). For k
// groups with resultants R[j] of their sums, N angles in all and R the resultant
// of all,
//
//	F = K (N-k)/(k-1) · (Σ R[j] - R)/(N - Σ R[j]), K = 1 + 3/(8κ), A1(κ) = Σ R[j]/N
//
// on k-1 and N-k degrees of freedom. It takes for granted von Mises
// distributions of one concentration, and says in Doubt what the data do not
// meet of that:
//
//	"low-concentration"      κ is below 2
//	"unequal-concentration"  P of [EqualConcentration] is below 0.05
//
// Below κ = 1 it is absent, with code "low-concentration". The groups have to be
// independent observations, so that with o.Series it is absent, with code
// "series"; [EqualMeans] is for that, and for what is in doubt. Missing angles
// (NaN) are left out. Fewer than two groups, a group of fewer than two angles,
// are refused, with code "too-few". If no group scatters, F is +Inf where means
// differ.
//
// See G. S. Watson and E. J. Williams (1956), On the construction of
// significance tests on the circle and the sphere. Biometrika 43, 344-352.
func WatsonWilliams(groups [][]Angle, o Options) Test {
	const what = "Watson-Williams test of equal means"
	o = o.filled()
	if o.Series {
		return o.refused("series", what, "the angles follow each other in time; use the block permutation of equal means")
	}
	of, n, refusal := grouped(groups, what, o)
	if refusal != nil {
		return *refusal
	}
	var c, s, within float64
	for _, g := range of {
		sin, cos := math.Sincos(g.mean)
		c += g.n * g.r * cos
		s += g.n * g.r * sin
		within += g.n * g.r
	}
	k := float64(len(of))
	kappa := A1Inverse(min(1, within/n))
	if kappa < 1 {
		return o.refused("low-concentration", what, "the directions are spread too widely (κ = %.2f, below 1); use the block permutation of equal means", kappa)
	}
	t := Test{N: int(n), DF: [2]float64{k - 1, n - k}, Options: o}
	t.Statistic = over(math.Max(0, within-math.Hypot(c, s)), n-within) * (n - k) / (k - 1) * (1 + 3/(8*kappa))
	t.P = distuv.F{D1: k - 1, D2: n - k}.Survival(t.Statistic)
	if equal := EqualConcentration(groups, o); equal.P < 0.05 {
		t.Doubt = &estimate.Absence{Code: "unequal-concentration", What: what, Why: "the groups do not scatter equally; use the block permutation of equal means"}
	}
	if kappa < 2 {
		t.Doubt = &estimate.Absence{Code: "low-concentration", What: what, Why: "the directions are spread widely (κ below 2); use the block permutation of equal means"}
	}
	return t
}

// EqualConcentration tests whether groups of directions, or with o.Axes axes,
// scatter equally about their own means (Fisher 1993, 5.4.4). It is an analysis
// of variance of d = |sin(θ - mean of its group)|, the counterpart of Levene's
// test: for k groups and N angles,
//
//	F = Σ n[j] (d̄[j] - d̄)²/(k-1) · (N-k)/ΣΣ (d[i][j] - d̄[j])²
//
// with P from F on k-1 and N-k degrees of freedom. With o.Block P comes from dealing
// out blocks of d anew, with what [EqualMeans] says of that; with o.Series alone,
// Statistic is the F ratio of Welch (1951) of the means of d with their long-run
// variances. A concentration below κ = 1 in a group spreads d over all it can be,
// which is said in Doubt, with code "low-concentration".
//
// Missing angles (NaN) are left out. Fewer than two groups, a group of fewer
// than five angles, a series of fewer than 15, are refused, with code "too-few".
// Where no d differs in its group the test is absent, with code "undefined".
func EqualConcentration(groups [][]Angle, o Options) Test {
	const what, least = "test of equal concentration", 5
	o = o.filled()
	of, n, refusal := grouped(groups, what, o)
	if refusal != nil {
		return *refusal
	}
	k := float64(len(of))
	d := make([][]float64, len(of))
	low := false
	for j, g := range of {
		if g.n < least {
			return o.refused("too-few", what, "a group has %v angles, fewer than %d", g.n, least)
		}
		d[j] = make([]float64, len(g.theta))
		for i, t := range g.theta {
			d[j][i] = math.Abs(math.Sin(t - g.mean))
		}
		low = low || kappaSmall(A1Inverse(g.r), g.n) < 1
	}
	t := Test{N: int(n), DF: [2]float64{k - 1, n - k}}
	t.Statistic = oneWay(d)
	if math.IsNaN(t.Statistic) {
		return o.refused("undefined", what, "in each group all angles lie equally far from the mean")
	}
	switch {
	case o.Block > 0:
		deal, refusal := newDeal(lengths(of), what, o)
		if refusal != nil {
			return *refusal
		}
		t.DF = [2]float64{}
		t.P, t.Least = deal.p("equal concentration", deal.between(d))
	case o.Series:
		squares, dfs := make([]float64, len(d)), make([]float64, len(d))
		var all, weighted, between float64
		for j, x := range d {
			variance, df := longRun(x)
			if df == 0 {
				return o.refused("too-few", what, "series %d has %d angles, too few to tell how alike neighbours are; it takes %d", j+1, len(x), fewest)
			}
			squares[j], dfs[j] = math.Max(variance/of[j].n, certain), float64(df)
			all += 1 / squares[j]
			weighted += stat.Mean(x, nil) / squares[j]
		}
		for j, x := range d {
			m := stat.Mean(x, nil) - weighted/all
			between += m * m / squares[j]
		}
		t.Statistic, t.DF, t.P = welch(between, squares, dfs)
	default:
		t.P = distuv.F{D1: k - 1, D2: n - k}.Survival(t.Statistic)
	}
	t.Options = o
	if low {
		t.Doubt = &estimate.Absence{Code: "low-concentration", What: what, Why: "in a group the directions are spread too widely (κ below 1) for this measure of scatter"}
	}
	return t
}

// grouped returns the samples of groups that can be compared, and their size.
func grouped(groups [][]Angle, what string, o Options) (of []sample, n float64, refusal *Test) {
	refuse := func(code, format string, a ...any) ([]sample, float64, *Test) {
		t := o.refused(code, what, format, a...)
		return nil, 0, &t
	}
	if len(groups) < 2 {
		return refuse("too-few", "there are %d groups, and comparing takes two", len(groups))
	}
	for j, g := range groups {
		s := sampleOf(wanted(g, o.fold()), nil)
		switch {
		case s.n < 2:
			return refuse("too-few", "group %d has %v angles, fewer than 2", j+1, s.n)
		case s.r <= nowhere:
			return refuse("no-direction", "the angles of group %d cancel each other, so that no direction is their mean", j+1)
		}
		of = append(of, s)
		n += s.n
	}
	return of, n, nil
}

func lengths(of []sample) []int {
	n := make([]int, len(of))
	for j, g := range of {
		n[j] = len(g.theta)
	}
	return n
}

// oneWay is the F ratio of a one-way analysis of variance.
func oneWay(groups [][]float64) float64 {
	mean, n := grand(groups)
	var between, within float64
	for _, g := range groups {
		m, v := stat.PopMeanVariance(g, nil)
		between += float64(len(g)) * (m - mean) * (m - mean)
		within += float64(len(g)) * v
	}
	if within <= 1e-24*n {
		return math.NaN()
	}
	k := float64(len(groups))
	return between / within * (n - k) / (k - 1)
}

// grand is the mean of all values, and their number.
func grand(groups [][]float64) (mean, n float64) {
	for _, g := range groups {
		mean += floats.Sum(g)
		n += float64(len(g))
	}
	return mean / n, n
}

// between returns the sum of squares between groups of blocks of values, which
// grows with the F ratio, the total being the same.
func (d *deal) between(values [][]float64) func(groups [][]int) float64 {
	mean, _ := grand(values)
	sums, sizes := make([]float64, len(d.blocks)), make([]float64, len(d.blocks))
	for i, b := range d.blocks {
		sizes[i] = float64(b.to - b.from)
		sums[i] = floats.Sum(values[b.group][b.from:b.to]) - mean*sizes[i]
	}
	return func(groups [][]int) (ss float64) {
		for _, g := range groups {
			var s, n float64
			for _, b := range g {
				s += sums[b]
				n += sizes[b]
			}
			ss += s * s / n
		}
		return ss
	}
}
