package cycle

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// Fit returns the mean cycle of a run of strokes, such as those of one settled
// span, from the samples of p themselves. m is what motion.Analyze found on p;
// strokes are some of its strokes, in order.
//
// The cycles are the downstrokes with the upstroke that follows. Strokes on
// the way to another string, cycles that lie in a gap, and those that are five
// times as far off the mean as others are left out and counted.
//
// Fewer than six cycles are no error: the result then holds the reason
// in Absent. An error means that p itself is not usable.
func Fit(p trajectory.Placed, m *motion.Motion, strokes []motion.Stroke, o Options) (Cycle, error) {
	o = o.withDefaults()
	c := Cycle{Options: o, Unit: p.Unit, motion: m.Options}
	if err := p.Validate(); err != nil {
		return c, err
	}
	r := newRun(p, strokes)
	c.LeftOut = r.left
	if len(strokes) > 0 {
		c.Start, c.End = strokes[0].Start, strokes[len(strokes)-1].End
	}
	if len(r.laps) < minCycles {
		c.none("too few", fmt.Sprintf("%d whole cycles are seen; a mean cycle needs %d", len(r.laps), minCycles))
		return c, nil
	}
	f := &fitter{run: r, o: o}
	for _, a := range r.axes {
		f.slow[a] = make([]float64, len(r.t))
	}
	if !f.fit() {
		c.none("too few phases", "the samples of all cycles fall on too few places of the cycle to show its path")
		return c, nil
	}
	// Cycles far off the mean: a tracker's jump, a stroke of another kind.
	if far := f.far(); far != nil {
		r.drop(func(i int) bool { return far[i] })
		if len(r.laps) < minCycles || !f.fit() {
			c.none("too few", fmt.Sprintf("%d cycles are left when those far off are left out; a mean cycle needs %d", len(r.laps), minCycles))
			return c, nil
		}
	}
	c.LeftOut = r.left
	c.fill(f, noiseOfTurns(strokes), m.Noise)
	return c, nil
}

// fitter finds the mean cycle and the slow centre together.
type fitter struct {
	*run
	o      Options
	seen   coverage
	slow   [3][]float64 // at the samples
	centre [3][]float64 // of the laps
	off    [3][]float64 // of the centres, from the slow one
	kept   float64      // share of the variance of the centres that off keeps
	mid    []float64    // mean of the basis over the phases seen
	all    []sums
	*normal
}

// rounds of fitting the cycle and its centre in turn.
const rounds = 3

// fit finds the mean cycle about a centre of each lap's own, follows the
// centres, and does it again with what the centre does within a lap taken away.
func (f *fitter) fit() bool {
	f.seen = f.cover()
	for _, a := range f.axes {
		clear(f.slow[a])
	}
	for round := range rounds {
		most := f.o.MaxHarmonics
		if f.o.Harmonics > 0 {
			most = f.o.Harmonics
		}
		if round == 1 {
			most = f.normal.order
		}
		f.all = f.collect(most, &f.slow)
		e := together(f.all, f.axes)
		switch {
		case round == 0 || round == rounds-1:
			if !f.choose(e, most) {
				return false
			}
		default:
			m, ok := e.solve(f.normal.order, &f.seen)
			if !ok {
				return false
			}
			f.normal = m
		}
		f.mid = f.seen.middle(f.normal.order)
		f.centres()
		c := f.curve()
		first, second := c.turns()
		if round == 0 {
			f.jumps(&f.centre, c.length())
		}
		if round < rounds-1 {
			half := math.Inf(1)
			if f.o.Centre > 0 {
				half = math.Max(f.o.Centre, 3*f.cycle) + f.cycle/2
			}
			f.off, f.kept = f.follow(&f.slow, &f.centre, half)
			// Phase 0 and share are to be the turns of the mean cycle itself:
			// errors that the turns of all strokes have in common go.
			if f.seen.at(first) && f.seen.at(second) {
				f.anchor(first, second-f.share)
			}
		}
	}
	f.pulls(f.all, f.axes)
	return true
}

