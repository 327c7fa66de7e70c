package trajectory

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// usualInterval returns the time in seconds from one frame to the next, NaN
// for fewer than two samples. It is the mean of the intervals that differ from
// their median by less than half of it: so neither lost frames nor times that
// are rounded to few digits shift it.
func usualInterval(t []float64) float64 {
	if len(t) < 2 {
		return math.NaN()
	}
	least, most := math.Inf(1), 0.0
	for i := 1; i < len(t); i++ {
		d := t[i] - t[i-1]
		least, most = min(least, d), max(most, d)
	}
	if most < 1.5*least {
		return (t[len(t)-1] - t[0]) / float64(len(t)-1)
	}
	d := make([]float64, len(t)-1)
	for i := range d {
		d[i] = t[i+1] - t[i]
	}
	median := robust.MedianInPlace(d)
	var sum float64
	var n int
	for _, v := range d {
		if math.Abs(v-median) < median/2 {
			sum += v
			n++
		}
	}
	return sum / float64(n)
}

// clock is the even grid of times that a camera's frames have, some of which
// may be lost. Its zero value is none.
type clock struct {
	start, interval float64
}

// clockOf returns the grid that the times lie on; ok is false if there is
// none.
func clockOf(t []float64) (c clock, ok bool) {
	h := usualInterval(t)
	if !(h > 0) {
		return clock{}, false
	}
	// The ends tell the interval best, once the number of frames is known.
	span := t[len(t)-1] - t[0]
	c = clock{t[0], span / math.Round(span/h)}
	return c, c.holds(t)
}

// holds reports whether the times lie on the grid to a millionth of an
// interval, or to the digits that they are rounded to.
func (c clock) holds(t []float64) bool {
	if c.fits(t, 1e-6*c.interval) {
		return true
	}
	// The first time is rounded too, so a time may be off by a whole digit.
	digit := resolution(t)
	return digit > 0 && digit < 0.6*c.interval && c.fits(t, 1.001*digit)
}

// fits reports whether every time is within tolerance of a frame of its own.
func (c clock) fits(t []float64, tolerance float64) bool {
	last := -1
	for _, v := range t {
		k := c.frame(v)
		if k <= last || math.Abs(c.time(k)-v) > tolerance {
			return false
		}
		last = k
	}
	return true
}

// frame returns the number of the frame nearest to a time.
func (c clock) frame(t float64) int { return int(math.Round((t - c.start) / c.interval)) }

// time returns the time of a frame.
func (c clock) time(frame int) float64 { return c.start + float64(frame)*c.interval }
