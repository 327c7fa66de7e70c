package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// VTest tests whether angles gather about a direction mu that was known
// beforehand, or with o.Axes an axis, rather than being spread evenly: the V
// test, or modified Rayleigh test (Zar 2010, 27.1.2; Mardia & Jupp 2000,
// 6.3.1). Statistic is
//
//	u = V √(2/n), V = Σ cos(θ - mu)
//
// and P, one-sided, is exact: V has the characteristic function J₀(t)ⁿ and
// lies in [-n, n], so that its distribution function is a Fourier series,
//
//	P(V ≥ v) = 1/2 - v/2n - Σ J₀(πk/n)ⁿ sin(πkv/n)/(πk), k = 1, 2, …
//
// It is good to 1e-12 from 5 angles on, to 1e-6 below; a P under 1e-13 is given
// as that. With o.Series, Statistic is the Student statistic of the mean of
// cos(θ - mu) with its long-run variance.
//
// A mu chosen after looking at the angles makes P too small; use RayleighP of
// [Directional] then. A large P does not mean that there is no direction: it
// may be another one. Without any angle, or with a mu that is not finite, the
// test is absent.
func VTest(angles []Angle, mu Angle, o Options) Test {
	const what = "test of a stated direction"
	o = o.filled()
	theta := wanted(angles, o.fold())
	cos := make([]float64, len(theta))
	var v float64
	for i, t := range theta {
		cos[i] = math.Cos(t - o.fold()*float64(mu))
		v += cos[i]
	}
	n := float64(len(theta))
	switch {
	case n == 0:
		return o.refused("no-observations", what, "there is no angle")
	case math.IsNaN(v):
		return o.refused("no-direction", what, "the direction to test against is not finite")
	}
	t := Test{N: len(theta), Options: o}
	if o.Series {
		variance, df := longRun(cos)
		if df == 0 {
			return o.refused("too-few", what, "a series of %v angles is too short to tell how alike neighbours are; it takes %d", n, fewest)
		}
		t.Statistic, t.DF[0] = over(v/n, math.Sqrt(variance/n)), float64(df)
		t.P = distuv.StudentsT{Sigma: 1, Nu: t.DF[0]}.Survival(t.Statistic)
		return t
	}
	t.Statistic = v * math.Sqrt(2/n)
	t.P = alongP(v, len(theta))
	return t
}

// alongP is the probability that n directions spread evenly add up to v or more
// along a given one.
func alongP(v float64, n int) float64 {
	if n == 1 {
		return math.Acos(max(-1, min(1, v))) / math.Pi
	}
	nf := float64(n)
	p := 0.5 - v/(2*nf)
	for k := 1.0; k < 20_000; k++ {
		// |J₀(x)| ≤ √(2/πx) bounds the terms to come.
		if math.Pow(2*nf/(math.Pi*math.Pi*k), nf/2) < 1e-15 {
			break
		}
		p -= math.Pow(math.J0(math.Pi*k/nf), nf) * math.Sin(math.Pi*k*v/nf) / (math.Pi * k)
	}
	return min(1, max(p, 1e-13))
}
