package trajectory

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/robust"
)

// DefaultMinConfidence is the confidence below which a sample is no measurement where
// nothing else is said: trackers of marks and of joints call a point seen from about
// this on (common practice, from memory).
const DefaultMinConfidence = 0.6

// CleanOptions say what Clean cuts. The zero value applies every rule with its
// default.
type CleanOptions struct {
	// MinConfidence is the confidence below which a sample is cut, for points
	// that have one. Zero means DefaultMinConfidence, 0.6; negative turns the rule off.
	MinConfidence float64 `json:"min_confidence,omitempty"`
	// Threshold is how many robust standard deviations a sample must lie off
	// the path of its neighbours to be cut. Zero means 4.5; negative turns the
	// rules for outliers and for stretches elsewhere off.
	Threshold float64 `json:"threshold,omitempty"`
	// MaxElsewhere is the longest stretch, in samples, for which the tracker
	// may have sat elsewhere. Zero means 60; negative turns the rule off.
	MaxElsewhere int `json:"max_elsewhere,omitempty"`
	// MinFill is the least number of samples, repeated or on a straight line,
	// that count as a tracker's filling. Zero means 4, and 3 below 80 samples
	// per second; negative turns both rules off.
	MinFill int `json:"min_fill,omitempty"`
}

// withDefaults returns the options with defaults filled in for samples that
// are interval seconds apart.
func (o CleanOptions) withDefaults(interval float64) CleanOptions {
	if o.MinConfidence == 0 {
		o.MinConfidence = DefaultMinConfidence
	}
	if o.Threshold == 0 {
		o.Threshold = 4.5
	}
	if o.MaxElsewhere == 0 {
		o.MaxElsewhere = 60
	}
	if o.MinFill == 0 {
		o.MinFill = 4
		if interval > 1.0/80 {
			o.MinFill = 3
		}
	}
	return o
}

// Clean returns the path without what is not a measurement, NaN in its place,
// and the list of what it cut. The rules, in the order in which they apply:
//
//   - low confidence: a sample that the tracker trusted less than
//     MinConfidence.
//   - frozen fill: the last position repeated through a gap, found by at least
//     MinFill equal samples that the noise and the resolution of the recording
//     make next to impossible, with a movement into them or out of them. The
//     first of the equal samples was measured, and stays. A point that rests,
//     and coordinates in whole pixels, repeat too, and are left alone.
//   - straight-line fill: a line drawn through a gap, found by second
//     differences that vanish to the resolution of the coordinates, as often
//     in a row as noise makes next to impossible.
//   - outlier: one to three samples off the path of their neighbours.
//   - elsewhere: up to MaxElsewhere samples between a step away and a step
//     back, neither of which the point can have made.
//
// The last two measure the step between two neighbours that the three samples
// before and the three after them, as one polynomial, leave unexplained. It is
// held against four limits: Threshold standard deviations of the noise; the
// same multiple of its own median in the neighbourhood (the Hampel identifier,
// Davies & Gather 1993, on the step instead of on the position); half of the
// speed of the neighbouring samples; and a fiftieth of the extent of the path
// over 32 samples. So a turn, a fast stroke and a change of string pass, at
// eight samples per cycle too. What cannot be told from them passes as well: an
// outlier of less than about 7 standard deviations of the noise, or of a third
// of the distance that the point moves in a sample. Normal noise loses less
// than 1 sample in 1000. Above about 1 outlier in 15 samples the limits
// themselves are wrong, and most stay.
//
// The columns of dst are reused where they have room; dst may be p itself. T
// and Confidence are shared with p. The error is that of [Path.Validate], or a
// *DataError when no sample is left.
func Clean(dst Path, p Path, o CleanOptions) (Path, []Edit, error) {
	var w Workspace
	return w.Clean(dst, p, o)
}

// scratch is what cleaning and smoothing one path leave for the next: memory,
// and what is known of the times that the points of a recording share.
type scratch struct {
	walk   walk
	cutter cutter
	padded []float64 // of smoothRun
	// intervals is the scratch of paceOf.
	intervals []float64

	t     []float64 // times that the rest is of
	pace  pace
	clock clock
	even  bool // whether there is a clock
}

// setTimes makes t the times.
func (s *scratch) setTimes(t []float64) {
	if len(t) > 0 && len(t) == len(s.t) && &t[0] == &s.t[0] {
		return
	}
	s.t, s.pace = t, s.paceOf(t)
	s.clock, s.even = clockOf(t, s.pace.usual)
}

