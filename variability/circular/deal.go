package circular

import (
	"math"

	"gonum.org/v1/gonum/stat/combin"

	"github.com/plectrace/plectrace/variability/estimate"
)

// span is a block: the values from to to of a group, to not included.
type span struct{ group, from, to int }

// deal deals the blocks of several series out again, as many to each as it had.
// Blocks hold neighbouring values and differ in size by one at most.
type deal struct {
	counts []int // blocks of each group
	blocks []span
	o      Options
}

// newDeal cuts groups of the given lengths into blocks of about o.Block.
func newDeal(lengths []int, what string, o Options) (*deal, *Test) {
	independent := !o.Series && o.Block == 1
	fewest := 8 // in a group: its scatter is had from its blocks
	if independent {
		fewest = 4
	}
	d := &deal{o: o}
	total, small := 0, math.MaxInt
	for _, n := range lengths {
		total += n / o.Block
		small = min(small, n/o.Block)
	}
	if small < fewest || total < estimate.MinBlocks && !independent {
		t := o.refused("few-blocks", what, "there are %d blocks of %d angles, %d in the smallest group, and it takes %d and %d",
			total, o.Block, small, estimate.MinBlocks, fewest)
		return nil, &t
	}
	for j, n := range lengths {
		count := n / o.Block
		for i := range count {
			d.blocks = append(d.blocks, span{j, i * n / count, (i + 1) * n / count})
		}
		d.counts = append(d.counts, count)
	}
	return d, nil
}

// p returns the share of the deals for which the statistic is at least as large
// as it is, and the smallest share that could come out. statistic gets the
// indices of the blocks of each group.
func (d *deal) p(use string, statistic func(groups [][]int) float64) (p, least float64) {
	total := len(d.blocks)
	order := make([]int, total)
	for i := range order {
		order[i] = i
	}
	groups, at, ways := make([][]int, len(d.counts)), 0, 1.0
	for j, c := range d.counts {
		groups[j] = order[at : at+c]
		ways *= combin.GeneralizedBinomial(float64(total-at), float64(c))
		at += c
	}
	found := statistic(groups)
	found -= 1e-9 * math.Abs(found) // ties, whatever the order of summation

	var hits, tried float64
	if len(d.counts) == 2 && ways < float64(d.o.Draws)+1.5 {
		chosen := make([]bool, total)
		for g := combin.NewCombinationGenerator(total, d.counts[0]); g.Next(); tried++ {
			clear(chosen)
			for _, b := range g.Combination(groups[0]) {
				chosen[b] = true
			}
			rest := groups[1][:0]
			for b, in := range chosen {
				if !in {
					rest = append(rest, b)
				}
			}
			if statistic(groups) >= found {
				hits++
			}
		}
		return hits / tried, 1 / tried
	}
	rng := estimate.Stream(d.o.Seed, use)
	hits, tried = 1, 1
	for range d.o.Draws {
		rng.Shuffle(total, func(i, j int) { order[i], order[j] = order[j], order[i] })
		if statistic(groups) >= found {
			hits++
		}
		tried++
	}
	least = max(1/tried, 1/ways)
	return max(hits/tried, least), least
}
