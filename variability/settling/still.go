package settling

import "math"

const (
	// leastStill is how many windows of a local centre a part of a stretch that moves
	// about must have to be judged by itself: with fewer, what moves slowly would pass
	// in pieces.
	leastStill = 4
	// mostStill is the share of a stretch that must keep still for the rest to be an
	// interruption of it, and not what it is like.
	mostStill = 2. / 3
)

// still returns what keeps still of p, whose local centres are apart: a stretch in
// which a short searching was not told from a wavering is settled before it and after
// it, about one centre. The searching is the likeliest stretch of whole windows; a
// part with fewer than leastStill belongs to it. There is nothing where less than
// mostStill keeps still: what moves all along has no interruption.
func (ft *fitter) still(p *line, change float64) (out []line) {
	c := ft.c
	first := c.windows(p.run)
	last := len(first) - 1
	if last <= leastStill {
		return nil
	}
	before, after := make([]float64, last+1), make([]float64, last+1)
	for k, i := range first {
		before[k], after[k] = ft.searching(run{p.lo, i}), ft.searching(run{i, p.hi})
		if leastStill <= k && k < last {
			before[k] = ft.fit(run{p.lo, i}).loglik + change
		}
		if leastStill <= last-k && k > 0 {
			after[k] = ft.fit(run{i, p.hi}).loglik + change
		}
	}
	best, a, b := math.Inf(-1), 0, last
	for i := range first {
		for j := i; j <= last; j++ {
			if ll := before[i] + ft.searching(run{first[i], first[j]}) + after[j]; ll > best {
				best, a, b = ll, i, j
			}
		}
	}
	seconds := 0.0
	keep := func(windows int, r run) {
		if windows < leastStill || windows == last {
			return
		}
		q := ft.fit(r)
		if why, _ := c.verdict(&q, ft.limits.errors); why == "" {
			out, seconds = append(out, q), seconds+c.seconds(r)
		}
	}
	keep(a, run{p.lo, first[a]})
	keep(last-b, run{first[b], p.hi})
	if seconds < mostStill*c.seconds(p.run) || len(out) == 2 && !same(&out[0], &out[1]) {
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
