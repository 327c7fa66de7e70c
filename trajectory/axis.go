package trajectory

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// axisLevel is the level of the interval of a principal axis.
const axisLevel = 0.95

// Axis is the direction along which a planar cloud of points spreads most.
type Axis struct {
	// Angle is the direction of the axis from x toward y, in (-π/2, π/2], with
	// its interval at level 0.95. The interval is not wrapped:
	// Low <= Value <= High, and Low may lie below -π/2 or High above π/2.
	Angle estimate.Value[circular.Angle]
	// Lambda1 and Lambda2 are the variances (over n-1) along the axis and
	// perpendicular to it, in the square of the unit of the points.
	Lambda1, Lambda2 float64
	// Centre is the mean of the points.
	Centre [2]float64
	// N is the number of points.
	N int
}

// PrincipalAxis returns the axis from which the points lie least far, in
// squares measured perpendicular to it: the major axis or orthogonal
// regression line of Pearson (1901),
//
//	tan 2θ = 2 Sxy / (Sxx - Syy)
//
// with the interval of Jolicoeur & Mosimann (1968), whose half-width is
//
//	asin √H,  H = F(1, n-2) / ((λ1/λ2 + λ2/λ1 - 2) (n-2))
//
// It supposes independent points from one two-dimensional normal cloud. Points
// along a stroke are not that, and a bow in the stroke widens the interval.
//
// A point with a NaN coordinate is skipped. The angle is absent for fewer than
// three points, for points that coincide, and for a cloud so round that every
// direction lies within the interval (H >= 1). It panics if x and y differ in
// length.
func PrincipalAxis(x, y []float64) Axis {
	if len(x) != len(y) {
		panic("trajectory: coordinates of unequal length")
	}
	var a Axis
	var sx, sy float64
	for i := range x {
		if x[i] == x[i] && y[i] == y[i] {
			sx += x[i]
			sy += y[i]
			a.N++
		}
	}
	n := float64(a.N)
	mx, my := sx/n, sy/n // NaN for no points
	a.Centre = [2]float64{mx, my}
	var sxx, syy, sxy float64
	for i := range x {
		if dx, dy := x[i]-mx, y[i]-my; dx == dx && dy == dy {
			sxx += dx * dx
			syy += dy * dy
			sxy += dx * dy
		}
	}
	absent := func(code, why string) Axis {
		a.Angle = estimate.Missing[circular.Angle](code, "principal axis", why)
		return a
	}
	if a.N < 3 {
		a.Lambda1, a.Lambda2 = math.NaN(), math.NaN()
		return absent("too_few_points", "an axis needs at least three points")
	}
	half := math.Hypot((sxx-syy)/2, sxy)
	mean := (sxx + syy) / 2
	l1 := mean + half
	// The small root by the determinant: mean - half would cancel. The
	// determinant of nearly collinear points may round below zero.
	l2 := 0.0
	if l1 > 0 {
		l2 = max(0, sxx/l1*syy-sxy/l1*sxy)
	}
	a.Lambda1, a.Lambda2 = l1/(n-1), l2/(n-1)
	// Coordinates that coincide leave sums of rounding errors.
	if tiny := 1e-15 * math.Hypot(mx, my); l1 <= n*tiny*tiny {
		return absent("no_spread", "the points coincide")
	}
	f := distuv.F{D1: 1, D2: n - 2}.Quantile(axisLevel)
	h := 0.0
	if l2 > 0 {
		h = f / ((l1/l2 + l2/l1 - 2) * (n - 2))
	}
	if !(h < 1) {
		return absent("round", "the points spread about equally in all directions")
	}
	angle := circular.Angle(0.5 * math.Atan2(2*sxy, sxx-syy)).Axial()
	w := circular.Angle(math.Asin(math.Sqrt(h)))
	a.Angle = estimate.Value[circular.Angle]{Value: angle, Low: angle - w, High: angle + w, Level: axisLevel, N: a.N}
	return a
}

// Axis3 is the direction along which a cloud of points in space spreads most.
type Axis3 struct {
	// Direction is a unit vector whose largest component is positive.
	Direction [3]float64
	// Lambda are the variances (over n-1) along the three principal axes,
	// largest first.
	Lambda [3]float64
	// Centre is the mean of the points.
	Centre [3]float64
	// N is the number of points.
	N int
	// Absent says why there is no axis; Direction is then zero.
	Absent *estimate.Absence
}

// PrincipalAxis3 returns the axis from which the points in space lie least
// far, in squares measured perpendicular to it (Pearson 1901): the first
// eigenvector of their covariance.
//
// A point with a NaN coordinate is skipped. The axis is absent for fewer than
// three points, for points that coincide, and when the two largest variances
// are equal to rounding. It panics if the slices differ in length.
func PrincipalAxis3(x, y, z []float64) Axis3 {
	if len(x) != len(y) || len(x) != len(z) {
		panic("trajectory: coordinates of unequal length")
	}
	var a Axis3
	var sum [3]float64
	for i := range x {
		if v := x[i] + y[i] + z[i]; v == v {
			sum[0] += x[i]
			sum[1] += y[i]
			sum[2] += z[i]
			a.N++
		}
	}
	n := float64(a.N)
	for k := range sum {
		a.Centre[k] = sum[k] / n
	}
	absent := func(code, why string) Axis3 {
		a.Absent = &estimate.Absence{Code: code, What: "principal axis", Why: why}
		return a
	}
	if a.N < 3 {
		a.Lambda = [3]float64{math.NaN(), math.NaN(), math.NaN()}
		return absent("too_few_points", "an axis needs at least three points")
	}
	var s [9]float64
	for i := range x {
		d := [3]float64{x[i] - a.Centre[0], y[i] - a.Centre[1], z[i] - a.Centre[2]}
		if v := d[0] + d[1] + d[2]; v != v {
			continue
		}
		for r := range 3 {
			for c := r; c < 3; c++ {
				s[3*r+c] += d[r] * d[c] / (n - 1)
			}
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(mat.NewSymDense(3, s[:]), true) {
		return absent("no_spread", "the spread of the points could not be computed")
	}
	values := eig.Values(nil) // ascending
	a.Lambda = [3]float64{max(values[2], 0), max(values[1], 0), max(values[0], 0)}
	tiny := 1e-15 * math.Hypot(math.Hypot(a.Centre[0], a.Centre[1]), a.Centre[2])
	if !(a.Lambda[0] > tiny*tiny) {
		return absent("no_spread", "the points coincide")
	}
	if a.Lambda[0]-a.Lambda[1] <= 1e-12*a.Lambda[0] {
		return absent("round", "the points spread equally in two directions")
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	largest := 0
	for k := range 3 {
		a.Direction[k] = vectors.At(k, 2)
		if math.Abs(a.Direction[k]) > math.Abs(a.Direction[largest]) {
			largest = k
		}
	}
	if a.Direction[largest] < 0 {
		for k := range 3 {
			a.Direction[k] = -a.Direction[k]
		}
	}
	return a
}
