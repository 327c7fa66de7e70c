package learning

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat"
)

// Curve is one kind of curve fitted to the values. Its zero value is none.
type Curve struct {
	Kind Kind
	// A, B and C are the coefficients of the formula beside the kind. Those
	// that it lacks are absent with code "no-such-parameter". With
	// Options.Log they describe the logarithm of y.
	A, B, C estimate.Value[float64]
	// Start is the curve at the first x, Change its change from there to the
	// last x (with Log the ratio).
	Start, Change estimate.Value[float64]

	// RSS is the weighted sum of squared residuals, of logarithms with Log;
	// weights have mean 1. Scatter is the standard deviation of residuals,
	// from the whitened sum of squares and DF degrees of freedom. With Robust
	// both are of values pulled in.
	RSS, Scatter float64
	DF           int
	// Likeness is the ρ of the fit reported, Lag1 the lag-1 autocorrelation of
	// its residuals in the order of x.
	Likeness, Lag1 float64
	// K counts the parameters in AICc: of the curve, the variance, and ρ if it
	// is estimated. AICc is +Inf if there are too few values for it. Share is
	// the Akaike weight among all curves fitted.
	K           int
	AICc, Share float64

	// Absent says why there is no such curve, if there is none.
	Absent *estimate.Absence

	fit    *fitted
	p      *problem
	o      Options
	n      int
	inside [2]float64
}

// At returns the curve at x, NaN outside the data and for an absent curve.
func (c Curve) At(x float64) float64 {
	if c.fit == nil || !(x >= c.inside[0] && x <= c.inside[1]) {
		return math.NaN()
	}
	return c.back(c.fit.at(c.fit.clock.at(x), c.p), true)
}

// Band returns the curve at x with the interval of the curve, not of single
// values. Outside the data it is absent.
func (c Curve) Band(x float64) estimate.Value[float64] {
	const what = "curve"
	if c.fit == nil {
		if c.Absent != nil {
			return estimate.Missing[float64](c.Absent.Code, what, c.Absent.Why)
		}
		return estimate.Missing[float64]("no-curve", what, "no curve has been fitted")
	}
	if !(x >= c.inside[0] && x <= c.inside[1]) {
		return estimate.Missing[float64]("outside", what, "it is not followed beyond the values")
	}
	return c.value(c.p.levelAt(func(s *shape) float64 { return s.clock.at(x) }), true, math.Inf(1))
}

// back turns a scaled quantity, a level or a difference, into one in the unit
// of the values; with Log a difference becomes a ratio.
func (c Curve) back(v float64, isLevel bool) float64 { return c.p.back(v, isLevel, c.o.Log) }

func (p *problem) back(v float64, isLevel, log bool) float64 {
	v *= p.scale
	if isLevel {
		v += p.mid
	}
	if log {
		return math.Exp(v)
	}
	return v
}

// value is a linear quantity of the curve. Its bounds are infinite beyond
// reach, in scaled units.
func (c Curve) value(f linear, isLevel bool, reach float64) estimate.Value[float64] {
	center, _ := f.at(c.fit.shape, &c.fit.node)
	v := point(c.back(center, isLevel), c.n)
	if level := c.o.Level; level > 0 && level < 1 {
		low, high := c.fit.profile.interval(f, level, reach)
		bound(&v, c.back(low, isLevel), c.back(high, isLevel), level)
	}
	return v
}

// point is an estimate without an interval.
func point(value float64, n int) estimate.Value[float64] {
	return estimate.Value[float64]{Value: value, Low: math.NaN(), High: math.NaN(), N: n}
}

// bound gives v its interval, if it could be had.
func bound(v *estimate.Value[float64], low, high, level float64) {
	if !math.IsNaN(low) && !math.IsNaN(high) {
		v.Low, v.High, v.Level = low, high, level
	}
}

