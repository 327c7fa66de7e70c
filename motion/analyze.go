package motion

import (
	"fmt"
	"math"
	"sort"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
)

// Range of cycle frequencies that the first guess looks for: half a cycle to
// twelve a second, which is 1 to 24 strokes per second.
const (
	slowestCycleHz = 0.5
	fastestCycleHz = 12
	// leastHz is the sample rate below which there is nothing to look for.
	leastHz = 4
	// mostHz is the sample rate above which times are in another unit than seconds:
	// ten times that of the fastest cameras that film for seconds (from memory).
	mostHz = 1e6
)

// Analyze finds the strokes of a placed path and measures them. p is cleaned
// (see trajectory.Clean): missing samples are NaN on every axis, and nothing
// else is expected of the time base but that it increases.
//
// Too few samples per stroke, or no motion, are not errors: the result then
// holds no strokes, and Absent says why. An error means that p itself is not
// usable.
func Analyze(p trajectory.Placed, o Options) (*Motion, error) {
	var a Analyzer
	m, err := a.Analyze(p, o)
	if err != nil {
		return nil, err
	}
	own := *m // without the rest of a
	return &own, nil
}

// Analyze does what the function [Analyze] does. The result is that of the next
// call from then on.
func (a *Analyzer) Analyze(p trajectory.Placed, o Options) (*Motion, error) {
	o = o.withDefaults()
	if err := p.Validate(); err != nil {
		return nil, err
	}
	m := a.begin(p, o)
	sh := a.newShaper(p)
	if len(sh.t) < 16 {
		return nil, &trajectory.DataError{Point: p.Name, Sample: -1, Time: math.NaN(), Rule: fmt.Sprintf("%d samples are left; strokes need 16 at the least", len(sh.t)),
			Hint: "the tip must be seen for at least a few strokes: check the column, the confidence threshold and the list of cuts"}
	}
	if hz := float64(p.Len()-1) / (p.T[p.Len()-1] - p.T[0]); hz > mostHz {
		return nil, &trajectory.DataError{Point: p.Name, Sample: -1, Time: math.NaN(), Rule: fmt.Sprintf("there are %.3g samples a second", hz),
			Hint: "times are in seconds: check their unit (time_unit)"}
	}
	g, cycleHz, err := a.newGrid(p, o)
	if err != nil {
		return nil, err
	}
	m.SampleHz, m.Noise = g.hz, g.noise
	if math.IsNaN(g.noise) {
		// No floor for the search, but a measure for the intervals.
		g.noise, m.Noise = 0, a.noiseOfShort(p)
	}
	if cycleHz == 0 {
		why := "the point does not move back and forth"
		if g.hz < leastHz {
			why = fmt.Sprintf("%.3g samples a second are too few for any stroke", g.hz)
		}
		m.absent("no motion", "strokes", why)
		return m, nil
	}
	s := a.newSearch(o, g.hz/cycleHz)
	cutHz := cycleHz
	for i := 0; ; i++ {
		cutoff := math.Inf(1)
		if o.Cutoff > 0 {
			cutoff = o.Cutoff * cutHz
		}
		if err := g.smooth(cutoff); err != nil {
			return nil, err
		}
		s.pass()
		if s.found() < 3 {
			break
		}
		if f := s.fastest(); i < 4 && (i == 0 || math.Abs(f/cutHz-1) > 0.1) {
			cutHz = f
			continue
		}
		break
	}
	m.CutoffHz = g.cutoff
	if s.found() < 3 {
		m.absent("no strokes", "strokes", "fewer than three turns stand out from the noise")
		return m, nil
	}
	sh.noise, sh.axisError, sh.step = max(g.noise, known(m.Noise)), o.AxisError.Radians(), 1/g.hz
	sh.frameNoise, sh.axisNoise = o.FrameNoise, o.AxisNoise.Radians()
	s.refine()
	s.measure()
	m.Cycle, m.SamplesPerStroke = s.cycle/g.hz, s.cycle/2
	if m.SamplesPerStroke < MinSamplesStrokes {
		m.absent("samples per stroke", "strokes", a.few.why(m.SamplesPerStroke))
		return m, nil
	}
	a.found = true
	rests := s.rests(sh)
	s.fitTurns(sh, rests)
	for _, r := range rests {
		m.Pauses = append(m.Pauses, Pause{g.time(r.start), g.time(r.end)})
	}
	sh.angles = m.SamplesPerStroke >= MinSamplesAngles
	sh.shape = m.SamplesPerStroke >= MinSamplesShape
	sh.heights = sh.shape && sh.out >= 0 && !o.Relative
	m.Strokes = sh.bridge(s.strokes(m.Strokes, s.pieces(rests), sh), o, &a.pools)
	if !a.seen.Begun { // otherwise the first piece has said it
		m.explain(sh)
	}
	return m, nil
}

// explain records why a column is empty.
func (m *Motion) explain(sh *shaper) {
	few := func(what string, need int) {
		m.absent("samples per stroke", what, fmt.Sprintf("%.1f samples per stroke; this needs %d", m.SamplesPerStroke, need))
	}
	switch {
	case sh.out < 0:
		m.absent("view", "path angle", "this view does not show how far out the tip is")
		m.absent("view", "curvature, heights and clearing", "this view does not show how far out the tip is")
	case !sh.angles:
		few("path angle", MinSamplesAngles)
		few("curvature, heights and clearing", MinSamplesShape)
	case !sh.shape:
		few("curvature, heights and clearing", MinSamplesShape)
	case m.Options.Relative:
		m.absent("grade", "heights and clearing", m.Options.RelativeWhy)
	}
	switch {
	case sh.along < 0:
		m.absent("view", "skew", "this view does not show travel along the strings")
	case !sh.angles:
		few("skew", MinSamplesAngles)
	}
}

