package settling

import "math"

// thread is one hypothesis of the search: settled since stroke start, with
// the centre so far of either direction.
type thread struct {
	score float64 // log-odds over searching throughout
	start int
	odd   int // odd strokes in a row
	n     [2]int
	mean  [2][features]float64
}

const (
	beam   = 16
	margin = 16.0 // a thread this far behind the best is given up
	behind = 8.0  // and one this far behind searching

	// evidence is what a settled span has to bring, in log-odds, beyond the
	// price of two changes of state.
	evidence = 2.0

	// A stroke of a settled span that does not fit it costs at most oddFirst,
	// and the one after it oddNext: a change of string pulls one or two.
	oddFirst = 3.5
	oddNext  = 1.0

	// directionSlack is the s.d. in tolerances by which the centres of down-
	// and upstrokes of a span differ more than over the whole take.
	directionSlack = 0.5
)

// tracer finds the most probable settled spans under a model: the Viterbi
// recursion of a two-state chain whose settled state carries its centre.
type tracer struct {
	c            *columns
	minSpan      float64
	change       float64   // log-probability of a change of state
	evidence     float64   // of a settled span, beyond the price of two changes
	mixed, cond  []float64 // log-densities while searching, see logSearching
	threads      []thread
	fromSettled  []int               // by stroke: start of the span that ends just before it, if searching from here; -1 none
	afterSettled []int               // the same if a new span starts here
	memory       int                 // strokes of one direction that a centre is the mean of, at most
	half, logs   [features][]float64 // 1/(2 variance) and log s.d. of the next stroke by number behind its centre
	half1, logs1 [features][]float64 // by number behind the other direction's; 0: by none
	lim          [features]float64   // a centre follows a stroke no further than this
	gain         []float64
}

func newTracer(c *columns, minSpan, dwell float64) *tracer {
	n := len(c.x)
	t := &tracer{
		c: c, minSpan: minSpan, change: changeOf(dwell, c.rate), evidence: evidence,
		mixed: make([]float64, n), cond: make([]float64, n),
		threads:     make([]thread, 0, beam),
		fromSettled: make([]int, n), afterSettled: make([]int, n),
	}
	t.room(max(5, int(c.rate)))
	return t
}

// changeOf is the log-probability of a change of state.
func changeOf(dwell, rate float64) float64 { return -math.Log(max(2, min(dwell, 1e6)*rate)) }

// room makes room for centres that are the mean of that many strokes.
func (t *tracer) room(memory int) {
	t.memory = memory
	for f := range t.half {
		t.half[f] = make([]float64, memory+1)
		t.logs[f] = make([]float64, memory+1)
		t.half1[f] = make([]float64, memory+1)
		t.logs1[f] = make([]float64, memory+1)
	}
	t.gain = make([]float64, memory+1)
	for m := range t.gain {
		t.gain[m] = 1 / float64(m+1)
	}
}

// run appends the settled spans of the take under m to dst. While m is vague,
// a searching stroke may be wandering or drawn afresh.
func (t *tracer) run(dst []run, m *model, vague bool) []run {
	t.c.logSearching(t.mixed, t.cond, m)
	if vague {
		copy(t.cond, t.mixed)
	}
	t.settle(m)
	for _, p := range t.c.parts {
		dst = t.part(dst, m, p)
	}
	return dst
}

// settle makes the densities of settled strokes those of m.
func (t *tracer) settle(m *model) {
	for f := range t.half {
		for k := 1; k <= t.memory; k++ {
			v := m.settled[f] * (1 + 1/float64(k))
			t.half[f][k] = 0.5 / v
			t.logs[f][k] = 0.5 * math.Log(v)
			v += directionSlack * directionSlack
			t.half1[f][k] = 0.5 / v
			t.logs1[f][k] = 0.5 * math.Log(v)
		}
		t.half1[f][0] = 0.5 / m.searching[f]
		t.logs1[f][0] = 0.5 * math.Log(m.searching[f])
		t.lim[f] = 3 * math.Sqrt(m.settled[f])
	}
}

