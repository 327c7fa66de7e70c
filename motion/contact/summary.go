package contact

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// leastStrokes is the number of strokes of a direction that a spread needs.
const leastStrokes = 12

// series returns a quantity of the strokes of direction d, missing ones left
// out.
func (c *Contacts) series(d motion.Direction, get func(s *Stroke) float64) []float64 {
	var x []float64
	for i := range c.Strokes {
		if s := &c.Strokes[i]; s.Direction == d {
			if v := get(s); v == v {
				x = append(x, v)
			}
		}
	}
	return x
}

// missing says why there is no what: as nothing of its kind could be had, or
// as there are only n strokes that show it.
func (c *Contacts) missing(what string, n, least int) estimate.Value[float64] {
	if n == 0 && len(c.Absent) > 0 {
		return estimate.Missing[float64](c.Absent[0].Code, what, c.Absent[0].Why)
	}
	return estimate.Missing[float64]("too few", what, fmt.Sprintf("%d strokes show it; this needs %d", n, least))
}

// widen adds to the interval an error of one standard deviation that all
// strokes have in common.
func widen(v estimate.Value[float64], sd float64) estimate.Value[float64] {
	if sys := 1.959964 * sd; sys > 0 && v.Known() {
		v.Low = v.Value - math.Hypot(v.Value-v.Low, sys)
		v.High = v.Value + math.Hypot(v.High-v.Value, sys)
	}
	return v
}

// median is the median of x with its interval.
func (c *Contacts) median(what string, x []float64, sd float64) estimate.Value[float64] {
	if len(x) == 0 {
		return c.missing(what, 0, 1)
	}
	return widen(estimate.SeriesMedian(x, 0.95), sd)
}

// spread is the spread of x in time order, less noise.
func (c *Contacts) spread(what string, x []float64, noise float64) estimate.Value[float64] {
	if len(x) < leastStrokes {
		return c.missing(what, len(x), leastStrokes)
	}
	return spread(x, noise)
}

// FollowThrough returns how far the strokes of direction d travel across, past
// the last string reached, before they turn: their median in the path's unit.
// The interval holds the error of the strings' places.
func (c *Contacts) FollowThrough(d motion.Direction) estimate.Value[float64] {
	x := c.series(d, func(s *Stroke) float64 { return s.FollowThrough })
	return c.median("follow-through of "+d.String()+"strokes", x, c.Options.AcrossError)
}

// FollowThroughSpread returns the spread of the follow-through of strokes of
// direction d as a robust standard deviation, less the samples' noise. A hand
// that wanders over the string counts here; see motion.Motion.TurnScatter for
// the scatter from turn to next like turn.
func (c *Contacts) FollowThroughSpread(d motion.Direction) estimate.Value[float64] {
	noise := c.series(d, func(s *Stroke) float64 { return s.FollowThroughError })
	x := c.series(d, func(s *Stroke) float64 { return s.FollowThrough })
	return c.spread("spread of the follow-through of "+d.String()+"strokes", x, median(noise))
}

// depth is that of a stroke that reached the string.
func depth(s *Stroke) float64 {
	if s.Depth > 0 {
		return s.Depth
	}
	return math.NaN()
}

// Depth returns how far below the string's top the tip passes it, over the
// strokes of direction d that pass below it: their median in the path's unit.
// The interval holds the error of the string plane, and the heights that the
// strings may have where the crown is not known.
func (c *Contacts) Depth(d motion.Direction) estimate.Value[float64] {
	x := c.series(d, depth)
	v := c.median("depth of "+d.String()+"strokes", x, c.heightError)
	if v.Known() {
		crown := stat.Mean(c.series(d, func(s *Stroke) float64 {
			if s.Depth > 0 {
				return s.crown
			}
			return math.NaN()
		}), nil)
		v.Low -= crown / 2
		v.High += crown / 2
	}
	return v
}

// DepthSpread returns the spread of the depths as a robust standard deviation,
// less the samples' noise.
func (c *Contacts) DepthSpread(d motion.Direction) estimate.Value[float64] {
	noise := c.series(d, func(s *Stroke) float64 {
		if s.Depth > 0 {
			return s.DepthError
		}
		return math.NaN()
	})
	return c.spread("spread of the depth of "+d.String()+"strokes", c.series(d, depth), median(noise))
}

// median is that of x, 0 for none.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	return robust.Median(x)
}

// Missed returns the share of the strokes that reached no string. Strokes of
// which it cannot be said count by the likelier answer in the value, and as
// reached at the interval's low end, as missed at its high end. Strokes of which
// nothing is known at all are left out.
func (c *Contacts) Missed() estimate.Value[float64] {
	var likely, sure, perhaps []float64
	for i := range c.Strokes {
		s := &c.Strokes[i]
		if s.P != s.P {
			continue
		}
		likely = append(likely, count(s.P < 0.5))
		sure = append(sure, count(s.Reached == No))
		perhaps = append(perhaps, count(s.Reached != Yes))
	}
	if len(likely) == 0 {
		return c.missing("share of strokes that miss", 0, 1)
	}
	v := share(likely)
	v.Low, v.High = share(sure).Low, share(perhaps).High
	return v
}

func count(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// share returns the mean of zeros and ones in time order with the exact interval
// of Clopper and Pearson (Biometrika 26 (1934) 404-413), for as many
// independent observations as their long-run variance leaves.
func share(x []float64) estimate.Value[float64] {
	n := float64(len(x))
	p := stat.Mean(x, nil)
	v, _ := estimate.LongRun(x)
	independent := n
	if s := stat.Variance(x, nil); v > s && s > 0 {
		independent = n * s / v
	}
	k := p * independent
	est := estimate.Value[float64]{Value: p, Low: 0, High: 1, Level: 0.95, N: len(x)}
	if k > 0 {
		est.Low = distuv.Beta{Alpha: k, Beta: independent - k + 1}.Quantile(0.025)
	}
	if k < independent {
		est.High = distuv.Beta{Alpha: k + 1, Beta: independent - k}.Quantile(0.975)
	}
	return est
}
