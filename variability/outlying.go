package variability

import (
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// inside is the share of normally scattered rows that inlying keeps.
const inside = 0.975

// truncation returns what strokes lose by leaving out those beyond the cut, the
// 0.975 quantile of χ² with p degrees of freedom: factor is that by which the
// covariance of the others falls short, 0.975/P(χ²(p+2) ≤ cut) (Croux and
// Haesbroeck 1999), and widen that by which what one stroke adds to its size
// grows, since the cut moves with it,
//
//	1/(1 - κ), κ = cut f(cut) (cut/(p P(χ²(p+2) ≤ cut)) - 1/0.975)
//
// with f the density of χ².
func truncation(p int) (cut, factor, widen float64) {
	chi := distuv.ChiSquared{K: float64(p)}
	cut = chi.Quantile(inside)
	kept := distuv.ChiSquared{K: float64(p) + 2}.CDF(cut)
	κ := cut * chi.Prob(cut) * (cut/(float64(p)*kept) - 1/inside)
	return cut, inside / kept, 1 / (1 - κ)
}

// inlying tells which rows, centred and without NaN, lie with the others:
//
//  1. The half nearest by the distances of Maronna and Zamar (2002).
//  2. Steps of concentration: the half nearest by the covariance of those, until
//     they stay (Rousseeuw and Van Driessen 1999); one start as good as the first
//     replaces their random ones (Hubert, Rousseeuw and Verdonck 2012).
//  3. Those of d² ≤ cut median(d²)/χ²(p; 0.5).
//  4. Those of d² ≤ cut by the covariance of those, made up for the truncation,
//     until they stay.
//
// Steps 2 and 4 end early where the rows kept have no inverse covariance.
func inlying(rows [][]float64) []bool {
	n, p := len(rows), len(rows[0])
	cut, factor, _ := truncation(p)
	const steps = 50 // a few do
	d := turnedDistances(rows)
	half := nearest(d, (n+p+1)/2)
	for range steps {
		next, ok := distances(rows, half)
		if !ok {
			break
		}
		d = next
		closer := nearest(d, (n+p+1)/2)
		if slices.Equal(closer, half) {
			break
		}
		half = closer
	}
	keep := within(d, cut*robust.Median(d)/distuv.ChiSquared{K: float64(p)}.Quantile(0.5))
	for range steps {
		d, ok := distances(rows, keep)
		if !ok {
			break
		}
		next := within(d, cut*factor)
		if slices.Equal(next, keep) {
			break
		}
		keep = next
	}
	return keep
}

// nearest marks the h smallest values.
func nearest(d []float64, h int) []bool {
	order, sorted := make([]int, len(d)), slices.Clone(d)
	floats.Argsort(sorted, order)
	in := make([]bool, len(d))
	for _, i := range order[:h] {
		in[i] = true
	}
	return in
}

// within marks the values up to a limit.
func within(d []float64, limit float64) []bool {
	in := make([]bool, len(d))
	for i, v := range d {
		in[i] = v <= limit
	}
	return in
}

// distances returns the squared distance of every row by the mean and the
// covariance of those that are used, and false if that has no inverse.
func distances(rows [][]float64, use []bool) ([]float64, bool) {
	p := len(rows[0])
	var of []float64
	for i, in := range use {
		if in {
			of = append(of, rows[i]...)
		}
	}
	if len(of) <= p*p {
		return nil, false
	}
	data := mat.NewDense(len(of)/p, p, of)
	s := mat.NewSymDense(p, nil)
	stat.CovarianceMatrix(s, data, nil)
	middle := make([]float64, p)
	for k := range middle {
		middle[k] = stat.Mean(mat.Col(nil, k, data), nil)
	}
	var inverse mat.Cholesky
	if !inverse.Factorize(s) || inverse.Cond() > 1e12 {
		return nil, false
	}
	var inv mat.SymDense
	if inverse.InverseTo(&inv) != nil {
		return nil, false
	}
	d := make([]float64, len(rows))
	off := make([]float64, p)
	for i, row := range rows {
		floats.SubTo(off, row, middle)
		for a, v := range off {
			var w float64
			for b, u := range off {
				w += inv.At(a, b) * u
			}
			d[i] += v * w
		}
	}
	return d, true
}

// turnedDistances returns squared distances by the orthogonalised
// Gnanadesikan-Kettenring estimate of Maronna and Zamar (2002), with median and
// scaled MAD, two turns: standardise the columns, take the robust covariances
// (scale(a+b)² - scale(a-b)²)/4, turn to their axes, and measure along these. A
// column without scale is left as it is.
func turnedDistances(rows [][]float64) []float64 {
	n, p := len(rows), len(rows[0])
	z := make([][]float64, p) // columns
	for k := range z {
		z[k] = make([]float64, n)
		for i, row := range rows {
			z[k][i] = row[k]
		}
	}
	for range 2 {
		z = turned(z)
	}
	d := make([]float64, n)
	for _, column := range z {
		middle, scale := robust.Median(column), robust.Scale(column)
		if !(scale > 0) {
			continue
		}
		for i, v := range column {
			d[i] += (v - middle) * (v - middle) / (scale * scale)
		}
	}
	return d
}

// turned returns columns standardised and turned to their robust axes.
func turned(z [][]float64) [][]float64 {
	p, n := len(z), len(z[0])
	y := make([][]float64, p)
	for k, column := range z {
		y[k] = append([]float64(nil), column...)
		if scale := robust.Scale(column); scale > 0 {
			floats.Scale(1/scale, y[k])
		}
	}
	u := identity(p, 1)
	sum, less := make([]float64, n), make([]float64, n)
	for a := range p {
		for b := range a {
			floats.AddTo(sum, y[a], y[b])
			floats.SubTo(less, y[a], y[b])
			plus, minus := robust.Scale(sum), robust.Scale(less)
			u.SetSym(a, b, (plus*plus-minus*minus)/4)
		}
	}
	_, vectors, _ := axes(u)
	out := make([][]float64, p)
	for k := range out {
		out[k] = make([]float64, n)
		for a := range p {
			floats.AddScaled(out[k], vectors[k][a], y[a])
		}
	}
	return out
}
