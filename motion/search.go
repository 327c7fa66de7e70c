package motion

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/motion/internal/turns"
	"github.com/plectrace/plectrace/variability/robust"
)

// node is a place where a stroke may begin or end.
type node struct {
	run  int     // index into grid.runs
	at   float64 // grid sample, fractional
	top  bool    // a maximum of the coordinate toward the treble side
	edge bool    // the end of a run, not a turn
	se   float64 // standard error of at, from the noise
}

// search finds the nodes of every run. It starts from a guess of the cycle in
// grid samples and repeats with the local sizes it finds.
type search struct {
	g             *grid
	o             Options
	cycle         float64    // median, grid samples
	main          [3]float64 // direction of the motion as a whole
	axis          [][3]float64
	along, u      []float64   // velocity and displacement along the local axis
	sum           [][]float64 // of the columns, up to each sample
	limit         []float64   // hysteresis
	gainPos       float64
	gainVel       float64
	size          local
	swings        swings
	before        int // swings in size of earlier pieces, which come first
	nodes         []node
	resting, dead []rest
	pieced        []piece
	turning       []int    // the nodes that were fitted
	first         []shaped // of the strokes that they begin, by the first round of learning
	chain         *chain
	pools         *pools
	seen          *memory
}

// swings are what is measured of each, before it is made local.
type swings struct{ at, length, duration, top []float64 }

func (w *swings) reset() {
	w.at, w.length, w.duration, w.top = w.at[:0], w.length[:0], w.duration[:0], w.top[:0]
}

func (w *swings) add(at, length, duration, top float64) {
	w.at, w.length = append(w.at, at), append(w.length, length)
	w.duration, w.top = append(w.duration, duration), append(w.top, top)
}

// newSearch begins a search in the memory of a.
func (a *Analyzer) newSearch(o Options, cycle float64) *search {
	s, g, m := &a.search, &a.grid, &a.pools
	n := g.n()
	*s = search{
		g: g, o: o, cycle: cycle, main: mainAxis(m, g.raw, g.runs),
		axis: m.axes.take(n), along: m.floats.take(n), u: m.floats.take(n),
		sum: m.matrix(len(g.raw), n+1), limit: m.floats.take(n),
		swings: s.swings, nodes: s.nodes[:0], resting: s.resting, dead: s.dead, pieced: s.pieced, chain: &a.chain, pools: m, seen: &a.seen,
	}
	s.earlier()
	s.localise()
	return s
}

func (s *search) pass() {
	s.gainPos, s.gainVel = s.g.gains()
	half := max(int(0.5*s.g.hz), int(1.5*s.cycle))
	for _, r := range s.g.runs {
		localAxis(s.axis, s.along, s.g.vel, r, half, s.main)
		s.swing(r)
	}
	floor := s.o.NoiseFloor * s.g.noise * s.gainPos
	s.thresholds(floor)
	s.nodes = s.nodes[:0]
	for k, r := range s.g.runs {
		s.detect(k, r, floor)
	}
	s.measure()
}

// detect appends the nodes of run k. At the ends of the run, where the tip has
// no room to come back by the whole hysteresis, coming back by more than the
// noise is enough.
func (s *search) detect(k int, r run, floor float64) {
	s.nodes = append(s.nodes, node{run: k, at: float64(r.Start), edge: true})
	first := len(s.nodes)
	var d turns.Detector
	for i := r.Start; i < r.End; i++ {
		if t, ok := d.Push(s.u[i], s.limit[i]); ok {
			s.nodes = append(s.nodes, node{run: k, at: float64(r.Start + t.Index), top: t.Top})
		}
	}
	if len(s.nodes) > first {
		a, b := s.nodes[first], s.nodes[len(s.nodes)-1]
		if i := s.extreme(r.Start, int(a.at), !a.top); i > r.Start && math.Abs(s.u[i]-s.u[r.Start]) > s.endLimit(floor, i) {
			s.nodes = slices.Insert(s.nodes, first, node{run: k, at: float64(i), top: !a.top})
		}
		if i := s.extreme(int(b.at), r.End-1, !b.top); i < r.End-1 && math.Abs(s.u[i]-s.u[r.End-1]) > s.endLimit(floor, i) {
			s.nodes = append(s.nodes, node{run: k, at: float64(i), top: !b.top})
		}
	}
	s.nodes = append(s.nodes, node{run: k, at: float64(r.End - 1), edge: true})
}

