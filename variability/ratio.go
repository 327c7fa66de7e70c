package variability

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat/distuv"
)

// ratio is the ratio of the standard deviations, each window drawn for itself.
func (c *Change) ratio(early, late []float64, noise float64) estimate.Value[float64] {
	const use = "early late ratio"
	// The shorter window is drawn by estimate.Bootstrap, which so judges the
	// number of blocks by it, and the longer one here.
	short, long, sign := offsets(early, c.Early.Mean), offsets(late, c.Late.Mean), 1.0
	if len(late) < len(early) {
		short, long, sign = long, short, -1
	}
	rng := estimate.Stream(c.Options.Seed, use+", longer window")
	other := make([]int, len(long))
	for i := range other {
		other[i] = i
	}
	v := estimate.Bootstrap(len(short), c.Block, func(index []int) float64 {
		log := (logVariance(long, other, noise) - logVariance(short, index, noise)) / 2
		estimate.BlockDraw(other, len(long), c.Block, rng) // for the next time
		return sign * log
	}, estimate.BootstrapOptions{Level: c.Options.Level, Draws: c.Options.Draws, Seed: c.Options.Seed, Use: use})
	if v.Absent != nil {
		code, why := "undefined", "in one window all values are equal"
		if noise > 0 {
			code, why = "noise", "in one window the values scatter no more than the noise given"
		}
		return estimate.Missing[float64](code, "ratio of spreads", why)
	}
	v = reflected(widened(v, float64(len(short))/float64(c.Block)))
	v.Value, v.Low, v.High = math.Exp(v.Value), math.Exp(v.Low), math.Exp(v.High)
	v.N = len(early) + len(late)
	return v
}

func offsets(xs []float64, mean float64) []float64 {
	off := make([]float64, len(xs))
	for i, x := range xs {
		off[i] = x - mean
	}
	return off
}

// logVariance returns the log of the variance of the values drawn from off,
// less that of the noise, and NaN if nothing remains. off has mean zero.
func logVariance(off []float64, index []int, noise float64) float64 {
	var sum, squares float64
	for _, i := range index {
		sum += off[i]
		squares += off[i] * off[i]
	}
	n := float64(len(index))
	v := (squares-sum*sum/n)/(n-1) - noise*noise
	if v <= 0 {
		return math.NaN()
	}
	return math.Log(v)
}

// widened stretches a percentile interval about its value by
//
//	t(blocks-1)/z √(blocks/(blocks-1))
//
// without which it is too short by about one part in the number of blocks
// (Hesterberg 2015, 4.6).
func widened(v estimate.Value[float64], blocks float64) estimate.Value[float64] {
	if v.Level == 0 {
		return v
	}
	p := (1 + v.Level) / 2
	wider := distuv.StudentsT{Sigma: 1, Nu: blocks - 1}.Quantile(p) / distuv.UnitNormal.Quantile(p) *
		math.Sqrt(blocks/(blocks-1))
	v.Low = v.Value - wider*(v.Value-v.Low)
	v.High = v.Value + wider*(v.High-v.Value)
	return v
}

// reflected turns an interval about its value. Samples drawn from the data
// scatter less than the data do, on average by as much as the data scatter less
// than their source, so that the log of a scale wants its percentile interval
// the other way round.
func reflected(v estimate.Value[float64]) estimate.Value[float64] {
	v.Low, v.High = 2*v.Value-v.High, 2*v.Value-v.Low
	return v
}
