package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// searchingDensity sets the log-density of stroke i while searching.
func (w *Watch) searchingDensity(at, i int) {
	n := 1
	w.pair.x[0] = w.c.x[at]
	if !w.at(i).Break && i > 0 {
		n = 2
		w.pair.x[0], w.pair.x[1] = w.c.x[(i-1)%watched], w.c.x[at]
	}
	w.pair.parts[0] = run{0, n}
	w.pair.logSearching(w.tracer.mixed[:2], w.tracer.cond[:2], &w.model)
	// It may be wandering or drawn afresh.
	v := w.tracer.mixed[n-1]
	w.tracer.mixed[at], w.tracer.cond[at] = v, v
}

// chance is how likely it is that a settled span is under way, and the first
// stroke of the likeliest; -1 for none.
type chance struct {
	P     float64
	start int
}

// step takes stroke i into every thread.
func (w *Watch) step(at, i int) chance {
	t := &w.tracer
	t.change = changeOf(w.o.Dwell, w.c.rate)
	t.memory = watchMemory // a thread may hold more than the rate now allows
	t.settle(&w.model)
	t.memory = min(max(5, int(w.c.rate)), watchMemory)
	// Scores count from that of searching throughout.
	begin := t.change - evidence
	base := begin
	if w.at(i).Break {
		base = -evidence
	} else if w.s.Closing {
		base = max(base, w.s.Closed+t.change+begin)
	}
	searching := 0.0
	if w.s.Closing {
		searching = max(0, w.s.Closed+t.change)
	}
	t.open(base, i)
	best, closed, closing := searching, math.Inf(-1), false
	start := -1
	for k := range t.threads {
		h := &t.threads[k]
		t.step(h, &w.model, at)
		best = max(best, h.score)
		if h.score > closed && w.seconds(h.start, at) >= t.minSpan {
			closed, start, closing = h.score, h.start, true
		}
	}
	t.drop(max(best-margin, searching-behind))
	var settled, all float64
	for k := range t.threads {
		h := &t.threads[k]
		v := math.Exp(h.score - best)
		all += v
		if w.seconds(h.start, at) >= t.minSpan {
			settled += v
		}
		h.score -= searching
	}
	all += math.Exp(searching - best)
	w.s.Closing = closing
	w.s.Closed = 0
	if closing {
		w.s.Closed = closed - searching
	}
	return chance{settled / all, start}
}

// seconds is the time from the start of stroke number from to the end of the
// stroke at.
func (w *Watch) seconds(from, at int) float64 {
	return w.c.end[at] - w.at(max(from, w.s.N-watched)).Start
}

// keeps reports whether the strokes from start on are within the tolerances, or beyond
// them by no more than so many standard errors: their scatter about the centre of
// their direction less the noise, and what their centre moves by from the first half
// to the second.
//
// The standard error of a scatter by the MAD is 1.16/√n of it, that of the difference
// of two medians of n/2 each 2.5/√n (efficiencies 0.37 and 0.64 for normal data).
func (w *Watch) keeps(start int, errors float64) bool {
	lo := max(start, w.s.N-watchModel)
	n := w.s.N - lo
	if start < 0 || n < 4 {
		return false
	}
	for f := range features {
		if !w.c.used[f] {
			continue
		}
		var mean [2]float64
		for half := range mean {
			buf := w.buf[:0]
			for i := lo + half*n/2; i < lo+(half+1)*n/2; i++ {
				if v := w.c.x[i%watched][f]; v == v {
					buf = append(buf, v)
				}
			}
			if len(buf) == 0 {
				return false
			}
			mean[half] = robust.MedianInPlace(buf)
		}
		centre := (mean[0] + mean[1]) / 2
		buf := w.buf[:0]
		for i := lo; i < w.s.N; i++ {
			if v := w.c.x[i%watched][f]; v == v {
				buf = append(buf, math.Abs(v-centre))
			}
		}
		scatter, root := 1.4826*robust.MedianInPlace(buf), math.Sqrt(float64(n))
		least := scatter / (1 + errors*1.16/root)
		if noise := w.s.Noise[f]; least*least-noise*noise > 1 {
			return false
		}
		// Medians of halves differ by chance too.
		if math.Abs(mean[1]-mean[0]) > 1+max(2, 2.5*errors)*scatter/root {
			return false
		}
	}
	return true
}