// endLimit is the hysteresis at the ends of a run.
func (s *search) endLimit(floor float64, i int) float64 {
	return min(s.limit[i], max(floor, 0.02*s.limit[i]/s.o.Hysteresis))
}

// extreme returns the sample of the greatest or least displacement in
// [from, to].
func (s *search) extreme(from, to int, top bool) int {
	best := from
	for i := from; i <= to; i++ {
		if top && s.u[i] > s.u[best] || !top && s.u[i] < s.u[best] {
			best = i
		}
	}
	return best
}

// thresholds sets the hysteresis of every sample.
func (s *search) thresholds(floor float64) {
	if len(s.size.at) == 0 {
		// No swings yet: a share of the swing of a sine of this scatter.
		sum, n := 0.0, 0
		for _, r := range s.g.runs {
			for _, v := range s.u[r.Start:r.End] {
				sum += v * v
			}
			n += r.End - r.Start
		}
		h := max(floor, 0.1*2*math.Sqrt2*math.Sqrt(sum/float64(n)))
		for i := range s.limit {
			s.limit[i] = h
		}
		return
	}
	parts := s.size.spans(0, len(s.limit))
	for k, r, ok := parts.next(); ok; k, r, ok = parts.next() {
		h := max(floor, s.o.Hysteresis*s.size.length[k])
		for i := r.Start; i < r.End; i++ {
			s.limit[i] = h
		}
	}
}

// measure sets the local sizes from the nodes.
func (s *search) measure() {
	s.earlier()
	for i := 1; i < len(s.nodes); i++ {
		a, b := s.nodes[i-1], s.nodes[i]
		if a.run != b.run || a.edge || b.edge {
			continue
		}
		i0, i1 := int(a.at), int(b.at)
		s.swings.add((a.at+b.at)/2, math.Abs(s.u[i1]-s.u[i0]), b.at-a.at, topSpeed(s.along[i0:i1+1]))
	}
	s.localise()
	if d := s.durations(s.swings.duration[s.before:], false); len(d) > 1 {
		s.cycle = 2 * robust.MedianInPlace(d)
	}
}

// localise makes the swings local.
func (s *search) localise() {
	w := &s.swings
	n := len(w.at)
	s.size = local{w.at, s.pools.floats.take(n), s.pools.floats.take(n), s.pools.floats.take(n)}
	rolling(s.size.length, w.length)
	rolling(s.size.duration, w.duration)
	rolling(s.size.top, w.top)
}

// found is the number of swings of this path.
func (s *search) found() int { return len(s.swings.at) - s.before }

// topSpeed is the greatest speed of the velocities v either way.
func topSpeed(v []float64) float64 {
	top := 0.0
	for _, x := range v {
		if x = math.Abs(x); x > top {
			top = x
		}
	}
	return top
}

// fastest returns a high quantile of the local stroke rate as a cycle
// frequency in Hz, for choosing a cut-off that serves the fastest stretch.
func (s *search) fastest() float64 {
	return s.g.hz / (2 * robust.QuantileInPlace(0.1, s.durations(s.size.duration[s.before:], true)))
}

// refine moves every turn to the zero of the velocity along the local axis,
// to a fraction of a sample. Where a moving hand hides the zero, the extreme
// of the displacement about the local centre stays.
func (s *search) refine() {
	k := 0
	for i := range s.nodes {
		nd := &s.nodes[i]
		if nd.edge {
			continue
		}
		k = s.size.nearest(k, nd.at)
		r := s.g.runs[nd.run]
		reach := max(2, int(0.4*s.size.duration[k]))
		// Velocity noise over the acceleration at the turn of a half-cosine.
		nd.se = s.g.noise * s.gainVel * s.size.duration[k] / (math.Pi * s.size.top[k])
		nd.at = refineAt(s.along[r.Start:r.End], s.u[r.Start:r.End], int(nd.at)-r.Start, reach, nd.top) + float64(r.Start)
	}
	s.nodes = inOrder(s.nodes)
}

// inOrder drops pairs of neighbouring turns whose refined times have crossed:
// what lay between them was not a stroke. The others still alternate.
func inOrder(nodes []node) []node {
	kept := nodes[:0]
next:
	for _, nd := range nodes {
		for len(kept) > 0 {
			last := kept[len(kept)-1]
			switch {
			case last.run != nd.run || nd.at >= last.at && (nd.edge || last.edge || nd.at > last.at):
			case last.edge:
				continue next // a turn before the run begins
			case nd.edge:
				kept = kept[:len(kept)-1] // a turn after it ends
				continue
			default:
				kept = kept[:len(kept)-1]
				continue next
			}
			break
		}
		kept = append(kept, nd)
	}
	return kept
}

