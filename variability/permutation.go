package variability

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/combin"
)

// Test is the outcome of a test, or the reason why there is none.
type Test struct {
	// Statistic is the statistic, P the probability, if all is equal, of one at
	// least as far from that, and Least the smallest P that so many values can
	// give. Of a [Permutation] P is the share of deals.
	Statistic, P, Least float64
	// N is the number of values.
	N      int
	Absent *estimate.Absence
}

// Permutation tests whether two series have the same mean. Each is cut into
// blocks of about the given number of neighbouring values, and the blocks are
// dealt out again, as many to each series as it had; Statistic is the mean of b
// less that of a, and P the share of deals that move the means at least as far
// apart, to either side, measured by the F ratio. With a block of 1 it is the ordinary permutation test
// of two independent samples (Efron and Tibshirani 1993, ch. 15); what makes it
// bear autocorrelation is that a block stays whole.
//
// With a block of [estimate.BlockLength] it rejects more often than it says where
// neighbours are much alike: at 0.05, of two series of 500 values 4 to 8 % for a
// lag-1 autocorrelation of 0 to 0.9; of 150 values 5 to 8 % up to 0.6 and 14 % at
// 0.9; of 50 values 5, 8, 12 and 33 % at 0, 0.3, 0.6 and 0.9. [EarlyLate] does
// better there.
//
// If there are no more than o.Draws+1 deals all are tried; otherwise o.Draws
// are drawn, and the series as they are count as one more. Either way P is
// never below one over the number tried. o.Noise has no part in it.
//
// Missing values (NaN) are left out, their neighbours joined. With fewer than
// [estimate.MinBlocks] blocks in all, or no block on one side, the test is
// absent, with code "few-blocks". A block below 1 counts as 1.
func Permutation(a, b []float64, block int, o Options) Test {
	a, b = present(a), present(b)
	block = max(1, block)
	ka, kb := len(a)/block, len(b)/block
	if min(ka, kb) == 0 || ka+kb < estimate.MinBlocks {
		return Test{Absent: &estimate.Absence{
			Code: "few-blocks", What: "permutation test",
			Why: fmt.Sprintf("there are %d and %d blocks of %d values, fewer than %d", ka, kb, block, estimate.MinBlocks),
		}}
	}
	t := Test{Statistic: stat.Mean(b, nil) - stat.Mean(a, nil), N: len(a) + len(b)}
	t.P, t.Least = deal(a, b, block, o.filled())
	return t
}

// deal returns the share p of the ways to deal the blocks of a and b out again
// that move the means at least as far apart as they are, and the smallest share
// that could come out. Blocks differ in size by one at most.
func deal(a, b []float64, block int, o Options) (p, least float64) {
	mean := (floats.Sum(a) + floats.Sum(b)) / float64(len(a)+len(b))
	most := (len(a) + len(b)) / block
	sums, sizes := make([]float64, 0, most), make([]float64, 0, most) // of the blocks; sums are about the mean
	cut := func(z []float64) (blocks int) {
		blocks = len(z) / block
		for i := range blocks {
			part := z[i*len(z)/blocks : (i+1)*len(z)/blocks]
			sums = append(sums, floats.Sum(part)-mean*float64(len(part)))
			sizes = append(sizes, float64(len(part)))
		}
		return blocks
	}
	k := cut(a)
	cut(b)
	size := floats.Sum(sizes)
	// apart is the square root of the sum of squares between the sides, but for
	// a factor: the F ratio grows with it, the total being the same.
	apart := func(side []int) float64 {
		var s, n float64
		for _, i := range side {
			s += sums[i]
			n += sizes[i]
		}
		return math.Abs(s) / math.Sqrt(n*(size-n))
	}
	side := make([]int, k)
	for i := range side {
		side[i] = i
	}
	found := apart(side) * (1 - 1e-9) // ties, whatever the order of summation

	ways := combin.GeneralizedBinomial(float64(len(sums)), float64(k))
	var hits, tried float64
	if ways < float64(o.Draws)+1.5 {
		for g := combin.NewCombinationGenerator(len(sums), k); g.Next(); tried++ {
			if apart(g.Combination(side)) >= found {
				hits++
			}
		}
		return hits / tried, 1 / tried
	}
	rng := estimate.Stream(o.Seed, "permutation")
	order := make([]int, len(sums))
	for i := range order {
		order[i] = i
	}
	hits, tried = 1, 1
	for range o.Draws {
		for i := range k { // a partial shuffle
			j := i + rng.IntN(len(order)-i)
			order[i], order[j] = order[j], order[i]
		}
		if apart(order[:k]) >= found {
			hits++
		}
		tried++
	}
	return hits / tried, 1 / tried
}
