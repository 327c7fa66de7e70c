package trajectory

import "math"

// cluster is a group of neighbouring boundaries with steps beyond what is
// allowed: the trace of one event, or of several close together.
type cluster struct {
	first, last int // boundaries
	peak        int // the boundary with the largest step
	from, to    int // boundaries that it answers for, up to its neighbours
	// stepLike reports whether one step explains the cluster better than one
	// sample that is off. The step lies between boundaries low and high, most
	// likely at best, and is jump.
	stepLike        bool
	best, low, high int
	jump            [3]float64
	// clear reports whether one step explains nearly all of the cluster, and
	// lone whether nothing is beyond what is allowed once one sample is out.
	clear, lone bool
}

// margin is the number of samples on each side of a cluster that are looked at
// with it.
const margin = 8

// findClusters returns the groups of boundaries with steps beyond what is allowed.
func (w *walk) findClusters() []cluster {
	found := w.clusters[:0]
	for b, v := range w.step {
		if !(v > w.least && v > w.usualIn(w.at[b]/block)) {
			continue
		}
		list, k := w.window(b, b)
		s := stencilAt(w.times(list, k))
		if w.excess(v*s.gain, &s, list, k) == 0 {
			continue
		}
		n := len(found) - 1
		if n < 0 || b-found[n].last > 2 || w.valley(&found[n], b) {
			found = append(found, cluster{first: b, last: b, peak: b})
			continue
		}
		found[n].last = b
		if v > w.step[found[n].peak] {
			found[n].peak = b
		}
	}
	w.clusters = found
	for i := range found {
		c := &found[i]
		c.from, c.to = c.first-3, c.last+3
		if i > 0 {
			c.from = max(c.from, found[i-1].last+1)
		}
		if i+1 < len(found) {
			c.to = min(c.to, found[i+1].first-1)
		}
		w.judge(c)
		from, to := w.suspects(c)
		for i := from; i < to && !c.lone; i++ {
			excess, _ := w.strain(c, 0, i)
			c.lone = excess == 0
		}
	}
	return found
}

// valley reports whether boundary b rises out of a valley between it and the
// peak of the cluster, which then ends there: one event has one peak.
func (w *walk) valley(c *cluster, b int) bool {
	if b-c.peak < 4 {
		return false
	}
	low := w.step[b]
	for i := c.peak; i < b; i++ {
		low = min(low, w.step[i])
	}
	return low < 0.35*min(w.step[c.peak], w.step[b])
}

// suspects returns the samples [from, to) that may have made the cluster.
func (w *walk) suspects(c *cluster) (from, to int) {
	from, to = max(0, c.first-1), min(c.last+3, len(w.at))
	if c.first == 2 { // the first boundary that is measured
		from = 0
	}
	if c.last == len(w.at)-4 {
		to = len(w.at)
	}
	return from, to
}

// window returns the samples around boundaries first to last, in the walk's
// scratch, and the position of first among them.
func (w *walk) window(first, last int) (list []int, k int) {
	start := max(0, first-margin)
	end := min(len(w.at), last+2+margin)
	list = w.list[:0]
	for i := start; i < end; i++ {
		list = append(list, i)
	}
	w.list = list
	return list, first - start
}

// times returns the times of the six samples about boundary k of the list.
func (w *walk) times(list []int, k int) *[6]float64 {
	var t [6]float64
	for i := range t {
		t[i] = w.t[list[k-2+i]]
	}
	return &t
}

// stepIn returns the step at boundary k of the list, by axis.
func (w *walk) stepIn(s *stencil, list []int, k int) (v [3]float64) {
	for a, col := range w.x {
		for i, weight := range s.weight {
			v[a] += weight * col[list[k-2+i]]
		}
	}
	return v
}

// judge decides whether a cluster is one step or one sample that is off, by
// what each leaves unexplained of the steps about it in the sense of least
// squares. With a step may go a change of speed: a tracker that stops on
// something else makes both.
func (w *walk) judge(c *cluster) {
	list, _ := w.window(c.first, c.last)
	offset, n := list[0], len(list)
	p := &w.pattern
	p.stencils = append(p.stencils[:0], make([]stencil, n)...)
	p.observed = append(p.observed[:0], make([][3]float64, n)...)
	for _, col := range []*[]float64{&p.step, &p.ramp, &p.sample, &p.rest} {
		*col = append((*col)[:0], make([]float64, n)...)
	}
	var all float64
	for k := 2; k+3 < n; k++ {
		p.stencils[k] = stencilAt(w.times(list, k))
		p.observed[k] = w.stepIn(&p.stencils[k], list, k)
		all += dot(p.observed[k], p.observed[k])
	}
	lone := math.Inf(1)
	from, to := w.suspects(c)
	for i := from; i < to; i++ {
		low, high := max(2, i-offset-3), min(n-3, i-offset+3) // boundaries that it takes part in
		for k := low; k < high; k++ {
			p.sample[k] = p.stencils[k].weight[i-offset-k+2]
		}
		explained, _ := explain(p.observed[low:high], p.sample[low:high], nil)
		lone = min(lone, all-explained)
	}
	best, alone := math.Inf(1), math.Inf(1)
	for b := c.first; b <= c.last; b++ {
		t0 := (w.t[b] + w.t[b+1]) / 2
		for k := 2; k+3 < n; k++ {
			p.step[k], p.ramp[k] = 0, 0
			for m, weight := range p.stencils[k].weight {
				if i := list[k-2+m]; i > b {
					p.step[k] += weight
					p.ramp[k] += weight * (w.t[i] - t0)
				}
			}
		}
		explained, _ := explain(p.observed, p.step, nil)
		alone = min(alone, all-explained)
		explained, jump := explain(p.observed, p.step, p.ramp)
		p.rest[b-offset] = all - explained
		if p.rest[b-offset] < best {
			best, c.best, c.jump = p.rest[b-offset], b, jump
		}
	}
	c.stepLike = alone < lone || best < 0.5*lone
	c.clear = best < 0.1*all
	// A neighbouring boundary that explains nearly as much may be the one.
	c.low, c.high = c.best, c.best
	for b := c.first; b <= c.last; b++ {
		if p.rest[b-offset] < best+0.03*(all-best) {
			c.low, c.high = min(c.low, b), max(c.high, b)
		}
	}
}

// explain returns the sum of squares that one or two patterns explain of the
// observed vectors, and the amplitude of the first. The second may be nil.
func explain(observed [][3]float64, first, second []float64) (sum float64, amplitude [3]float64) {
	var ff, fs, ss float64
	var f, s [3]float64
	for k := range observed {
		ff += first[k] * first[k]
		f = plus(f, observed[k], first[k])
		if second != nil {
			fs += first[k] * second[k]
			ss += second[k] * second[k]
			s = plus(s, observed[k], second[k])
		}
	}
	if ff == 0 {
		return 0, amplitude
	}
	det := ff*ss - fs*fs
	if det <= 1e-9*ff*ss {
		return dot(f, f) / ff, scaled(f, 1/ff)
	}
	amplitude = scaled(plus(scaled(f, ss), s, -fs), 1/det)
	other := scaled(plus(scaled(s, ff), f, -fs), 1/det)
	return dot(amplitude, f) + dot(other, s), amplitude
}
