package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// trainings is how often the model is fitted to the labels before it.
const trainings = 2

// Find divides a take into settled and searching spans. Strokes must be in
// time order; see the package's comment for the method.
//
// Special cases are:
//
//   - Fewer than eight strokes, strokes out of order, duration or length
//     missing in more than half of the strokes, the median noise of a feature
//     above half its tolerance: the result is absent with the reason.
//   - The angle missing in more than half of the strokes: it takes no part,
//     and a note says so.
//   - A measurement missing in a stroke: the others of that stroke count.
func Find(strokes []Stroke, o Options) Result {
	o = o.orDefault()
	n := len(strokes)
	r := Result{Options: o, Labels: make([]bool, n), P: make([]float64, n)}
	c, why := newColumns(strokes, o.Tolerances)
	if why != nil {
		r.Absent = why
		r.Share = estimate.Value[float64]{Absent: why}
		for i := range r.P {
			r.P[i] = math.NaN()
		}
		return r
	}
	c.summarise()
	r.Used = Features{c.used[angle], c.used[duration], c.used[length]}
	r.Notes = c.notes
	minSpan := max(0, o.Tolerances.MinSpan)

	m, tr, runs := c.train(r.Labels, minSpan, o.Dwell)
	ft := newFitter(c, m, tr.cond, tr.mixed)
	cs, one := ft.lines(runs, tr.change)
	var settled []line
	for k := range cs {
		for _, p := range ft.pieces(&cs[k], minSpan) {
			why, moving := c.verdict(&p)
			if moving {
				r.Moving = append(r.Moving, Span{false, p.lo, p.hi - 1, c.start[p.lo], c.end[p.hi-1]})
			}
			if why != "" {
				r.Notes = append(r.Notes, fmt.Sprintf("%.1f to %.1f s is not settled: %s",
					c.start[p.lo], c.end[p.hi-1], why))
				continue
			}
			settled = ft.cutAtBreaks(settled, p, minSpan)
		}
	}
	ft.finish(&r, settled, tr.change, minSpan, one)
	return r
}

// train finds the settled runs, leaves labels as they say, and returns the
// model it ended with.
func (c *columns) train(labels []bool, minSpan, dwell float64) (*model, *tracer, []run) {
	n := len(c.x)
	buf := make([]float64, n)
	dev := make([][features]float64, n)
	c.deviations(dev, 2*max(3, int(math.Round(c.rate/2)))+1, buf)
	first := prior(c)
	m := first
	tr := newTracer(c, minSpan, dwell)
	runs := tr.run(nil, &m, true)
	for range trainings {
		clear(labels)
		for _, r := range runs {
			for i := r.lo; i < r.hi; i++ {
				labels[i] = true
			}
		}
		m = c.learn(labels, dev, &first, buf)
		runs = tr.run(runs[:0], &m, false)
	}
	return &m, tr, runs
}

// lines returns the lines of runs, joined where one does as well as two, or
// that of the whole take where one state, be it one line or one
// autoregression, does as well as all of them.
func (ft *fitter) lines(runs []run, change float64) (cs []line, one bool) {
	whole := ft.fit(run{0, len(ft.c.x)})
	ft.autoregression()
	single := max(whole.loglik, ft.asWander(whole.run)) + oneMargin
	for _, r := range runs {
		cs = append(cs, ft.keep(ft.fit(r)))
	}
	if ft.apart(cs, change) >= single {
		cs = ft.join(cs, change)
		if ft.apart(cs, change) >= single {
			return cs, false
		}
	}
	return []line{ft.keep(ft.fit(whole.run))}, true
}

// pieces returns the lines of the plateaus of cs, which was kept, or cs if it
// has none.
func (ft *fitter) pieces(cs *line, minSpan float64) []line {
	ft.recall(cs)
	runs := ft.plateaus(cs, minSpan)
	if runs == nil {
		return []line{*cs}
	}
	out := make([]line, len(runs))
	for k := range runs {
		out[k] = ft.fit(runs[k])
	}
	return out
}

// cutAtBreaks appends to dst what is left of p between breaks and long enough.
func (ft *fitter) cutAtBreaks(dst []line, p line, minSpan float64) []line {
	for _, part := range ft.c.parts {
		r := run{max(part.lo, p.lo), min(part.hi, p.hi)}
		if r.len() <= 0 || ft.c.seconds(r) < minSpan {
			continue
		}
		if r == p.run {
			return append(dst, p)
		}
		dst = append(dst, ft.fit(r))
	}
	return dst
}
