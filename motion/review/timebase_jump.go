package review

import (
	"cmp"
	"math"
	"slices"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// What a jump must be. Musicians double, halve and triple the speed of notes,
// and from sixteenths to quarters it is a factor of four: a film in slow motion
// differs in that nothing else changes, neither the length of the strokes nor
// their profile from turn to turn, while slow notes are played with a rest.
const (
	leastJump  = 3.3  // factor that is asked about; three is triplets
	leastStamp = 1.8  // the same where the frames' stamps jump along
	stampFit   = 0.15 // by how much, as a logarithm, the two may differ
	lengthFit  = 0.5  // by how much, as a logarithm, lengths may differ
	leastMove  = 0.35 // share of a slow stroke's time from 10 to 90 % of its way
	leastSwing = 4    // strokes on each side
	besideJump = 40   // strokes looked at on each side
)

// Jumps returns the places where the pace of b.Path changes from one stroke to
// the next as it does where a film goes over to slow motion or back: by a
// factor of more than three, or of about two and more where the samples' times
// jump by the same; with strokes as long as before that do not rest at their
// turns; and steadily, for four strokes at least on both sides. It is nil when
// there is none.
//
// It goes by the reversals of the path itself. The strokes of package motion
// will not do: the filter and the pauses there are those of one pace, and in a
// take of two paces the strokes of one are lost. Two samples a stroke and a few
// are enough.
func (b TimeBase) Jumps() []Jump {
	sw := reversals(b.Path)
	if len(sw.at) < 2*leastSwing+2 {
		return nil
	}
	var found []Jump
	edges := paceEdges(sw.at)
	for k, e := range edges {
		lo, hi := 0, len(sw.at)-1 // the turns of the pace before and after
		if k > 0 {
			lo = edges[k-1] + 1
		}
		if k+1 < len(edges) {
			hi = edges[k+1]
		}
		if j, ok := sw.judge(max(lo, e-besideJump), e, min(hi, e+1+besideJump)); ok {
			found = append(found, j)
		}
	}
	return found
}

// swings are the reversals of a path along one of its axes.
type swings struct {
	t, x []float64 // samples, without the missing ones
	turn []int     // index into them of each reversal
	at   []float64 // its time
	h    float64   // travel back that makes one
}

// reversals finds the turns of p on the axis on which it travels most, without
// any assumption on how fast: a turn is where the path has come back by a third
// of the usual way between two turns.
func reversals(p trajectory.Placed) swings {
	var sw swings
	var best []float64
	far := 0.0
	for _, col := range [][]float64{p.Across, p.Along, p.Out} {
		way, last := 0.0, math.NaN()
		for _, v := range col {
			if v != v {
				continue
			}
			if d := math.Abs(v - last); d == d {
				way += d
			}
			last = v
		}
		if way > far {
			far, best = way, col
		}
	}
	for i, v := range best {
		if v == v {
			sw.t, sw.x = append(sw.t, p.T[i]), append(sw.x, v)
		}
	}
	if len(sw.t) < 4 {
		return sw
	}
	// The range within a second, of the quarter of seconds with most travel:
	// rests do not count, and few seconds hold a change of string.
	var ranges []float64
	for i := 0; i < len(sw.t); {
		lo, hi, from := sw.x[i], sw.x[i], sw.t[i]
		for ; i < len(sw.t) && sw.t[i]-from < 1; i++ { // from+1 may round to from
			lo, hi = min(lo, sw.x[i]), max(hi, sw.x[i])
		}
		ranges = append(ranges, hi-lo)
	}
	sw.zigzag(robust.QuantileInPlace(0.75, ranges) / 5)
	if ways := sw.ways(0, len(sw.turn)-1); len(ways) > 0 {
		sw.zigzag(robust.MedianInPlace(ways) / 3)
	}
	return sw
}

// zigzag sets the turns as the extremes from which the path comes back by h.
func (sw *swings) zigzag(h float64) {
	sw.h = h
	sw.turn = zigzag(sw.turn[:0], sw.x, h)
	sw.at = sw.at[:0]
	for _, i := range sw.turn {
		sw.at = append(sw.at, sw.t[i])
	}
}

// zigzag appends the indices of the extremes of x from which it comes back by
// more than h.
func zigzag(dst []int, x []float64, h float64) []int {
	low, high := 0, 0 // extremes since the last turn
	const unknown, up, down = 0, 1, -1
	way := unknown
	for i, v := range x {
		if v > x[high] {
			high = i
		}
		if v < x[low] {
			low = i
		}
		switch {
		case way != down && x[high]-v > h:
			if way == up {
				dst = append(dst, high)
			}
			way, low = down, i
		case way != up && v-x[low] > h:
			if way == down {
				dst = append(dst, low)
			}
			way, high = up, i
		}
	}
	return dst
}

// ways returns the distances between the turns from first to last.
func (sw *swings) ways(first, last int) []float64 {
	var d []float64
	for k := first; k < last; k++ {
		d = append(d, math.Abs(sw.x[sw.turn[k+1]]-sw.x[sw.turn[k]]))
	}
	return d
}

// Costs of the path of the pace, in units of one cycle that does not fit: a
// jump must be borne out by more than two cycles that would not fit without it,
// while the pace may drift by a cell of paceCell from turn to turn.
const (
	paceCell  = 0.08 // of log duration
	paceScale = 0.35 // misfit that counts as one; more counts no more
	driftCost = 0.3
	jumpCost  = 2.0
)

// paceEdges returns the turns after which the duration of cycles takes another
// level by a factor of more than 1.6: the path of the log duration with the
// least cost (Viterbi 1967), level but for drifts and jumps, single cycles that
// do not fit left aside.
func paceEdges(turns []float64) []int {
	x := make([]float64, len(turns)-2)
	for i := range x {
		x[i] = math.Log((turns[i+2] - turns[i]) / 2)
	}
	lo, hi := slices.Min(x), slices.Max(x)
	cell := max(paceCell, (hi-lo)/100)
	n := int((hi-lo)/cell) + 2
	cost, next := make([]float64, n), make([]float64, n)
	from := make([]uint8, len(x)*n) // the state before
	for i, v := range x {
		best := 0
		for s := range cost {
			if cost[s] < cost[best] {
				best = s
			}
		}
		for s := range next {
			c, k := cost[s], s
			if s > 0 && cost[s-1]+driftCost < c {
				c, k = cost[s-1]+driftCost, s-1
			}
			if s+1 < n && cost[s+1]+driftCost < c {
				c, k = cost[s+1]+driftCost, s+1
			}
			if cost[best]+jumpCost < c {
				c, k = cost[best]+jumpCost, best
			}
			next[s] = c + min(math.Abs(v-lo-float64(s)*cell)/paceScale, 1)
			from[i*n+s] = uint8(k)
		}
		cost, next = next, cost
	}
	var edges []int
	state := slices.Index(cost, slices.Min(cost))
	for i := len(x) - 1; i > 0; i-- {
		before := int(from[i*n+state])
		// The cycle i-1 ends with turn i+1, which is the first of the new
		// pace or the last of the old one.
		if math.Abs(float64(state-before))*cell > math.Log(1.6) {
			if k := len(edges) - 1; k < 0 || edges[k]-i > leastSwing {
				edges = append(edges, i)
			} else {
				edges[k] = i // one cycle in between
			}
		}
		state = before
	}
	slices.Reverse(edges)
	return edges
}

// judge holds the turns [first, edge] against [edge+1, last].
func (sw *swings) judge(first, edge, last int) (Jump, bool) {
	if edge-first < leastSwing || last-edge-1 < leastSwing {
		return Jump{}, false
	}
	old, young := sw.side(first, edge), sw.side(edge+1, last)
	j := Jump{At: sw.between(max(first, edge-besideEdge), min(last, edge+1+besideEdge), old, young), Factor: over(old.rate, young.rate)}
	slow := old
	if j.Factor.Value > 1 {
		slow = young
	}
	factor, low, _ := j.slower()
	j.Stamps = math.Abs(math.Log(young.step/old.step)-math.Log(j.Factor.Value)) < stampFit
	switch {
	case !(math.Abs(math.Log(young.way/old.way)) < lengthFit), !old.steady, !young.steady:
		return j, false
	case !(slow.moving > leastMove), slow.broken:
		return j, false
	case j.Stamps:
		return j, factor > leastStamp
	}
	return j, factor > leastJump && !(low < 3)
}

// besideEdge is how many strokes an edge found by cycles may be off.
const besideEdge = 4

// between returns the middle of the stroke from first to last before which
// strokes fit the old pace best and after which the young.
func (sw *swings) between(first, last int, old, young side) float64 {
	misfit := func(k int, s side) float64 {
		return min(math.Abs(math.Log((sw.at[k+1]-sw.at[k])*float64(s.rate.Value)))/paceScale, 1)
	}
	cost := 0.0
	for k := first + 1; k < last; k++ {
		cost += misfit(k, young)
	}
	best, at := cost, first
	for k := first + 1; k < last; k++ {
		cost += misfit(k-1, old) - misfit(k, young)
		if cost < best {
			best, at = cost, k
		}
	}
	return (sw.at[at] + sw.at[at+1]) / 2
}

// side is what is known of the strokes on one side of a jump.
type side struct {
	rate   estimate.Value[tempo.NotesPerSecond]
	way    float64 // median length
	step   float64 // median time between samples
	moving float64 // median share of time from 10 to 90 % of the way
	steady bool    // most cycles are alike
	broken bool    // smaller reversals hide within the strokes
}

func (sw *swings) side(first, last int) side {
	s := side{
		rate: tempo.FromTurns(sw.at[first:last+1], tempo.Options{}),
		way:  robust.MedianInPlace(sw.ways(first, last)),
	}
	s.steady = 10*s.rate.N >= 6*(last-first-1)
	from, to := sw.turn[first], sw.turn[last]
	steps := make([]float64, 0, to-from)
	for i := from; i < to; i++ {
		steps = append(steps, sw.t[i+1]-sw.t[i])
	}
	s.step = robust.MedianInPlace(steps)
	small := zigzag(nil, sw.x[from:to+1], sw.h/3)
	s.broken = 2*len(small) > 3*(last-first)
	var moving []float64
	for k := first; k < last; k++ {
		a, b := sw.turn[k], sw.turn[k+1]
		moving = append(moving, (sw.reach(a, b, 0.9)-sw.reach(a, b, 0.1))/(sw.t[b]-sw.t[a]))
	}
	s.moving = robust.MedianInPlace(moving)
	return s
}

// reach returns when the path has gone a share of its way from sample a to b.
func (sw *swings) reach(a, b int, share float64) float64 {
	want := share * (sw.x[b] - sw.x[a])
	up := cmp.Compare(want, 0)
	for i := a + 1; i <= b; i++ {
		if d := sw.x[i] - sw.x[a]; cmp.Compare(d, want) != -up {
			before := sw.x[i-1] - sw.x[a]
			return sw.t[i-1] + (sw.t[i]-sw.t[i-1])*(want-before)/(d-before)
		}
	}
	return sw.t[b]
}

// over returns the ratio of two rates, whose errors are independent, as
// logarithms.
func over(a, b estimate.Value[tempo.NotesPerSecond]) estimate.Value[float64] {
	r := float64(a.Value / b.Value)
	low := math.Hypot(math.Log(float64(a.Value/a.Low)), math.Log(float64(b.High/b.Value)))
	high := math.Hypot(math.Log(float64(a.High/a.Value)), math.Log(float64(b.Value/b.Low)))
	v := estimate.Value[float64]{Value: r, Low: r * math.Exp(-low), High: r * math.Exp(high), Level: min(a.Level, b.Level), N: a.N + b.N}
	if v.Level == 0 {
		v.Low, v.High = nan, nan
	}
	return v
}
