package trajectory

import "math"

// edges cuts one or two samples next to a gap, or at an end of the recording,
// that lie farther from the samples on their other side than three times what
// these lie from each other, and than noise explains: there is nothing beyond
// the gap to hold them against.
func (c *cutter) edges(w *walk) {
	for i := range w.at {
		if i == 0 || w.at[i] != w.at[i-1]+1 {
			c.edge(w, i, +1)
		}
		if i == len(w.at)-1 || w.at[i+1] != w.at[i]+1 {
			c.edge(w, i, -1)
		}
	}
}

// edge looks at sample i, which has none before it in direction dir.
func (c *cutter) edge(w *walk, i, dir int) {
	const inner = 4 // distances beyond the one in question
	for _, n := range []int{2, 1} {
		last := i + dir*(n+inner)
		if last < 0 || last >= len(w.at) || (w.at[last]-w.at[i])*dir != n+inner {
			continue
		}
		a := i + dir*(n-1)
		var most float64
		for k := 1; k <= inner; k++ {
			b := a + dir*k
			most = max(most, w.distance(b, b+dir))
		}
		if w.distance(a, a+dir) > 3*most+w.limit*math.Sqrt2*w.noise {
			c.cut(Outlier, min(w.at[i], w.at[a]), max(w.at[i], w.at[a])+1)
			return
		}
	}
}
