package settling

import "math"

const (
	// joinMargin and oneMargin are how many nats two descriptions must beat
	// one by: two spans with what is between them against one line, and
	// spans against one state throughout. They make up for the choice of the
	// best places; calibrated on takes of one scatter, see the tests.
	joinMargin = 8.0
	oneMargin  = 12.0
	// hopeless log-odds of the strokes between against either span: no need to
	// try.
	hopeless = 40.0
	// gapSeconds: strokes that leave a motion for less than this and come back
	// to it have not left it.
	gapSeconds = 0.5
	// standsOut is how many nats below the best a stroke of an autoregression
	// lies that may be an odd one: one in nine of three measurements by chance.
	standsOut = 3.0
)

// join puts neighbouring lines together where one line does as well,
// until none does. change is the log-probability of a change of state.
func (ft *fitter) join(cs []line, change float64) []line {
	for joined := true; joined; {
		joined = false
		out := cs[:0]
		for k := 0; k < len(cs); k++ {
			a := cs[k]
			if k+1 == len(cs) || a.refused {
				out = append(out, a)
				continue
			}
			j, ok := ft.joined(&a, &cs[k+1], change)
			if !ok {
				a.refused = true
				out = append(out, a)
				continue
			}
			if last := len(out) - 1; last >= 0 {
				out[last].refused = false
			}
			out = append(out, ft.keep(j))
			joined = true
			k++
		}
		cs = out
	}
	return cs
}

// joined returns the line of a and its later neighbour b together, and
// whether it does as well as the two.
func (ft *fitter) joined(a, b *line, change float64) (j line, ok bool) {
	if ft.c.partOf(a.lo) != ft.c.partOf(b.lo) {
		return j, false
	}
	gap, odd := 0.0, [2]int{}
	for i := a.hi; i < b.lo && gap > -hopeless; i++ {
		gap += max(provide(ft.odds(a, i), &odd[0]), provide(ft.odds(b, i), &odd[1]))
	}
	if gap <= -hopeless {
		return j, false
	}
	j = ft.fit(run{a.lo, b.hi})
	apart := a.loglik + b.loglik + ft.searching(run{a.hi, b.lo}) + 2*change
	return j, j.loglik > apart-ft.limits.join || ft.near(a, b, &j)
}

// near reports whether a and b are the same motion with no more than odd
// strokes between; j is both.
func (ft *fitter) near(a, b, j *line) bool {
	if j.degree > 0 || ft.c.start[b.lo]-ft.c.end[a.hi-1] >= gapSeconds {
		return false
	}
	return same(a, b)
}

// apart returns the log-likelihood of the take as the spans cs with searching
// between. A span may wander about its line as the whole take does in the rival
// description: otherwise that is preferred for how it describes the spans, and a
// stretch of searching between them passes for strokes that stand out.
func (ft *fitter) apart(cs []line, change float64) float64 {
	ll := ft.searching(run{0, len(ft.c.x)})
	for k := range cs {
		ll += max(cs[k].loglik, ft.asWander(cs[k].run)) - ft.searching(cs[k].run) + 2*change
	}
	return ll
}

// asWander returns the log-likelihood of r as part of one autoregression
// throughout; see autoregression.
func (ft *fitter) asWander(r run) (ll float64) {
	for _, v := range ft.auto[r.lo:r.hi] {
		ll += v
	}
	return ll
}

// autoregression sets ft.auto to the log-densities of the strokes under one
// stationary first-order autoregression per feature of the whole take. A stroke may
// stand out, and one that comes after it need not follow it. Its scatter is no less
// than that of settled strokes by the model: how fine strokes are far within the
// tolerances says nothing of whether they are settled, and would outweigh what does.
func (ft *fitter) autoregression() {
	c := ft.c
	var m model
	for f := range features {
		m.searching[f] = 1
		if !c.used[f] {
			continue
		}
		m.mean[f] = c.centre[f]
		n, squares, pairs, products := c.moments(f, m.mean[f], 3*c.scale[f], nil)
		m.searching[f] = max(ft.m.settled[f], squares/max(1, n))
		if pairs > 0 {
			m.phi[f] = max(0, min(maxPhi, products/pairs))
		}
	}
	c.logSearching(ft.t, ft.ys, &m)
	top := 0.0 // log-density of a stroke just where it is foretold
	for f := range features {
		top -= 0.5 * math.Log(m.searching[f]*(1-m.phi[f]*m.phi[f]))
	}
	before := top
	for i, v := range ft.ys {
		after := v
		if before < top-standsOut {
			after = max(v, ft.t[i])
		}
		ft.auto[i] = max(after, ft.cond[i]-oddFirst)
		before = v
	}
}