// choose picks the number of harmonics: the one that predicts a left-out lap
// best, and up to four beyond it that add little to the doubt. A missing
// harmonic bends the path by more than the interval knows of.
func (f *fitter) choose(e *equations, most int) bool {
	from := 2
	if f.o.Harmonics > 0 {
		from = most
	}
	var tried []*normal
	for h := from; h <= most; h++ {
		if h > from && (f.blur(h) < 0.5 || float64(h) > perSample*float64(f.samplesPerLap())) {
			break
		}
		m, ok := e.solve(h, &f.seen)
		if !ok || len(tried) > 0 && m.leverage > moreLeverage*tried[0].leverage {
			break
		}
		tried = append(tried, m)
	}
	if tried == nil {
		return false
	}
	if len(tried) == 1 {
		f.normal = tried[0]
		return true
	}
	weigh(tried, f.all, f.axes)
	best := 0
	for i, m := range tried {
		if m.miss < tried[best].miss {
			best = i
		}
	}
	f.normal = tried[best]
	for _, m := range tried[best:min(best+5, len(tried))] {
		if m.doubt <= moreDoubt*tried[best].doubt {
			f.normal = m
		}
	}
	return true
}

// perSample bounds the harmonics by the samples in a cycle. The error of a
// turn's time goes with where the samples lie beside it, and comes again from
// sample to sample: what it does to the path has about as many harmonics as a
// cycle has samples, alike in every cycle, so that a lap left out is predicted
// better with it.
const perSample = 0.65

// moreDoubt is how much may be added to the variance of the mean cycle for
// harmonics that are not seen to matter.
const moreDoubt = 1.25

// blur is what the exposure leaves of harmonic h.
func (f *fitter) blur(h int) float64 {
	x := math.Pi * float64(h) * f.o.Exposure / f.cycle
	if !(x > 0) {
		return 1
	}
	return math.Sin(x) / x
}

// centres finds the centre of each lap: the place of the mean cycle over the
// phases that are seen.
func (f *fitter) centres() {
	p := 2 * f.normal.order
	for _, a := range f.axes {
		f.centre[a] = make([]float64, len(f.laps))
		for i, l := range f.laps {
			s := &f.all[i]
			slow := floats.Sum(f.slow[a][l.lo:l.hi]) / float64(s.n)
			f.centre[a][i] = slow + s.y[a] - floats.Dot(s.z[:p], f.coef[a]) + floats.Dot(f.mid, f.coef[a])
		}
	}
}

// curve returns the mean cycle as it was seen, about its centre.
func (f *fitter) curve() *curve {
	c := &curve{axes: f.axes, share: f.share}
	for _, a := range f.axes {
		c.coef[a] = f.coef[a]
		c.centre[a] = -floats.Dot(f.mid, f.coef[a])
	}
	return c
}

// residual writes the basis at sample k to z, and returns how far the sample
// lies off the mean cycle about the slow centre.
func (f *fitter) residual(z []float64, k int) (x vec) {
	basis(z, f.phase[k])
	for _, a := range f.axes {
		x[a] = f.run.x[a][k] - f.slow[a][k] - floats.Dot(z, f.coef[a]) + floats.Dot(f.mid, f.coef[a])
	}
	return x
}

// without returns a residual x of lap i as it is for the mean cycle of the
// other laps.
func (f *fitter) without(x vec, z []float64, i int) vec {
	for _, a := range f.axes {
		x[a] += floats.Dot(z, f.pull[i][a]) - floats.Dot(f.all[i].z[:len(z)], f.pull[i][a])
	}
	return x
}

// far returns which laps are more than five times as far off the mean as is
// usual, and a fiftieth of the length; nil if none.
func (f *fitter) far() []bool {
	rms := make([]float64, len(f.laps))
	z := make([]float64, 2*f.normal.order)
	for i, l := range f.laps {
		for k := l.lo; k < l.hi; k++ {
			x := f.residual(z, k)
			rms[i] += x.dot(x)
		}
		rms[i] = math.Sqrt(rms[i] / float64(l.hi-l.lo))
	}
	c := f.curve()
	limit := math.Max(5*median(rms), 0.02*c.length())
	far, any := make([]bool, len(rms)), false
	for i, v := range rms {
		far[i] = v > limit
		any = any || far[i]
	}
	if !any {
		return nil
	}
	return far
}

// noiseOfTurns is the usual standard error of the time of a turn, 0 if none is
// known.
func noiseOfTurns(strokes []motion.Stroke) float64 {
	var x []float64
	for _, s := range strokes {
		if v := s.Noise.Duration / math.Sqrt2; v == v {
			x = append(x, v)
		}
	}
	return median(x)
}

// median is that of x, or 0 of none.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	return robust.Median(x)
}
