package tempo

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
)

// A Repair is a place where the turns do not follow each other one by one.
type Repair struct {
	// Index is that of the turn in the list, At its time in seconds.
	Index int
	At    float64
	// Kind is "missed" where turns are lacking after this one, "extra" where
	// this one is one too many.
	Kind string
	// Missed is how many turns are lacking, 0 for an extra one.
	Missed int
}

// Settings of the count of strokes. The costs are -log odds, in round figures:
// a turn is missed or found twice about once in thirty; the local rate walks by
// 6 % from stroke to stroke once in two, and jumps anywhere once in 400. So a
// single doubled stroke is a missed turn, five in a row are half the rate.
const (
	rateBin    = 0.06 // of log duration
	binCost    = 0.5  // a bin's change of the local rate
	jumpCost   = 6.0  // any change of the local rate
	missedCost = 3.5  // one turn missed
	againCost  = 0.5  // each further one with it
	extraCost  = 3.5  // one turn too many
	pairCost   = 5.5  // two of them together: a short way back
	brokenCost = 9.0  // an interval that no count explains
	mostMissed = 3    // turns missed in a row; more are a break
	mostExtra  = 2    // turns too many in a row
)

// numbered are turns with the numbers of their strokes: number[i+1]-number[i]
// strokes lie between neighbours of one run. Numbers mean nothing across runs.
type numbered struct {
	at      []float64
	index   []int // in the list that they come from
	number  []int
	run     []int
	repairs []Repair
}

// counter finds the numbers.
type counter struct {
	uneven float64 // half the difference of down and up, of log duration
	sd     float64 // of the log duration of a stroke, apart from that
	bins   []float64
	log    [mostMissed + 2]float64
}

// count numbers the turns. NaN is a break, and so is an interval that no count
// of strokes explains. Turns that are not later than the one before, or not
// finite, are extra.
func (c counter) count(turns []float64) numbered {
	var n numbered
	var durations []float64
	for i := 1; i < len(turns); i++ {
		if d := turns[i] - turns[i-1]; d > 0 && !math.IsInf(d, 0) {
			durations = append(durations, d)
		}
	}
	if len(durations) == 0 {
		return n
	}
	c.prepare(durations)
	run := 0
	for from := 0; from < len(turns); {
		to := from
		for to < len(turns) && !math.IsNaN(turns[to]) {
			to++
		}
		if to > from {
			run = c.path(&n, turns, from, to, run) + 1
		}
		from = to + 1
	}
	slices.SortStableFunc(n.repairs, func(a, b Repair) int { return a.Index - b.Index })
	return n
}

// prepare lays the bins of log duration and measures the scatter: neighbours
// differ by down and up and the scatter, next neighbours by the scatter alone.
func (c *counter) prepare(durations []float64) {
	logs := make([]float64, len(durations))
	for i, d := range durations {
		logs[i] = math.Log(d)
	}
	apart := func(by int) float64 {
		var differences []float64
		for i := by; i < len(logs); i++ {
			differences = append(differences, math.Abs(logs[i]-logs[i-by]))
		}
		return robust.MedianInPlace(differences) // NaN if there are none
	}
	one, two := apart(1), apart(2)
	if two == two {
		c.uneven = math.Sqrt(max(0, one*one-two*two)) / 2
	}
	const toSD = 1.4826 / math.Sqrt2
	c.sd = 0.1
	if two*toSD > c.sd {
		c.sd = min(0.25, two*toSD)
	}
	low, high := robust.Quantile(0.02, logs)-0.2, robust.QuantileInPlace(0.98, logs)+0.2
	count := min(100, max(1, int(math.Ceil((high-low)/rateBin))+1))
	for b := range count {
		c.bins = append(c.bins, low+float64(b)*rateBin)
	}
	for k := range c.log {
		c.log[k] = math.Log(float64(k))
	}
}

// step says how the cheapest way comes to a turn: from which one, with how many
// strokes, and from which state.
type step struct {
	from    int32
	strokes int8 // 0 where no count explains the interval
	state   int16
}

