package variability

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/stat/distuv"
)

// ratio is the ratio of the standard deviations, each window drawn for itself.
func (c *Change) ratio(early, late []float64, noise float64) estimate.Value[float64] {
	const use = "early late ratio"
	// The shorter window is drawn with the stream of estimate.Resample, which
	// judges the number of blocks by it, and the longer one with its own.
	short, long, sign := newSample(early, c.Early.Mean, c.Block), newSample(late, c.Late.Mean, c.Block), 1.0
	if len(late) < len(early) {
		short, long, sign = long, short, -1
	}
	log := func(long, short float64) float64 { // of the ratio, from the variances
		return sign * (logLess(long, noise) - logLess(short, noise)) / 2
	}
	other := estimate.Stream(c.Options.Seed, use+", longer window")
	v := estimate.Resample(log(long.variance, short.variance), short.n, c.Block, func(rng *rand.Rand) float64 {
		return log(long.draw(other), short.draw(rng))
	}, estimate.BootstrapOptions{Level: c.Options.Level, Draws: c.Options.Draws, Seed: c.Options.Seed, Use: use})
	if v.Absent != nil {
		code, why := "undefined", "in one window all values are equal"
		if noise > 0 {
			code, why = "noise", "in one window the values scatter no more than the noise given"
		}
		return estimate.Missing[float64](code, "ratio of spreads", why)
	}
	v = reflected(widened(v, float64(short.n)/float64(c.Block)))
	v.Value, v.Low, v.High = math.Exp(v.Value), math.Exp(v.Low), math.Exp(v.High)
	v.N = len(early) + len(late)
	return v
}

// logLess returns the log of a variance less that of the noise, and NaN if
// nothing remains.
func logLess(variance, noise float64) float64 {
	v := variance - noise*noise
	if v <= 0 {
		return math.NaN()
	}
	return math.Log(v)
}

// sample draws from n values in circular blocks, as estimate.BlockDraw does,
// for their variance, which is a matter of sums: those of a block are had from
// where it starts.
type sample struct {
	n, count    int    // count whole blocks
	whole, rest []sums // of the block that starts at each value; rest of a last one, cut to length
	variance    float64
}

// sums are of values less the mean of their window, and of the squares.
type sums struct{ off, square float64 }

func (s *sums) add(t sums) {
	s.off += t.off
	s.square += t.square
}

func newSample(xs []float64, mean float64, block int) *sample {
	one := make([]sums, len(xs))
	for i, x := range xs {
		one[i] = sums{x - mean, (x - mean) * (x - mean)}
	}
	from := func(length int) []sums {
		of := make([]sums, len(one))
		for k := range length {
			for i := range of {
				of[i].add(one[(i+k)%len(one)])
			}
		}
		return of
	}
	s := &sample{n: len(xs), count: len(xs) / block, whole: from(block)}
	if length := len(xs) % block; length > 0 {
		s.rest = from(length)
	}
	var all sums
	for _, v := range one {
		all.add(v)
	}
	s.variance = s.of(all)
	return s
}

// draw returns the variance of one draw.
func (s *sample) draw(rng *rand.Rand) float64 {
	var all sums
	for range s.count {
		all.add(s.whole[rng.IntN(s.n)])
	}
	if s.rest != nil {
		all.add(s.rest[rng.IntN(s.n)])
	}
	return s.of(all)
}

func (s *sample) of(all sums) float64 {
	n := float64(s.n)
	return (all.square - all.off*all.off/n) / (n - 1)
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