func refineAt(v, u []float64, i, reach int, top bool) float64 {
	falls := func(j int) bool {
		if j < 0 || j+1 >= len(v) {
			return false
		}
		if top {
			return v[j] >= 0 && v[j+1] < 0
		}
		return v[j] <= 0 && v[j+1] > 0
	}
	for k := 0; k <= reach; k++ {
		if falls(i - 1 - k) {
			j := i - 1 - k
			if falls(i + k) { // both as near: the one nearer to the extreme
				if a, b := float64(j)+turns.Crossing(v, j), float64(i+k)+turns.Crossing(v, i+k); float64(i)-a > b-float64(i) {
					return b
				}
			}
			return float64(j) + turns.Crossing(v, j)
		}
		if falls(i + k) {
			return float64(i+k) + turns.Crossing(v, i+k)
		}
	}
	if i > 0 && i+1 < len(u) {
		if den := u[i-1] - 2*u[i] + u[i+1]; den != 0 {
			return float64(i) + min(max((u[i-1]-u[i+1])/(2*den), -0.5), 0.5)
		}
	}
	return float64(i)
}

// rest is a stretch of grid samples [start, end] within one run in which the
// tip hardly moves.
type rest struct {
	run        int
	start, end float64
}

// restSpeed is the share of the local peak speed below which the tip rests,
// if it stays there for restStrokes of a local stroke. A steady oscillation
// spends 8 % of a stroke below it at a time.
const (
	restSpeed   = 0.12
	restStrokes = 0.7
)

// Across a gap the interpolated speed says nothing: it counts as rest if the
// tip is slow on both sides of it and in the same place.
func (s *search) rests(sh *shaper) []rest {
	rs := s.resting[:0]
	least := 3 * s.g.noise * s.gainVel
	dead := s.deadGaps(sh, least)
	for ri, r := range s.g.runs {
		from, last := -1, 0
		end := func(i int) {
			if from >= 0 && float64(i-1-from) > restStrokes*s.size.duration[last] {
				rs = append(rs, rest{ri, float64(from), float64(i - 1)})
			}
			from = -1
		}
		parts := s.size.spans(r.Start, r.End)
		for k, q, ok := parts.next(); ok; k, q, ok = parts.next() {
			last = k
			below := s.slowBelow(k, least)
			for i := q.Start; i < q.End; i++ {
				for len(dead) > 0 && dead[0].end < float64(i) {
					dead = dead[1:]
				}
				switch slow := math.Abs(s.along[i]) < below || len(dead) > 0 && dead[0].start <= float64(i); {
				case !slow:
					end(i)
				case from < 0:
					from = i
				}
			}
		}
		end(r.End)
	}
	s.resting = rs
	return rs
}

// slowBelow is the speed below which the tip rests, near swing k.
func (s *search) slowBelow(k int, least float64) float64 {
	return min(max(restSpeed*s.size.top[k], least), 0.5*s.size.top[k])
}

// deadGaps returns the gaps of the samples, as grid stretches, on both sides
// of which the tip is slow, by the line through a few samples, and in the same
// place.
func (s *search) deadGaps(sh *shaper, least float64) []rest {
	const few = 6
	gaps := s.dead[:0]
	k := 0
	for j := few; j+few < len(sh.t); j++ {
		if sh.t[j]-sh.t[j-1] < 3*sh.step {
			continue
		}
		at, from := s.g.index(sh.t[j]), s.g.index(sh.t[j-1])
		k = s.size.nearest(k, at)
		ax := &s.axis[min(max(int(at), 0), len(s.axis)-1)]
		v0, x0, ok0 := sh.slope(j-few, j, ax)
		v1, x1, ok1 := sh.slope(j, j+few, ax)
		// The line's own error: noise over the root of the times' squares.
		own := 3 * s.g.noise * s.g.hz / math.Sqrt(few*(few*few-1)/12)
		slow := max(s.slowBelow(k, least), min(own, 0.3*s.size.top[k]))
		if ok0 && ok1 && math.Abs(v0) < slow && math.Abs(v1) < slow && math.Abs(x1-x0) < 0.3*s.size.length[k] {
			gaps = append(gaps, rest{start: from, end: at})
		}
	}
	s.dead = gaps
	return gaps
}
