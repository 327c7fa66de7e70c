package circular

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// MeanDifference returns the mean direction of b less that of a, or with o.Axes
// the same of axes, in (-π, π], for axes (-π/2, π/2], with a Student interval:
//
//	difference ± t √(V[a]/n[a] + V[b]/n[b])
//
// V is the variance of sin(θ - mean)/R, divisor n-1, or for o.Series its
// long-run variance, and t has the degrees of freedom of
// Welch and Satterthwaite. Downstrokes and upstrokes differ: give one kind, or
// the means of cycles. The bounds do not wrap, and are NaN, with Level 0, where they
// would go all the way round.
//
// Two takes are two observations: the interval is about these two, and not about
// the player. Missing angles (NaN) are left out. With fewer than two angles on a
// side the difference is absent, with code "too-few", and with angles that
// cancel each other, with code "no-direction".
func MeanDifference(a, b []Angle, o Options) estimate.Value[Angle] {
	const what = "difference of mean directions"
	of, n, refusal := grouped([][]Angle{a, b}, what, o)
	if refusal != nil {
		return estimate.Value[Angle]{Absent: refusal.Absent}
	}
	nan := Angle(math.NaN())
	fold := o.fold()
	v := estimate.Value[Angle]{Value: Angle(wrapped(of[1].mean-of[0].mean) / fold), Low: nan, High: nan, N: int(n)}
	level, ok := o.level()
	if !ok {
		return v
	}
	var sum, parts float64 // of squared standard errors; of their squares over the degrees of freedom
	for _, s := range of {
		var square, df float64
		if o.Series {
			se, q := seriesError(s)
			if q == 0 {
				return v // too short
			}
			square, df = se*se, float64(q)
		} else {
			sin2, _ := s.about()
			df = s.n - 1
			square = sin2 / (s.r * s.r) / df
		}
		sum += square
		parts += square * square / df
	}
	half := 0.0
	if sum > 0 {
		half = student(sum*sum/parts, level) * math.Sqrt(sum)
	}
	if half < math.Pi { // otherwise any direction will do
		v.Low, v.High, v.Level = v.Value-Angle(half/fold), v.Value+Angle(half/fold), level
	}
	return v
}

// EqualMeans tests whether groups of directions, or with o.Axes axes, have the same
// mean. It asks for no von Mises distribution and no equal scatter. It is built on
// the statistic of Fisher (1993, 5.3.4),
//
//	Y = 2 (Σ w[j] - |Σ w[j] exp(i mean[j])|), w[j] = 1/(squared standard error of mean[j])
//
// near chi-squared on k-1 degrees of freedom for k groups, in two ways.
//
// With o.Series the errors are those of [MeanDifference], and Statistic is the F
// ratio of Welch (1951) with Y for the sum of squares between the groups; DF are its
// degrees of freedom. For two series it says what that interval says. A series of
// fewer than 15 angles is refused, with code "too-few".
//
// Otherwise, or with o.Block, Statistic is Y, with an error from the m blocks of
// neighbouring angles that a group is cut into, single angles if o.Block is 0,
//
//	(m/(m-1)) Σ (sum of sin(θ - mean) over a block)²/(nR)²
//
// and P from dealing all blocks out again, as many to each group as it had, which a
// statistic in units of its own error bears also where the groups scatter unequally
// (Janssen 1997; Chung and Romano 2013). Two groups with no more than o.Draws+1
// deals have them all tried; otherwise o.Draws are drawn, and the groups as they
// are count as one more. P is never below what the number of deals allows. Blocks
// above 1 have to be longer than neighbours stay alike; fewer than 12 in all, or
// eight in a group, are refused, with code "few-blocks". Of single angles a group
// needs four.
//
// Downstrokes and upstrokes differ: give one kind, or the means of cycles. Angles
// that cancel each other are refused, with code "no-direction".
//
// # References
//
//   - E. Chung and J. P. Romano (2013), Exact and asymptotically robust
//     permutation tests. Ann. Stat. 41, 484-507.
//   - A. Janssen (1997), Studentized permutation tests for non-i.i.d.
//     hypotheses. Stat. Probab. Lett. 36, 9-21.
//   - B. L. Welch (1951), On the comparison of several mean values: an
//     alternative approach. Biometrika 38, 330-336.
func EqualMeans(groups [][]Angle, o Options) Test {
	const what = "test of equal means"
	o = o.filled()
	of, n, refusal := grouped(groups, what, o)
	if refusal != nil {
		return *refusal
	}
	t := Test{N: int(n), Options: o}
	if o.Series && o.Block <= 0 {
		squares, dfs := make([]float64, len(of)), make([]float64, len(of))
		var all, x, y float64
		for j, s := range of {
			se, df := seriesError(s)
			if df == 0 {
				return o.refused("too-few", what, "series %d has %v angles, too few to tell how alike neighbours are; it takes %d", j+1, s.n, fewest)
			}
			squares[j], dfs[j] = math.Max(se*se, certain), float64(df)
			sin, cos := math.Sincos(s.mean)
			all += 1 / squares[j]
			x += cos / squares[j]
			y += sin / squares[j]
		}
		t.Statistic, t.DF, t.P = welch(2*(all-math.Hypot(x, y)), squares, dfs)
		return t
	}
	o.Block = max(1, o.Block)
	d, refusal := newDeal(lengths(of), what, o)
	if refusal != nil {
		return *refusal
	}
	t.Options = o
	y := d.apart(of)
	t.P, t.Least = d.p("equal means", y)
	own := make([][]int, len(of))
	for i, b := range d.blocks {
		own[b.group] = append(own[b.group], i)
	}
	t.Statistic = y(own)
	return t
}

// certain is the squared error, in radians, below which a mean is as good as known:
// it keeps the weights finite where a group does not scatter.
const certain = 1e-24

// apart returns Fisher's Y of groups of blocks of the samples.
func (d *deal) apart(of []sample) func(groups [][]int) float64 {
	cos, sin := make([]float64, len(d.blocks)), make([]float64, len(d.blocks))
	for i, b := range d.blocks {
		for _, t := range of[b.group].theta[b.from:b.to] {
			s, c := math.Sincos(t)
			cos[i] += c
			sin[i] += s
		}
	}
	return func(groups [][]int) float64 {
		var all, x, y float64
		for _, g := range groups {
			var c, s float64
			for _, b := range g {
				c += cos[b]
				s += sin[b]
			}
			r := math.Hypot(c, s)
			if r == 0 {
				continue
			}
			c, s = c/r, s/r
			var squares float64
			for _, b := range g {
				e := sin[b]*c - cos[b]*s
				squares += e * e
			}
			m := float64(len(g))
			w := 1 / math.Max(m/(m-1)*squares/(r*r), certain)
			all += w
			x += w * c
			y += w * s
		}
		return 2 * (all - math.Hypot(x, y))
	}
}
