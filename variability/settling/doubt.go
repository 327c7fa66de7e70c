package settling

import "math"

// limits decide, in a search, whether a stretch is a settled span.
type limits struct {
	evidence  float64 // see tracer
	join, one float64 // margins, see joinMargin
	errors    float64 // standard errors that an estimate may be beyond its limit by
	minSpan   float64 // seconds
}

func usual(minSpan float64) limits { return limits{evidence, joinMargin, oneMargin, 1, minSpan} }

// doubtful log-odds: what less than 20 to 1 decided could be the other way.
const doubtful = 3.0

// doubt returns for each stroke whether it is settled however the limits are held,
// and whether it could be. The take is searched again with limits that let pass what
// f was within reach of letting pass, with limits that refuse what f let pass by as
// little, and with the margin moved against what f said of one state or several.
// More evidence is not asked for: the search would save it by taking two spans for
// one, which then scatters too much.
func (ft *fitter) doubt(f *found, tr *tracer, settled []bool) (sure, possible []bool) {
	n := len(settled)
	both := make([]bool, 3*n)
	sure, possible, labels := both[:n], both[n:2*n], both[2*n:]
	copy(sure, settled)
	copy(possible, settled)
	p := make([]float64, n)
	held := ft.limits
	one := doubtful
	if f.one {
		one = -doubtful
	}
	stroke := math.Sqrt2 / ft.c.rate // two ends, each known to a stroke
	for _, l := range [3]limits{
		{held.evidence - doubtful, held.join + doubtful, held.one, held.errors + 1, max(0, held.minSpan-stroke)},
		{held.evidence, held.join - doubtful, held.one, held.errors - 1, held.minSpan + stroke},
		{held.evidence, held.join, held.one + one, held.errors, held.minSpan},
	} {
		ft.limits, tr.evidence, tr.minSpan = l, l.evidence, l.minSpan
		g := ft.find(tr.run(nil, ft.m, false), tr.change)
		ft.place(&g, tr.change, p)
		clear(labels)
		for _, s := range g.settled {
			for i := s.lo; i < s.hi; i++ {
				labels[i] = true
			}
		}
		for i, in := range labels {
			sure[i] = sure[i] && in
			possible[i] = possible[i] || in
		}
	}
	ft.limits, tr.evidence, tr.minSpan = held, held.evidence, held.minSpan
	return sure, possible
}

// unsure returns the squared seconds by which the settled time could be less and more
// for what is in doubt, of the strokes in a row together, as that is one decision.
// A span of the least length is always possible where a searching one has room for it:
// in more than one take in twenty Find misses one, see the package's comment.
func (ft *fitter) unsure(r *Result, f *found, tr *tracer) (inner, outer float64) {
	sure, possible := ft.doubt(f, tr, r.Labels)
	var less, more float64
	for i, in := range r.Labels {
		if in && !sure[i] {
			less += ft.c.lasts(i)
		} else {
			inner += less * less
			less = 0
		}
		if !in && possible[i] {
			more += ft.c.lasts(i)
		} else {
			outer += more * more
			more = 0
		}
	}
	least := max(ft.limits.minSpan, minStrokes/ft.c.rate)
	for _, s := range r.Spans {
		if !s.Settled && s.End-s.Start >= least {
			outer += least * least
			break
		}
	}
	return inner + less*less, outer + more*more
}
