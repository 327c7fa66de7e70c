package trajectory

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// pace is what the times of a recording tell of its frames.
type pace struct {
	usual       float64 // interval from one frame to the next, in seconds
	least, most float64 // interval
}

// paceOf returns the pace of the times. The usual interval is the mean of the
// intervals that differ from their median by less than half of it: so neither
// lost frames nor times that are rounded to few digits shift it. It is NaN for
// fewer than two samples.
func (s *scratch) paceOf(t []float64) pace {
	p := pace{usual: math.NaN(), least: math.Inf(1)}
	if len(t) < 2 {
		return p
	}
	last := t[0]
	for _, v := range t[1:] {
		d := v - last
		if d < p.least {
			p.least = d
		}
		if d > p.most {
			p.most = d
		}
		last = v
	}
	if p.most < 1.5*p.least {
		p.usual = (t[len(t)-1] - t[0]) / float64(len(t)-1)
		return p
	}
	s.intervals = resize(s.intervals, len(t)-1)
	d := s.intervals
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
	p.usual = sum / float64(n)
	return p
}

// even reports whether the intervals are equal to a thousandth.
func (p pace) even() bool {
	return p.usual-p.least <= 1e-3*p.usual && p.most-p.usual <= 1e-3*p.usual
}

// clock is the even grid of times that a camera's frames have, some of which
// may be lost. Its zero value is none.
type clock struct {
	start, interval float64
}

// clockOf returns the grid that the times lie on, given their usual interval;
// ok is false if there is none.
func clockOf(t []float64, usual float64) (c clock, ok bool) {
	if !(usual > 0) {
		return clock{}, false
	}
	// The ends tell the interval best, once the number of frames is known.
	span := t[len(t)-1] - t[0]
	c = clock{t[0], span / math.Round(span/usual)}
	return c, c.holds(t)
}

// holds reports whether the times lie on the grid to a millionth of an
// interval, or to the digits that they are rounded to, which are those of a float64
// at the least: a quarter of a microsecond for seconds since 1970.
func (c clock) holds(t []float64) bool {
	digit := 2 * max(ulp(t[0]), ulp(t[len(t)-1]))
	if digit < 0.1*c.interval && c.fits(t, max(1e-6*c.interval, digit)) {
		return true
	}
	// The first time is rounded too, so a time may be off by a whole digit.
	digit = resolution(t)
	return digit > 0 && digit < 0.6*c.interval && c.fits(t, 1.001*digit)
}

// ulp is the distance from |x| to the next number.
func ulp(x float64) float64 {
	x = math.Abs(x)
	return math.Nextafter(x, math.Inf(1)) - x
}

// fits reports whether every time is within tolerance of a frame of its own.
func (c clock) fits(t []float64, tolerance float64) bool {
	last := -1
	near := min(tolerance, surely*c.interval)
	for _, v := range t {
		k := last + 1
		if !(math.Abs(c.time(k)-v) <= near) {
			if k = c.frame(v); k <= last || math.Abs(c.time(k)-v) > tolerance {
				return false
			}
		}
		last = k
	}
	return true
}

// surely is how far a time may be from a frame, in intervals, for that frame
// to be the nearest whatever the rounding.
const surely = 0.499

// frame returns the number of the frame nearest to a time.
func (c clock) frame(t float64) int { return int(math.Round((t - c.start) / c.interval)) }

// next returns what frame does, sooner if it is the frame after last.
func (c clock) next(last int, t float64) int {
	if math.Abs(c.time(last+1)-t) <= surely*c.interval {
		return last + 1
	}
	return c.frame(t)
}

// time returns the time of a frame.
func (c clock) time(frame int) float64 { return c.start + float64(frame)*c.interval }
