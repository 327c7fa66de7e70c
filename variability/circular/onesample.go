package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// MeanTest tests whether the mean direction, or with o.Axes the mean axis, is
// mu: the one-sample test of Zar (2010, 27.1.3), with a probability. It is the
// interval of [Directional] turned round, so that P is below 1 - Level when,
// and only when, mu lies outside of that interval. Statistic has the sign of
// mean - mu and is
//
//	√X of the likelihood interval, for n < 25
//	sin(mean - mu)/√(δ/n), for n ≥ 25
//	sin(mean - mu)/√(V/n) with V the long-run variance, for a Series
//
// compared with the normal distribution, the last with Student's t. Beyond a
// quarter turn from the mean the sine counts as 1. Equal angles give P = 0 for
// any other mu.
//
// Missing angles (NaN) are left out. There is no test, with code "too-few", for
// fewer than two angles, or 15 of a Series, and, with code "no-direction", if the
// angles cancel each other or mu is not finite.
func MeanTest(angles []Angle, mu Angle, o Options) Test {
	const what = "test of a mean direction"
	o = o.filled()
	s := sampleOf(wanted(angles, o.fold()), nil)
	d := wrapped(s.mean - o.fold()*float64(mu))
	switch {
	case s.n < 2:
		return o.refused("too-few", what, "there are %v angles, and a mean needs two to be uncertain about", s.n)
	case s.r <= nowhere:
		return o.refused("no-direction", what, "the angles cancel each other, so that no direction is their mean")
	case math.IsNaN(d):
		return o.refused("no-direction", what, "the direction to test against is not finite")
	}
	if o.Series && s.n < fewest {
		return o.refused("too-few", what, "a series of %v angles is too short to tell how alike neighbours are; it takes %d", s.n, fewest)
	}
	t := Test{N: len(s.theta), Options: o}
	sin := math.Sin(d)
	if math.Abs(d) > math.Pi/2 {
		sin = math.Copysign(1, d)
	}
	switch {
	case o.Series:
		se, df := seriesError(s)
		t.Statistic, t.DF[0] = over(sin, se), float64(df)
		t.P = studentP(t.DF[0], t.Statistic)
	case s.n >= large:
		sin2, _ := s.about()
		t.Statistic = over(sin, math.Sqrt(sin2/s.n)/s.r)
		t.P = math.Erfc(math.Abs(t.Statistic) / math.Sqrt2)
	default:
		t.Statistic = math.Copysign(math.Sqrt(uptonX(s.n, s.r, math.Max(0, math.Cos(d)))), d)
		t.P = math.Erfc(math.Abs(t.Statistic) / math.Sqrt2)
	}
	return t
}

// over is x/y, and 0 for 0/0: angles all equal, and equal to what is tested.
func over(x, y float64) float64 {
	if x == 0 {
		return 0
	}
	return x / y
}

// uptonX is the X that puts an angle with cosine cos from the mean on the edge
// of the interval of Zar (2010), (26.23) and (26.24).
func uptonX(n, r, cos float64) float64 {
	along := r * cos
	if r <= 0.9 {
		return 4 * n * (r*r - along*along) / (2 - along*along)
	}
	if r == along {
		return 0
	}
	return n * math.Log((1-along*along)/(1-r*r))
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
