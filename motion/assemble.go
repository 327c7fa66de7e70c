package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// piece is a stretch of movement between two nodes, with the pauses cut out:
// what becomes a stroke if it moves enough.
type piece struct {
	run        int
	start, end float64 // grid samples
	startSE    float64 // standard errors of start and end
	endSE      float64
	down       bool
	fromRest   bool // begins where a rest ends
	toRest     bool
	fromEdge   bool // begins at the end of a run
	toEdge     bool
}

// Shares of the local size that a piece must reach to be a stroke.
const (
	leastSpeed    = 0.15 // of the local peak speed, in the stroke's direction
	leastTravel   = 0.12 // of the local length, in the stroke's direction
	leastFromRest = 0.3  // of the local length, when it begins or ends in a rest
	leastFromEdge = 0.5  // of the local length, when the recording cuts it
	edgeSpeed     = 0.3  // of the local peak speed: slower than this at the recording's end is a turn
)

// pieces walks through the nodes and cuts the rests out.
func (s *search) pieces(rests []rest) []piece {
	ps := s.pieced[:0]
	ri, k := 0, 0
	for i := 1; i < len(s.nodes); i++ {
		a, b := s.nodes[i-1], s.nodes[i]
		if a.run != b.run || b.at <= a.at {
			continue
		}
		for ri < len(rests) && (rests[ri].run < a.run || rests[ri].run == a.run && rests[ri].end <= a.at) {
			ri++
		}
		p := piece{run: a.run, start: a.at, startSE: a.se, fromEdge: a.edge, down: b.top && !b.edge || !a.top && !a.edge}
		for j := ri; j < len(rests) && rests[j].run == a.run && rests[j].start < b.at; j++ {
			q := p
			q.end, q.endSE, q.toRest = rests[j].start, 1, true
			ps = s.keep(ps, q, &k)
			p = piece{run: a.run, start: rests[j].end, startSE: 1, fromRest: true, down: p.down}
		}
		p.end, p.endSE, p.toEdge = b.at, b.se, b.edge
		ps = s.keep(ps, p, &k)
	}
	s.pieced = ps
	return ps
}

// keep appends p if it moves like a stroke of its surroundings.
func (s *search) keep(ps []piece, p piece, k *int) []piece {
	if p.end-p.start < 1.5 {
		return ps
	}
	r := s.g.runs[p.run]
	i0, i1 := max(r.Start, int(math.Ceil(p.start))), min(r.End-1, int(p.end))
	if i1 <= i0 {
		return ps
	}
	mid := (p.start + p.end) / 2
	*k = s.size.nearest(*k, mid)
	length, top := s.size.length[*k], s.size.top[*k]
	ax := s.axis[int(mid)]
	// On the samples themselves: beside a wide fast stroke the low-pass
	// overshoots.
	travel, beside := 0.0, 0
	if i1-i0 >= 8 {
		beside = 1
	}
	for d, x := range s.g.raw {
		travel += ax[d] * (around(x[r.Start:r.End], i1-r.Start, beside) - around(x[r.Start:r.End], i0-r.Start, beside))
	}
	if p.fromRest || p.toRest || p.fromEdge || p.toEdge {
		p.down = travel > 0
		least := leastFromRest
		if p.fromEdge || p.toEdge {
			least = leastFromEdge
		}
		if math.Abs(travel) < least*length {
			return ps
		}
		if p.fromEdge && math.Abs(s.along[r.Start]) > edgeSpeed*top ||
			p.toEdge && math.Abs(s.along[r.End-1]) > edgeSpeed*top {
			return ps
		}
	}
	if p.down && travel < leastTravel*length || !p.down && -travel < leastTravel*length {
		return ps
	}
	fastest, way := 0.0, 1.0
	if !p.down {
		way = -1
	}
	for _, v := range s.along[i0 : i1+1] {
		if v *= way; v > fastest {
			fastest = v
		}
	}
	if fastest < leastSpeed*top {
		return ps
	}
	return append(ps, p)
}

// around is the mean of sample i and so many on each side.
func around(x []float64, i, beside int) float64 {
	lo, hi := max(0, i-beside), min(len(x), i+beside+1)
	sum := 0.0
	for _, v := range x[lo:hi] {
		sum += v
	}
	return sum / float64(hi-lo)
}

// strokes turns pieces into strokes with their measures.
// They are appended to dst.
func (s *search) strokes(dst []Stroke, ps []piece, sh *shaper) []Stroke {
	out := dst
	for i, q := range ps {
		out = append(out, unmeasured())
		st := &out[i]
		st.Direction = Up
		if q.down {
			st.Direction = Down
		}
		st.Start, st.End = s.g.time(q.start), s.g.time(q.end)
		st.Joined = i > 0 && ps[i-1].run == q.run && ps[i-1].end == q.start && ps[i-1].down != q.down
		sh.measure(s, q, st)
	}
	sh.chains(s, out)
	s.scaleSeen(out)
	return out
}

// scaleSeen brings the seen lengths of strokes with a hidden turn, for each
// direction, to the scale of those measured from turn to turn: the fitted
// half-cosine gives the length only up to a factor, since strokes run a path
// of their own.
func (s *search) scaleSeen(strokes []Stroke) {
	for _, d := range [2]Direction{Down, Up} {
		ratio := s.seen.appendShapes(s.pools.floats.take(len(s.seen.Shapes) + len(strokes))[:0], d, (*shapeSeen).ratio)
		for i := range strokes {
			if st := &strokes[i]; st.Direction == d && !s.seen.kept(st.Start) {
				ratio = appendKnown(ratio, st.Length/st.halfCosine)
			}
		}
		if len(ratio) < 5 {
			continue
		}
		factor := robust.MedianInPlace(ratio)
		for i := range strokes {
			if st := &strokes[i]; st.Direction == d && st.Length != st.Length {
				st.Seen.Length *= factor
				st.Seen.LengthNoise *= factor
			}
		}
	}
}