// part appends those of one part.
func (t *tracer) part(dst []run, m *model, p run) []run {
	c := t.c
	change := t.change
	begin := change - t.evidence
	searching := -math.Ln2
	closed, closedAt := math.Inf(-1), -1 // best span that may end at i-1
	t.threads = t.threads[:0]
	for i := p.lo; i < p.hi; i++ {
		base, after := searching+begin, -1
		if i == p.lo {
			base = searching - t.evidence
		} else if s := closed + change + begin; s > base {
			base, after = s, closedAt
		}
		t.afterSettled[i] = after
		t.fromSettled[i] = -1
		if s := closed + change + t.mixed[i] - t.cond[i]; s > searching {
			searching, t.fromSettled[i] = s, closedAt
		}
		t.open(base, i)
		closed, closedAt = math.Inf(-1), -1
		best := searching
		for k := range t.threads {
			h := &t.threads[k]
			t.step(h, m, i)
			if h.score > best {
				best = h.score
			}
			if h.score > closed && c.end[i]-c.start[h.start] >= t.minSpan {
				closed, closedAt = h.score, h.start
			}
		}
		t.drop(max(best-margin, searching-behind))
	}
	start := -1
	if closed > searching {
		start = closedAt
	}
	first := len(dst)
	for i := p.hi; i > p.lo; {
		switch {
		case start >= 0:
			dst = append(dst, run{start, i})
			i = start
			start = t.afterSettled[i]
		default:
			i--
			start = t.fromSettled[i]
		}
	}
	for a, b := first, len(dst)-1; a < b; a, b = a+1, b-1 {
		dst[a], dst[b] = dst[b], dst[a]
	}
	return dst
}

// open starts a thread at stroke i, in place of the worst if there are many.
func (t *tracer) open(score float64, i int) {
	h := thread{score: score, start: i}
	if len(t.threads) < beam {
		t.threads = append(t.threads, h)
		return
	}
	w := 0
	for k := range t.threads {
		if t.threads[k].score < t.threads[w].score {
			w = k
		}
	}
	t.threads[w] = h
}

// drop gives up the threads that score no more than least.
func (t *tracer) drop(least float64) {
	kept := 0
	for k := range t.threads {
		if t.threads[k].score <= least {
			continue
		}
		if k > kept {
			t.threads[kept] = t.threads[k]
		}
		kept++
	}
	t.threads = t.threads[:kept]
}

// step takes stroke i into h.
func (t *tracer) step(h *thread, m *model, i int) {
	d := 0
	if t.c.up[i] {
		d = 1
	}
	x, mean := &t.c.x[i], &h.mean[d]
	n, other := h.n[d], h.n[1-d]
	g := -t.cond[i]
	for f := range x {
		if x[f] != x[f] {
			if n == 0 {
				mean[f] = x[f]
			}
			continue
		}
		if r := x[f] - mean[f]; n > 0 && r == r {
			g -= r*r*t.half[f][n] + t.logs[f][n]
			if lim := t.lim[f]; r > lim { // quicker than max and min, which see to NaN
				r = lim
			} else if r < -lim {
				r = -lim
			}
			mean[f] += r * t.gain[n]
			continue
		}
		mu, k := m.mean[f], 0
		if o := h.mean[1-d][f]; other > 0 && o == o {
			mu, k = o, other
		}
		r := x[f] - mu
		g -= r*r*t.half1[f][k] + t.logs1[f][k]
		mean[f] = x[f]
	}
	h.n[d] = min(n+1, t.memory)
	h.score += provide(g, &h.odd)
}

// provide bounds the log-odds g of a stroke from below, as it may be an odd
// one; odd counts those in a row.
func provide(g float64, odd *int) float64 {
	floor := -oddFirst
	if *odd == 1 {
		floor = -oddNext
	}
	if g >= floor {
		*odd = 0
		return g
	}
	*odd = *odd%2 + 1
	return floor
}
