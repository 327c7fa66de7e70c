package trajectory

// Gaps tells how much of a path is missing. Its zero value is a path with no
// samples.
type Gaps struct {
	// Samples is the number of samples and Missing how many of them are NaN.
	Samples, Missing int
	// Count is the number of gaps.
	Count int
	// Longest is the longest gap in seconds: from the last sample seen before
	// it to the first seen after it, or to the end of the recording. It is 0
	// when nothing is missing.
	Longest float64
	// LongestStart is the time in seconds at which that gap begins.
	LongestStart float64
}

// Share returns the share of samples that are missing, 0 for no samples.
func (g Gaps) Share() float64 {
	if g.Samples == 0 {
		return 0
	}
	return float64(g.Missing) / float64(g.Samples)
}

// Gaps returns how much of the path is missing.
func (p Path) Gaps() Gaps {
	g := Gaps{Samples: p.Len()}
	last := 0 // end of the run before
	gap := func(start, end int) {
		if start == end {
			return
		}
		g.Count++
		g.Missing += end - start
		from, to := p.T[max(start-1, 0)], p.T[min(end, p.Len()-1)]
		if to-from > g.Longest {
			g.Longest, g.LongestStart = to-from, from
		}
	}
	for start, end := range Runs(p.X, p.Y, p.Z) {
		gap(last, start)
		last = end
	}
	gap(last, p.Len())
	return g
}
