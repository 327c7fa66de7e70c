package cycle

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Following says when in a take its motion was that of a reference.
type Following struct {
	// Distances are those of the spans, in their order.
	Distances []Distance
	// First is the start of the first span inside, in seconds, and FirstRate
	// its strokes per second.
	First, FirstRate estimate.Value[float64]
	// Total is the time of all spans inside, Longest that of the longest of
	// them, in seconds. Unsaid is the time of the spans of which nothing can
	// be said: the total is at most Total + Unsaid.
	Total, Longest, Unsaid float64
	// Censored says that the longest span inside lasts to the end of the take,
	// and might have gone on.
	Censored bool
}

// Follow holds the spans of a take against the reference, each by its mean
// cycle, in order of time. end is the time of the take's last stroke. A span
// is inside or outside as a whole; time between spans is neither.
func (r Reference) Follow(spans []Cycle, end float64) Following {
	var f Following
	first := -1
	for i, c := range spans {
		d := r.Distance(c)
		f.Distances = append(f.Distances, d)
		long := c.End - c.Start
		switch d.Answer {
		case Inside:
			if first < 0 {
				first = i
			}
			f.Total += long
			if long >= f.Longest {
				// Within a cycle of the end, which may have come in mid-cycle.
				f.Longest, f.Censored = long, c.End > end-c.Period.Value
			}
		case CannotSay:
			f.Unsaid += long
		}
	}
	if first < 0 {
		why := "no span of this take is inside the margins"
		if f.Unsaid > 0 {
			why = "of no span of this take can it be said that it is inside the margins"
		}
		f.First = estimate.Missing[float64]("none", "first time within the margins", why)
		f.FirstRate = estimate.Missing[float64]("none", "rate when first within the margins", why)
		return f
	}
	c := spans[first]
	nan := math.NaN()
	f.First = estimate.Value[float64]{Value: c.Start, Low: nan, High: nan, N: 1}
	f.FirstRate = c.Rate
	return f
}
