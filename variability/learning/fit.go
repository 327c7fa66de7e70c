package learning

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat/distuv"
)

// Fit fits curves of practice to values y at x (days, hours of practice, or
// the number of the trial counted from 1) and says what they allow to be said.
// Give one value for each session, or for each take if its takes lie as far
// apart as sessions do; the order of x and y is of no matter.
//
// NaN in x or y is a missing value. It is an error if x or y is infinite, if
// an error is not above 0, if Prior is below 0, and with Log if a value is not
// above 0. It panics if x, y and Errors differ in length.
func Fit(x, y []float64, o Options) (Result, error) {
	if len(x) != len(y) {
		panic("learning: x and y differ in length")
	}
	if o.Errors != nil && len(o.Errors) != len(y) {
		panic("learning: y and Options.Errors differ in length")
	}
	o = o.filled()
	nan := math.NaN()
	r := Result{Options: o, P: nan, First: nan, Last: nan}
	d, err := prepare(x, y, o)
	if err != nil {
		return r, err
	}
	r.N, r.Missing = len(d.y), len(y)-len(d.y)
	if r.N == 0 {
		r.Curves = make([]Curve, Power)
		for i := range r.Curves {
			r.Curves[i] = absentCurve(Kind(i+1), "no-values", "there is no value")
		}
		r.Change = estimate.Missing[float64]("no-values", "change", "there is no value")
		r.Likeness = estimate.Missing[float64]("no-values", "likeness of neighbours", "there is no value")
		r.judge(nil)
		return r, nil
	}
	r.First, r.Last = d.x[0], d.x[r.N-1]
	j := &judgement{p: d.problem(), shapes: shapes(d.x, o.Prior), o: o, fits: map[Kind]*fitted{}}
	if d.se != nil {
		r.Between = j.p.weigh(d.se, j.shapes)
	}
	if o.Robust {
		for _, i := range j.p.pullIn(j.shapes) {
			r.Outliers = append(r.Outliers, d.index[i])
		}
		slices.Sort(r.Outliers)
	}
	for kind := Constant; kind <= Power; kind++ {
		r.Curves = append(r.Curves, j.curve(kind))
	}
	r.compare(j)
	r.judge(j)
	r.note(j)
	return r, nil
}

// judgement is what a verdict is made from.
type judgement struct {
	p      *problem
	shapes map[Kind]*shape
	fits   map[Kind]*fitted
	o      Options
}

// tail is the probability beyond which profiles need not go.
func (o Options) tail() float64 {
	if o.Level > 0.95 && o.Level < 1 {
		return (1 - o.Level) / 50
	}
	return 0.001
}

// curve fits one kind.
func (j *judgement) curve(kind Kind) Curve {
	n := len(j.p.y)
	s := j.shapes[kind]
	if s == nil {
		switch {
		case j.p.x[0] == j.p.x[n-1] && kind != Constant:
			return absentCurve(kind, "one-place", "all values have the same x")
		case kind >= Logarithm && kind != Exponential && j.p.x[0]+j.o.Prior <= 0:
			return absentCurve(kind, "x-not-positive", "x + Prior must be above 0: count from 1, or give the practice before x = 0 as Prior")
		case kind == Constant:
			s = &shape{kind: Constant, linear: 1, z: make([]float64, n), clock: clock{span: 1, first: j.p.x[0]}}
		default:
			return absentCurve(kind, "few-places", "a bend needs values at four places on the x axis, at least")
		}
	}
	if kind == PowerToZero && j.o.Log {
		return absentCurve(kind, "log", "on the logarithms of values the logarithm is the power law")
	}
	f := fit(s, j.p, j.o.Independent, j.o.tail())
	if f == nil {
		return absentCurve(kind, "few-values", fmt.Sprintf("it needs %d values at least", s.parameters()+1))
	}
	if f.noBend() {
		straight := "a line"
		if kind == Power {
			straight = "a logarithm"
		}
		return absentCurve(kind, "no-bend", "the values bend no more than "+straight+" does")
	}
	j.fits[kind] = f
	return newCurve(f, j.p, j.o)
}

