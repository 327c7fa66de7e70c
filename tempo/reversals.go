package tempo

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// reversals returns how often the column that travels furthest reverses, per
// sample that is known. A reversal counts once position has come back by 0.2
// of the travel within windows of that length.
func (p *spectrum) reversals(window int) float64 {
	far, column := -1.0, 0
	for c, y := range p.position {
		if d := p.travel(y, window); d > far {
			far, column = d, c
		}
	}
	return countReversals(p.position[column], 0.2*far)
}

// travel returns the median range of y within windows of that length, NaN if
// it has none.
func (p *spectrum) travel(y []float64, window int) float64 {
	ranges := p.ranges[:0]
	for at := 0; at+window <= len(y); at += window {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range y[at : at+window] {
			if v < lo {
				lo = v
			}
			if v > hi {
				hi = v
			}
		}
		if hi > lo {
			ranges = append(ranges, hi-lo)
		}
	}
	p.ranges = ranges
	return robust.MedianInPlace(ranges)
}

// countReversals returns the number of reversals of more than back, per known
// sample of y.
func countReversals(y []float64, back float64) float64 {
	count, known, way := 0, 0, 0
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range y {
		if math.IsNaN(v) { // start anew after a gap
			way, lo, hi = 0, math.Inf(1), math.Inf(-1)
			continue
		}
		known++
		lo, hi = min(lo, v), max(hi, v)
		switch {
		case way >= 0 && hi-v > back:
			if way > 0 {
				count++
			}
			way, lo = -1, v
		case way <= 0 && v-lo > back:
			if way < 0 {
				count++
			}
			way, hi = 1, v
		}
	}
	return float64(count) / float64(known)
}
