package tempo

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Drift says whether a take slows down or speeds up.
type Drift struct {
	// PerMinute is by how many per cent the rate would change in a minute if it
	// went on so; negative is slowing down.
	PerMinute estimate.Value[float64]
	// Over is the change of the rate over the take along the same line.
	Over estimate.Value[NotesPerSecond]
	// P is the probability of so consistent a rise or fall by chance, for a
	// player of one constant rate.
	P estimate.Value[float64]
	// Blocks is how many blocks of BlockStrokes strokes the line was put
	// through.
	Blocks, BlockStrokes int
	// Options are those in force, defaults filled in.
	Options estimate.BootstrapOptions
}

// Blocks that a line is put through.
const (
	mostBlocks  = 32
	shortBlock  = 4 // strokes
	driftStream = "tempo drift"
	// leastTrend is the time in seconds that strokes have to fill for a P: 12
	// levels that are held for 6 s each, and a little.
	leastTrend = 75
)

// Drift returns the slope of the rate over the take. The logarithms of the
// durations of strokes, less the difference between down- and upstrokes, are
// averaged in blocks of at least four strokes (at most 32 blocks), and a line
// is put through the blocks over time (Theil 1950, Sen 1968).
//
// What the slope may be by chance is simulated: takes of one constant rate,
// with this take's scatter, its memory from stroke to stroke, its slow wander and
// the jitter of its turns, all as uncertain as the take leaves them (see the
// package comment), in the same blocks at the same times. The interval reaches as far
// to both sides as the slopes of these takes do, so that it is at least as wide
// as the take's own slow wandering asks for.
//
// P comes from Kendall's S of the blocks, held against S of the same simulated
// takes; it is never below 1/(draws+1). Blocks are as long as the
// autocorrelation asks for (see [estimate.BlockLength]), and the memory of clock
// and wander, (1+φ)/(1-φ) strokes; where that leaves fewer than
// [estimate.MinBlocks] P is absent, and the line is put through 12 shorter ones.
// P is absent too, with code "too-short", where the strokes fill less than 75
// seconds, 12 times the 6 s for which a player may hold a level: in a take that
// holds but few levels they look like a trend, and nothing in the take tells.
//
// All are absent for fewer than 48 strokes, and where more than a fifth of
// the strokes had to be repaired. Draws of zero mean 499; Use is of no
// importance.
//
// In simulated takes of 100, 300 and 1000 strokes of one rate, with a clock that
// has a correlation of 0, 0.3, 0.6 and 0.9, with and without jitter of the turns
// and a difference between down and up, intervals at 95 % held the truth in 96
// to 99 %, 96 to 98 % and 94 to 97 % of takes, and in up to 99.7 % where jitter
// outweighs the clock in a short take. P was at or below 0.05 in 3 to 7 % of
// takes of 800 and 1000 strokes that had one, 80 and 100 s; all do but those in
// which jitter outweighs the clock, of which a quarter to a half do (250 of each).
//
// Of a rate that changes its level by 3 % every 3 to 9 s, without a trend,
// intervals held the truth in 77, 90, 98 and 98 % of takes of 100, 300, 800 and
// 1000 strokes. P was at or below 0.05 in 4.6 % of the 263 takes of 800 strokes, and
// in 2.8 % of the 471 of 1000, that had one. Where settled and searching spans take
// turns, trust neither the drift of a shorter take nor its interval (600 takes of
// each kind: TestCalibrateDrift and TestCalibrateSpans with -calibrate 600).
func (c Curve) Drift(o estimate.BootstrapOptions) Drift {
	o.Level, o.Draws = orDefault(o.Level, 0.95), int(orDefault(float64(o.Draws), 499))
	d := Drift{Options: o}
	s := c.numbered.strokes()
	if why := tooFew(s); why != nil {
		d.PerMinute = estimate.Value[float64]{Absent: why.of("drift")}
		d.Over = estimate.Value[NotesPerSecond]{Absent: why.of("drift over the take")}
		d.P = estimate.Value[float64]{Absent: why.of("probability of the drift")}
		return d
	}
	y, about := s.logs()
	n := len(y)
	p := newPlayer(about, 2, wanderers)
	need := max(shortBlock, int(math.Ceil(max(p.memory(), estimate.BlockLength(about)))))
	refused := n/need < estimate.MinBlocks
	if refused {
		need = n / estimate.MinBlocks
	}
	d.BlockStrokes = max(need, (n+mostBlocks-1)/mostBlocks)
	d.Blocks = n / d.BlockStrokes
	d.BlockStrokes = n / d.Blocks
	at := make([]float64, d.Blocks)
	values := make([]float64, d.Blocks)
	middles := make([]float64, n)
	for i := range middles {
		middles[i] = s.at[i] + s.d[i]/2
	}
	blockMeans(at, middles)
	blockMeans(values, y)
	line := robust.TheilSen(at, values)
	trend := math.Abs(robust.MannKendall(values).S)

	pairs := newPairwise(at)
	rng := estimate.Stream(o.Seed, driftStream)
	slopes := make([]float64, 0, max(0, o.Draws))
	asMuch := 0
	for range o.Draws {
		p.draw(values, d.BlockStrokes, n-(d.Blocks-1)*d.BlockStrokes, rng)
		slope, s := pairs.trend(values)
		slopes = append(slopes, math.Abs(slope))
		if math.Abs(s) >= trend {
			asMuch++
		}
	}
	first, last := s.at[0], s.at[n-1]+s.d[n-1]
	middle := math.Exp(-line.At((first + last) / 2))
	set := func(slope float64) (perMinute, over float64) {
		half := -slope * (last - first) / 2
		return 100 * math.Expm1(-60*slope), middle * (math.Exp(half) - math.Exp(-half))
	}
	perMinute, over := set(line.Slope)
	nan := math.NaN()
	d.PerMinute = estimate.Value[float64]{Value: perMinute, Low: nan, High: nan, N: n}
	d.Over = estimate.Value[NotesPerSecond]{Value: NotesPerSecond(over), Low: NotesPerSecond(nan), High: NotesPerSecond(nan), N: n}
	if o.Level > 0 && o.Level < 1 && o.Draws > 0 {
		slices.Sort(slopes)
		reach := slopes[min(o.Draws-1, int(math.Ceil(o.Level*float64(o.Draws+1)))-1)]
		low, lowOver := set(line.Slope + reach)
		high, highOver := set(line.Slope - reach)
		d.PerMinute.Low, d.PerMinute.High, d.PerMinute.Level = low, high, o.Level
		d.Over.Low, d.Over.High, d.Over.Level = NotesPerSecond(lowOver), NotesPerSecond(highOver), o.Level
	}
	switch {
	case refused:
		d.P = estimate.Missing[float64]("too-few-blocks", "probability of the drift",
			"the take wanders so slowly that it holds fewer than 12 stretches of its own: take a longer one")
	case floats.Sum(s.d) < leastTrend:
		d.P = estimate.Missing[float64]("too-short", "probability of the drift",
			"in less than 75 seconds a rate that only goes from one level to another looks like a trend: take a longer one")
	case o.Draws > 0:
		d.P = estimate.Value[float64]{Value: float64(1+asMuch) / float64(1+o.Draws), Low: nan, High: nan, N: d.Blocks}
	default:
		d.P = estimate.Missing[float64]("not-asked", "probability of the drift", "no takes were to be simulated")
	}
	return d
}

