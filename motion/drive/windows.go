package drive

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/robust"
)

// windowStrokes is the number of strokes that are fitted together at most.
const windowStrokes = 8

// minWindowStrokes is the least: below, the fundamental of the cycle is not
// told from a slope.
const minWindowStrokes = 3

// window is a stretch of strokes that follow each other without a pause, a
// hidden stretch or a change of string, strokes[from:to].
type window struct {
	from, to int
	start    float64
	end      float64
}

func (w window) n() int { return w.to - w.from }

// phases is the cycle's phase over a take: 0 where downstrokes begin, turn
// where they end, 2π where upstrokes end.
type phases struct {
	strokes []motion.Stroke
	turn    float64
	windows []window
}

// newPhases cuts the strokes into windows.
func newPhases(strokes []motion.Stroke) *phases {
	c := &phases{strokes: strokes, turn: math.Pi * 2 * downShare(strokes)}
	length := usualLengths(strokes)
	ok := func(i int) bool {
		s := &strokes[i]
		if s.Direction == motion.DirectionUnknown || s.Bridged || !(s.Duration() > 0) {
			return false
		}
		r := s.Seen.Length / length[i]
		return !(r > 1.4 || r < 1/1.4) // true for NaN: nothing speaks against it
	}
	for i := 0; i < len(strokes); {
		if !ok(i) {
			i++
			continue
		}
		j := i + 1
		for j < len(strokes) && ok(j) && strokes[j].Joined && strokes[j].Direction != strokes[j-1].Direction {
			j++
		}
		c.cut(i, j)
		i = j
	}
	return c
}

// cut divides the strokes [from, to) into windows as even as can be.
func (c *phases) cut(from, to int) {
	n := to - from
	if n < minWindowStrokes {
		return
	}
	parts := (n + windowStrokes - 1) / windowStrokes
	for k := range parts {
		a, b := from+k*n/parts, from+(k+1)*n/parts
		c.windows = append(c.windows, window{from: a, to: b, start: c.strokes[a].Start, end: c.strokes[b-1].End})
	}
}

// phase returns the phase at time t of stroke i.
func (c *phases) phase(i int, t float64) float64 {
	s := &c.strokes[i]
	u := (t - s.Start) / s.Duration()
	if s.Direction == motion.Down {
		return u * c.turn
	}
	return c.turn + u*(2*math.Pi-c.turn)
}

// downShare returns the share of a cycle that its downstroke takes, the median
// over the take; a half when it has no cycle.
func downShare(strokes []motion.Stroke) float64 {
	var xs []float64
	for i := 1; i < len(strokes); i++ {
		a, b := &strokes[i-1], &strokes[i]
		if !b.Joined || a.Direction == b.Direction || a.TurnHidden() || b.TurnHidden() {
			continue
		}
		down, up := a.Duration(), b.Duration()
		if b.Direction == motion.Down {
			down, up = up, down
		}
		if sum := down + up; sum > 0 {
			xs = append(xs, down/sum)
		}
	}
	m := robust.Median(xs)
	if math.IsNaN(m) {
		return 0.5
	}
	return min(max(m, 0.25), 0.75)
}

// usualLengths returns for each stroke the median length of those around it.
func usualLengths(strokes []motion.Stroke) []float64 {
	const half = 10
	out := make([]float64, len(strokes))
	var xs []float64
	for i := range strokes {
		xs = xs[:0]
		for j := max(0, i-half); j < min(len(strokes), i+half+1); j++ {
			if l := strokes[j].Seen.Length; l == l {
				xs = append(xs, l)
			}
		}
		out[i] = robust.MedianInPlace(xs)
	}
	return out
}
