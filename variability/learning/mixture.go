package learning

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// component is the profile of one shape under one ρ: the sum of squares along
// κ, as far as it matters for intervals.
type component struct {
	s      *shape
	rho    float64
	weight float64 // components of one mixture add up to 1
	nodes  []node  // in order of u
	best   int     // the node with the least sum of squares
	nu     float64
	factor float64
}

// fine is the number of nodes of a profile. With it the ends of intervals are
// within 1e-4 of their length of those with ten times as many.
const fine = 40

// profile makes the component of the solver's shape. tail is the probability
// beyond which the profile need not go.
func (v *solver) profile(tail float64) component {
	best := v.best()
	nu := float64(len(v.y) - v.s.parameters())
	c := component{s: v.s, rho: v.rho, nodes: []node{best}, nu: nu, factor: v.p.factor, weight: 1}
	if !v.s.searched() {
		return c
	}
	t := distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(1-tail) * v.p.factor
	limit := best.rss * (1 + t*t/nu)
	lo, hi := v.edge(best.u, v.s.low, limit), v.edge(best.u, v.s.high, limit)
	c.nodes = v.grid(lo, hi, fine)
	for i := range c.nodes {
		if c.nodes[i].u >= best.u || i == fine-1 {
			// The nearer of the two neighbours gives way to the minimum.
			if i > 0 && best.u-c.nodes[i-1].u < c.nodes[i].u-best.u {
				i--
			}
			c.nodes[i], c.best = best, i
			break
		}
	}
	return c
}

// edge returns where, from best towards end, the sum of squares passes the
// limit, and end if it does not.
func (v *solver) edge(best, end, limit float64) float64 {
	out, in := end, best
	if v.at(end).rss <= limit {
		return end
	}
	// From the far end in steps that halve, since the sum of squares may be within
	// the limit again farther off: the last passage counts.
	for range 24 {
		u := best + (out-best)/2
		if v.at(u).rss <= limit {
			in = u
			break
		}
		out = u
	}
	for range 12 {
		if mid := (in + out) / 2; v.at(mid).rss <= limit {
			in = mid
		} else {
			out = mid
		}
	}
	return out
}

// negligible is the weight, over the heaviest one's, below which a component is
// left out.
const negligible = 1e-4

// mixture is a set of components, of one shape or of several.
type mixture []component

// heaviest returns the component of the largest weight.
func (m mixture) heaviest() *component {
	at := 0
	for i := range m {
		if m[i].weight > m[at].weight {
			at = i
		}
	}
	return &m[at]
}

// linear is a quantity that, given κ, is off + c0 b0 + c1 b1.
type linear func(s *shape, kappa float64) (off, c0, c1 float64)

func (f linear) at(s *shape, nd *node) (value, variance float64) {
	off, c0, c1 := f(s, nd.kappa)
	return off + c0*nd.b0 + c1*nd.b1, c0*c0*nd.v00 + 2*c0*c1*nd.v01 + c1*c1*nd.v11
}

// profiled is a linear quantity along the nodes of a component.
type profiled struct {
	*component
	value, sd []float64 // estimate at each node, and its standard error over s
}

// root returns the signed root of the profile at psi,
//
//	τ = sign(ψ - ψ̂) √((RSS(ψ) - RSS) / s²),  s² = RSS/ν
//
// where RSS(ψ) is the least sum of squares with the quantity held at ψ: over κ,
// the least of RSS(κ) + (ψ - ψ̂(κ))²/V(κ).
func (p *profiled) root(psi float64) float64 {
	at, least := 0, math.Inf(1)
	for i := range p.nodes {
		if r := p.rss(p.nodes[i].rss, p.value[i], p.sd[i], psi); r < least {
			at, least = i, r
		}
	}
	// Between nodes the least may be a narrow valley, where ψ̂(κ) passes ψ.
	if last := len(p.nodes) - 1; last > 3 {
		between := func(u float64) float64 {
			first, w := p.weights(u)
			var rss, value, sd float64
			for k, w := range w {
				rss += w * p.nodes[first+k].rss
				value += w * p.value[first+k]
				sd += w * p.sd[first+k]
			}
			return p.rss(rss, value, sd, psi)
		}
		lo, mid, hi := p.nodes[max(at-1, 0)].u, p.nodes[at].u, p.nodes[min(at+1, last)].u
		least = min(least, between(minimise(between, lo, mid, hi, least, 1e-3*(hi-lo))))
	}
	best := p.nodes[p.best].rss
	tau := math.Sqrt(max(least-best, 0)/best*p.nu) / p.factor
	return math.Copysign(tau, psi-p.value[p.best])
}

func (p *profiled) rss(rss, value, sd, psi float64) float64 {
	d := (psi - value) / sd
	return rss + d*d
}

