package camera

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mat"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Pair is one point seen in two planes.
type Pair struct {
	// From is its place in the picture, as a rule in pixels.
	From [2]float64
	// To is its place in the other plane, as a rule in millimetres.
	To [2]float64
}

// FitOptions are the settings of FitHomography.
type FitOptions struct {
	// Error is the standard error of Pair.From on each axis, in its unit. Zero
	// means 1, a click on a pixel; negative means none.
	Error float64
}

// Fit is a homography with how well it fits.
type Fit struct {
	Homography
	// N is the number of pairs.
	N int
	// ResidualFrom and ResidualTo are root mean square distances of the given
	// from the mapped points, in the plane of From and in that of To. They have
	// no interval, and are absent for four pairs, which fit exactly whatever
	// their errors.
	ResidualFrom, ResidualTo estimate.Value[float64]
}

// thickness is how far, in standard errors, points must lie off a line.
const thickness = 5

// FitHomography returns the homography from Pair.From to Pair.To by the
// normalised direct linear transform: each plane's points are shifted and
// scaled to mean 0 and root mean square distance √2, and h is the right
// singular vector with the least singular value of the 2n equations
//
//	X w - (h11 x + h12 y + h13) = 0,  Y w - (h21 x + h22 y + h23) = 0
//
// Its covariance follows, to first order, from errors of FitOptions.Error on
// each axis of every From.
//
// The error is a *trajectory.DataError: fewer than four pairs; a coordinate
// that is not finite; points of which no four stand in general position, as
// when all but one lie within 5 standard errors of a line, which it names; an
// order that no camera can see, with points on both sides of the horizon.
//
// # References
//
//   - Y. I. Abdel-Aziz and H. M. Karara (1971), Direct linear transformation
//     from comparator coordinates into object space coordinates in close-range
//     photogrammetry. Proc. Symp. Close-Range Photogrammetry, 1-18.
//   - R. I. Hartley (1997), In defense of the eight-point algorithm. IEEE
//     Trans. PAMI 19(6), 580-593.
func FitHomography(pairs []Pair, o FitOptions) (Fit, error) {
	if err := checkPairs(pairs, &o); err != nil {
		return Fit{}, err
	}
	n := len(pairs)
	f := normaliser(pairs, func(p Pair) [2]float64 { return p.From })
	g := normaliser(pairs, func(p Pair) [2]float64 { return p.To })
	a := mat.NewDense(max(2*n, 9), 9, nil) // four pairs: a row of zeros
	for i, p := range pairs {
		x, y := f.apply(p.From)
		u, v := g.apply(p.To)
		a.SetRow(2*i, []float64{-x, -y, -1, 0, 0, 0, u * x, u * y, u})
		a.SetRow(2*i+1, []float64{0, 0, 0, -x, -y, -1, v * x, v * y, v})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return Fit{}, fault("the points give no homography", "check their coordinates")
	}
	var right mat.Dense
	svd.VTo(&right)
	values := svd.Values(nil)
	if !(values[7] > 1e-10*values[0]) {
		return Fit{}, fault("the points give more than one homography", "give four points of which no three lie on one line")
	}
	var hn [9]float64
	for i := range hn {
		hn[i] = right.At(i, 8)
	}
	// H = G⁻¹ Hn F, with points seen as columns.
	k := kernel(g.inverse(), f)
	fit := Fit{N: n}
	fit.h = multiply(&k, &hn)
	if o.Error > 0 {
		fit.cov = sandwich(&k, spreadOf(pairs, f, g, &hn, &right, values, o.Error))
	}
	if err := fit.orient(pairs); err != nil {
		return Fit{}, err
	}
	fit.residuals(pairs)
	return fit, nil
}

