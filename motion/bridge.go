package motion

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
)

// Steadiness that bridging by count asks of the strokes around a gap: their
// durations, and the mean duration across the gap, within this share of the
// local median. Directions alternate, so that the count can only be wrong by
// two: with four strokes hidden, by half.
const (
	bridgeScatter = 0.3
	bridgeFit     = 0.25
	bridgeBeside  = 3 // strokes looked at on each side
)

// bridge counts the strokes through gaps that are too long to interpolate but
// no longer than o.MaxBridge strokes: where the playing on both sides is
// steady, only one number of strokes fits the time, the directions on both
// sides and the local rate. The turns inside are spaced evenly and marked as
// hidden. Nothing is bridged where the tip is seen at rest, or for longer than
// partial strokes beside the gap can explain.
func (sh *shaper) bridge(s []Stroke, o Options, m *pools) []Stroke {
	if o.MaxBridge <= 0 || len(s) < 2*bridgeBeside {
		return s
	}
	hidden, total := m.ints.take(len(s)), 0 // before each stroke
	for i := 1; i < len(s); i++ {
		if !s[i].Joined {
			hidden[i] = sh.countBetween(s, i, o)
			total += hidden[i]
		}
	}
	if total == 0 {
		return s
	}
	// From the last stroke on, each moves to behind what comes before it.
	n := len(s)
	s = slices.Grow(s, total)[:n+total]
	for i, to := n-1, n+total-1; i >= 0; i-- {
		s[to] = s[i]
		to--
		if k := hidden[i]; k > 0 {
			s[to+1].Joined = true
			between(s[to+1-k:to+1], s[i-1], s[to+1])
			to -= k
		}
	}
	return s
}

// countBetween returns how many strokes lie hidden between strokes i-1 and i,
// 0 when that cannot be told.
func (sh *shaper) countBetween(s []Stroke, i int, o Options) int {
	if i < bridgeBeside || i+bridgeBeside > len(s) {
		return 0
	}
	var near [2 * bridgeBeside]float64
	for k := range near {
		near[k] = s[i-bridgeBeside+k].Duration()
	}
	sorted := near
	typical := robust.MedianInPlace(sorted[:])
	for _, d := range near {
		if math.Abs(d/typical-1) > bridgeScatter {
			return 0
		}
	}
	from, to := s[i-1].End, s[i].Start
	seen := 0.0 // time in which the tip is seen
	for k := sh.after(from); k+1 < len(sh.t) && sh.t[k+1] <= to; k++ {
		if d := sh.t[k+1] - sh.t[k]; d < 2.5*sh.step {
			seen += d
		}
	}
	if hidden := to - from - seen; hidden > o.MaxBridge*typical || seen > 1.9*typical {
		return 0
	}
	n := int(math.Round((to - from) / typical))
	if odd := s[i-1].Direction == s[i].Direction; (n%2 == 1) != odd {
		// The nearest number of the right parity.
		if float64(n)*typical < to-from {
			n++
		} else {
			n--
		}
	}
	if n < 1 || math.Abs((to-from)/(float64(n)*typical)-1) > bridgeFit {
		return 0
	}
	return n
}

// between makes out strokes evenly spaced from the end of a to the start of b.
func between(out []Stroke, a, b Stroke) {
	n := len(out)
	d := (b.Start - a.End) / float64(n)
	dir := a.Direction
	for k := range out {
		dir = dir.opposite()
		out[k] = unmeasured()
		st := &out[k]
		st.Direction, st.Joined, st.Bridged = dir, true, true
		st.Start, st.End = a.End+float64(k)*d, a.End+float64(k+1)*d
		st.StartHidden, st.EndHidden = k > 0 || a.EndHidden, k < n-1 || b.StartHidden
	}
	out[n-1].End = b.Start
}
