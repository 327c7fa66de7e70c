package contact

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// spread returns the robust standard deviation of x in time order, which is not
// empty, less what noise of that standard deviation adds to it. With m the
// median and s the median absolute deviation, the bounds are the deviations
// |x - m| of rank
//
//	(n ± t √(n V)) / 2
//
// where V is the long-run variance of sign(|x-m| - s) - k sign(x-m) and t the
// Student quantile for its degrees of freedom. k is what the median's own error
// counts in a lopsided distribution of density f (Hall and Welsh 1985):
//
//	k = (f(m+s) - f(m-s)) / f(m)
//
// with f from the observations within s/2. The bounds are NaN where the ranks
// fall outside the data.
func spread(x []float64, noise float64) estimate.Value[float64] {
	n := float64(len(x))
	m := robust.Median(x)
	deviations := make([]float64, len(x))
	for i, v := range x {
		deviations[i] = math.Abs(v - m)
	}
	s := robust.Median(deviations)
	var below, at, above float64
	for _, v := range x {
		at += count(math.Abs(v-m) < s/2)
		above += count(math.Abs(v-m-s) < s/2)
		below += count(math.Abs(v-m+s) < s/2)
	}
	k := (above - below) / math.Max(at, 1)
	influence := make([]float64, len(x))
	for i, v := range x {
		influence[i] = sign(deviations[i]-s) - k*sign(v-m)
	}
	less := func(d float64) float64 {
		d /= distuv.UnitNormal.Quantile(0.75)
		return math.Sqrt(math.Max(d*d-noise*noise, 0))
	}
	e := estimate.Value[float64]{Value: less(s), Low: math.NaN(), High: math.NaN(), N: len(x)}
	variance, free := estimate.LongRun(influence)
	if free == 0 {
		return e
	}
	half := distuv.StudentsT{Sigma: 1, Nu: float64(free)}.Quantile(0.975) * math.Sqrt(n*variance) / 2
	if r := int(math.Floor(n/2 - half)); r >= 0 {
		r = min(r, (len(x)-1)/2)
		e.Low, e.High = less(robust.Select(deviations, r)), less(robust.Select(deviations, len(x)-1-r))
		e.Level = 0.95
	}
	return e
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
