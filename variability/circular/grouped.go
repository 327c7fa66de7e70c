package circular

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Grouped summarises angles of which only counts in equal groups are known: a
// histogram. mids are the middles of the groups, width the extent of each, and
// counts how many angles fell into each. Taking every angle at the middle of
// its group makes R too small, so that R is multiplied by
//
//	c = (w/2)/sin(w/2), w the width of a group, doubled for axes
//
// (Zar 2010, 26.7; Mardia & Jupp 2000, 2.3.3), the second moment by the same
// with 2w, neither beyond 1, and all that depends on them follows. RayleighP
// is that of the R as it is: it is about the counts. A width of 0 corrects
// nothing. o.Axes says that the angles are axes; o.Series, which counts cannot
// bear, is ignored.
//
// Groups of half a turn or more (a quarter turn for axes) tell nothing: the mean
// is absent, with code "undefined", and all else NaN. A group whose middle is not finite or whose count is not above 0 is left out.
// Counts are numbers of independent angles; weights that are none, such as the
// confidence of a tracker, give a right mean and R and a wrong interval and
// probability. N is their sum, rounded down. It panics if mids and counts
// differ in length.
func Grouped(mids []Angle, counts []float64, width Angle, o Options) Summary {
	if len(mids) != len(counts) {
		panic("circular: mids and counts differ in length")
	}
	fold := o.fold()
	var theta, weight []float64
	for i, m := range mids {
		w := counts[i]
		if t := fold * float64(m); w > 0 && !math.IsInf(w, 0) && !math.IsNaN(t-t) {
			theta, weight = append(theta, t), append(weight, w)
		}
	}
	s := sampleOf(theta, weight)
	w := fold * math.Abs(float64(width))
	if !(w < math.Pi) {
		nan := math.NaN()
		const why = "groups of half a circle or more tell no direction"
		return Summary{
			N: int(s.n), Mean: estimate.Missing[Angle]("undefined", "mean direction", why),
			R: nan, Variance: nan, SD: Angle(nan), Rho2: nan, Dispersion: nan, Kappa: nan, KappaSmall: nan, RayleighP: nan,
		}
	}
	if w > 0 {
		s.raise = math.Min(w/2/math.Sin(w/2), 1/s.r)
		s.raise2 = w / math.Sin(w)
		s.r *= s.raise
	}
	o.Series = false
	return summarize(s, fold, o)
}