// spreadOf returns the covariance of hn. A shift of the points by e changes the
// equations' residuals by B e, and so hn by -A⁺ B e.
func spreadOf(pairs []Pair, f, g similarity, hn *[9]float64, right *mat.Dense, values []float64, sd float64) *[81]float64 {
	// (AᵀA)⁺, without the null vector.
	var inv [81]float64
	for r := range 9 {
		for c := range 9 {
			for s := range 8 {
				inv[9*r+c] += right.At(r, s) * right.At(c, s) / (values[s] * values[s])
			}
		}
	}
	sd *= f.scale // in normalised units
	var m [81]float64
	for _, p := range pairs {
		x, y := f.apply(p.From)
		u, v := g.apply(p.To)
		rows := [2][9]float64{
			{-x, -y, -1, 0, 0, 0, u * x, u * y, u},
			{0, 0, 0, -x, -y, -1, v * x, v * y, v},
		}
		for axis := range 2 {
			// Derivatives of the pair's two equations by From[axis].
			b := [2]float64{u*hn[6+axis] - hn[axis], v*hn[6+axis] - hn[3+axis]}
			var q [9]float64
			for i := range q {
				q[i] = sd * (rows[0][i]*b[0] + rows[1][i]*b[1])
			}
			for r := range 9 {
				for c := range 9 {
					m[9*r+c] += q[r] * q[c]
				}
			}
		}
	}
	return sandwich(&inv, &m)
}

// orient gives h the scale and the sign by which w is 1 at the mean of the
// points, and reports points beyond the horizon.
func (f *Fit) orient(pairs []Pair) error {
	var x, y float64
	for _, p := range pairs {
		x += p.From[0] / float64(len(pairs))
		y += p.From[1] / float64(len(pairs))
	}
	w := f.w(x, y)
	for i, p := range pairs {
		if !(f.w(p.From[0], p.From[1])/w > 0) {
			return fault(fmt.Sprintf("no camera can see the points in this order: point %d would lie beyond the horizon", i+1),
				"check which point is which, and go round them in the same sense in both planes")
		}
	}
	for i := range f.h {
		f.h[i] /= w
	}
	if f.cov != nil {
		for i := range f.cov {
			f.cov[i] /= w * w
		}
	}
	return nil
}

func (f *Fit) residuals(pairs []Pair) {
	if f.N < 5 {
		absent := estimate.Missing[float64]("exact_fit", "residual", "four points fit exactly, whatever their errors; a fifth shows how well")
		f.ResidualFrom, f.ResidualTo = absent, absent
		return
	}
	back := f.Inverse()
	var from, to float64
	for _, p := range pairs {
		u, v := f.At(p.From[0], p.From[1])
		to += (u-p.To[0])*(u-p.To[0]) + (v-p.To[1])*(v-p.To[1])
		x, y := back.At(p.To[0], p.To[1])
		from += (x-p.From[0])*(x-p.From[0]) + (y-p.From[1])*(y-p.From[1])
	}
	n := float64(f.N)
	f.ResidualFrom = unbounded(math.Sqrt(from/n), f.N)
	f.ResidualTo = unbounded(math.Sqrt(to/n), f.N)
}

// unbounded returns a value without an interval.
func unbounded(x float64, n int) estimate.Value[float64] {
	return estimate.Value[float64]{Value: x, Low: math.NaN(), High: math.NaN(), N: n}
}

// fault returns a DataError that is not about one sample.
func fault(rule, hint string) *trajectory.DataError {
	return &trajectory.DataError{Sample: -1, Time: math.NaN(), Rule: rule, Hint: hint}
}

// finite reports whether no value is NaN or infinite.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if x-x != 0 {
			return false
		}
	}
	return true
}

