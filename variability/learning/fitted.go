package learning

import "math"

// fitted is one shape fitted to a problem.
type fitted struct {
	*shape
	profile  mixture // over ρ
	rho      float64 // mean of ρ
	node     node    // the fit reported, at that mean
	deviance float64 // least of n log(RSS/n) + log|V| over ρ
	aicc     float64
	count    int // of parameters, the variance and ρ included
}

// likenesses are the values of ρ over which estimates are averaged, and priors
// their weights before the data speak: none is as likely as a high one. With
// even weights a change was seen where there was none in 15 % of 8 to 12 values
// with ρ = 0.9, with these in 10 %; more weight on high values would cost
// those whose scatter is independent.
var (
	likenesses = []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98}
	priors     = []float64{4, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 1}
)

// fit fits a shape under each likeness of neighbours, and weights those by the
// restricted likelihood
//
//	RSS^(-(n-p)/2) |V|^(-1/2) |X'V⁻¹X|^(-1/2)
//
// (Patterson & Thompson 1971), where X is taken to be p polynomials in the
// order of the values, so that the weights compare.
func fit(s *shape, p *problem, independent bool, tail float64) *fitted {
	n, params := len(p.y), s.parameters()
	if n <= params {
		return nil
	}
	rhos := likenesses
	if independent {
		rhos = rhos[:1]
	}
	f := &fitted{shape: s, deviance: math.Inf(1), count: params + 1}
	if !independent {
		f.count++
	}
	logs := make([]float64, len(rhos))
	most := math.Inf(-1)
	for i, rho := range rhos {
		c := newSolver(s, p, rho).profile(tail)
		f.profile = append(f.profile, c)
		rss := c.nodes[c.best].rss
		logV := float64(n-1) * math.Log(1-rho*rho)
		f.deviance = min(f.deviance, float64(n)*math.Log(rss/float64(n))+logV)
		logs[i] = math.Log(priors[i]) - (float64(n-params)*math.Log(rss)+logV+logDet(n, params, rho))/2
		most = max(most, logs[i])
	}
	var sum float64
	for i := range logs {
		logs[i] = math.Exp(logs[i] - most)
		sum += logs[i]
	}
	for i, w := range logs {
		f.profile[i].weight = w / sum
		f.rho += f.profile[i].rho * w / sum
	}
	v := newSolver(s, p, f.rho)
	f.node = v.best()
	if s.searched() {
		f.node = v.polish(f.node)
	}
	f.aicc = aicc(f.deviance+2*float64(n)*math.Log(p.scale), n, f.count)
	return f
}

// aicc returns Akaike's criterion with the correction for few values of
// Hurvich & Tsai (1989), +Inf if there are too few for it.
func aicc(deviance float64, n, count int) float64 {
	if n <= count+1 {
		return math.Inf(1)
	}
	k := float64(count)
	return deviance + 2*k + 2*k*(k+1)/(float64(n)-k-1)
}

// logDet returns log|X'V⁻¹X| for polynomials X below the degree, in the order of
// n values, and V of an autoregression.
func logDet(n, degree int, rho float64) (log float64) {
	p := &problem{root: make([]float64, n)}
	for i := range p.root {
		p.root[i] = 1
	}
	v := solver{p: p, rho: rho}
	var base [][]float64
	raw := make([]float64, n)
	for d := range degree {
		col := make([]float64, n)
		for i := range raw {
			raw[i] = math.Pow(2*float64(i)/float64(n-1)-1, float64(d))
		}
		v.whiten(col, raw)
		for _, b := range base {
			along := dot(b, col)
			for i := range col {
				col[i] -= along * b[i]
			}
		}
		norm := math.Sqrt(dot(col, col))
		log += 2 * math.Log(norm)
		for i := range col {
			col[i] /= norm
		}
		base = append(base, col)
	}
	return log
}

// at returns the fitted curve at clock z, scaled as the problem's y.
func (f *fitted) at(z float64, p *problem) float64 {
	value, _ := p.levelAt(func(s *shape) float64 { return z }).at(f.shape, &f.node)
	return value
}

// tooFast reports whether the search ended at the largest κ, which is then no
// estimate.
func (f *fitted) tooFast() bool { return f.kind.levels() && f.node.u > f.high-1e-6 }

// noBend reports whether it ended at the least.
func (f *fitted) noBend() bool { return f.kind.levels() && f.node.u < f.low+1e-6 }

// residuals returns the values less the curve, times the root of their weights.
func (f *fitted) residuals(p *problem) []float64 {
	r := make([]float64, len(p.y))
	for i, z := range f.z {
		r[i] = (p.y[i] - f.at(z, p)) * p.root[i]
	}
	return r
}

// levelAt is the curve's value at a clock, scaled as the problem's y.
func (p *problem) levelAt(z func(s *shape) float64) linear {
	return func(s *shape, kappa float64) (off, c0, c1 float64) {
		if !s.intercept() {
			return -p.mid / p.scale, 0, s.column(z(s), kappa)
		}
		return 0, 1, s.column(z(s), kappa)
	}
}

// Quantities of curves that tend to a level.
var (
	// plateau is the level, change the change over the data, expected what is
	// still to come after the last of them.
	plateau linear = func(s *shape, kappa float64) (_, _, _ float64) { return 0, 1, level(kappa) }

	expected linear = func(s *shape, kappa float64) (_, _, _ float64) { return 0, 0, level(kappa) - 1 }

	change linear = func(s *shape, kappa float64) (_, _, _ float64) {
		return 0, 0, s.column(1, kappa) - s.column(0, kappa)
	}
)