func absentCurve(kind Kind, code, why string) Curve {
	missing := estimate.Missing[float64](code, kind.String()+" curve", why)
	return Curve{
		Kind: kind, A: missing, B: missing, C: missing, Start: missing, Change: missing,
		RSS: math.NaN(), Scatter: math.NaN(), Likeness: math.NaN(), Lag1: math.NaN(),
		AICc: math.NaN(), Absent: missing.Absent,
	}
}

// alike is the difference of AICc up to which curves cannot be told apart
// (Burnham & Anderson 2002, 2.6).
const alike = 2

// compare sets the Akaike weights, Best and Alike, the change over all kinds
// and the likeness of neighbours.
func (r *Result) compare(j *judgement) {
	least := math.Inf(1)
	for _, c := range r.Curves {
		if c.Absent == nil && c.AICc < least {
			least, r.Best = c.AICc, c.Kind
		}
	}
	var sum float64
	for i := range r.Curves {
		if c := &r.Curves[i]; c.Absent == nil && !math.IsInf(least, 1) {
			c.Share = math.Exp((least - c.AICc) / 2)
			sum += c.Share
			if c.AICc <= least+alike {
				r.Alike = append(r.Alike, c.Kind)
			}
		}
	}
	for i := range r.Curves {
		if sum > 0 {
			r.Curves[i].Share /= sum
		}
	}
	slices.SortStableFunc(r.Alike, func(a, b Kind) int {
		if r.Curve(a).AICc < r.Curve(b).AICc {
			return -1
		}
		return 1
	})
	r.Change = estimate.Missing[float64]("no-curve", "change", "too few values for any curve that changes")
	r.Likeness = estimate.Missing[float64]("no-curve", "likeness of neighbours", "too few values for a curve")
	best := j.fits[r.Best]
	if best == nil {
		return
	}
	if r.Options.Independent {
		r.Likeness = estimate.Missing[float64]("independent", "likeness of neighbours", "Options.Independent takes it to be none")
	} else {
		r.Likeness = best.profile.likeness(r.N, r.Options.Level)
	}
	if j.degenerate() {
		r.Change = estimate.Missing[float64]("equal-values", "change", "all values are equal")
		return
	}
	if p := j.mixed(Line, Logarithm, PowerToZero, Exponential, Power); p != nil {
		r.Change = j.value(p, change, false, math.Inf(1))
	}
}

// degenerate reports whether the values are all equal.
func (j *judgement) degenerate() bool {
	for _, y := range j.p.y {
		if y != j.p.y[0] {
			return false
		}
	}
	return true
}

// pool is a set of mixtures, each of which may hold the truth: an interval is
// the hull of theirs. first is the fit whose values are reported.
type pool struct {
	mixtures []mixture
	first    *fitted
}

// mixed pools kinds into one mixture, each weighted by exp(-AICc/2), nil if
// none of them has been fitted. This is the model-averaged tail area of Turek &
// Fletcher (2012), with profiles in place of Wald's tails (Fletcher & Turek
// 2011).
func (j *judgement) mixed(kinds ...Kind) *pool {
	var p *pool
	for _, k := range kinds {
		if f := j.fits[k]; f != nil && !math.IsInf(f.aicc, 1) && (p == nil || f.aicc < p.first.aicc) {
			p = &pool{first: f}
		}
	}
	if p == nil {
		return nil
	}
	var m mixture
	for _, k := range kinds {
		f := j.fits[k]
		if f == nil || math.IsInf(f.aicc, 1) {
			continue
		}
		for _, c := range f.profile {
			c.weight *= math.Exp((p.first.aicc - f.aicc) / 2)
			m = append(m, c)
		}
	}
	p.mixtures = []mixture{m}
	return p
}

