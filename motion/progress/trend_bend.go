package progress

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// bends returns where the middle of two changes lies, in the unit of t from its
// first value, and by how much the first change's is earlier than the second's.
//
// Over τ, which runs from -1 to 1, both are fitted by α + β τ + γ τ². The mean
// time of such a change is
//
//	∫ τ y'(τ) dτ / ∫ y'(τ) dτ = 2γ/3β
//
// so that a change that comes early lies before the middle. Of the ratio of two
// estimates the intervals are generalised ones (Weerahandi 1993): coefficients
// and residual covariance are drawn as normal theory has them given the data,
//
//	Σ* = L (A A')⁻¹ L', L L' the residual sums of squares and products, A A' a Wishart draw
//	B* = B + N(0, (X'X)⁻¹ ⊗ Σ*)
//
// and the bounds are the 2.5 and 97.5 percentiles of what follows of them. Where
// what is left of neighbouring days is alike, by r, the second term is widened
// by √((1+r)/(1-r)). ok is false where the fit is exact or the times are too few.
func bends(t, x, y []float64, rng *rand.Rand) (out [3]estimate.Value[float64], ok bool) {
	n := len(t)
	mid, reach := (t[0]+t[n-1])/2, (t[n-1]-t[0])/2
	df := float64(n - 3)
	if df < 2 || !(reach > 0) {
		return out, false
	}
	design, values := mat.NewDense(n, 3, nil), mat.NewDense(n, 2, nil)
	for i := range n {
		u := (t[i] - mid) / reach
		design.SetRow(i, []float64{1, u, u * u})
		values.SetRow(i, []float64{x[i], y[i]})
	}
	var qr mat.QR
	qr.Factorize(design)
	var fit, rest mat.Dense
	if err := qr.SolveTo(&fit, false, values); err != nil {
		return out, false
	}
	rest.Mul(design, &fit)
	rest.Sub(values, &rest)
	var squares mat.SymDense
	squares.SymOuterK(1, rest.T())
	var l mat.Cholesky
	if !l.Factorize(&squares) {
		return out, false
	}
	var root mat.TriDense
	l.LTo(&root)
	// (X'X)⁻¹ = R⁻¹ R⁻ᵀ
	var r mat.Dense
	qr.RTo(&r)
	var inverse mat.Dense
	if err := inverse.Inverse(r.Slice(0, 3, 0, 3)); err != nil {
		return out, false
	}
	middle := func(beta, gamma float64) float64 { return mid - t[0] + reach*2*gamma/(3*beta) }
	widen := math.Sqrt(daysAlike(&rest))
	squared11, squared22 := distuv.ChiSquared{K: df, Src: rng}, distuv.ChiSquared{K: df - 1, Src: rng}
	var draws [3][]float64
	for range orderDraws {
		// Bartlett: A is lower triangular, and the root of Σ* is L A'⁻¹.
		a11, a22, a21 := math.Sqrt(squared11.Rand()), math.Sqrt(squared22.Rand()), rng.NormFloat64()
		l11, l21, l22 := root.At(0, 0), root.At(1, 0), root.At(1, 1)
		m11, m12 := l11/a11, -l11*a21/(a11*a22)
		m21, m22 := l21/a11, (l22-l21*a21/a11)/a22
		var z [3][2]float64
		for i := range z {
			u, v := rng.NormFloat64(), rng.NormFloat64()
			z[i] = [2]float64{widen * (m11*u + m12*v), widen * (m21*u + m22*v)}
		}
		var drawn [2][2]float64 // β and γ of both
		for row := range drawn {
			for k := range 2 {
				v := fit.At(row+1, k)
				for i := range z {
					v += inverse.At(row+1, i) * z[i][k]
				}
				drawn[row][k] = v
			}
		}
		a, b := middle(drawn[0][0], drawn[1][0]), middle(drawn[0][1], drawn[1][1])
		draws[0], draws[1], draws[2] = append(draws[0], a), append(draws[1], b), append(draws[2], b-a)
	}
	first, second := middle(fit.At(1, 0), fit.At(2, 0)), middle(fit.At(1, 1), fit.At(2, 1))
	for k, v := range []float64{first, second, second - first} {
		slices.Sort(draws[k])
		out[k] = estimate.Value[float64]{Value: v, Low: draws[k][orderDraws/40], High: draws[k][orderDraws-1-orderDraws/40], Level: 0.95, N: n}
	}
	return out, true
}

// daysAlike returns by how much the likeness of neighbouring days multiplies the
// variance of a smooth function of them: (1+r)/(1-r), r the mean of the two
// columns' r(1) with its bias taken off as in serialSlope, in [0, 0.8].
func daysAlike(rest *mat.Dense) float64 {
	n, columns := rest.Dims()
	var r float64
	for k := range columns {
		e := mat.Col(nil, k, rest)
		r += floats.Dot(e[1:], e[:n-1]) / floats.Dot(e, e) / float64(columns)
	}
	r = min(max(r+(3+5*r)/float64(n), 0), 0.8)
	return (1 + r) / (1 - r)
}