// clean is [Clean] in the memory of s.
func (s *scratch) clean(dst Path, p Path, o CleanOptions) (Path, []Edit, error) {
	if err := p.Validate(); err != nil {
		return dst, nil, err
	}
	s.setTimes(p.T)
	o = o.withDefaults(s.pace.usual)

	out := p
	out.X = append(dst.X[:0], p.X...)
	out.Y = append(dst.Y[:0], p.Y...)
	if !p.Planar() {
		out.Z = append(dst.Z[:0], p.Z...)
	}
	c := &s.cutter
	c.begin(s, out)
	if c.seen == 0 {
		return dst, nil, fault(p.Name, "every sample is missing", "choose another point, or check how the export marks missing samples")
	}
	c.lowConfidence(o.MinConfidence)
	c.fills(o.MinFill)
	c.jumps(o.Threshold, o.MaxElsewhere)
	slices.SortFunc(c.edits, func(a, b Edit) int { return a.Start - b.Start })
	if c.seen == 0 {
		return dst, nil, fault(p.Name, fmt.Sprintf("no sample is left: %d were cut for %v", c.edits[0].Samples(), c.edits[0].Rule),
			"choose another point, or clean less")
	}
	return c.p, c.edits, nil
}

// cutter cuts samples of a path and keeps the list.
type cutter struct {
	*scratch
	p       Path
	axes    [3][]float64 // the coordinates that the path has
	columns [][]float64  // of axes
	noise   float64      // standard deviation on one axis, 0 when not measurable
	seen    int          // samples that are there
	edits   []Edit

	pieces, runs   []stretch // scratch of measureNoise and of frozen
	levels, differ []float64 // and of measureNoise
}

// stretch is a range of samples, [start, end).
type stretch struct{ start, end int }

// begin takes p in hand. The list is a new one, in the memory of the last.
func (c *cutter) begin(s *scratch, p Path) {
	c.scratch, c.p, c.edits, c.seen = s, p, c.edits[:0], count(p.X)
	c.axes = [3][]float64{p.X, p.Y, p.Z}
	c.columns = c.axes[:3]
	if p.Planar() {
		c.columns = c.axes[:2]
	}
	c.measureNoise()
}

// cut removes samples [start, end), which need not all be there.
func (c *cutter) cut(r Rule, start, end int) {
	c.seen -= count(c.p.X[start:end])
	for _, col := range c.columns {
		for i := start; i < end; i++ {
			col[i] = math.NaN()
		}
	}
	c.edits = append(c.edits, edit(c.p, r, start, end))
}

// count returns the number of values that are not NaN.
func count(x []float64) int {
	n := 0
	for _, v := range x {
		if v == v {
			n++
		}
	}
	return n
}

// lowConfidence cuts the samples whose confidence is below least.
func (c *cutter) lowConfidence(least float64) {
	start := -1
	for i, v := range c.p.Confidence {
		low := v < least && c.p.X[i] == c.p.X[i]
		if low && start < 0 {
			start = i
		}
		if !low && start >= 0 {
			c.cut(LowConfidence, start, i)
			start = -1
		}
	}
	if start >= 0 {
		c.cut(LowConfidence, start, c.p.Len())
	}
}

// noiseChunk is the number of samples in one of the pieces from which the
// noise is measured, and noiseChunks how many pieces are enough.
const noiseChunk, noiseChunks = 256, 16

// measureNoise sets the standard deviation of the noise on one axis: the root mean
// square over the axes of the median of filter.NoiseLevel over pieces spread
// evenly over the path. It is 0 when no run is long enough.
func (c *cutter) measureNoise() {
	c.noise = 0
	n := c.p.Len()
	x := c.columns[:1]
	pieces := c.pieces[:0]
	for start, end := nextRun(x, 0, n); start < n; start, end = nextRun(x, end, n) {
		for ; end-start >= 7; start += noiseChunk {
			pieces = append(pieces, stretch{start, min(end, start+noiseChunk)})
		}
	}
	c.pieces, c.differ = pieces, resize(c.differ, noiseChunk)
	stride := max(1, len(pieces)/noiseChunks)
	var sum float64
	for _, col := range c.columns {
		c.levels = c.levels[:0]
		for i := 0; i < len(pieces); i += stride {
			if v := filter.NoiseLevelIn(c.differ, col[pieces[i].start:pieces[i].end]); v == v {
				c.levels = append(c.levels, v)
			}
		}
		if len(c.levels) == 0 {
			return
		}
		v := robust.MedianInPlace(c.levels)
		sum += v * v
	}
	c.noise = math.Sqrt(sum / float64(len(c.columns)))
}