func checkPairs(pairs []Pair, o *FitOptions) error {
	if len(pairs) < 4 {
		return fault(fmt.Sprintf("there are %d point pairs", len(pairs)), "a homography needs at least four")
	}
	for i, p := range pairs {
		if !finite(p.From[0], p.From[1], p.To[0], p.To[1]) {
			return fault(fmt.Sprintf("point %d has a coordinate that is not finite", i+1), "leave it out or give its place")
		}
	}
	if !finite(o.Error) {
		return fault(fmt.Sprintf("the error of a point is %v", o.Error), "give a standard error, or a negative number for none")
	}
	if o.Error == 0 {
		o.Error = 1
	}
	for _, plane := range []struct {
		name string
		at   func(Pair) [2]float64
		sd   float64
	}{
		{"picture", func(p Pair) [2]float64 { return p.From }, o.Error},
		{"other", func(p Pair) [2]float64 { return p.To }, 0},
	} {
		points := make([][2]float64, len(pairs))
		for i, p := range pairs {
			points[i] = plane.at(p)
		}
		if off, left, ok := generalPosition(points, plane.sd); !ok {
			var names []string
			for i := range points {
				if i != left {
					names = append(names, strconv.Itoa(i+1))
				}
			}
			last := len(names) - 1
			return fault(fmt.Sprintf("points %s and %s lie on one line of the %s plane, to %.3g of its units", strings.Join(names[:last], ", "), names[last], plane.name, off),
				fmt.Sprintf("give four points of which no three lie within %.3g of a line", thickness*max(plane.sd, 0)))
		}
	}
	return nil
}

// generalPosition reports whether four of the points stand in general position:
// no matter which one is left out, the others do not lie on a line, to 5
// standard errors sd. If they do, it returns the largest distance of one from
// that line, and which point was left out.
func generalPosition(points [][2]float64, sd float64) (off float64, left int, ok bool) {
	for left = range points {
		off, extent := offLine(points, left)
		if off <= thickness*max(sd, 0) || off <= 1e-9*extent {
			return off, left, false
		}
	}
	return 0, -1, true
}

// offLine returns the largest distance of the points but one from the line that
// they lie nearest to in squares, and their largest distance from their mean.
func offLine(points [][2]float64, left int) (off, extent float64) {
	var mx, my float64
	n := float64(len(points) - 1)
	for i, p := range points {
		if i != left {
			mx += p[0] / n
			my += p[1] / n
		}
	}
	var sxx, syy, sxy float64
	for i, p := range points {
		if dx, dy := p[0]-mx, p[1]-my; i != left {
			sxx += dx * dx
			syy += dy * dy
			sxy += dx * dy
			extent = max(extent, math.Hypot(dx, dy))
		}
	}
	sin, cos := math.Sincos(0.5 * math.Atan2(2*sxy, sxx-syy))
	for i, p := range points {
		if i != left {
			off = max(off, math.Abs((p[1]-my)*cos-(p[0]-mx)*sin))
		}
	}
	return off, extent
}

// similarity is a shift and a scale of the plane: (x - mx) scale.
type similarity struct{ mx, my, scale float64 }

// normaliser returns the similarity that gives the points mean 0 and root mean
// square distance √2 from it.
func normaliser(pairs []Pair, at func(Pair) [2]float64) similarity {
	var s similarity
	n := float64(len(pairs))
	for _, p := range pairs {
		s.mx += at(p)[0] / n
		s.my += at(p)[1] / n
	}
	var sum float64
	for _, p := range pairs {
		dx, dy := at(p)[0]-s.mx, at(p)[1]-s.my
		sum += (dx*dx + dy*dy) / n
	}
	s.scale = math.Sqrt2 / math.Sqrt(sum)
	return s
}

func (s similarity) apply(p [2]float64) (x, y float64) {
	return (p[0] - s.mx) * s.scale, (p[1] - s.my) * s.scale
}

// inverse returns the matrix of the way back, row by row.
func (s similarity) inverse() [9]float64 {
	return [9]float64{1 / s.scale, 0, s.mx, 0, 1 / s.scale, s.my, 0, 0, 1}
}

// kernel returns the 9 x 9 matrix that takes the elements of M, row by row, to
// those of G M F.
func kernel(g [9]float64, s similarity) (k [81]float64) {
	f := [9]float64{s.scale, 0, -s.mx * s.scale, 0, s.scale, -s.my * s.scale, 0, 0, 1}
	for r := range 3 {
		for c := range 3 {
			for i := range 3 {
				for j := range 3 {
					k[9*(3*r+c)+3*i+j] = g[3*r+i] * f[3*j+c]
				}
			}
		}
	}
	return k
}

func multiply(k *[81]float64, v *[9]float64) (out [9]float64) {
	for r := range 9 {
		for c, x := range v {
			out[r] += k[9*r+c] * x
		}
	}
	return out
}