// newGrid brings p onto an even time base and guesses the cycle frequency,
// which is 0 when nothing moves. Gaps up to o.MaxGap of the stroke that the
// guess makes are bridged.
func (a *Analyzer) newGrid(p trajectory.Placed, o Options) (*grid, float64, error) {
	// For the guess the samples are even enough as they are.
	g := &a.grid
	*g = grid{noise: a.noise(p), runs: g.runs, pools: &a.pools}
	g.raw, _, _ = a.pools.columns(p)
	n := p.Len()
	g.hz = float64(n-1) / (p.T[n-1] - p.T[0])
	g.findRuns()
	f := a.cycleHz()
	if f == 0 {
		f = a.roughCycleHz(g, slowestCycleHz, min(fastestCycleHz, 0.45*g.hz))
	}
	if f == 0 {
		return g, 0, nil
	}
	if err := a.even(p); err != nil {
		return nil, 0, err
	}
	if o.MaxGap > 0 {
		stroke := g.hz / (2 * f)
		g.bridgeGaps(int(o.MaxGap*stroke), max(4, int(0.3*stroke)))
	}
	return g, f, nil
}

// even brings the columns onto an even time base. A piece of a take whose times
// are even as they are is left alone: its single missing samples are bridged with
// the longer gaps.
func (a *Analyzer) even(p trajectory.Placed) error {
	g := &a.grid
	if a.seen.Begun && onGrid(p.T) {
		// Gaps will be bridged in place.
		cols, _, _ := a.pools.columns(p)
		g.raw = a.pools.matrix(len(cols), p.Len())
		for d, x := range cols {
			copy(g.raw[d], x)
		}
	} else {
		q, _, err := a.space.Uniform(a.uniform, p, trajectory.UniformOptions{})
		if err != nil {
			return err
		}
		p, a.uniform = q, q
		g.raw, _, _ = a.pools.columns(p)
	}
	n := p.Len()
	g.t0, g.hz = p.T[0], float64(n-1)/(p.T[n-1]-p.T[0])
	g.findRuns()
	return nil
}

// onGrid reports whether the times are even to a millionth of an interval.
func onGrid(t []float64) bool {
	step := (t[len(t)-1] - t[0]) / float64(len(t)-1)
	for i, v := range t {
		if math.Abs(v-t[0]-float64(i)*step) > 1e-6*step {
			return false
		}
	}
	return true
}

// noise is the level of white noise on one axis: the root of the mean over
// the columns of the variance that runs of some length show, as many of them,
// spread over the take, as make it precise to a per cent or two. NaN where no
// run is that long.
func (a *Analyzer) noise(p trajectory.Placed) float64 {
	sum, weight := a.noiseSquares(p, a.seen.noiseFrom(), math.Inf(1))
	return math.Sqrt((sum + a.seen.NoiseSum) / (weight + a.seen.NoiseWeight)) // NaN of 0/0
}

// noiseSquares returns the sum of the variances of the runs of samples after one
// time and up to another, weighted by their samples, and the sum of the weights.
func (a *Analyzer) noiseSquares(p trajectory.Placed, from, to float64) (sum, weight float64) {
	cols, _, _ := a.pools.columns(p)
	lo, hi := 0, p.Len()
	if from > math.Inf(-1) {
		lo = sort.Search(hi, func(i int) bool { return p.T[i] > from })
	}
	if to < math.Inf(1) {
		hi = sort.Search(hi, func(i int) bool { return p.T[i] > to })
	}
	var looked, seen float64
	share := min(1, 20000/float64(p.Len()))
	scratch := a.pools.floats.take(hi - lo)
	a.runs = appendRuns(a.runs[:0], p.Across[lo:hi])
	for _, r := range a.runs {
		start, end := lo+r.Start, lo+r.End
		n := end - start
		if seen += float64(n); n < 24 || looked > share*seen {
			continue
		}
		looked += float64(n)
		for _, x := range cols {
			v := filter.NoiseLevelIn(scratch, x[start:end])
			sum += v * v * float64(n)
			weight += float64(n)
		}
	}
	return sum, weight
}

// noiseOfShort is the noise where every run is short, as with a point that
// hides in each stroke: the mean over runs of at least eight samples. It is
// good for intervals, and too rough to keep turns out by. NaN without any.
func (a *Analyzer) noiseOfShort(p trajectory.Placed) float64 {
	cols, _, _ := a.pools.columns(p)
	scratch := a.pools.floats.take(p.Len())
	var sum [3]float64
	weight := 0.0
	a.runs = appendRuns(a.runs[:0], p.Across)
	for _, r := range a.runs {
		start, end := r.Start, r.End
		n := float64(end - start)
		if n < 8 {
			continue
		}
		weight += n
		for d, x := range cols {
			sum[d] += filter.NoiseLevelIn(scratch, x[start:end]) * n
		}
	}
	square := 0.0
	for _, v := range sum[:len(cols)] {
		square += (v / weight) * (v / weight)
	}
	return math.Sqrt(square / float64(len(cols)))
}

// known is x, or 0 where it is NaN.
func known(x float64) float64 {
	if x != x {
		return 0
	}
	return x
}
