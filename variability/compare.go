package variability

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// compare fills in all that needs both windows.
func (c *Change) compare(early, late []float64, noise float64) {
	if c.Difference.Absent != nil {
		return
	}
	if few := min(len(early), len(late)); few < fewest {
		what := "values"
		if c.Options.Cycles {
			what = "cycles"
		}
		why := fmt.Sprintf("the take is too short for that: a part of it holds %d %s, and a comparison needs %d", few, what, fewest)
		if c.Options.Share == 0 {
			why = fmt.Sprintf("a part of the take holds %d %s, and a comparison needs %d; ask for longer parts", few, what, fewest)
		}
		c.refuse("too-few", why)
		return
	}
	o := c.Options.Options
	n := len(early) + len(late)
	c.Difference = o.shift(c.Late.Mean-c.Early.Mean, early, late, n)
	c.Trimmed = o.trimmedShift(early, late)
	if least := min(c.Early.Effective, c.Late.Effective); least < worthEffect {
		why := fmt.Sprintf("neighbours are so alike that a part of the take is worth %.1f independent values, and it needs %d", least, worthEffect)
		c.G = estimate.Missing[float64]("too-alike", "standardised difference", why)
		c.Delta = estimate.Missing[float64]("too-alike", "dominance", why)
	} else {
		c.G = c.standardised(early, late, n)
		c.Delta = o.delta(early, late, n)
	}
	o.Noise = noise
	c.Ratio = ratioOf(o.sd(early, c.Early), o.sd(late, c.Late), n, noise, "ratio of spreads")
	c.RobustRatio = ratioOf(SpreadOf(early, o).Robust, SpreadOf(late, o).Robust, n, noise, "ratio of robust spreads")
	c.Scatter = scatterTest(deviations(early), deviations(late))
}

// shift is a difference d of two means, with Welch's degrees of freedom. a and
// b are what each value adds to the early and to the late mean.
func (o Options) shift(d float64, a, b []float64, n int) estimate.Value[float64] {
	v := estimate.Value[float64]{Value: d, Low: math.NaN(), High: math.NaN(), N: n}
	if se, df := standardError(a, b); se > 0 {
		if t, wanted := o.student(df); wanted {
			v.Low, v.High, v.Level = d-t*se, d+t*se, o.Level
		}
	}
	return v
}

// standardError returns that of the difference of the means of two series,
// with the degrees of freedom of Welch and Satterthwaite. It is 0 if neither
// varies.
func standardError(a, b []float64) (se, df float64) {
	va, qa := longRun(a, -1)
	vb, qb := longRun(b, -1)
	va /= float64(len(a))
	vb /= float64(len(b))
	if !(va+vb > 0) {
		return 0, 0
	}
	return math.Sqrt(va + vb), (va + vb) * (va + vb) / (va*va/qa + vb*vb/qb)
}

// trimmedShift is the difference of the trimmed means.
func (o Options) trimmedShift(early, late []float64) estimate.Value[float64] {
	a, winsorA := trimmed(early)
	b, winsorB := trimmed(late)
	return o.shift(b-a, winsorA, winsorB, len(early)+len(late))
}

// standardised is Hedges' g. Its interval is that of a difference of two means,
// those of what each value adds to g to first order.
func (c *Change) standardised(early, late []float64, n int) estimate.Value[float64] {
	g, s := hedges(early, late)
	if math.IsNaN(g) {
		return estimate.Missing[float64]("undefined", "standardised difference", "in both windows all values are equal")
	}
	adds := func(xs []float64, mean, sign float64) []float64 {
		a := make([]float64, len(xs))
		share := float64(len(xs)) / float64(n)
		for i, x := range xs {
			d := (x - mean) / s
			a[i] = sign*d - g/2*share*(d*d-1)
		}
		return a
	}
	return c.Options.shift(g, adds(early, c.Early.Mean, -1), adds(late, c.Late.Mean, 1), n)
}

// delta is Cliff's δ with his asymmetric interval, which stays within ±1.
func (o Options) delta(early, late []float64, n int) estimate.Value[float64] {
	up, down := placements(late, early), placements(early, late)
	d := stat.Mean(up, nil)
	v := o.shift(d, down, up, n)
	if v.Level > 0 {
		half := v.High - d
		rest := 1 - d*d
		spread := half * math.Hypot(rest, half)
		v.Low, v.High = (d*rest-spread)/(rest+half*half), (d*rest+spread)/(rest+half*half)
	}
	return v
}

// sd is the standard deviation of a window, less the noise. Its interval is for
// a comparison: however alike neighbours are, both windows fall short alike of
// how far the values go in the long run.
func (o Options) sd(xs []float64, w Window) estimate.Value[float64] {
	return withoutNoise(o.scale(w.SD, addsToLogSD(xs, w.Mean, w.SD), likeness(xs)), o.Noise, "standard deviation")
}

// ratioOf returns the ratio b/a of two scales, its interval from theirs: with
// l, v and h the logs of value and bounds,
//
//	low  = v(b)-v(a) - √((v(b)-l(b))² + (h(a)-v(a))²)
//	high = v(b)-v(a) + √((h(b)-v(b))² + (v(a)-l(a))²)
//
// from Zou and Donner (2008). A scale of 0 has no ratio, a bound of 0 gives no
// interval.
func ratioOf(a, b estimate.Value[float64], n int, noise float64, what string) estimate.Value[float64] {
	if !a.Known() || !b.Known() || !(a.Value > 0) || !(b.Value > 0) {
		code, why := "undefined", "in one window the values do not scatter"
		if noise > 0 {
			code, why = "noise", "in one window the values scatter no more than the noise given"
		}
		return estimate.Missing[float64](code, what, why)
	}
	v := estimate.Value[float64]{Value: b.Value / a.Value, Low: math.NaN(), High: math.NaN(), N: n}
	if a.Low > 0 && b.Low > 0 && a.High > 0 && b.High > 0 {
		v.Low = v.Value * math.Exp(-math.Hypot(math.Log(b.Value/b.Low), math.Log(a.High/a.Value)))
		v.High = v.Value * math.Exp(math.Hypot(math.Log(b.High/b.Value), math.Log(a.Value/a.Low)))
		v.Level = a.Level
	}
	return v
}

// scatterTest compares the means of two series of distances from the median.
func scatterTest(a, b []float64) Test {
	t := Test{N: len(a) + len(b)}
	se, df := standardError(a, b)
	if !(se > 0) {
		return Test{Absent: &estimate.Absence{Code: "undefined", What: "test of equal spread", Why: "all values lie equally far from their median"}}
	}
	s := (meanOf(b) - meanOf(a)) / se
	t.Statistic = s * s
	_, qa := longRun(a, -1)
	_, qb := longRun(b, -1)
	t.Least = math.Exp(-combin.LogGeneralizedBinomial(qa+qb+2, qa+1))
	t.P = max(t.Least, min(1, 2*distuv.StudentsT{Sigma: 1, Nu: df}.Survival(math.Abs(s))))
	return t
}