// weights returns the weights at u of the four nodes from first on, in
// Lagrange's polynomial through them.
func (c *component) weights(u float64) (first int, w [4]float64) {
	n := len(c.nodes)
	first = sort.Search(n-4, func(i int) bool { return c.nodes[i+2].u >= u })
	for i := range w {
		w[i] = 1
		for j := range w {
			if j != i {
				a, b := c.nodes[first+i].u, c.nodes[first+j].u
				w[i] *= (u - b) / (a - b)
			}
		}
	}
	return first, w
}

// confidence returns the confidence distribution of a linear quantity: at psi
// the mean, over components, of the probability that Student's t lies below
// the signed root of the profile.
func (m mixture) confidence(f linear) func(psi float64) float64 {
	list := make([]profiled, 0, len(m))
	for i := range m {
		c := &m[i]
		if c.weight < negligible*m.heaviest().weight {
			continue
		}
		p := profiled{component: c, value: make([]float64, len(c.nodes)), sd: make([]float64, len(c.nodes))}
		for j := range c.nodes {
			value, variance := f.at(c.s, &c.nodes[j])
			p.value[j], p.sd[j] = value, math.Sqrt(variance)
		}
		list = append(list, p)
	}
	return func(psi float64) (below float64) {
		var all float64
		for i := range list {
			c := &list[i]
			all += c.weight
			below += c.weight * distuv.StudentsT{Sigma: 1, Nu: c.nu}.CDF(c.root(psi))
		}
		return below / all
	}
}

// interval returns the bounds of a linear quantity at the level. A bound farther
// than reach from the estimate is infinite.
func (m mixture) interval(f linear, level, reach float64) (low, high float64) {
	h := m.heaviest()
	nd := &h.nodes[h.best]
	value, variance := f.at(h.s, nd)
	step := math.Sqrt(variance*nd.rss/h.nu) * h.factor
	below := m.confidence(f)
	return quantile(below, (1-level)/2, value, step, reach), quantile(below, (1+level)/2, value, step, reach)
}

// quantile returns where the increasing function below passes p, searched from
// start in steps that double, and an infinity beyond reach.
func quantile(below func(float64) float64, p, start, step, reach float64) float64 {
	if !(step > 0) || math.IsInf(step, 0) {
		return math.NaN()
	}
	a, fa := start, below(start)-p
	if fa == 0 {
		return a
	}
	sign := -math.Copysign(1, fa)
	for {
		b := a + sign*step
		fb := below(b) - p
		if fb*fa <= 0 {
			return crossing(below, p, a, fa, b, fb)
		}
		if !(math.Abs(b-start) < reach) {
			return math.Inf(int(sign))
		}
		a, fa = b, fb
		step *= 2
	}
}

// crossing returns where below - p is 0 between a and b, at which it has
// different signs, by the Illinois rule (Dowell & Jarratt 1971).
// gonum has no root finder.
func crossing(below func(float64) float64, p, a, fa, b, fb float64) float64 {
	for i := 0; i < 100 && fb != 0 && math.Abs(b-a) > 1e-9*(math.Abs(a)+math.Abs(b)); i++ {
		c := b - fb*(b-a)/(fb-fa)
		if i%8 == 7 { // where the rule lags
			c = (a + b) / 2
		}
		fc := below(c) - p
		if fc*fb < 0 {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = c, fc
		if math.Abs(fb) < 1e-10 {
			break
		}
	}
	return b
}

// kappaInterval returns the interval of a quantity t that is a function of κ
// alone, the inverse of which rises or falls with κ. Where the profile ends
// before it has closed, the bound is infinite.
func (m mixture) kappaInterval(level, start float64, kappa func(s *shape, t float64) float64, rises bool) (low, high float64) {
	below := func(t float64) (below float64) {
		var all float64
		for i := range m {
			c := &m[i]
			tau := c.kappaRoot(kappa(c.s, t))
			if !rises {
				tau = -tau
			}
			all += c.weight
			below += c.weight * distuv.StudentsT{Sigma: 1, Nu: c.nu}.CDF(tau)
		}
		return below / all
	}
	c := m.heaviest()
	step := (c.nodes[len(c.nodes)-1].u - c.nodes[0].u) / 8
	reach := 2 * (c.s.high - c.s.low)
	return quantile(below, (1-level)/2, start, step, reach), quantile(below, (1+level)/2, start, step, reach)
}

// kappaRoot is root for κ itself. Beyond the ends of the profile it keeps their
// value.
func (c *component) kappaRoot(kappa float64) float64 {
	best := c.nodes[c.best]
	low, high := c.nodes[0].u, c.nodes[len(c.nodes)-1].u
	u := low
	if kappa > 0 || c.s.kind == PowerToZero {
		u = min(max(c.s.u(kappa), low), high)
	}
	first, w := c.weights(u)
	var rss float64
	for k, w := range w {
		rss += w * c.nodes[first+k].rss
	}
	tau := math.Sqrt(max(rss-best.rss, 0)/best.rss*c.nu) / c.factor
	return math.Copysign(tau, u-best.u)
}
