package tempo

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// A Share is how much of what was played lies within a window, and how much
// would by chance.
type Share struct {
	// Share is in [0, 1].
	Share estimate.Value[float64]
	// Chance is the share that random timing at the same rate would have.
	Chance float64
	// Effective is how many independent events tell as much as these.
	Effective float64
	// Within is the half width of the window: seconds about grid lines, or a
	// share of the local cycle.
	Within float64
}

// ShareWithin returns the share of events that lie within so many seconds of
// their grid lines, from their asynchronies (NaN for none, as in
// [Grid.Asynchrony]) and the grid's interval, both in seconds. For a window
// given as a share of the interval multiply by it.
//
// Neighbouring events are early or late together. The effective number is
// n s²/V with V the long-run variance of being within (see
// [estimate.LongRun]), and the interval that of Wilson (1927) for so many, with
// Student's quantile for the degrees of freedom of V. Where all events, or
// none, are within, nothing tells of their memory: then that of the
// asynchronies themselves is taken, and no more than n.
//
// Events at random times lie within with probability 2 within/interval, at
// most 1, which is Chance.
//
// The share is absent for fewer than 12 events or a window that is not
// positive. Level 0 means 0.95, outside (0, 1) no interval. In
// simulated takes of 60, 100 and 400 events with a correlation of 0 to 0.6 the
// interval held the truth in 94 to 97 %; with 0.9 in 84 to 95 % (1000 takes of
// each kind: TestCalibrateShare -calibrate 1000).
func ShareWithin(asynchrony []float64, interval, within, level float64) Share {
	return shareWithin(asynchrony, within, min(1, max(0, 2*within/interval)), level)
}

// Within returns the share of cycles that differ from the local rate by no
// more than a share of it, such as 0.05, with an interval as [ShareWithin]
// says. By chance, with turns at random at the same rate (the sum of two
// exponential strokes), as many would be as Chance says.
//
// A cycle, and those that share strokes with it, pull the curve to themselves:
// what is left about the curve is made larger by as much as it is expected to
// be too small (from 24 strokes on).
func (c Curve) Within(share, level float64) Share {
	left := make([]float64, len(c.cycles.z))
	var f local
	for i, t := range c.cycles.at {
		left[i] = math.NaN()
		if c.cycles.fit(&f, t, c.Options.Bandwidth) {
			left[i] = math.Expm1((c.cycles.z[i] - f.value) / c.cycles.remains(&f, i))
		}
	}
	g := distuv.Gamma{Alpha: perCycle, Beta: perCycle}
	return shareWithin(left, share, g.CDF(1+share)-g.CDF(max(0, 1-share)), level)
}

// shareWithin returns the share of xs within the window either side of 0.
func shareWithin(xs []float64, within, chance, level float64) Share {
	s := Share{Chance: chance, Effective: math.NaN(), Within: within}
	if !(within > 0) {
		s.Share = estimate.Missing[float64]("no-window", "share within the window", "the window is not wider than nothing: give its half width")
		return s
	}
	if level == 0 {
		level = 0.95
	}
	var in, known []float64
	var sum float64
	for _, x := range xs {
		if math.IsNaN(x) {
			continue
		}
		known = append(known, x)
		v := 0.0
		if math.Abs(x) <= within {
			v = 1
		}
		in = append(in, v)
		sum += v
	}
	n := float64(len(in))
	if n < 12 {
		s.Share = estimate.Missing[float64]("too-short", "share within the window", "fewer than 12 events: take a longer stretch of playing")
		return s
	}
	p := sum / n
	series := in
	all := p == 0 || p == 1
	if all {
		series = known
	}
	long, df := estimate.LongRun(series)
	s.Effective = n
	if v := variance(series); v > 0 && long > 0 {
		s.Effective = n * v / long
	}
	if all {
		s.Effective = min(n, s.Effective)
	}
	s.Share = estimate.Value[float64]{Value: p, Low: math.NaN(), High: math.NaN(), N: len(in)}
	if level > 0 && level < 1 {
		q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1 + level) / 2)
		m := s.Effective
		middle := (p + q*q/(2*m)) / (1 + q*q/m)
		half := q / (1 + q*q/m) * math.Sqrt(p*(1-p)/m+q*q/(4*m*m))
		s.Share.Low, s.Share.High, s.Share.Level = max(0, min(p, middle-half)), min(1, max(p, middle+half)), level
	}
	return s
}

// variance returns the mean square of xs about their mean.
func variance(xs []float64) float64 {
	var sum, square float64
	for _, x := range xs {
		sum += x
	}
	mean := sum / float64(len(xs))
	for _, x := range xs {
		square += (x - mean) * (x - mean)
	}
	return square / float64(len(xs))
}
