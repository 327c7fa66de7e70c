package cycle

import (
	"math"
	"slices"
	"sort"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// lap is one cycle of the run: a downstroke and the upstroke that follows it.
type lap struct {
	start, mid, end float64
	lo, hi          int     // its samples
	t               float64 // their mean time
	segment         int     // laps with no change of string between them
}

func (l lap) duration() float64 { return l.end - l.start }

// run is the samples of a run of strokes, each with its phase.
type run struct {
	axes  []int // of across, along, out: those that the view has
	laps  []lap
	left  int       // laps left out
	share float64   // of the downstroke in the cycle
	cycle float64   // mean duration
	t     []float64 // of the samples that are seen
	at    []int     // their index in the path
	x     [3][]float64
	phase []float64
}

// newRun finds the whole cycles among the strokes and gives the samples their
// phases. Each stroke counts evenly in time: a downstroke from phase 0 to its
// mean share of the cycle, the upstroke from there to 1.
func newRun(p trajectory.Placed, strokes []motion.Stroke) *run {
	r := &run{}
	cols := [3][]float64{p.Across, p.Along, p.Out}
	for a, c := range cols {
		if c != nil {
			r.axes = append(r.axes, a)
		}
	}
	size := usualLength(strokes)
	var laps []lap
	last, segment := math.NaN(), 0
	for i := 0; i+1 < len(strokes); i++ {
		d, u := strokes[i], strokes[i+1]
		if d.Direction != motion.Down || u.Direction != motion.Up || !u.Joined || d.Bridged || u.Bridged {
			continue
		}
		l := lap{start: d.Start, mid: d.End, end: u.End}
		if !(l.start < l.mid && l.mid < l.end) {
			continue
		}
		// A stroke on the way to another string is longer than the others, or
		// shorter: it belongs to no cycle, and the centre is another after it.
		if strange(d, size) || strange(u, size) {
			r.left++
			segment++
			continue
		}
		if l.start-last > 1.5*l.duration() {
			segment++
		}
		last, l.segment = l.end, segment
		laps = append(laps, l)
	}
	if len(laps) == 0 {
		return r
	}
	r.divide(laps)
	k := sort.SearchFloat64s(p.T, laps[0].start)
	most := sort.SearchFloat64s(p.T, laps[len(laps)-1].end) - k
	r.t, r.at, r.phase = make([]float64, 0, most), make([]int, 0, most), make([]float64, 0, most)
	for _, a := range r.axes {
		r.x[a] = make([]float64, 0, most)
	}
	for _, l := range laps {
		for k < len(p.T) && p.T[k] < l.start {
			k++
		}
		l.lo = len(r.t)
		for ; k < len(p.T) && p.T[k] < l.end; k++ {
			if p.Across[k] != p.Across[k] {
				continue
			}
			t := p.T[k]
			r.t, r.at, r.phase = append(r.t, t), append(r.at, k), append(r.phase, r.phaseOf(l, t))
			for _, a := range r.axes {
				r.x[a] = append(r.x[a], cols[a][k])
			}
			l.t += t
		}
		l.hi = len(r.t)
		l.t /= float64(l.hi - l.lo)
		r.laps = append(r.laps, l)
	}
	// A cycle of which little is seen does not show where its centre lies.
	usual := r.samplesPerLap()
	r.drop(func(i int) bool {
		n := r.laps[i].hi - r.laps[i].lo
		return n < 4 || 2*n < usual
	})
	return r
}

// divide finds the mean duration of the laps and the downstroke's share of it.
func (r *run) divide(laps []lap) {
	var down, whole float64
	for _, l := range laps {
		down += l.mid - l.start
		whole += l.duration()
	}
	r.share, r.cycle = down/whole, whole/float64(len(laps))
}

// phaseOf returns the phase of a time about l. It is a little below 0 or above
// 1 for a sample that came to lie outside.
func (r *run) phaseOf(l lap, t float64) float64 {
	if t < l.mid {
		return r.share * (t - l.start) / (l.mid - l.start)
	}
	return r.share + (1-r.share)*(t-l.mid)/(l.end-l.mid)
}

// anchor moves the turns of all laps together, by shares of the cycle, and
// gives the samples new phases.
func (r *run) anchor(first, second float64) {
	for i := range r.laps {
		l := &r.laps[i]
		l.start, l.mid, l.end = l.start+first*r.cycle, l.mid+second*r.cycle, l.end+first*r.cycle
	}
	r.divide(r.laps)
	for _, l := range r.laps {
		for k := l.lo; k < l.hi; k++ {
			r.phase[k] = r.phaseOf(l, r.t[k])
		}
	}
}

// bin returns the bin of a phase.
func bin(phase float64) int {
	return min(int((phase-math.Floor(phase))*phases), phases-1)
}

// samplesPerLap is the median number of samples in a cycle.
func (r *run) samplesPerLap() int {
	if len(r.laps) == 0 {
		return 0
	}
	n := make([]int, len(r.laps))
	for i, l := range r.laps {
		n[i] = l.hi - l.lo
	}
	slices.Sort(n)
	return n[len(n)/2]
}

// drop leaves out the laps of which bad holds. Their samples stay where they
// are, in no lap.
func (r *run) drop(bad func(i int) bool) {
	kept := make([]lap, 0, len(r.laps))
	for i, l := range r.laps {
		if bad(i) {
			r.left++
			continue
		}
		kept = append(kept, l)
	}
	r.laps = kept
}

// usualLength is the median length of the strokes as far as they are seen.
func usualLength(strokes []motion.Stroke) float64 {
	var x []float64
	for _, s := range strokes {
		if l := s.Seen.Length; l == l {
			x = append(x, l)
		}
	}
	if len(x) == 0 {
		return math.NaN()
	}
	return robust.MedianInPlace(x)
}

// stringChange is the ratio of lengths from which on a stroke is taken to lead
// to another string, as in package motion.
const stringChange = 1.5

func strange(s motion.Stroke, usual float64) bool {
	l := s.Seen.Length
	return l > stringChange*usual || l < usual/stringChange // false for NaN
}
