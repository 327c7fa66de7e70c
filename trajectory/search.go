package trajectory

import (
	"math"
	"slices"
)

// span is a range of samples of a walk to cut, [start, end).
type span struct {
	rule       Rule
	start, end int
}

// search returns the cuts that the steps ask for, in order.
func (w *walk) search(maxElsewhere int) []span {
	clusters := w.findClusters()
	// Where much is wrong, only the cheap searches are worth their time.
	deep := len(clusters) < len(w.at)/20+4
	cuts := w.cuts[:0]
	for i := 0; i < len(clusters); i++ {
		c := &clusters[i]
		if s, j := w.stop(clusters, i, maxElsewhere); j > i {
			cuts = append(cuts, s)
			i = j
			continue
		}
		if j := w.back(clusters, i, maxElsewhere); j > i {
			cuts = append(cuts, span{Elsewhere, c.low + 1, clusters[j].high + 1})
			i = j
			continue
		}
		cuts = w.outliers(cuts, c, maxElsewhere, deep)
	}
	w.cuts = cuts
	slices.SortFunc(cuts, func(a, b span) int { return a.start - b.start })
	kept := cuts[:0]
	for _, s := range cuts {
		if n := len(kept); n > 0 && s.start < kept[n-1].end {
			kept[n-1].end = max(kept[n-1].end, s.end)
			continue
		}
		kept = append(kept, s)
	}
	return kept
}

// stop returns the samples from cluster i to a later one at which the point
// does not move though it does before and after, and that cluster: there the
// tracker sat on something fixed. It returns i if there is none.
func (w *walk) stop(clusters []cluster, i, maxElsewhere int) (span, int) {
	reach := w.limit * math.Sqrt2 * w.noise
	from := clusters[i].peak + 2
	for j := i + 1; j < len(clusters); j++ {
		to := clusters[j].peak
		if w.at[to]-w.at[from-1] > maxElsewhere {
			break
		}
		if to-from < 3 || clusters[i].lone && clusters[j].lone {
			continue
		}
		place, spread := w.spread(from, to)
		if spread > reach {
			break // it moves: so it does over any longer range
		}
		start, end := from, to
		for start > 0 && start > from-4 && w.off(start-1, place) <= reach {
			start--
		}
		for end < len(w.at) && end < to+4 && w.off(end, place) <= reach {
			end++
		}
		n := end - start
		if start < max(n, 3) || end+max(n, 3) > len(w.at) {
			continue
		}
		// It is somewhere else, and not at a turn between two outliers.
		if max(w.off(start-2, place), w.off(start-3, place)) <= reach || max(w.off(end+1, place), w.off(end+2, place)) <= reach {
			continue
		}
		_, before := w.spread(start-n, start)
		_, after := w.spread(end, end+n)
		if spread < 0.35*(before+after)/2 {
			return span{Elsewhere, min(start, clusters[i].peak+1), max(end, clusters[j].peak+1)}, j
		}
	}
	return span{}, i
}

// back returns which later cluster undoes the step of cluster i: the first
// step against its direction that comes soon enough, unless that one is undone
// far better by the next. It returns i if there is none.
func (w *walk) back(clusters []cluster, i, maxElsewhere int) int {
	j := w.against(clusters, i, maxElsewhere)
	if j == i {
		return i
	}
	if k := w.against(clusters, j, maxElsewhere); k > j && 2*leftOver(&clusters[j], &clusters[k]) < leftOver(&clusters[i], &clusters[j]) {
		return i
	}
	return j
}

// against returns the first cluster soon after i whose step is against that of
// i, or i.
func (w *walk) against(clusters []cluster, i, maxElsewhere int) int {
	if !clusters[i].stepLike {
		return i
	}
	for j := i + 1; j < len(clusters); j++ {
		if w.at[clusters[j].best]-w.at[clusters[i].best] > maxElsewhere {
			break
		}
		if clusters[j].stepLike && dot(clusters[i].jump, clusters[j].jump) < 0 {
			return j
		}
	}
	return i
}

// leftOver is the share of two steps that stays when one follows the other: 0
// when the second undoes the first.
func leftOver(a, b *cluster) float64 {
	var sum [3]float64
	for k := range sum {
		sum[k] = a.jump[k] + b.jump[k]
	}
	return norm(sum) / (norm(a.jump) + norm(b.jump))
}

