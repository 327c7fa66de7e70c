package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// place moves the ends of the settled lines of f to where a two-state chain that
// knows their centres puts them, unless all the take is one state, and writes the
// posterior probabilities to p. It returns what each line might hold.
func (ft *fitter) place(f *found, change float64, p []float64) (reach []run) {
	c, cs := ft.c, f.settled
	runs := make([]run, len(cs))
	for k := range cs {
		runs[k] = cs[k].run
	}
	reach = c.reach(runs)
	if f.one {
		for _, s := range cs {
			for i := s.lo; i < s.hi; i++ {
				p[i] = 1
			}
		}
		return reach
	}
	path := ft.chain(p, cs, reach, change)
	for k := range cs {
		if s := moved(cs[k].run, reach[k], path); c.seconds(s) >= ft.limits.minSpan {
			cs[k].run = s
		}
	}
	return reach
}

// finish puts the ends of the spans found and fills in r.
func (ft *fitter) finish(r *Result, f found, tr *tracer) {
	c := ft.c
	var inner, outer, settled, total float64 // seconds; inner, outer squared
	reach := ft.place(&f, tr.change, r.P)
	clear(r.Labels)
	for k, s := range f.settled {
		for i := s.lo; i < s.hi; i++ {
			r.Labels[i] = true
			settled += c.lasts(i)
		}
		in, out := c.ends(s.run, reach[k], r.P, c.lasts)
		inner += in
		outer += out
	}
	r.Spans = c.spans(f.settled)
	for i := range c.x {
		total += c.lasts(i)
	}
	less, more := ft.unsure(r, &f, tr)
	inner += less
	outer += more
	r.Share = estimate.Value[float64]{
		Value: settled / total,
		Low:   max(0, settled-math.Sqrt(inner)) / total,
		High:  min(total, settled+math.Sqrt(outer)) / total,
		Level: 0.95, N: len(c.x),
	}
}

// reach returns for each of cs the strokes that it might hold: half way to its
// neighbours, to the nearest break.
func (c *columns) reach(cs []run) []run {
	out := make([]run, len(cs))
	for k := range cs {
		out[k] = c.partOf(cs[k].lo)
		if k > 0 {
			out[k].lo = max(out[k].lo, (cs[k-1].hi+cs[k].lo+1)/2)
		}
		if k+1 < len(cs) {
			out[k].hi = min(out[k].hi, (cs[k].hi+cs[k+1].lo+1)/2)
		}
	}
	return out
}

// chain runs the two-state chain with the centres of cs known: it writes the
// posterior probability of settled to p and returns the most probable path.
func (ft *fitter) chain(p []float64, cs []line, reach []run, change float64) []bool {
	emit := make([][2]float64, len(p)) // log-odds of settled over searching
	for i := range emit {
		emit[i][1] = -oddFirst
	}
	for k := range cs {
		odd := 0
		for i := reach[k].lo; i < reach[k].hi; i++ {
			emit[i][1] = provide(ft.odds(&cs[k], i), &odd)
		}
	}
	ch := sticky(math.Exp(-change))
	path := make([]bool, len(p))
	for _, r := range ft.c.parts {
		ch.smooth(p[r.lo:r.hi], emit[r.lo:r.hi])
		ch.decode(path[r.lo:r.hi], emit[r.lo:r.hi])
	}
	return path
}

// moved returns s with its ends moved to where path leaves settled, not past
// the middle of s nor out of reach.
func moved(s, reach run, path []bool) run {
	mid := (s.lo + s.hi) / 2
	for s.lo < mid && !path[s.lo] {
		s.lo++
	}
	for s.lo > reach.lo && path[s.lo-1] {
		s.lo--
	}
	for s.hi > mid+1 && !path[s.hi-1] {
		s.hi--
	}
	for s.hi < reach.hi && path[s.hi] {
		s.hi++
	}
	return s
}

// lasts returns the seconds that stroke i lasts.
func (c *columns) lasts(i int) float64 { return c.end[i] - c.start[i] }

// ends returns the squared seconds by which s could be shorter and longer, by
// the seconds that each stroke counts for: from each end on, the strokes whose
// probability is not beyond 0.99 inside and not under 0.01 outside, and one
// more, for the probabilities know the centres and scatters too well. An end
// at a break has none outside: but what is played there is cut short, or the first
// stroke of the motion is still being found.
func (c *columns) ends(s, reach run, p []float64, seconds func(i int) float64) (inner, outer float64) {
	square := func(i, step, end int, in func(p float64) bool) float64 {
		t := 0.0
		for ; i != end; i += step {
			t += seconds(i)
			if !in(p[i]) {
				break
			}
		}
		return t * t
	}
	mid := (s.lo + s.hi) / 2
	unsure := func(p float64) bool { return p < 0.99 }
	possible := func(p float64) bool { return p > 0.01 }
	return square(s.lo, 1, mid, unsure) + square(s.hi-1, -1, mid, unsure),
		square(s.lo-1, -1, reach.lo-1, possible) + square(s.hi, 1, reach.hi, possible)
}

// spans lists the settled spans and the searching ones between.
func (c *columns) spans(cs []line) (out []Span) {
	add := func(settled bool, r run) {
		if r.len() > 0 {
			out = append(out, Span{settled, r.lo, r.hi - 1, c.start[r.lo], c.end[r.hi-1]})
		}
	}
	for _, p := range c.parts {
		at := p.lo
		for len(cs) > 0 && cs[0].lo < p.hi {
			add(false, run{at, cs[0].lo})
			add(true, cs[0].run)
			at = cs[0].hi
			cs = cs[1:]
		}
		add(false, run{at, p.hi})
	}
	return out
}
