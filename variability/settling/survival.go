package settling

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
)

// lifetime is how long something lasted; cut: at least so long.
type lifetime struct {
	length float64
	cut    bool
}

// survival is the product-limit estimate just after each length at which
// something ended, and Greenwood's sum Σ d/(n(n-d)) up to there.
type survival struct{ at, share, greenwood []float64 }

// kaplanMeier returns the share that lasts longer than t (Kaplan & Meier 1958):
//
//	S(t) = Π (1 - d/n) over the lengths up to t at which d of the n left end
//
// What is cut off at a length at which others end counts among their n.
func kaplanMeier(ls []lifetime) (s survival) {
	ls = slices.Clone(ls)
	slices.SortFunc(ls, func(a, b lifetime) int { return cmp.Compare(a.length, b.length) })
	share, sum := 1.0, 0.0
	for i := 0; i < len(ls); {
		j, d := i, 0.0
		for ; j < len(ls) && ls[j].length == ls[i].length; j++ {
			if !ls[j].cut {
				d++
			}
		}
		if n := float64(len(ls) - i); d > 0 {
			share *= 1 - d/n
			sum += d / (n * (n - d))
			s.at, s.share, s.greenwood = append(s.at, ls[i].length), append(s.share, share), append(s.greenwood, sum)
		}
		i = j
	}
	return s
}

// crossing returns where the step function falls below one half: halfway over
// a step at one half itself, NaN if it never does.
func (s survival) crossing(share func(i int) float64) float64 {
	const rounding = 1e-9
	for i, t := range s.at {
		switch v := share(i); {
		case v < 0.5-rounding:
			return t
		case v <= 0.5+rounding && i+1 < len(s.at):
			return (t + s.at[i+1]) / 2
		}
	}
	return math.NaN()
}

// minEnds is the number of complete lengths below which a median has no
// interval: below six none holds 95 % (David & Nagaraja 2003, 7.1).
const minEnds = 6

// medianLength returns the median length with the interval of the lengths t
// that a test of S(t) = 1/2 does not reject (Brookmeyer & Crowley 1982), S
// taken as log(-log S):
//
//	|log(-log S) - log(-log 1/2)| ≤ z √G/|log S|
//
// It is absent where more than half outlast what was seen. The bounds are NaN,
// and Level 0, below six complete lengths and where what is cut off leaves a
// side open. N counts what is complete and what is cut off.
func medianLength(what string, ls []lifetime) estimate.Value[float64] {
	if len(ls) == 0 {
		return estimate.Missing[float64]("none", what, "no span of the kind begins in sight")
	}
	s := kaplanMeier(ls)
	v := estimate.Value[float64]{Value: s.crossing(func(i int) float64 { return s.share[i] }), Low: math.NaN(), High: math.NaN(), N: len(ls)}
	if v.Value != v.Value {
		return estimate.Missing[float64]("cut-off", what,
			fmt.Sprintf("of %d spans too many are cut off by a pause or the end of the take; play on longer", len(ls)))
	}
	ends := 0
	for _, l := range ls {
		if !l.cut {
			ends++
		}
	}
	if ends < minEnds {
		return v
	}
	bound := func(sign float64) float64 {
		return s.crossing(func(i int) float64 {
			l := math.Log(s.share[i])
			if math.IsInf(l, 0) { // nothing left: no say in the interval
				return math.NaN()
			}
			return math.Exp(l * math.Exp(sign*z975*math.Sqrt(s.greenwood[i])/-l))
		})
	}
	if low, high := bound(1), bound(-1); low == low && high == high {
		v.Low, v.High, v.Level = low, high, 0.95
	}
	return v
}
