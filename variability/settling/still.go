package settling

import "math"

// leastStill is how many local centres a part of a stretch that moves about must have
// to be asked for by itself: with fewer, what moves slowly would pass in pieces.
const leastStill = 4

// mostStill is the share of a stretch that must keep still for the rest to be an
// interruption of it, and not what it is like.
const mostStill = 2. / 3

// still returns what keeps still of p, whose local centres are apart: a stretch in
// which a short searching was not told from a wavering is settled before it and after
// it, about one centre. The stretch between is the likeliest, by whole windows of a second; a part with
// fewer than leastStill windows belongs to it.
func (ft *fitter) still(p *line, change float64) (out []line) {
	c := ft.c
	seconds := c.seconds(p.run)
	windows := int(seconds / localSeconds)
	if windows <= leastStill {
		return nil
	}
	// The first stroke of each window, and the end.
	first := []int{p.lo}
	for i := p.lo; i < p.hi && len(first) < windows; i++ {
		if c.start[i] >= c.start[p.lo]+float64(len(first))*seconds/float64(windows) {
			first = append(first, i)
		}
	}
	first = append(first, p.hi)
	windows = len(first) - 1
	before, after := make([]float64, windows+1), make([]float64, windows+1)
	for k := range windows + 1 {
		before[k], after[k] = ft.searching(run{p.lo, first[k]}), ft.searching(run{first[k], p.hi})
		if k >= leastStill && k < windows {
			before[k] = ft.fit(run{p.lo, first[k]}).loglik + change
		}
		if windows-k >= leastStill && k > 0 {
			after[k] = ft.fit(run{first[k], p.hi}).loglik + change
		}
	}
	best, a, b := math.Inf(-1), 0, windows
	for i := range windows + 1 {
		for j := i; j <= windows; j++ {
			if ll := before[i] + ft.searching(run{first[i], first[j]}) + after[j]; ll > best {
				best, a, b = ll, i, j
			}
		}
	}
	kept := 0.0
	for _, r := range []run{{p.lo, first[a]}, {first[b], p.hi}} {
		if r.len() == 0 || r == p.run || c.seconds(r) < leastStill*seconds/float64(windows)*0.99 {
			continue
		}
		q := ft.fit(r)
		if why, _ := c.verdict(&q, ft.limits.errors); why == "" {
			out = append(out, q)
			kept += c.seconds(r)
		}
	}
	if kept < mostStill*seconds || len(out) == 2 && !same(&out[0], &out[1]) {
		return nil
	}
	return out
}

// same reports whether the centres of a and b are those of one motion.
func same(a, b *line) bool {
	for f := range features {
		if a.n[f] > 0 && b.n[f] > 0 && math.Abs(a.centre[f].coef[0]-b.centre[f].coef[0]) >= stepTolerances {
			return false
		}
	}
	return true
}
