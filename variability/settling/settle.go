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
	ft := newFitter(c, m, tr.cond, tr.mixed, minSpan)
	f := ft.find(runs, tr.change)
	if anew, g, ok := ft.again(tr, f.scattered, f.settled, minSpan, o.Dwell); ok {
		ft, f = anew, g
	}
	r.Moving = f.moving
	r.Notes = append(r.Notes, f.notes...)
	ft.finish(&r, f, tr)
	return r
}

// found is what a search found: the settled lines; those that are not although they
// keep together, as they scatter or since their centre moves; and whether one state
// describes all the take.
type found struct {
	settled, scattered []line
	moving             []Span
	notes              []string
	one                bool
}

// find judges the runs.
func (ft *fitter) find(runs []run, change float64) (f found) {
	c := ft.c
	cs, whole := ft.lines(runs, change)
	f.one = whole
	for k := range cs {
		for _, p := range ft.pieces(&cs[k]) {
			why, moving := c.verdict(&p, ft.limits.errors)
			if why == "" {
				f.settled = ft.cutAtBreaks(f.settled, p)
				continue
			}
			if moving {
				if parts := ft.still(&p, change); len(parts) > 0 {
					for _, q := range parts {
						f.settled = ft.cutAtBreaks(f.settled, q)
					}
					continue
				}
			}
			f.notes = append(f.notes, fmt.Sprintf("%.1f to %.1f s is not settled: %s", c.start[p.lo], c.end[p.hi-1], why))
			if moving {
				f.moving = append(f.moving, Span{false, p.lo, p.hi - 1, c.start[p.lo], c.end[p.hi-1]})
			} else {
				f.scattered = append(f.scattered, p)
			}
		}
	}
	return f
}

// train finds the settled runs, leaves labels as they say, and returns the
// model it ended with.
func (c *columns) train(labels []bool, minSpan, dwell float64) (*model, *tracer, []run) {
	m := prior(c)
	tr := newTracer(c, minSpan, dwell)
	label(labels, tr.run(nil, &m, true))
	last, runs := c.trainFrom(labels, tr)
	return last, tr, runs
}

// trainFrom does what train does from labels on.
func (c *columns) trainFrom(labels []bool, tr *tracer) (*model, []run) {
	buf := make([]float64, len(c.x))
	dev := make([][features]float64, len(c.x))
	c.deviations(dev, 2*max(3, int(math.Round(c.rate/2)))+1, buf)
	first := prior(c)
	var m model
	var runs []run
	for k := range trainings {
		if k > 0 {
			label(labels, runs)
		}
		m = c.learn(labels, dev, &first, buf)
		runs = tr.run(runs[:0], &m, false)
	}
	return &m, runs
}

// label makes labels say what runs do.
func label(labels []bool, runs []run) {
	clear(labels)
	for _, r := range runs {
		for i := r.lo; i < r.hi; i++ {
			labels[i] = true
		}
	}
}

// lines returns the lines of runs, joined where one does as well as two, or
// that of the whole take where one state, be it one line or one
// autoregression, does as well as all of them but for a margin.
func (ft *fitter) lines(runs []run, change float64) (cs []line, one bool) {
	whole := ft.fit(run{0, len(ft.c.x)})
	ft.autoregression()
	single := max(whole.loglik, ft.asWander(whole.run)) + ft.limits.one
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
func (ft *fitter) pieces(cs *line) []line {
	ft.recall(cs)
	runs := ft.plateaus(cs, ft.limits.minSpan)
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
func (ft *fitter) cutAtBreaks(dst []line, p line) []line {
	for _, part := range ft.c.parts {
		r := run{max(part.lo, p.lo), min(part.hi, p.hi)}
		if r.len() <= 0 || ft.c.seconds(r) < ft.limits.minSpan {
			continue
		}
		if r == p.run {
			return append(dst, p)
		}
		dst = append(dst, ft.fit(r))
	}
	return dst
}
