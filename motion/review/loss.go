package review

import "github.com/plectrace/plectrace/variability/robust"

// Loss says what became of the tip's samples, and whether what was lost
// differs from what was kept.
type Loss struct {
	// Samples is the number of samples, Missing those that the source left
	// out, Cut those that cleaning took away.
	Samples, Missing, Cut int
	// LongestGap is the longest time without a sample, in seconds, and
	// LongestGapAt when it begins (see trajectory.Gaps).
	LongestGap, LongestGapAt float64
	// Hidden is the number of strokes with a hidden turn. HiddenDuration and
	// SeenDuration are the median durations of those and of the others, in
	// seconds, NaN where there are fewer than five.
	Hidden                       int
	HiddenDuration, SeenDuration float64
}

// Share returns the share of samples that are missing or were cut.
func (l Loss) Share() float64 {
	if l.Samples == 0 {
		return 0
	}
	return float64(l.Missing+l.Cut) / float64(l.Samples)
}

func (r *Review) loss() {
	l := Loss{Samples: r.Tip.Len()}
	for i := range r.Tip.X {
		switch gone := r.Clean.X[i] != r.Clean.X[i]; {
		case r.Tip.X[i] != r.Tip.X[i]:
			l.Missing++
		case gone:
			l.Cut++
		}
	}
	g := r.Clean.Gaps()
	l.LongestGap, l.LongestGapAt = g.Longest, g.LongestStart
	var duration [2][]float64
	for _, s := range r.Motion.Strokes {
		k := 0
		if s.TurnHidden() {
			k = 1
			l.Hidden++
		}
		duration[k] = append(duration[k], s.Duration())
	}
	centre := func(x []float64) float64 {
		if len(x) < 5 {
			return nan
		}
		return robust.Median(x)
	}
	l.SeenDuration, l.HiddenDuration = centre(duration[0]), centre(duration[1])
	r.Loss = l
}

// medianOf returns the median, NaN for none.
func medianOf(x []float64) float64 {
	if len(x) == 0 {
		return nan
	}
	return robust.Median(x)
}
