package contact

import (
	"fmt"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Levels is the evenness of the attack in decibels: how the levels of the
// strokes' onsets spread.
type Levels struct {
	// Spread is the robust standard deviation of the levels of all strokes.
	Spread estimate.Value[float64]
	// Down and Up are the median levels of downstrokes and upstrokes,
	// DownSpread and UpSpread their spreads.
	Down, Up, DownSpread, UpSpread estimate.Value[float64]
	// Difference is the median over neighbouring strokes of the downstroke's
	// level less the upstroke's; a level that changes over the take does not
	// count in it.
	Difference estimate.Value[float64]
}

// Levels returns the evenness of the attack, from the levels of the onsets that
// are paired with strokes.
func (m *Match) Levels() Levels {
	var all, diff []float64
	var by [3][]float64
	last := -1
	for i, v := range m.levels {
		if v != v {
			continue
		}
		d := m.directions[i]
		all, by[d] = append(all, v), append(by[d], v)
		if last == i-1 && i > 0 && m.directions[last] != d {
			down := v - m.levels[last]
			if d == motion.Up {
				down = -down
			}
			// Each downstroke against the upstrokes on both sides: taken
			// from one level to the next, a steady change cancels.
			diff = append(diff, down)
		}
		last = i
	}
	missing := func(what string, n, least int) estimate.Value[float64] {
		switch {
		case m.Absent != nil:
			return estimate.Missing[float64](m.Absent.Code, what, m.Absent.Why)
		case n == 0:
			return estimate.Missing[float64]("no levels", what, "the list of onsets has no levels")
		}
		return estimate.Missing[float64]("too few", what, fmt.Sprintf("%d strokes have a level; this needs %d", n, least))
	}
	spreadOf := func(what string, x []float64) estimate.Value[float64] {
		if len(x) < leastStrokes || m.Absent != nil {
			return missing(what, len(x), leastStrokes)
		}
		return spread(x, 0)
	}
	medianOf := func(what string, x []float64) estimate.Value[float64] {
		if len(x) == 0 || m.Absent != nil {
			return missing(what, len(x), 1)
		}
		return estimate.SeriesMedian(x, 0.95)
	}
	return Levels{
		Spread:     spreadOf("spread of the level", all),
		Down:       medianOf("level of downstrokes", by[motion.Down]),
		Up:         medianOf("level of upstrokes", by[motion.Up]),
		DownSpread: spreadOf("spread of the level of downstrokes", by[motion.Down]),
		UpSpread:   spreadOf("spread of the level of upstrokes", by[motion.Up]),
		Difference: medianOf("level of downstrokes over upstrokes", diff),
	}
}

// Agreement holds what the film says of each stroke against what the sound says.
type Agreement struct {
	// Both reached a string and sounded, Neither did neither.
	Both, Neither int
	// Ghosted are the strokes that reached a string and did not sound.
	Ghosted []int
	// SoundOnly are those that sounded and by the film reached no string.
	SoundOnly []int
	// Unknown is the number of strokes of which the film or the sound does
	// not say.
	Unknown int
}

// Agreement compares reached with struck. c and m are of the same strokes.
func (m *Match) Agreement(c *Contacts) Agreement {
	if len(c.Strokes) != len(m.Struck) {
		panic("contact: contacts of other strokes")
	}
	var a Agreement
	for i, struck := range m.Struck {
		switch reached := c.Strokes[i].Reached; {
		case struck == Unknown || reached == Unknown:
			a.Unknown++
		case struck == Yes && reached == Yes:
			a.Both++
		case struck == No && reached == No:
			a.Neither++
		case reached == Yes:
			a.Ghosted = append(a.Ghosted, i)
		default:
			a.SoundOnly = append(a.SoundOnly, i)
		}
	}
	return a
}
