package variability

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// fill reads all measures off the covariances.
func (j *Joint) fill(f *jointFit, columns []Column) {
	values, vectors, ok := axes(f.c)
	if !ok {
		j.refuse("too-few", "two of the columns have too few strokes in common")
		return
	}
	least := max(worthJoint, 5*float64(f.p))
	interval := jointInterval{f: f, level: j.Options.Level, alike: f.likeness()}
	shown := interval
	shown.short = 1 / (2 * f.worth())
	if f.n < fewestJoint || !(f.worth() >= least) {
		shown.level = -1
	}

	raw, noise := mat.Trace(f.s), mat.Trace(f.noise)
	j.total = interval.total(raw, noise)
	j.Total = shown.total(raw, noise)

	var positive, square float64
	flat := false
	for k, v := range values {
		switch {
		case v <= 1e-12*math.Abs(values[0]) && v >= -1e-12*math.Abs(values[0]): // rounding
			values[k] = 0
			flat = true
		case v < 0:
			values[k] = 0
			j.Negative++
		}
		positive += values[k]
		square += values[k] * values[k]
	}
	if !(positive > 0) {
		code, why := "undefined", "the strokes do not scatter"
		if noise > 0 {
			code, why = "noise", "the strokes scatter no more than the noise given"
		}
		total := j.Total
		j.refuse(code, why)
		if noise == 0 {
			j.Total = total
		}
		return
	}
	if j.Negative > 0 {
		f.c = assembled(values, vectors)
	}
	j.Covariance = mat.NewSymDense(f.p, nil)
	for a := range f.p {
		for b := range a + 1 {
			j.Covariance.SetSym(a, b, f.c.At(a, b)*columns[a].Scale*columns[b].Scale)
		}
	}

	switch {
	case j.Negative > 0:
		j.Generalised = estimate.Missing[float64]("noise", "generalised spread",
			fmt.Sprintf("in %d of %d directions the strokes scatter no more than the noise given", j.Negative, f.p))
		j.generalised = j.Generalised
	case flat:
		j.Generalised = estimate.Missing[float64]("undefined", "generalised spread", "in some direction the strokes do not scatter")
		j.generalised = j.Generalised
	default:
		j.generalised = interval.generalised(values, vectors)
		j.Generalised = shown.generalised(values, vectors)
	}
	j.Dimensions = shown.dimensions(positive, square)
	for k, v := range values {
		j.Directions = append(j.Directions, Direction{SD: math.Sqrt(v), Share: shown.share(v/positive, vectors[k], positive), Axis: vectors[k]})
	}
}

// assembled returns the matrix with these eigenvalues and vectors.
func assembled(values []float64, vectors [][]float64) *mat.SymDense {
	m := mat.NewSymDense(len(values), nil)
	for k, v := range values {
		m.SymRankOne(m, v, mat.NewVecDense(len(values), vectors[k]))
	}
	return m
}

// jointInterval makes intervals from what the strokes add to a measure.
type jointInterval struct {
	f     *jointFit
	level float64
	alike float64 // lag-1 autocorrelation of squares, at the least
	short float64 // by how much the log of a spread falls short of the long run
}

// half returns the half width of the interval of a function of the covariance
// whose derivative is g, and false if there is none.
func (in jointInterval) half(g *mat.SymDense) (float64, bool) {
	n := in.f.n
	if n < fewestJointRatio {
		return 0, false
	}
	variance, df := longRun(in.f.adds(g), in.alike)
	t, wanted := Options{Level: in.level}.student(df)
	if !wanted || !(variance > 0) {
		return 0, false
	}
	return t * in.f.widen * math.Sqrt(variance/float64(n)), true
}

func (in jointInterval) value(v float64) estimate.Value[float64] {
	return estimate.Value[float64]{Value: v, Low: math.NaN(), High: math.NaN(), N: in.f.n}
}

// total is √(tr/p) of the strokes, less that of the noise.
func (in jointInterval) total(raw, noise float64) estimate.Value[float64] {
	p := float64(in.f.p)
	v := in.value(math.Sqrt(raw / p))
	if half, ok := in.half(identity(in.f.p, 1/(2*raw))); ok {
		v.Low, v.High, v.Level = v.Value*math.Exp(in.short-half), v.Value*math.Exp(in.short+half), in.level
	}
	return withoutNoise(v, math.Sqrt(noise/p), "total spread")
}

// generalised is |C|^(1/2p), with the bias of its log in the interval.
func (in jointInterval) generalised(values []float64, vectors [][]float64) estimate.Value[float64] {
	p := float64(in.f.p)
	var log float64
	inverse := make([]float64, len(values))
	for k, x := range values {
		log += math.Log(x) / (2 * p)
		inverse[k] = 1 / (2 * p * x)
	}
	v := in.value(math.Exp(log))
	if half, ok := in.half(assembled(inverse, vectors)); ok {
		bias := in.short + (p+1)/(4*in.independent())
		v.Low, v.High, v.Level = math.Exp(log+bias-half), math.Exp(log+bias+half), in.level
	}
	return v
}

// independent returns how many independent strokes know the variances as well.
func (in jointInterval) independent() float64 {
	n := float64(in.f.n - in.f.groups)
	return max(2, min(n, n*(1-in.alike)/(1+in.alike)))
}

