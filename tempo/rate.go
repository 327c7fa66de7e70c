package tempo

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Options are the settings of [FromTurns] and [FromSpans].
type Options struct {
	// Level of the interval. Zero means 0.95, negative means no interval.
	Level float64
	// Within is the share of the median cycle by which a cycle may differ
	// from it and still count. Zero means 0.25, negative that every cycle
	// counts.
	Within float64
}

// FromTurns returns the rate of a take from the times of its turns, in seconds
// and ascending, one stroke from each to the next. NaN is a break: a pause, or
// a stretch in which turns were not seen; no cycle reaches across it.
//
// The durations of cycles are t(i+2) - t(i), which a difference between down
// and up strokes leaves alone. Their centre is found in two steps: the median,
// and then the mean of the cycles that differ from it by no more than
// Options.Within. For the usual jitter the second is the plain mean, which
// uses all of the data; but a turn that was missed (doubled cycles) or found
// twice (halved ones) has no part in it. The rate is 2/centre. A take that
// changes its rate by more than Options.Within is not described by one rate:
// take it in spans.
//
// Overlapping cycles are anything but independent, and their kind of
// dependence decides how well their mean is known. Turns that jitter about a
// steady pulse leave errors that cancel from cycle to cycle, so that only the
// ends of a run matter; strokes that vary one by one let the pulse wander. The
// variance of the centre is taken as the sum of both parts,
//
//	A/N + 4 b R/N²
//
// for N cycles in R unbroken runs, where b, the variance of the jitter of one
// turn, and A, the long-run variance of the wander, come from the variance of
// the cycles and the power of their lowest cosine components (see
// [estimate.LongRun]), as the two quantities that explain both under the model
// of Wing and Kristofferson (1973). For a perfectly steady pulse, where the ends
// are all there is, the interval is up to twice as wide as need be; it holds
// about its level for anything that wanders. The quantile is Student's, with the
// degrees of freedom of the sum by Satterthwaite's formula.
//
// N is the number of cycles that count. Without any the result is absent. With
// fewer than four, Low and High are NaN and Level is 0. Infinite or descending
// times give meaningless cycles, which the second step drops if they are few.
func FromTurns(turns []float64, o Options) estimate.Value[NotesPerSecond] {
	return FromSpans([][]float64{turns}, o)
}

// FromSpans returns the rate over several spans, each a list of turns as for
// [FromTurns], as if they were one take with breaks between them.
func FromSpans(spans [][]float64, o Options) estimate.Value[NotesPerSecond] {
	durations := make([]float64, 0, total(spans))
	for _, turns := range spans {
		for i := 2; i < len(turns); i++ {
			d := turns[i] - turns[i-2]
			if math.IsNaN(turns[i-1]) || !(d > 0) {
				d = math.NaN()
			}
			durations = append(durations, d)
		}
		durations = append(durations, math.NaN())
	}
	known := slices.DeleteFunc(slices.Clone(durations), math.IsNaN)
	if len(known) == 0 {
		return estimate.Missing[NotesPerSecond]("no-cycles", "rate", "no three turns follow each other without a break")
	}
	within := o.Within
	switch {
	case within == 0:
		within = 0.25
	case within < 0:
		within = math.Inf(1)
	}
	c := inliers(durations, robust.MedianInPlace(known), within)
	v := estimate.Value[NotesPerSecond]{
		Value: NotesPerSecond(perCycle / c.mean),
		Low:   NotesPerSecond(math.NaN()), High: NotesPerSecond(math.NaN()),
		N: len(c.d),
	}
	level := o.Level
	if level == 0 {
		level = 0.95
	}
	if !(level > 0 && level < 1) || v.N < 4 {
		return v
	}
	se, df := c.error()
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + level) / 2)
	if half := t * se; half < c.mean {
		v.Low, v.High = NotesPerSecond(perCycle/(c.mean+half)), NotesPerSecond(perCycle/(c.mean-half))
		v.Level = level
	}
	return v
}

func total(spans [][]float64) int {
	n := len(spans)
	for _, s := range spans {
		n += len(s)
	}
	return n
}

// cycles are the durations that count, in order, their mean, and the number of
// unbroken runs that they come in.
type cycles struct {
	d    []float64
	mean float64
	runs int
}

// inliers keeps the durations within a share of the median m.
func inliers(durations []float64, m, within float64) cycles {
	c := cycles{d: make([]float64, 0, len(durations))}
	broken := true
	var excess float64
	for _, d := range durations {
		if !(math.Abs(d-m) <= within*m) {
			broken = true
			continue
		}
		if broken {
			c.runs++
			broken = false
		}
		c.d = append(c.d, d)
		excess += d - m
	}
	c.mean = m + excess/float64(len(c.d))
	return c
}

// error returns the standard error of the mean cycle and its degrees of
// freedom. With e the jitter of a turn (variance b) and w the variation of a
// stroke (variance a), a cycle is 2T + w + w' + e” - e, so that
//
//	variance      2a + 2b
//	power at ω    a (2 + 2 cos ω) + b (2 - 2 cos 2ω)
//
// The power over the q lowest components, averaged, and the variance give a
// and b. Neither may be negative. In a short series the lowest components are
// not low enough to tell a from b; then all of their power counts as wander,
// and all of the variance as jitter, which errs on the wide side.
func (c cycles) error() (se, df float64) {
	n := float64(len(c.d))
	var variance float64
	for _, d := range c.d {
		variance += (d - c.mean) * (d - c.mean) / (n - 1)
	}
	power, q := estimate.LongRun(c.d)
	var wander, jitter float64 // of the power, per unit of a and of b
	for j := 1; j <= q; j++ {
		w := math.Pi * float64(j) / n
		wander += (2 + 2*math.Cos(w)) / float64(q)
		jitter += (2 - 2*math.Cos(2*w)) / float64(q)
	}
	a, b := power/wander, variance/2
	if 6*q <= len(c.d) {
		a = (2*power - jitter*variance) / (2 * (wander - jitter))
		b -= a
		if b < 0 { // slower than strokes that vary one by one
			a, b = power/wander, 0
		}
		if a < 0 {
			a, b = 0, variance/2
		}
	}
	slow, ends := 4*a/n, 4*b*float64(c.runs)/(n*n)
	sum := slow + ends
	if sum == 0 {
		return 0, 1
	}
	return math.Sqrt(sum), sum * sum / (slow*slow/float64(q) + ends*ends/n)
}
