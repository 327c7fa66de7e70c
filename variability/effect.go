package variability

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// HedgesG returns the standardised difference of two means, mean of b less
// mean of a in units of their common standard deviation, with the correction
// for small samples:
//
//	g = J(ν) (mean b - mean a) / s, s² = Σ of both squared deviations / ν, ν = n + m - 2
//	J(ν) = Γ(ν/2) / (√(ν/2) Γ((ν-1)/2)), about 1 - 3/(4ν-1)
//
// from Hedges (1981). Missing values (NaN) are left out. It is NaN with no
// value on one side, with fewer than four in all, and without scatter.
func HedgesG(a, b []float64) float64 {
	g, _ := hedges(present(a), present(b))
	return g
}

// hedges also returns the common standard deviation s.
func hedges(a, b []float64) (g, s float64) {
	ν := float64(len(a) + len(b) - 2)
	if len(a) == 0 || len(b) == 0 || ν < 2 {
		return math.NaN(), math.NaN()
	}
	ma, va := stat.PopMeanVariance(a, nil)
	mb, vb := stat.PopMeanVariance(b, nil)
	s = math.Sqrt((va*float64(len(a)) + vb*float64(len(b))) / ν)
	if s == 0 {
		return math.NaN(), 0
	}
	return smallSample(ν) * (mb - ma) / s, s
}

// smallSample is J of HedgesG.
func smallSample(ν float64) float64 {
	upper, _ := math.Lgamma(ν / 2)
	lower, _ := math.Lgamma((ν - 1) / 2)
	return math.Exp(upper-lower) / math.Sqrt(ν/2)
}

// CliffDelta returns how much more often a value of b is above one of a than
// below it,
//
//	δ = P(b > a) - P(b < a)
//
// over all pairs: 1 if all of b are above all of a, 0 if neither is more
// likely, -1 the other way round (Cliff 1993). It asks nothing of the
// distributions. Missing values (NaN) are left out. It is NaN with no value on
// one side.
func CliffDelta(a, b []float64) float64 {
	a, b = present(a), present(b)
	if len(a) == 0 || len(b) == 0 {
		return math.NaN()
	}
	return stat.Mean(placements(b, a), nil)
}

// placements returns for each of xs the share of among that it exceeds less
// the share that exceeds it.
func placements(xs, among []float64) []float64 {
	sorted := slices.Sorted(slices.Values(among))
	p := make([]float64, len(xs))
	for i, x := range xs {
		below, found := slices.BinarySearch(sorted, x)
		upto := below
		if found {
			j, _ := slices.BinarySearch(sorted[below:], math.Nextafter(x, math.Inf(1)))
			upto += j
		}
		p[i] = float64(below-(len(sorted)-upto)) / float64(len(sorted))
	}
	return p
}