// path numbers the turns from up to to by the cheapest way through them, and
// returns the number of the last run. A state is the bin of the rate and
// whether the stroke that begins is one of the longer ones: two for each bin.
func (c *counter) path(n *numbered, turns []float64, from, to, run int) int {
	size, states := to-from, 2*len(c.bins)
	cost := make([]float64, size*states)
	back := make([]step, size*states)
	left := make([]float64, states) // cost of leaving a turn in each state
	state := make([]int16, states)  // and the state that it arrived in
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	for i := range size {
		row := cost[i*states : (i+1)*states]
		if i <= mostExtra {
			for b := range row {
				if start := extras(i); start < row[b] {
					row[b] = start
					back[i*states+b] = step{from: -1}
				}
			}
		}
		leave(row, left, state)
		for j := i + 1; j < min(size, i+2+mostExtra); j++ {
			d := turns[from+j] - turns[from+i]
			if !(d > 0) || math.IsInf(d, 0) || math.IsInf(turns[from+i], 0) {
				continue
			}
			log, skipped := math.Log(d), extras(j-i-1)
			for b := range states {
				e, strokes := c.fit(log, b)
				next := b
				if strokes%2 == 1 {
					next ^= 1
				}
				total := left[b] + e + skipped
				arrive := func(at int) {
					if total < cost[j*states+at] {
						cost[j*states+at] = total
						back[j*states+at] = step{int32(i), int8(strokes), state[b]}
					}
				}
				arrive(next)
				if strokes == 0 { // either stroke may be the first after a break
					arrive(next ^ 1)
				}
			}
		}
	}
	// The last turns may be extra too.
	end, at, best := 0, 0, math.Inf(1)
	for i := max(0, size-1-mostExtra); i < size; i++ {
		for b := range states {
			if total := cost[i*states+b] + extras(size-1-i); total < best {
				end, at, best = i, b, total
			}
		}
	}
	type node struct{ turn, strokes int }
	var nodes []node
	for i := end; i >= 0; {
		s := back[i*states+at]
		nodes = append(nodes, node{i, int(s.strokes)})
		i, at = int(s.from), int(s.state)
	}
	slices.Reverse(nodes)
	number, next := 0, from
	for k, now := range nodes {
		i := from + now.turn
		if k > 0 {
			if now.strokes == 0 {
				run, number = run+1, 0
			} else {
				number += now.strokes
			}
			if now.strokes > 1 {
				last := from + nodes[k-1].turn
				n.repairs = append(n.repairs, Repair{last, turns[last], "missed", now.strokes - 1})
			}
		}
		for ; next < i; next++ {
			n.repairs = append(n.repairs, Repair{next, turns[next], "extra", 0})
		}
		next = i + 1
		n.at = append(n.at, turns[i])
		n.index = append(n.index, i)
		n.number = append(n.number, number)
		n.run = append(n.run, run)
	}
	for ; next < to; next++ {
		n.repairs = append(n.repairs, Repair{next, turns[next], "extra", 0})
	}
	return run
}

// extras is the cost of so many turns too many.
func extras(count int) float64 {
	switch count {
	case 0:
		return 0
	case 1:
		return extraCost
	}
	return pairCost
}

// leave spreads the cost of arriving in each state over those that the rate may
// change to.
func leave(row, left []float64, state []int16) {
	for side := range 2 {
		lowest := side
		for b := side; b < len(row); b += 2 {
			left[b], state[b] = row[b], int16(b)
			if row[b] < row[lowest] {
				lowest = b
			}
		}
		for b := side + 2; b < len(row); b += 2 {
			if c := left[b-2] + binCost; c < left[b] {
				left[b], state[b] = c, state[b-2]
			}
		}
		for b := len(row) - 4 + side; b >= 0; b -= 2 {
			if c := left[b+2] + binCost; c < left[b] {
				left[b], state[b] = c, state[b+2]
			}
		}
		for b := side; b < len(row); b += 2 {
			if c := row[lowest] + jumpCost; c < left[b] {
				left[b], state[b] = c, int16(lowest)
			}
		}
	}
}

// fit returns the cost of an interval of that log duration in a state, and how
// many strokes it holds, 0 where none fits.
func (c *counter) fit(log float64, state int) (cost float64, strokes int) {
	log -= c.bins[state/2]
	side := c.uneven
	if state%2 == 1 {
		side = -side
	}
	cost = brokenCost
	first := 1
	for first <= mostMissed && log > c.log[first+1] {
		first++
	}
	for k := max(1, first-1); k <= min(first+1, mostMissed+1); k++ {
		expected, sd := c.log[k], c.sd
		switch {
		case k == 1:
			expected += side
		case k%2 == 1:
			expected += side / float64(k)
			fallthrough
		default:
			sd = max(0.06, c.sd/math.Sqrt(float64(k)))
		}
		z := (log - expected) / sd
		e := z * z / 2
		if k > 1 {
			e += missedCost + againCost*float64(k-2)
		}
		if e < cost {
			cost, strokes = e, k
		}
	}
	return cost, strokes
}
