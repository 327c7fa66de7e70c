package circular

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability/estimate"
)

// CorrelationT measures whether one direction turns with another, or with
// o.Axes one axis with another: the T-linear association of Fisher and Lee
// (1983). Statistic is
//
//	ρ = Σ sin(a[i]-a[j]) sin(b[i]-b[j]) / √(Σ sin²(a[i]-a[j]) Σ sin²(b[i]-b[j])), i < j
//
// 1 if b = a + constant, -1 if b = constant - a. It needs no mean direction, so
// that it also serves phases that go all the way round. P is that of
// [CorrelationSine].
//
// See N. I. Fisher and A. J. Lee (1983), A correlation coefficient for circular
// data. Biometrika 70, 327-332; Fisher (1993), 6.3.3.
func CorrelationT(a, b []Angle, o Options) Test {
	const what = "association of two directions"
	o = o.filled()
	theta, phi := together(a, b, o.fold())
	n := float64(len(theta))
	scale := 1.0
	for _, t := range [][]float64{theta, phi} {
		var c2, s2 float64
		for _, v := range t {
			s, c := math.Sincos(2 * v)
			c2 += c
			s2 += s
		}
		scale *= n*n - c2*c2 - s2*s2
	}
	if !(scale > 1e-18*n*n*n*n) {
		scale = math.NaN()
	}
	return o.associate(what, [][]float64{each(theta, math.Cos), each(theta, math.Sin)}, [][]float64{each(phi, math.Cos), each(phi, math.Sin)},
		func(sum [][]float64) float64 { // Fisher (1993), (6.36): products of sums for the double sum
			return 4 * (sum[0][0]*sum[1][1] - sum[0][1]*sum[1][0]) / math.Sqrt(scale)
		})
}

// CorrelationSine measures whether directions, or with o.Axes axes, deviate
// from their means together: the circular correlation of Jammalamadaka and
// SenGupta (2001, 8.2). Statistic is
//
//	r = Σ sin(a - mean a) sin(b - mean b) / √(Σ sin²(a - mean a) Σ sin²(b - mean b))
//
// in [-1, 1]. It needs both means: angles that gather on one side. For those
// close together it is the ordinary correlation.
//
// P is the share of permutations of b against a with an |r| at least as large. A
// permutation keeps blocks of neighbours together, so that it bears the
// autocorrelation of both; what it tests is that a and b have nothing to do with
// each other. o.Draws are drawn and the order as it is counts as one more. For a
// Series the block comes from the autocorrelation of both. Columns in which
// downstrokes and upstrokes differ go together for that alone: give one kind, or
// the means of cycles.
//
// Pairs of which one is missing (NaN) are left out, their neighbours joined. Fewer
// than 5 pairs are refused, with code "too-few", and fewer than 12 blocks, if
// they are for a Series or o.Block is above 1, with code "few-blocks". Where one
// of the two does not vary, the test is absent, with code "undefined". It panics
// if a and b differ in length.
func CorrelationSine(a, b []Angle, o Options) Test {
	const what = "correlation of two directions"
	o = o.filled()
	theta, phi := together(a, b, o.fold())
	x, y := sampleOf(theta, nil), sampleOf(phi, nil)
	if len(theta) > 0 && min(x.r, y.r) <= nowhere {
		return o.refused("no-direction", what, "the angles of one of the two cancel each other, so that no direction is their mean")
	}
	u, v := x.terms(), y.terms() // the factor 1/R cancels
	scale := math.Sqrt(floats.Dot(u, u) * floats.Dot(v, v))
	if !(scale > 1e-24) {
		scale = math.NaN()
	}
	return o.associate(what, [][]float64{u}, [][]float64{v}, func(sum [][]float64) float64 { return sum[0][0] / scale })
}

// CorrelationLinear measures whether a direction, or with o.Axes an axis, goes
// with an ordinary quantity, whichever the direction at which that is largest:
// the angular-linear correlation of Mardia (1976; Zar 2010, 27.15). Statistic is
// the squared multiple correlation of y with the cosine and sine of a,
//
//	R² = (r²[yc] + r²[ys] - 2 r[yc] r[ys] r[cs])/(1 - r²[cs])
//
// from 0 to 1. P, and what is left out or refused, is that of [CorrelationSine].
//
// See K. V. Mardia (1976), Linear-circular correlation coefficients and
// rhythmometry. Biometrika 63, 403-405.
func CorrelationLinear(a []Angle, y []float64, o Options) Test {
	const what = "correlation of a direction with a quantity"
	o = o.filled()
	theta, q := together(a, y, o.fold())
	for i := range q { // together has multiplied it
		q[i] /= o.fold()
	}
	c, s, q := centred(each(theta, math.Cos)), centred(each(theta, math.Sin)), centred(q)
	cc, ss, cs, qq := floats.Dot(c, c), floats.Dot(s, s), floats.Dot(c, s), floats.Dot(q, q)
	scale := (cc*ss - cs*cs) * qq // the determinant, 0 where R² is not defined
	if !(cc*ss-cs*cs > 1e-12*cc*ss) {
		scale = math.NaN()
	}
	return o.associate(what, [][]float64{c, s}, [][]float64{q}, func(sum [][]float64) float64 {
		x, y := sum[0][0], sum[1][0]
		return (ss*x*x + cc*y*y - 2*cs*x*y) / scale
	})
}

