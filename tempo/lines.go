package tempo

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
)

// tracked is how many events before one say how late it is to be expected.
const tracked = 7

// ownPeriod returns the interval of a line as the events keep it, near that of
// a metronome: the median over intervals of 1 to 8 lines. It is NaN where fewer
// than half of the intervals are within 35 % of such.
func ownPeriod(events []float64, step float64) float64 {
	var periods []float64
	all := 0
	for i := 1; i < len(events); i++ {
		d := events[i] - events[i-1]
		if !(d > 0) || math.IsInf(d, 0) {
			continue
		}
		all++
		k := max(1, math.Round(d/step))
		if p := d / k; k <= mostLines+1 && p > step/offTempo && p < step*offTempo {
			periods = append(periods, p)
		}
	}
	if 2*len(periods) < all {
		return math.NaN()
	}
	return robust.MedianInPlace(periods)
}

// tracker gives events the numbers of lines a period apart.
type tracker struct {
	period float64
	late   []float64 // of the events of this run, after their lines
	window []float64
	n      numbered
}

// onLines numbers events by the line nearest to each after allowing for how
// late the seven before it were, in the middle. Of two on one line the one
// further from where it was expected is extra. NaN, and more than mostLines
// lines without an event, are breaks.
func onLines(events []float64, period float64) numbered {
	t := tracker{period: period}
	run, origin := -1, 0.0
	open := false // a run is
	for i, at := range events {
		last := len(t.n.at) - 1
		switch {
		case math.IsNaN(at):
			open = false
			continue
		case math.IsInf(at, 0):
			t.extra(i, at)
			continue
		case !open || at-t.n.at[last] > (mostLines+1.5)*period:
			run++
			open = true
			origin = at
			t.late = append(t.late[:0], t.opening(events[i:])) // expected, to begin with
			last = -1
		}
		expected := t.expected()
		line := int(math.Round((at - origin - expected) / period))
		late := at - origin - period*float64(line)
		switch {
		case last < 0 || line > t.n.number[last]:
			t.n.at = append(t.n.at, at)
			t.n.index = append(t.n.index, i)
			t.n.number = append(t.n.number, line)
			t.n.run = append(t.n.run, run)
			t.late = append(t.late, late)
			if last >= 0 && line > t.n.number[last]+1 {
				t.n.repairs = append(t.n.repairs, Repair{t.n.index[last], t.n.at[last], "missed", line - t.n.number[last] - 1})
			}
		case line == t.n.number[last] && at >= t.n.at[last] && math.Abs(late-expected) < math.Abs(t.late[len(t.late)-1]-expected):
			t.extra(t.n.index[last], t.n.at[last])
			t.n.at[last], t.n.index[last] = at, i
			t.late[len(t.late)-1] = late
		default:
			t.extra(i, at)
		}
	}
	return t.n
}

func (t *tracker) extra(index int, at float64) {
	t.n.repairs = append(t.n.repairs, Repair{index, at, "extra", 0})
}

// expected is how late the next event is expected.
func (t *tracker) expected() float64 {
	t.window = append(t.window[:0], t.late[max(0, len(t.late)-tracked):]...)
	return robust.MedianInPlace(t.window)
}

// opening returns how late, after lines through the first of them, the first
// events of a run are: their mean direction on the circle of one interval.
func (t *tracker) opening(events []float64) float64 {
	var angles []circular.Angle
	for _, at := range events {
		if math.IsNaN(at) || len(angles) == tracked {
			break
		}
		angles = append(angles, circular.Angle(2*math.Pi*(at-events[0])/t.period))
	}
	mean := circular.Directional(angles, circular.Options{Level: -1}).Mean
	return mean.Value.Radians() / (2 * math.Pi) * t.period // 0 where there is none
}