// dimensions is b/a, a and b the sum of squares and the square of the sum of the
// eigenvalues without their bias: of n' independent normal strokes, those of the
// sample, s and t², are on average a (1+1/n') + b/n' and b + 2a/n'.
func (in jointInterval) dimensions(t, s float64) estimate.Value[float64] {
	p, n := float64(in.f.p), in.independent()
	a := (s - t*t/n) / (1 + 1/n - 2/(n*n))
	b := t*t - 2*a/n
	d := p
	if a*p > b {
		d = max(1, b/a)
	}
	v := in.value(d)
	if d >= p || d <= 1+1e-12 {
		return v
	}
	// d log D = 2 dt/t - ds/s, ds = 2 tr(C dC)
	g := mat.NewSymDense(in.f.p, nil)
	g.ScaleSym(-2/s, in.f.c)
	g.AddSym(g, identity(in.f.p, 2/t))
	if half, ok := in.half(g); ok {
		half *= d * (p - 1) / ((d - 1) * (p - d)) // of the logit of (D-1)/(p-1)
		low, high := around((d-1)/(p-1), half)
		v.Low, v.High, v.Level = 1+(p-1)*low, 1+(p-1)*high, in.level
	}
	return v
}

// share is an eigenvalue's part of their sum t.
func (in jointInterval) share(share float64, axis []float64, t float64) estimate.Value[float64] {
	v := in.value(share)
	if !(share > 0 && share < 1) {
		return v
	}
	g := identity(in.f.p, -share/t)
	g.SymRankOne(g, 1/t, mat.NewVecDense(in.f.p, axis))
	if half, ok := in.half(g); ok {
		v.Low, v.High = around(share, half/(share*(1-share)))
		v.Level = in.level
	}
	return v
}

// around returns the bounds of a share whose logit is known to within half.
func around(share, half float64) (low, high float64) {
	logit := math.Log(share / (1 - share))
	return 1 / (1 + math.Exp(half-logit)), 1 / (1 + math.Exp(-half-logit))
}

func identity(p int, scale float64) *mat.SymDense {
	m := mat.NewSymDense(p, nil)
	for k := range p {
		m.SetSym(k, k, scale)
	}
	return m
}

// JointRatio returns the ratios b/a of two joint spreads, of [Joint.Total] and of
// [Joint.Generalised], such as late over early or searching over settled: below
// 1 is steadier. The intervals join those of both sides, see [EarlyLate], which
// are taken for independent. They are had also where neighbours are so alike that
// neither side has an interval of its own: both sides then fall short alike of
// how far strokes go in the long run. What is absent on a side is absent here.
//
// It is an error if the columns, or their scales, differ.
func JointRatio(a, b Joint) (total, generalised estimate.Value[float64], err error) {
	if len(a.Names) != len(b.Names) {
		return total, generalised, fmt.Errorf("variability: %d columns and %d", len(a.Names), len(b.Names))
	}
	for k, name := range a.Names {
		if b.Names[k] != name {
			return total, generalised, fmt.Errorf("variability: column %q and column %q", name, b.Names[k])
		}
		if a.Scales[k] != b.Scales[k] {
			return total, generalised, fmt.Errorf("variability: column %q has scale %v and scale %v", name, a.Scales[k], b.Scales[k])
		}
	}
	return jointRatio(a.total, b.total, "ratio of total spreads"), jointRatio(a.generalised, b.generalised, "ratio of generalised spreads"), nil
}

func jointRatio(a, b estimate.Value[float64], what string) estimate.Value[float64] {
	for _, v := range []estimate.Value[float64]{a, b} {
		if v.Absent != nil {
			return estimate.Missing[float64](v.Absent.Code, what, v.Absent.Why)
		}
	}
	return ratioOf(a, b, a.N+b.N, 0, what)
}

// Ellipse is the outline within which a share of strokes lies in two columns.
type Ellipse struct {
	// Major and Minor are its half axes and Area what it encloses, in the units
	// of the columns.
	Major, Minor, Area float64
	// Angle is that of the major axis from the first column towards the second,
	// in degrees, in (-90, 90].
	Angle float64
}

// Ellipse returns the ellipse of two columns that holds a share of normally
// scattered strokes, 0.95 for instance, about the mean of their kind: half axes
// √(λ χ²), χ² the quantile of that share with 2 degrees of freedom and λ the
// eigenvalues of the covariance. Only columns in one unit make a picture true
// to scale.
//
// It is an error if a column is not there, if both are the same, if the share is
// not between 0 and 1, and if there is no covariance.
func (j Joint) Ellipse(first, second string, share float64) (Ellipse, error) {
	a, b := -1, -1
	for k, name := range j.Names {
		if name == first {
			a = k
		}
		if name == second {
			b = k
		}
	}
	switch {
	case a < 0 || b < 0 || a == b:
		return Ellipse{}, fmt.Errorf("variability: an ellipse needs two of the columns %q, not %q and %q", j.Names, first, second)
	case !(share > 0 && share < 1):
		return Ellipse{}, fmt.Errorf("variability: share %v of the strokes is not between 0 and 1", share)
	case j.Covariance == nil:
		return Ellipse{}, fmt.Errorf("variability: there is no covariance: %s", j.Dimensions.Absent.Why)
	}
	x, y, xy := j.Covariance.At(a, a), j.Covariance.At(b, b), j.Covariance.At(a, b)
	middle, half := (x+y)/2, math.Hypot((x-y)/2, xy)
	chi := distuv.ChiSquared{K: 2}.Quantile(share)
	e := Ellipse{Major: math.Sqrt(chi * (middle + half)), Minor: math.Sqrt(chi * max(0, x*y-xy*xy) / (middle + half))}
	e.Area = math.Pi * e.Major * e.Minor
	e.Angle = math.Atan2(2*xy, x-y) / 2 * 180 / math.Pi
	if e.Angle <= -90 {
		e.Angle += 180
	}
	return e, nil
}