// blockMeans fills means with those of equal blocks of xs; the last takes what
// is left over.
func blockMeans(means, xs []float64) {
	size := len(xs) / len(means)
	for b := range means {
		from, to := b*size, (b+1)*size
		if b == len(means)-1 {
			to = len(xs)
		}
		var sum float64
		for _, x := range xs[from:to] {
			sum += x
		}
		means[b] = sum / float64(to-from)
	}
}

// pairwise takes slopes of many columns at the same times.
type pairwise struct{ reciprocal, slopes []float64 }

func newPairwise(at []float64) pairwise {
	var p pairwise
	for j := range at {
		for i := range j {
			p.reciprocal = append(p.reciprocal, 1/(at[j]-at[i]))
		}
	}
	p.slopes = make([]float64, len(p.reciprocal))
	return p
}

// trend returns the slope of [robust.TheilSen] and S of [robust.MannKendall].
func (p pairwise) trend(values []float64) (slope, s float64) {
	k := 0
	for j, y := range values {
		for _, x := range values[:j] {
			p.slopes[k] = (y - x) * p.reciprocal[k]
			switch {
			case y > x:
				s++
			case y < x:
				s--
			}
			k++
		}
	}
	return robust.MedianInPlace(p.slopes), s
}

// reason is why something cannot be had, for several of a result.
type reason struct{ code, why string }

func (r reason) of(what string) *estimate.Absence {
	return &estimate.Absence{Code: r.code, What: what, Why: r.why}
}

// tooFew says why strokes tell too little about a player's variability, nil
// if they do.
func tooFew(s strokes) *reason {
	switch {
	case len(s.d) < leastStrokes:
		return &reason{"too-short", "fewer than 48 strokes follow each other: take a longer stretch of playing"}
	case 5*s.repairs() > len(s.d):
		return &reason{"many-repairs", "more than a fifth of the strokes were missed or found twice: look at the tracking of the tip first"}
	}
	return nil
}

// orDefault returns v, or its default if it is zero.
func orDefault(v, byDefault float64) float64 {
	if v == 0 {
		return byDefault
	}
	return v
}
