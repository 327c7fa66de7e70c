package variability

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/stat"
)

// EarlyLateOptions are the settings of [EarlyLate]. The zero value compares
// the last third of the time with the first.
type EarlyLateOptions struct {
	Options
	// Share is the part of the take in each window, up to 1/2. Zero means 1/3.
	Share float64
	// ByCount makes Share a share of the values rather than of the time, so
	// that both windows hold equally many.
	ByCount bool
	// Cycles says that values alternate between downstrokes and upstrokes,
	// missing strokes being NaN, and has each two averaged: first with second,
	// third with fourth and so on. Down and up differ in most players, which
	// would count as scatter and upset the autocorrelation. A cycle with one
	// stroke missing is missing. Noise remains that of one value as given.
	Cycles bool
}

// Window is one end of a take.
type Window struct {
	// From and To are the times of the first and the last value, in seconds.
	From, To float64
	// N is the number of values.
	N int
	// Mean, Median, SD and Robust describe the values as measured, noise
	// included, in their unit; Robust is the scaled median absolute deviation.
	Mean, Median, SD, Robust float64
}

// Change is what [EarlyLate] found.
type Change struct {
	Early, Late Window
	// Difference is the late mean less the early one, in the unit of the
	// values.
	Difference estimate.Value[float64]
	// Ratio is the late standard deviation over the early one: below 1 is
	// steadier.
	Ratio estimate.Value[float64]
	// G and Delta are the difference of the means in standard deviations, see
	// [HedgesG], and the dominance of late values over early ones, see
	// [CliffDelta].
	G, Delta estimate.Value[float64]
	// Scatter tests whether both windows scatter equally.
	Scatter Test
	// Block is the number of values in a block, Blocks the number of whole
	// blocks in the window that has fewer.
	Block, Blocks int
	// Options are the options used, defaults filled in.
	Options EarlyLateOptions
}

// EarlyLate compares the first with the last part of a take: has the centre
// moved, and has the scatter shrunk? times, in seconds, are strictly
// increasing; values belong to them, one per stroke or per cycle.
//
// Strokes close to each other are alike, so that a hundred strokes are not a
// hundred observations. The block length is taken from the autocorrelation of
// the squared deviations, and:
//
//   - Ratio has the interval of a circular block bootstrap of its log, each
//     window drawn for itself. With a Noise the variance of the noise is taken
//     off both; if one window scatters less than the noise there is no ratio.
//   - Difference has a Student interval with the long-run variances of both
//     windows, see [estimate.LongRun], and Welch's degrees of freedom; G the
//     same with its first-order terms.
//   - Delta has the interval of Cliff (1993) with long-run variances of the
//     placements; its bounds are NaN when the windows do not overlap at all.
//   - Scatter has the statistic of [BrownForsythe], and P from a [Permutation]
//     of the deviations from the two medians in blocks, which is the test that
//     goes with it: over permutations the F ratio grows with the difference of
//     the means.
//
// Where a window has fewer than 12 blocks nothing of this stands, and all five
// are absent with code "few-blocks". They describe one take: as evidence about
// the player two takes are two observations.
//
// Drift within a window counts as scatter. Missing values (NaN) are left out,
// and their neighbours joined.
//
// It is an error if a time is not finite or not after the one before, if a
// value is infinite, and if Share is not in (0, 1/2]. It panics if times and
// values differ in length.
func EarlyLate(times, values []float64, o EarlyLateOptions) (Change, error) {
	if len(times) != len(values) {
		panic("variability: times and values differ in length")
	}
	o.Options = o.Options.filled()
	if o.Share == 0 {
		o.Share = 1. / 3
	}
	if !(o.Share > 0 && o.Share <= 0.5) {
		return Change{}, fmt.Errorf("variability: share %v of the take is not above 0 and at most 1/2", o.Share)
	}
	for i, t := range times {
		switch {
		case math.IsNaN(t) || math.IsInf(t, 0):
			return Change{}, fmt.Errorf("variability: time %d is %v", i, t)
		case i > 0 && t <= times[i-1]:
			return Change{}, fmt.Errorf("variability: time %d, %v s, is not after the one before, %v s", i, t, times[i-1])
		case math.IsInf(values[i], 0):
			return Change{}, fmt.Errorf("variability: value %d is %v", i, values[i])
		}
	}
	noise := o.Noise
	if o.Cycles {
		times, values = cycles(times, values)
		noise /= math.Sqrt2
	}
	early, late, c := windows(times, values, o)
	if c.refuse(early, late) {
		return c, nil
	}
	c.compare(early, late, noise)
	return c, nil
}

// cycles averages values two by two.
func cycles(times, values []float64) (t, v []float64) {
	t, v = make([]float64, 0, len(values)/2), make([]float64, 0, len(values)/2)
	for i := 0; i+1 < len(values); i += 2 {
		t = append(t, (times[i]+times[i+1])/2)
		v = append(v, (values[i]+values[i+1])/2)
	}
	return t, v
}

// windows cuts out the values of both ends and describes them.
func windows(times, values []float64, o EarlyLateOptions) (early, late []float64, c Change) {
	c.Options = o
	t, x := make([]float64, 0, len(values)), make([]float64, 0, len(values))
	for i, v := range values {
		if !math.IsNaN(v) {
			t, x = append(t, times[i]), append(x, v)
		}
	}
	n := len(x)
	first, last := 0, n // the early window is x[:first], the late one x[last:]
	switch {
	case n == 0:
	case o.ByCount:
		first = int(o.Share*float64(n) + 1e-9)
		last = n - first
	default:
		span := o.Share * (times[len(times)-1] - times[0])
		for first < n && t[first] < times[0]+span {
			first++
		}
		for last > first && t[last-1] > times[len(times)-1]-span {
			last--
		}
	}
	early, late = x[:first], x[last:]
	c.Early, c.Late = window(t[:first], early), window(t[last:], late)
	return early, late, c
}

