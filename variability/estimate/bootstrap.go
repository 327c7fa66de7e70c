package estimate

import (
	"math"
	"math/rand/v2"
	"slices"
)

// BootstrapOptions are the settings of [Bootstrap] and [Resample].
type BootstrapOptions struct {
	// Level of the interval. Zero means 0.95.
	Level float64
	// Draws is the number of samples drawn. Zero means 999, so that the
	// bounds of a 0.95 interval are the 25th and the 975th of them.
	Draws int
	// Seed starts the stream of random numbers, see [Stream].
	Seed uint64
	// Use names the stream. Statistics of one review take different names.
	Use string
}

// MinBlocks is the number of blocks below which [Bootstrap] gives no interval.
const MinBlocks = 12

// Bootstrap returns a statistic of n observations in time order with its
// percentile interval from a circular block bootstrap. stat is called with
// indices into the observations: first 0 … n-1 for the value itself, then one
// draw after another with blocks of that length, see [BlockLength] and
// [BlockDraw]. It must not keep the slice. For the interval see [Resample].
//
// n = 0, or NaN as the value itself, is absent.
func Bootstrap(n, block int, stat func(index []int) float64, o BootstrapOptions) Value[float64] {
	if n <= 0 {
		return nothing("statistic")
	}
	index := make([]int, n)
	for i := range index {
		index[i] = i
	}
	return Resample(stat(index), n, block, func(rng *rand.Rand) float64 {
		return stat(BlockDraw(index, n, block, rng))
	}, o)
}

// Resample returns the value of a statistic of n observations with the
// percentile interval of draw, which is called once for each draw and returns
// the statistic of observations drawn with rng in blocks of that length. It is
// for statistics that have a shorter way to that than the indices of
// [Bootstrap].
//
// The bounds are the order statistics (draws+1)(1±level)/2 of the draws. Draws
// that are NaN are left out; if more than one in twenty are, there is no
// interval. A series of fewer than [MinBlocks] blocks does not bear
// resampling: the bounds are NaN then and Level is 0. NaN as the value itself
// is absent.
func Resample(value float64, n, block int, draw func(rng *rand.Rand) float64, o BootstrapOptions) Value[float64] {
	v := pointOnly(value, n)
	if math.IsNaN(value) {
		return Missing[float64]("undefined", "statistic", "it is not defined on these observations")
	}
	level, wanted := confidence(o.Level)
	if !wanted || n/max(1, block) < MinBlocks {
		return v
	}
	draws := o.Draws
	if draws <= 0 {
		draws = 999
	}
	rng := Stream(o.Seed, o.Use)
	got := make([]float64, 0, draws)
	for range draws {
		if x := draw(rng); !math.IsNaN(x) {
			got = append(got, x)
		}
	}
	if 20*len(got) < 19*draws {
		return v
	}
	k := int(math.Floor(float64(len(got)+1)*(1-level)/2 + 1e-9))
	if k < 1 {
		return v
	}
	slices.Sort(got)
	v.Low, v.High, v.Level = got[k-1], got[len(got)-k], level
	return v
}