const (
	// maxSuspects is the largest number of samples of which pairs and triples
	// are tried.
	maxSuspects = 12
	// maxOutlier is the longest run of samples that counts as an outlier;
	// longer ones were elsewhere.
	maxOutlier = 3
	// maxBlock is the longest run of samples that is tried as one event.
	maxBlock = 8
	// maxGreedy is the largest number of samples cut one by one.
	maxGreedy = 6
)

// outliers appends to cuts the fewest samples about a cluster without which no step
// there is beyond what is allowed, none if there are no such. A step that is
// clearly one, and that nothing undoes, stays: only a few samples are tried.
// Unless deep, only single samples are.
func (w *walk) outliers(cuts []span, c *cluster, maxElsewhere int, deep bool) []span {
	from, to := w.suspects(c)
	to = min(to, from+maxSuspects)
	var best []int
	least := math.Inf(1)
	try := func(cut ...int) {
		if excess, rest := w.strain(c, 0, cut...); excess == 0 && rest < least {
			best, least = append(w.best[:0], cut...), rest
		}
	}
	for i := from; i < to; i++ {
		try(i)
	}
	for i := from; i < to && best == nil && deep; i++ {
		for j := i + 1; j < to; j++ {
			try(i, j)
		}
	}
	for i := from; i < to && best == nil && deep; i++ {
		for j := i + 1; j < to; j++ {
			for k := j + 1; k < to; k++ {
				try(i, j, k)
			}
		}
	}
	shallow := !deep || c.stepLike && c.clear
	var array [maxBlock]int
	for n := maxOutlier + 1; n <= min(maxBlock, maxElsewhere) && best == nil && !shallow; n++ {
		for i := from; i+n <= to; i++ {
			for k := range n {
				array[k] = i + k
			}
			try(array[:n]...)
		}
	}
	if best == nil && !shallow {
		best = w.greedy(c)
	}
	own := len(cuts)
	for _, i := range best {
		if n := len(cuts); n > own && cuts[n-1].end == i {
			cuts[n-1].end++
		} else {
			cuts = append(cuts, span{Outlier, i, i + 1})
		}
	}
	kept := cuts[:own]
	for _, s := range cuts[own:] {
		n := s.end - s.start
		if n > maxOutlier {
			s.rule = Elsewhere
		}
		if n <= max(maxOutlier, maxElsewhere) {
			kept = append(kept, s)
		}
	}
	return kept
}

// greedy returns samples about the cluster, each taken out because that leaves
// the least beyond what is allowed, until nothing is. It returns nil if too
// many would have to go.
func (w *walk) greedy(c *cluster) []int {
	from, to := w.suspects(c)
	cut := w.taken[:0]
	for range maxGreedy {
		at, least := -1, math.Inf(1)
		for i := from; i < to; i++ {
			if slices.Contains(cut, i) {
				continue
			}
			if excess, _ := w.strain(c, least, append(cut, i)...); excess < least {
				at, least = i, excess
			}
		}
		if at < 0 {
			return nil
		}
		cut = append(cut, at)
		if least == 0 {
			slices.Sort(cut)
			return cut
		}
	}
	return nil
}

// strain returns how much the steps about the cluster are beyond what is
// allowed without the cut samples, in shares of it and summed over boundaries,
// and the sum of the squares of the steps over their gains. It gives up, with
// part of the sums, once the first is more than most.
func (w *walk) strain(c *cluster, most float64, cut ...int) (excess, squares float64) {
	list, _ := w.window(c.first, c.last)
	kept := list[:0]
	for _, i := range list {
		if !slices.Contains(cut, i) {
			kept = append(kept, i)
		}
	}
	for k := 2; k+3 < len(kept) && excess <= most; k++ {
		if kept[k] < c.from || kept[k] > c.to {
			continue
		}
		s := stencilAt(w.times(kept, k))
		v := norm(w.stepIn(&s, kept, k))
		excess += w.excess(v, &s, kept, k)
		squares += v * v / (s.gain * s.gain)
	}
	return excess, squares
}