// together returns the pairs of which both are finite, times fold.
func together[T, U ~float64](a []T, b []U, fold float64) (x, y []float64) {
	if len(a) != len(b) {
		panic("circular: the columns to compare differ in length")
	}
	for i := range a {
		u, v := fold*float64(a[i]), fold*float64(b[i])
		if !math.IsNaN(u-u) && !math.IsNaN(v-v) { // nor infinite
			x, y = append(x, u), append(y, v)
		}
	}
	return x, y
}

func each(xs []float64, f func(float64) float64) []float64 {
	ys := make([]float64, len(xs))
	for i, x := range xs {
		ys[i] = f(x)
	}
	return ys
}

func centred(xs []float64) []float64 {
	mean := stat.Mean(xs, nil)
	return each(xs, func(x float64) float64 { return x - mean })
}

// associate tests a statistic of the sums of the products of columns x with
// columns y against permutations of y in blocks.
func (o Options) associate(what string, x, y [][]float64, statistic func(sum [][]float64) float64) Test {
	const fewest = 5
	n := len(x[0])
	if n < fewest {
		return o.refused("too-few", what, "there are %d pairs, fewer than %d", n, fewest)
	}
	if o.Block <= 0 {
		o.Block = 1
		if o.Series {
			o.Block = pairBlock(x, y)
		}
	}
	blocks := n / o.Block
	if blocks < estimate.MinBlocks && (o.Series || o.Block > 1) {
		return o.refused("few-blocks", what, "there are %d blocks of %d pairs, fewer than %d", blocks, o.Block, estimate.MinBlocks)
	}
	order, places := make([]int, n), make([]int, blocks)
	for i := range order {
		order[i] = i
	}
	for i := range places {
		places[i] = i
	}
	sum := make([][]float64, len(x))
	for i := range sum {
		sum[i] = make([]float64, len(y))
	}
	now := func() float64 {
		for i, u := range x {
			for j, v := range y {
				sum[i][j] = 0
				for k, from := range order {
					sum[i][j] += u[k] * v[from]
				}
			}
		}
		return statistic(sum)
	}
	t := Test{Statistic: now(), N: n, Options: o}
	if math.IsNaN(t.Statistic) {
		return o.refused("undefined", what, "one of the two does not vary")
	}
	found := math.Abs(t.Statistic) * (1 - 1e-9) // ties, whatever the order of summation
	rng := estimate.Stream(o.Seed, what)
	hits := 1.0
	for range o.Draws {
		rng.Shuffle(blocks, func(i, j int) { places[i], places[j] = places[j], places[i] })
		at := 0
		for _, b := range places {
			for from := b * n / blocks; from < (b+1)*n/blocks; from++ {
				order[at] = from
				at++
			}
		}
		if math.Abs(now()) >= found {
			hits++
		}
	}
	tried := float64(o.Draws + 1)
	t.Least = max(1/tried, 1/math.Gamma(float64(blocks)+1))
	t.P = max(hits/tried, t.Least)
	return t
}

// pairBlock returns the length of block for columns x against columns y. The sum
// of their products varies as if neighbours were alike by the product of both
// autocorrelations. The block is the longest that [estimate.BlockLength] gives for
// a product of two columns, and not below 2(1+r)/(1-r), r being the product of the
// lag-1 autocorrelations and a standard error of it.
func pairBlock(x, y [][]float64) int {
	block := 1.0
	for _, u := range x {
		for _, v := range y {
			u, v := centred(u), centred(v)
			r := estimate.Lag1(0, u) * estimate.Lag1(0, v)
			r = min(0.95, r+math.Sqrt((1-r*r)/float64(len(u))))
			floats.Mul(u, v)
			block = max(block, estimate.BlockLength(centred(u)), 2*(1+r)/(1-r))
		}
	}
	return int(math.Ceil(block))
}
