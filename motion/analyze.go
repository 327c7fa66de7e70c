package motion

import (
	"fmt"
	"math"

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
)

// Analyze finds the strokes of a placed path and measures them. p is cleaned
// (see trajectory.Clean): missing samples are NaN on every axis, and nothing
// else is expected of the time base but that it increases.
//
// Too few samples per stroke, or no motion, are not errors: the result then
// holds no strokes, and Absent says why. An error means that p itself is not
// usable.
func Analyze(p trajectory.Placed, o Options) (*Motion, error) {
	o = o.withDefaults()
	if err := p.Validate(); err != nil {
		return nil, err
	}
	m := &Motion{Options: o, Unit: p.Unit, Cycle: math.NaN(), SamplesPerStroke: math.NaN(), Noise: math.NaN()}
	sh := newShaper(p)
	if len(sh.t) < 16 {
		return nil, &trajectory.DataError{Point: p.Name, Sample: -1, Time: math.NaN(), Rule: fmt.Sprintf("%d samples are left; strokes need 16 at the least", len(sh.t)),
			Hint: "the tip must be seen for at least a few strokes: check the column, the confidence threshold and the list of cuts"}
	}
	g, cycleHz, err := newGrid(p, o)
	if err != nil {
		return nil, err
	}
	m.SampleHz, m.Noise = g.hz, g.noise
	if math.IsNaN(g.noise) {
		// No floor for the search, but a measure for the intervals.
		g.noise, m.Noise = 0, noiseOfShort(p)
	}
	if cycleHz == 0 {
		why := "the point does not move back and forth"
		if g.hz < leastHz {
			why = fmt.Sprintf("%.3g samples a second are too few for any stroke", g.hz)
		}
		m.absent("no motion", "strokes", why)
		return m, nil
	}
	s := newSearch(g, o, g.hz/cycleHz)
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
		if len(s.size.at) < 3 {
			break
		}
		if f := s.fastest(); i < 4 && (i == 0 || math.Abs(f/cutHz-1) > 0.1) {
			cutHz = f
			continue
		}
		break
	}
	m.CutoffHz = g.cutoff
	if len(s.size.at) < 3 {
		m.absent("no strokes", "strokes", "fewer than three turns stand out from the noise")
		return m, nil
	}
	sh.noise, sh.axisError, sh.step = max(g.noise, known(m.Noise)), o.AxisError.Radians(), 1/g.hz
	sh.frameNoise, sh.axisNoise = o.FrameNoise, o.AxisNoise.Radians()
	s.refine()
	s.measure()
	m.Cycle, m.SamplesPerStroke = s.cycle/g.hz, s.cycle/2
	if m.SamplesPerStroke < MinSamplesStrokes {
		m.absent("samples per stroke", "strokes", fmt.Sprintf(
			"%.1f samples per stroke; strokes and their timing need %d", m.SamplesPerStroke, MinSamplesStrokes))
		return m, nil
	}
	rests := s.rests(sh)
	s.fitTurns(sh, rests)
	for _, r := range rests {
		m.Pauses = append(m.Pauses, Pause{g.time(r.start), g.time(r.end)})
	}
	sh.angles = m.SamplesPerStroke >= MinSamplesAngles
	sh.shape = m.SamplesPerStroke >= MinSamplesShape
	sh.heights = sh.shape && sh.out >= 0 && !o.Relative
	m.Strokes = sh.bridge(s.strokes(s.pieces(rests), sh), o)
	m.explain(sh)
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
func newGrid(p trajectory.Placed, o Options) (*grid, float64, error) {
	// For the guess the samples are even enough as they are.
	g := &grid{noise: noise(p)}
	g.raw, _, _ = axes(p)
	n := p.Len()
	g.hz = float64(n-1) / (p.T[n-1] - p.T[0])
	g.findRuns()
	f := roughCycleHz(g, slowestCycleHz, min(fastestCycleHz, 0.45*g.hz))
	if f == 0 {
		return g, 0, nil
	}
	q, _, err := trajectory.Uniform(trajectory.Placed{}, p, trajectory.UniformOptions{})
	if err != nil {
		return nil, 0, err
	}
	n = q.Len()
	g.t0, g.hz = q.T[0], float64(n-1)/(q.T[n-1]-q.T[0])
	g.raw, _, _ = axes(q)
	g.findRuns()
	if o.MaxGap > 0 {
		stroke := g.hz / (2 * f)
		g.bridgeGaps(int(o.MaxGap*stroke), max(4, int(0.3*stroke)))
	}
	return g, f, nil
}

// noise is the level of white noise on one axis: the root of the mean over
// the columns of the variance that runs of some length show, as many of them,
// spread over the take, as make it precise to a per cent or two. NaN where no
// run is that long.
func noise(p trajectory.Placed) float64 {
	cols, _, _ := axes(p)
	var sum, weight, looked, seen float64
	share := min(1, 20000/float64(p.Len()))
	for start, end := range trajectory.Runs(cols...) {
		n := end - start
		if seen += float64(n); n < 24 || looked > share*seen {
			continue
		}
		looked += float64(n)
		for _, x := range cols {
			v := filter.NoiseLevel(x[start:end])
			sum += v * v * float64(n)
			weight += float64(n)
		}
	}
	return math.Sqrt(sum / weight) // NaN of 0/0
}

// noiseOfShort is the noise where every run is short, as with a point that
// hides in each stroke: the mean over runs of at least eight samples. It is
// good for intervals, and too rough to keep turns out by. NaN without any.
func noiseOfShort(p trajectory.Placed) float64 {
	cols, _, _ := axes(p)
	var sum [3]float64
	weight := 0.0
	for start, end := range trajectory.Runs(cols...) {
		n := float64(end - start)
		if n < 8 {
			continue
		}
		weight += n
		for d, x := range cols {
			sum[d] += filter.NoiseLevel(x[start:end]) * n
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