// apart is the difference of AICc beyond which a curve has essentially no
// support (Burnham & Anderson 2002, 2.6).
const apart = 10

// levelling pools the exponential and the power curve, whose levels differ
// widely. Only what both say is a finding, each with its own interval, unless
// one of them has no support: a difference of 5 or so comes about by chance in
// a score of values.
func (j *judgement) levelling() *pool {
	p := j.mixed(Exponential, Power)
	e, w := j.fits[Exponential], j.fits[Power]
	if e != nil && w != nil && math.Abs(e.aicc-w.aicc) <= apart {
		p.mixtures = []mixture{e.profile, w.profile}
	}
	return p
}

// interval is the hull of the intervals of a linear quantity.
func (p *pool) interval(q linear, level, reach float64) (low, high float64) {
	return p.hull(func(m mixture) (float64, float64) { return m.interval(q, level, reach) })
}

// kappaInterval is the same for a quantity that is a function of κ alone.
func (p *pool) kappaInterval(level, start float64, kappa func(s *shape, t float64) float64, rises bool) (low, high float64) {
	return p.hull(func(m mixture) (float64, float64) { return m.kappaInterval(level, start, kappa, rises) })
}

func (p *pool) hull(of func(m mixture) (low, high float64)) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, m := range p.mixtures {
		l, h := of(m)
		low, high = min(low, l), max(high, h)
	}
	return low, high
}

// value is a linear quantity of the pool's first fit, with the pool's interval.
func (j *judgement) value(p *pool, q linear, isLevel bool, reach float64) estimate.Value[float64] {
	center, _ := q.at(p.first.shape, &p.first.node)
	back := func(v float64) float64 { return j.p.back(v, isLevel, j.o.Log) }
	v := point(back(center), len(j.p.y))
	if level := j.o.Level; level > 0 && level < 1 {
		low, high := p.interval(q, level, reach)
		bound(&v, back(low), back(high), level)
	}
	return v
}

// likeness is ρ with the interval of its weights, to the nearest of the values
// that are weighed.
func (m mixture) likeness(n int, level float64) estimate.Value[float64] {
	v := point(0, n)
	for _, c := range m {
		v.Value += c.rho * c.weight
	}
	if !(level > 0 && level < 1) {
		return v
	}
	v.Level = level
	var below float64
	for _, c := range m {
		below += c.weight
		if math.IsNaN(v.Low) && below > (1-level)/2 {
			v.Low = c.rho
		}
		if math.IsNaN(v.High) && below >= (1+level)/2 {
			v.High = c.rho
		}
	}
	if math.IsNaN(v.High) {
		v.High = m[len(m)-1].rho
	}
	return v
}

// bends are the κ, on the clock of x, of the two fixed shapes by which a change
// is tested: a line, and an exponential that has gone half the way after a
// seventh of the time. Shapes that are not fitted keep the test at its level.
var bends = []float64{0, 5}

// test returns the probability of a trend as strong as that in the values, or
// stronger, where there is no change: twice the smaller of the two of Student's
// tests of the fixed shapes (Bonferroni), each averaged over ρ.
func (j *judgement) test() float64 {
	line := j.fits[Line]
	if line == nil {
		return math.NaN()
	}
	p := 1.0
	for _, kappa := range bends {
		s := *line.shape
		if kappa > 0 {
			s.z = make([]float64, len(line.z))
			for i, z := range line.z {
				s.z[i] = math.Expm1(-kappa*z) / math.Expm1(-kappa)
			}
		}
		f := fit(&s, j.p, j.o.Independent, j.o.tail())
		var one float64
		for i := range f.profile {
			c := &f.profile[i]
			nd := &c.nodes[0]
			t := math.Abs(nd.b1) / math.Sqrt(nd.v11*nd.rss/c.nu) / c.factor
			one += 2 * c.weight * distuv.StudentsT{Sigma: 1, Nu: c.nu}.Survival(t)
		}
		p = min(p, float64(len(bends))*one)
	}
	return p
}
