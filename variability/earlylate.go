package variability

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
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
	// Seconds is the length of each window, Count the number of values in it,
	// before Cycles averages them. Either takes the place of Share; zero or
	// less means not given.
	Seconds float64
	Count   int
	// Tail is the time before the last stroke that belongs to no window, in
	// seconds: players look up, and reach for the camera. Zero means 1 s, but no
	// more than a tenth of the take; negative means none.
	Tail float64
	// Changes are the times at which settled and searching spans begin or end.
	// A window that holds one is warned of.
	Changes []float64
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
	// N is the number of values, Effective about how many independent ones
	// would fix the mean as well, n (1-r)/(1+r) with r the lag-1
	// autocorrelation without its bias; NaN below 15 values.
	N         int
	Effective float64
	// Mean, Median, SD and Robust describe the values as measured, noise
	// included, in their unit; Robust is the scaled median absolute deviation.
	Mean, Median, SD, Robust float64
	// Changes are the times within at which a span begins or ends.
	Changes []float64
}

// Change is what [EarlyLate] found.
type Change struct {
	Early, Late Window
	// Tail is the time before the last stroke that was left out, in seconds.
	Tail float64
	// Difference is the late mean less the early one, Trimmed that of the
	// means without the lowest and the highest fifth of the values; in their
	// unit.
	Difference, Trimmed estimate.Value[float64]
	// Ratio is the late standard deviation over the early one: below 1 is
	// steadier. RobustRatio is that of the scaled median absolute deviations,
	// which single wild values hardly move.
	Ratio, RobustRatio estimate.Value[float64]
	// G and Delta are the difference of the means in standard deviations, see
	// [HedgesG], and the dominance of late values over early ones, see
	// [CliffDelta].
	G, Delta estimate.Value[float64]
	// Scatter tests whether both windows scatter equally.
	Scatter Test
	// Warning says, in a sentence, that a window holds a change of span; empty
	// if none does.
	Warning string
	// Options are the options used, defaults filled in.
	Options EarlyLateOptions
}

// EarlyLate compares the first with the last part of a take: has the centre
// moved, and has the scatter shrunk? times, in seconds, are strictly
// increasing; values belong to them, one per stroke or per cycle.
//
// Strokes close to each other are alike, so that a hundred strokes are not a
// hundred observations. All intervals are Student's with long-run variances
// that allow for it, which need few values and no resampling:
//
//   - Difference and Trimmed have Welch's degrees of freedom, Trimmed with the
//     winsorised values of Yuen (1974); G the same with its first-order terms.
//   - Ratio joins the intervals of both standard deviations, see [SpreadOf], and
//     RobustRatio those of both robust scales, by the squares of their arms on
//     the log scale (Zou and Donner 2008). With a Noise its variance is taken
//     off first; if one window scatters no more than the noise there is no
//     ratio, and if it may not, no interval.
//   - Delta has the interval of Cliff (1993) with long-run variances of the
//     placements; its bounds are NaN when the windows do not overlap at all.
//   - Scatter compares the mean distances from the two medians as Difference
//     compares means: [BrownForsythe]'s comparison for a series. Statistic is
//     t². P is never below one over the ways to deal out again as many blocks
//     as the long-run variances tell apart, q+1 a window.
//
// Where a window has fewer than 15 values nothing of this stands, and all seven
// are absent with code "too-few"; with code "overlap" where Seconds or Count ask
// for windows that do not both fit. What is found describes one take: as
// evidence about the player two takes are two observations.
//
// It describes the two windows. A player who goes from one settled motion to
// another several times in a take differs from window to window for that
// reason alone, more often than the level of the interval says (package
// comment). So give the Changes, heed the Warning, and compare spans instead.
// Drift within a window counts as scatter. Missing values (NaN) are left out,
// and their neighbours joined.
//
// It is an error if a time is not finite or not after the one before, if a
// value is infinite, if Share is not in (0, 1/2], and if more than one of Share,
// Seconds and Count is given. It panics if times and values differ in length.
func EarlyLate(times, values []float64, o EarlyLateOptions) (Change, error) {
	if len(times) != len(values) {
		panic("variability: times and values differ in length")
	}
	if err := o.check(); err != nil {
		return Change{}, err
	}
	if err := checkSeries(times, values); err != nil {
		return Change{}, err
	}
	o = o.filled()
	noise := o.Noise
	stop := math.NaN()
	if n := len(times); n > 0 {
		stop = times[n-1]
		switch {
		case o.Tail == 0:
			o.Tail = min(1, (stop-times[0])/10)
		case o.Tail < 0:
			o.Tail = 0
		}
	}
	if o.Cycles {
		times, values = cycles(times, values)
		noise /= math.Sqrt2
	}
	early, late, c := windows(times, values, stop-o.Tail, o)
	c.compare(early, late, noise)
	return c, nil
}

func (o EarlyLateOptions) check() error {
	given := 0
	for _, on := range []bool{o.Share != 0, o.Seconds > 0, o.Count > 0} {
		if on {
			given++
		}
	}
	switch {
	case o.Share != 0 && !(o.Share > 0 && o.Share <= 0.5):
		return fmt.Errorf("variability: share %v of the take is not above 0 and at most 1/2", o.Share)
	case given > 1:
		return fmt.Errorf("variability: Share, Seconds and Count exclude each other; give one")
	}
	return nil
}

// filled fills in the defaults, but for Tail, which depends on the take.
func (o EarlyLateOptions) filled() EarlyLateOptions {
	o.Options = o.Options.filled()
	o.Seconds, o.Count = max(o.Seconds, 0), max(o.Count, 0)
	if o.Share == 0 && !(o.Seconds > 0) && o.Count == 0 {
		o.Share = 1. / 3
	}
	return o
}

// checkSeries returns an error for times that do not increase and for infinite
// values.
func checkSeries(times, values []float64) error {
	for i, t := range times {
		switch {
		case math.IsNaN(t) || math.IsInf(t, 0):
			return fmt.Errorf("variability: time %d is %v", i, t)
		case i > 0 && t <= times[i-1]:
			return fmt.Errorf("variability: time %d, %v s, is not after the one before, %v s", i, t, times[i-1])
		case math.IsInf(values[i], 0):
			return fmt.Errorf("variability: value %d is %v", i, values[i])
		}
	}
	return nil
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

// known returns the times and values without the missing ones.
func known(times, values []float64) (t, x []float64) {
	t, x = make([]float64, 0, len(values)), make([]float64, 0, len(values))
	for i, v := range values {
		if !math.IsNaN(v) {
			t, x = append(t, times[i]), append(x, v)
		}
	}
	return t, x
}

// between returns the times after from and before to.
func between(times []float64, from, to float64) []float64 {
	var in []float64
	for _, t := range times {
		if t > from && t < to {
			in = append(in, t)
		}
	}
	slices.Sort(in)
	return in
}
