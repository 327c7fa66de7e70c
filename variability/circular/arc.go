package circular

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Quantile returns the p-quantile of directions, or with o.Axes axes: the
// circle is cut opposite the median direction, see [Median], and the quantile
// of the deviations from it, type 7 of Hyndman and Fan (1996), see
// [robust.Quantile], added to it. The result is in (-π, π], or (-π/2, π/2] for
// axes, and carries no interval. Counting from 0.05 to 0.95 gives the arc
// within which 90 % of the strokes lie.
//
// That makes sense for angles that gather on one side; the share of them near
// the cut should be small. Where there is no median there are no quantiles.
// Special cases are: absent, with code "undefined", if p is outside [0, 1].
func Quantile(angles []Angle, p float64, o Options) estimate.Value[Angle] {
	const what = "quantile of directions"
	fold := o.fold()
	mid := median(angles, fold)
	switch {
	case mid.Absent != nil:
		return estimate.Missing[Angle](mid.Absent.Code, what, mid.Absent.Why)
	case !(p >= 0 && p <= 1):
		return estimate.Missing[Angle]("undefined", what, "the share asked for is not between 0 and 1")
	}
	theta := wanted(angles, fold)
	center := fold * float64(mid.Value)
	for i, t := range theta {
		theta[i] = wrapped(t - center)
	}
	mid.Value = Angle(wrapped(center+robust.QuantileInPlace(p, theta)) / fold)
	return mid
}

// Arc is a stretch of the circle that begins at From and goes on by Width in
// the positive sense. It holds N angles.
type Arc struct {
	From, Width Angle
	N           int
	Absent      *estimate.Absence
}

// ShortestArc returns the shortest arc that holds at least the given share of
// the directions, or with o.Axes axes. A share of 1 gives the circular range,
// a full turn less the widest gap (Mardia & Jupp 2000, 2.3.2); smaller shares
// leave out stray angles on whichever side they lie. From is in (-π, π], for
// axes in (-π/2, π/2]. Of equally short arcs it is the one that begins first.
//
// Missing angles (NaN) are left out. Without any, or with a share outside
// (0, 1], the arc is absent.
func ShortestArc(angles []Angle, share float64, o Options) Arc {
	const what = "shortest arc"
	nan := Angle(math.NaN())
	fold := o.fold()
	theta := wanted(angles, fold)
	n := len(theta)
	switch {
	case n == 0:
		return Arc{nan, nan, 0, &estimate.Absence{Code: "no-observations", What: what, Why: "there is no angle"}}
	case !(share > 0 && share <= 1):
		return Arc{nan, nan, 0, &estimate.Absence{Code: "undefined", What: what, Why: "the share asked for is not above 0 and at most 1"}}
	}
	for i, t := range theta {
		theta[i] = wrapped(t)
	}
	slices.Sort(theta)
	hold := max(1, int(math.Ceil(share*float64(n)*(1-1e-12))))
	from, width := 0, math.Inf(1)
	for i, t := range theta {
		last := theta[(i+hold-1)%n]
		if i+hold > n {
			last += 2 * math.Pi
		}
		if last-t < width*(1-1e-12) {
			from, width = i, last-t
		}
	}
	return Arc{From: Angle(theta[from] / fold), Width: Angle(width / fold), N: hold}
}
