package settling

import (
	"math"
	"slices"
)

const (
	// stepTolerances is the least step, in tolerances of some feature, between
	// two plateaus; below it they are one motion.
	stepTolerances = 0.75
	// maxPlateaus bounds the number of plateaus that a run is cut into, and
	// minPlateau the strokes of one.
	maxPlateaus = 8
	minPlateau  = 5
)

// sums holds running sums over strokes, so that the mean and the residual sum
// of squares of any stretch take O(1).
type sums struct {
	n, y, yy [][features]float64 // of the strokes before; one longer than these
}

// set sums up y without the NaN and without the strokes in odd.
func (s *sums) set(y [][features]float64, odd []bool) {
	for _, p := range []*[][features]float64{&s.n, &s.y, &s.yy} {
		*p = slices.Grow((*p)[:0], len(y)+1)[:len(y)+1]
		(*p)[0] = [features]float64{}
	}
	for j := range y {
		s.n[j+1], s.y[j+1], s.yy[j+1] = s.n[j], s.y[j], s.yy[j]
		if odd[j] {
			continue
		}
		for f, v := range y[j] {
			if v == v {
				s.n[j+1][f]++
				s.y[j+1][f] += v
				s.yy[j+1][f] += v * v
			}
		}
	}
}

// mean returns the mean of feature f over r, NaN if no stroke has it.
func (s *sums) mean(r run, f int) float64 {
	return (s.y[r.hi][f] - s.y[r.lo][f]) / (s.n[r.hi][f] - s.n[r.lo][f])
}

// rss returns the sum of squared deviations from the mean of feature f over r.
func (s *sums) rss(r run, f int) float64 {
	n := s.n[r.hi][f] - s.n[r.lo][f]
	if n == 0 {
		return 0
	}
	y := s.y[r.hi][f] - s.y[r.lo][f]
	if rss := s.yy[r.hi][f] - s.yy[r.lo][f] - y*y/n; rss > 0 {
		return rss
	}
	return 0 // below only by rounding
}

// cut is a place to cut a run in two, and how much of the weighted squared
// deviations that takes off.
type cut struct {
	at   int
	gain float64
}

// best returns the best place to cut r; allowed says whether a piece may be.
func (s *sums) best(r run, weight [features]float64, allowed func(run) bool) (c cut) {
	whole := 0.0
	for f, w := range weight {
		whole += w * s.rss(r, f)
	}
	for at := r.lo + 1; at < r.hi; at++ {
		a, b := run{r.lo, at}, run{at, r.hi}
		gain := whole
		for f, w := range weight {
			if w > 0 {
				gain -= w * (s.rss(a, f) + s.rss(b, f))
			}
		}
		if gain > c.gain && allowed(a) && allowed(b) {
			c = cut{at, gain}
		}
	}
	return c
}

// plateaus cuts the run of cs, the last one fitted or recalled, where its
// centre switches abruptly: it returns the plateaus if they have a lower BIC
// than the smooth line and than a wandering centre, else nil.
//
// Cuts are added one by one, each where it takes off most of the squared
// deviations (binary segmentation: Scott & Knott 1974, Biometrics 30:507-512).
// Each costs the BIC one mean per feature, and its place.
func (ft *fitter) plateaus(cs *line, minSpan float64) []run {
	s := &ft.sums
	s.set(ft.y[:cs.len()], ft.odd[:cs.len()])
	allowed := func(r run) bool {
		return r.len() >= minPlateau && ft.c.seconds(run{cs.lo + r.lo, cs.lo + r.hi}) >= minSpan
	}
	pieces := []run{{0, cs.len()}}
	var rss, weight [features]float64
	price := math.Log(float64(cs.len()))
	for f := range weight {
		if n := float64(cs.n[f]); n > 0 {
			weight[f] = 1 / (cs.sd[f] * cs.sd[f])
			price += math.Log(n)
			rss[f] = s.rss(pieces[0], f)
		}
	}
	cuts := []cut{s.best(pieces[0], weight, allowed)}
	var best []run
	low := min(cs.bic, ft.wandering(cs))
	for k := 1; k < maxPlateaus; k++ {
		w := 0
		for i := range cuts {
			if cuts[i].gain > cuts[w].gain {
				w = i
			}
		}
		if cuts[w].gain == 0 {
			break
		}
		p := pieces[w]
		a, b := run{p.lo, cuts[w].at}, run{cuts[w].at, p.hi}
		bic := float64(k) * price
		for f := range rss {
			if n := float64(cs.n[f]); n > 0 {
				rss[f] += s.rss(a, f) + s.rss(b, f) - s.rss(p, f)
				bic += n * math.Log(max(0, rss[f])/n+leastSD*leastSD)
			}
		}
		pieces[w], cuts[w] = a, s.best(a, weight, allowed)
		pieces, cuts = append(pieces, b), append(cuts, s.best(b, weight, allowed))
		if bic < low {
			low, best = bic, append(best[:0], pieces...)
		}
	}
	slices.SortFunc(best, func(a, b run) int { return a.lo - b.lo })
	return ft.steps(best, cs.lo)
}

// steps joins neighbours of ps that are less than a step apart and returns
// what is left, shifted by lo, or nil if that is one run.
func (ft *fitter) steps(ps []run, lo int) (out []run) {
	for _, p := range ps {
		if k := len(out) - 1; k >= 0 && !ft.step(out[k], p) {
			out[k].hi = p.hi
			continue
		}
		out = append(out, p)
	}
	if len(out) < 2 {
		return nil
	}
	for k := range out {
		out[k].lo += lo
		out[k].hi += lo
	}
	return out
}

func (ft *fitter) step(a, b run) bool {
	for f := range features {
		if math.Abs(ft.sums.mean(a, f)-ft.sums.mean(b, f)) >= stepTolerances {
			return true
		}
	}
	return false
}

// wandering returns the BIC of the description of cs by centres that wander: a
// first-order autoregression under white scatter for each feature, its two
// parameters from the autocovariances at lags 0 to 2.
func (ft *fitter) wandering(cs *line) (bic float64) {
	y, odd := ft.y[:cs.len()], ft.odd[:cs.len()]
	for f := range features {
		n := float64(cs.n[f])
		if n == 0 {
			continue
		}
		var g [3]float64
		for lag := range g {
			pairs := 0.0
			for j := lag; j < len(y); j++ {
				a, b := y[j][f]-cs.centre[f].coef[0], y[j-lag][f]-cs.centre[f].coef[0]
				if v := a * b; v == v && !odd[j] && !odd[j-lag] {
					g[lag] += v
					pairs++
				}
			}
			g[lag] /= max(1, pairs)
		}
		bic += n*math.Log(innovation(g)+leastSD*leastSD) + 2*math.Log(n)
	}
	return bic
}

// innovation returns the variance of what is new in each value of a
// first-order autoregression under white noise with autocovariances g: the
// stationary solution of the Kalman filter's Riccati equation.
func innovation(g [3]float64) float64 {
	if g[1] <= 0 {
		return g[0]
	}
	phi := max(0, min(maxPhi, g[2]/g[1]))
	if phi == 0 {
		return g[0]
	}
	signal := min(g[0], g[1]/phi)
	noise := g[0] - signal
	q := signal * (1 - phi*phi)
	// p² + p(noise(1-φ²) - q) - q·noise = 0
	b := noise*(1-phi*phi) - q
	p := (-b + math.Sqrt(b*b+4*q*noise)) / 2
	return p + noise
}
