package main

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
)

// cycles averages each two lines: down- and upstrokes differ in most players, and that
// difference is no scatter.
func cycles(t, values []float64) (at, means []float64) {
	for i := 0; i+1 < len(values); i += 2 {
		at, means = append(at, t[i]), append(means, (values[i]+values[i+1])/2)
	}
	return at, means
}

// compare holds the first part of a series against its last. Its intervals allow for
// values that are like the ones before them.
func compare(t, values []float64, o variability.EarlyLateOptions) (variability.Change, error) {
	return variability.EarlyLate(t, values, o)
}

// within are the values of a window that are not missing.
func within(t, values []float64, w variability.Window) []float64 {
	var in []float64
	for i, v := range values {
		if t[i] >= w.From && t[i] <= w.To && !math.IsNaN(v) {
			in = append(in, v)
		}
	}
	return in
}

// drawn finds the interval of the difference of the means in another way: both parts
// are put together again and again from blocks of their own, which are as long as the
// likeness of neighbours reaches.
func drawn(early, late []float64) (difference estimate.Value[float64], block int) {
	early0, late0 := estimate.Mean(early, 0).Value, estimate.Mean(late, 0).Value
	var about []float64 // both parts about their own means
	for _, v := range early {
		about = append(about, v-early0)
	}
	for _, v := range late {
		about = append(about, v-late0)
	}
	block = int(math.Ceil(estimate.BlockLength(about)))
	i, j := make([]int, len(early)), make([]int, len(late))
	again := func(rng *rand.Rand) float64 {
		estimate.BlockDraw(i, len(early), block, rng)
		estimate.BlockDraw(j, len(late), block, rng)
		return meanOf(late, j) - meanOf(early, i)
	}
	return estimate.Resample(late0-early0, min(len(early), len(late)), block, again, estimate.BootstrapOptions{Seed: 1, Use: "early and late"}), block
}

// meanOf is the mean of the values at these places.
func meanOf(values []float64, places []int) float64 {
	sum := 0.0
	for _, i := range places {
		sum += values[i]
	}
	return sum / float64(len(places))
}

// beside draws the values of both parts.
func beside(name string, early, late []float64) figure.Figure {
	return figure.EarlyLate{Pairs: []figure.Pair{{Name: name, Early: early, Late: late}}}
}