// newCurve makes the public side of a fit.
func newCurve(f *fitted, p *problem, o Options) Curve {
	c := Curve{
		Kind: f.kind, DF: len(p.y) - f.parameters(), Likeness: f.rho, K: f.count, AICc: f.aicc,
		fit: f, p: p, o: o, n: len(p.y), inside: [2]float64{p.x[0], p.x[len(p.x)-1]},
	}
	r := f.residuals(p)
	c.RSS = dot(r, r) * p.scale * p.scale
	c.Scatter = math.Sqrt(f.node.rss/float64(c.DF)) * p.scale
	c.Lag1 = lag1(r)
	c.coefficients()
	c.Start = c.value(p.levelAt(func(*shape) float64 { return 0 }), true, math.Inf(1))
	c.Change = c.value(change, false, math.Inf(1))
	if f.kind == Constant {
		c.Change = point(c.back(0, false), c.n)
	}
	return c
}

// lag1 is the lag-1 autocorrelation of Box and Jenkins, NaN for equal values.
func lag1(r []float64) float64 {
	mean := stat.Mean(r, nil)
	var products, squares float64
	for i, v := range r {
		squares += (v - mean) * (v - mean)
		if i > 0 {
			products += (v - mean) * (r[i-1] - mean)
		}
	}
	return products / squares
}

// coefficients sets A, B and C. They are of y, or of its logarithm.
func (c *Curve) coefficients() {
	none := estimate.Missing[float64]("no-such-parameter", "coefficient", "the "+c.Kind.String()+" has none")
	c.A, c.B, c.C = none, none, none
	plain := *c
	plain.o.Log = false
	k, wide := c.fit.clock, math.Inf(1)
	// of is a coefficient of the column alone, times a function of κ. The unit
	// of x may be such that its square is no number.
	of := func(factor func(kappa float64) float64, reach float64) estimate.Value[float64] {
		f := factor(c.fit.node.kappa)
		if math.IsInf(f, 0) {
			return estimate.Missing[float64]("too-large", "coefficient", "at x + Prior = 1 the curve is larger than a number can be")
		}
		v := plain.value(func(_ *shape, kappa float64) (_, _, _ float64) { return 0, 0, factor(kappa) / f }, false, reach)
		v.Value, v.Low, v.High = v.Value*f, v.Low*f, v.High*f
		if f < 0 {
			v.Low, v.High = v.High, v.Low
		}
		return v
	}
	// atOne is exp(-κz) over (x + prior)^-C, C = κ/span; 1 on a plain clock.
	atOne := func(kappa float64) float64 {
		if k.log {
			return math.Exp(kappa / k.span * k.first)
		}
		return 1
	}
	switch c.Kind {
	case Constant:
		c.A = plain.value(func(*shape, float64) (_, _, _ float64) { return 0, 1, 0 }, true, wide)
	case Line, Logarithm:
		c.A = plain.value(func(*shape, float64) (_, _, _ float64) { return 0, 1, -k.first / k.span }, true, wide)
		c.B = of(func(float64) float64 { return 1 / k.span }, wide)
	case PowerToZero:
		c.B = of(atOne, wide)
		c.C = c.exponent()
	case Exponential, Power:
		far := farthest * math.Abs(c.fit.node.b1)
		c.A = plain.value(plateau, true, far)
		c.B = of(func(kappa float64) float64 { return -level(kappa) * atOne(kappa) }, far)
		c.C = c.exponent()
	}
}

// farthest is how many times the change over the data a level may lie beyond
// them before it counts as infinitely far: a little less than slowest allows.
const farthest = 40

// exponent is κ as the C of the formula.
func (c *Curve) exponent() estimate.Value[float64] {
	f := c.fit
	span := f.clock.span
	if f.tooFast() {
		return estimate.Missing[float64]("too-fast", "rate", "the change is over before the third place on the x axis")
	}
	v := point(f.node.kappa/span, c.n)
	if level := c.o.Level; level > 0 && level < 1 {
		low, high := f.profile.kappaInterval(level, f.node.u, func(s *shape, t float64) float64 { return s.kappa(t) }, true)
		bound(&v, f.kappa(low)/span, f.kappa(high)/span, level)
	}
	return v
}
