package settling

import "math"

// again returns the settled lines found by another search, and with what it was found,
// where a line was refused for the scatter of some measurements and not of others: in
// one state by most of its measurements, searching in one alone passes for strokes
// that scatter, and all of the line is lost. Its strokes are searched by what
// scatters alone, where one state must not do as well. From what that says, with the
// settled lines found before, the model of all measurements is learned anew. ok is
// false if there is nothing to search again or it does not settle.
func (ft *fitter) again(tr *tracer, refused, settled []line, minSpan, dwell float64) (_ *fitter, found found, ok bool) {
	c := ft.c
	labels := make([]bool, len(c.x))
	mark := func(lo, hi int) {
		for i := lo; i < hi; i++ {
			labels[i] = true
		}
	}
	for k := range refused {
		p := &refused[k]
		wide, any := c.wide(p)
		if !any || p.len() < 2*minStrokes {
			continue
		}
		sub := c.only(p.run, wide)
		m, by, runs := sub.train(make([]bool, p.len()), minSpan, dwell)
		cs, one := newFitter(sub, m, by.cond, by.mixed, minSpan).lines(runs, by.change)
		if one {
			continue
		}
		for i := range cs {
			mark(p.lo+cs[i].lo, p.lo+cs[i].hi)
			ok = true
		}
	}
	if !ok {
		return nil, found, false
	}
	for k := range settled {
		mark(settled[k].lo, settled[k].hi)
	}
	m, runs := c.trainFrom(labels, tr)
	anew := newFitter(c, m, tr.cond, tr.mixed, minSpan)
	anew.limits.one = math.Inf(-1)
	found = anew.find(runs, tr.change)
	return anew, found, len(found.settled) > 0
}

// wide tells which measurements of p scatter by more than their tolerance. any is
// true if some do and some do not.
func (c *columns) wide(p *line) (wide [features]bool, any bool) {
	all := true
	for f := range features {
		if p.n[f] > 0 {
			wide[f] = math.Hypot(c.noise[f], 1) < p.scatter[f]
			any, all = any || wide[f], all && wide[f]
		}
	}
	return wide, any && !all
}

// only returns the strokes of r with those measurements alone.
func (c *columns) only(r run, used [features]bool) *columns {
	s := &columns{
		x: make([][features]float64, r.len()), up: c.up[r.lo:r.hi], start: c.start[r.lo:r.hi], end: c.end[r.lo:r.hi],
		noise: c.noise, rate: c.rate, used: used,
	}
	for i := range s.x {
		s.x[i] = c.x[r.lo+i]
		for f := range features {
			if !used[f] {
				s.x[i][f] = math.NaN()
			}
		}
	}
	for _, p := range c.parts {
		if q := (run{max(p.lo, r.lo) - r.lo, min(p.hi, r.hi) - r.lo}); q.len() > 0 {
			s.parts = append(s.parts, q)
		}
	}
	s.summarise()
	return s
}