func window(t, x []float64) Window {
	w := Window{From: math.NaN(), To: math.NaN(), N: len(x), Median: robust.Median(x), Robust: robust.Scale(x)}
	w.Mean, w.SD = stat.MeanStdDev(x, nil)
	if len(x) > 0 {
		w.From, w.To = t[0], t[len(t)-1]
	}
	return w
}

// refuse sets the block length and reports whether there are too few blocks,
// in which case all comparisons are absent.
func (c *Change) refuse(early, late []float64) bool {
	// Squared deviations in units of their own window, so that a change of
	// scatter does not pass for autocorrelation.
	squares := make([]float64, 0, len(early)+len(late))
	add := func(xs []float64, w Window) {
		for _, x := range xs {
			if w.SD > 0 {
				x = (x - w.Mean) / w.SD
			}
			squares = append(squares, x*x)
		}
	}
	add(early, c.Early)
	add(late, c.Late)
	c.Block = int(math.Ceil(estimate.BlockLength(squares)))
	c.Blocks = min(len(early), len(late)) / c.Block
	if c.Blocks >= estimate.MinBlocks {
		return false
	}
	why := fmt.Sprintf("a window holds %d blocks of %d values, fewer than %d", c.Blocks, c.Block, estimate.MinBlocks)
	absent := func(what string) estimate.Value[float64] {
		return estimate.Missing[float64]("few-blocks", what, why)
	}
	c.Difference = absent("difference of the means")
	c.Ratio = absent("ratio of spreads")
	c.G = absent("standardised difference")
	c.Delta = absent("dominance")
	c.Scatter.Absent = absent("test of equal spread").Absent
	return true
}

// compare fills in all that needs both windows.
func (c *Change) compare(early, late []float64, noise float64) {
	n := len(early) + len(late)
	c.Difference = c.difference(early, late, n)
	c.G = c.standardised(early, late, n)
	c.Delta = c.delta(early, late, n)
	c.Ratio = c.ratio(early, late, noise)
	c.Scatter = Permutation(deviations(early), deviations(late), c.Block, c.Options.Options)
	c.Scatter.Statistic = BrownForsythe(early, late)
	if math.IsNaN(c.Scatter.Statistic) {
		c.Scatter = Test{Absent: &estimate.Absence{Code: "undefined", What: "test of equal spread", Why: "all values lie equally far from their median"}}
	}
}

// difference is the difference of two means with Welch's degrees of freedom.
func (c *Change) difference(early, late []float64, n int) estimate.Value[float64] {
	d := c.Late.Mean - c.Early.Mean
	v := estimate.Value[float64]{Value: d, Low: math.NaN(), High: math.NaN(), N: n}
	if half, ok := c.halfWidth(early, late); ok {
		v.Low, v.High, v.Level = d-half, d+half, c.Options.Level
	}
	return v
}

// standardised is Hedges' g. Its interval is that of a difference of two means,
// those of what each value adds to g to first order.
func (c *Change) standardised(early, late []float64, n int) estimate.Value[float64] {
	g, s := hedges(early, late)
	if math.IsNaN(g) {
		return estimate.Missing[float64]("undefined", "standardised difference", "in both windows all values are equal")
	}
	adds := func(xs []float64, mean, sign float64) []float64 {
		a := make([]float64, len(xs))
		share := float64(len(xs)) / float64(n)
		for i, x := range xs {
			d := (x - mean) / s
			a[i] = sign*d - g/2*share*(d*d-1)
		}
		return a
	}
	v := estimate.Value[float64]{Value: g, Low: math.NaN(), High: math.NaN(), N: n}
	if half, ok := c.halfWidth(adds(early, c.Early.Mean, -1), adds(late, c.Late.Mean, 1)); ok {
		v.Low, v.High, v.Level = g-half, g+half, c.Options.Level
	}
	return v
}

// delta is Cliff's δ with his asymmetric interval, which stays within ±1.
func (c *Change) delta(early, late []float64, n int) estimate.Value[float64] {
	up, down := placements(late, early), placements(early, late)
	d := stat.Mean(up, nil)
	v := estimate.Value[float64]{Value: d, Low: math.NaN(), High: math.NaN(), N: n}
	if half, ok := c.halfWidth(down, up); ok {
		rest := 1 - d*d
		spread := half * math.Hypot(rest, half)
		v.Low, v.High = (d*rest-spread)/(rest+half*half), (d*rest+spread)/(rest+half*half)
		v.Level = c.Options.Level
	}
	return v
}

// halfWidth returns the half width of the Student interval of the difference
// of the means of two series, with the degrees of freedom of Welch and
// Satterthwaite, and false if there is no interval: neither series varies, or
// none is wanted.
func (c *Change) halfWidth(a, b []float64) (float64, bool) {
	va, qa := estimate.LongRun(a)
	vb, qb := estimate.LongRun(b)
	va /= float64(len(a))
	vb /= float64(len(b))
	if !(va+vb > 0) {
		return 0, false
	}
	t, wanted := c.Options.student((va + vb) * (va + vb) / (va*va/float64(qa) + vb*vb/float64(qb)))
	return t * math.Sqrt(va+vb), wanted
}
