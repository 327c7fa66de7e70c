package variability

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
	"gonum.org/v1/gonum/mat"
)

// jointFit holds strokes in units of the scales.
type jointFit struct {
	p, n, groups int
	stroke       []int       // which stroke each row is
	rows         [][]float64 // deviations from the mean of its kind
	sigma        [][]float64 // noise
	kind         []int       // from 0 to groups-1
	rho          [][]float64 // correlation of the noise, nil for none
	factor       float64     // of the covariance, for truncation
	widen        float64     // of intervals, the same
	s, c, noise  *mat.SymDense
	pairs        [][]float64 // strokes that have both columns
}

// newJointFit gathers the strokes that count.
func newJointFit(columns []Column, o JointOptions) *jointFit {
	f := &jointFit{p: len(columns), rho: o.NoiseCorrelation, factor: 1, widen: 1}
	values := make([][]float64, f.p)
	for k, c := range columns {
		values[k] = unwrapped(c.Values, c.Period)
	}
	kinds := map[int]int{}
	for i := range values[0] {
		if o.Use != nil && !o.Use[i] {
			continue
		}
		row, sigma, have := make([]float64, f.p), make([]float64, f.p), 0
		for k, c := range columns {
			row[k] = values[k][i] / c.Scale
			sigma[k] = c.Noise / c.Scale
			if c.Noises != nil {
				sigma[k] = c.Noises[i] / c.Scale
			}
			if !math.IsNaN(row[k]) {
				have++
			}
		}
		if have == 0 || have < f.p && (!o.Pairwise || o.Robust) {
			continue
		}
		g := 0
		if o.Groups != nil {
			g = o.Groups[i]
		}
		if _, ok := kinds[g]; !ok {
			kinds[g] = len(kinds)
		}
		f.rows, f.sigma, f.kind, f.stroke = append(f.rows, row), append(f.sigma, sigma), append(f.kind, kinds[g]), append(f.stroke, i)
	}
	f.n, f.groups = len(f.rows), len(kinds)
	return f
}

// unwrapped returns values as near to their circular mean as their period lets
// them be.
func unwrapped(values []float64, period float64) []float64 {
	if !(period > 0) {
		return values
	}
	turn := make([]circular.Angle, len(values))
	for i, v := range values {
		turn[i] = circular.Angle(2 * math.Pi * v / period)
	}
	mean := circular.Directional(turn, circular.Options{Level: -1}).Mean
	if !mean.Known() {
		return values
	}
	at := float64(mean.Value) * period / (2 * math.Pi)
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = at + math.Remainder(v-at, period)
	}
	return out
}

// centre takes the mean of its kind off every column, or the median.
func (f *jointFit) centre(middle func([]float64) float64) {
	for k := range f.p {
		of := make([][]float64, f.groups)
		for i, row := range f.rows {
			if !math.IsNaN(row[k]) {
				of[f.kind[i]] = append(of[f.kind[i]], row[k])
			}
		}
		at := make([]float64, f.groups)
		for g, xs := range of {
			at[g] = middle(xs)
		}
		for i, row := range f.rows {
			row[k] -= at[f.kind[i]]
		}
	}
}

// covariances fills in those of the strokes, of the noise and of what is left.
func (f *jointFit) covariances() {
	f.centre(meanOf)
	f.s, f.c, f.noise = mat.NewSymDense(f.p, nil), mat.NewSymDense(f.p, nil), mat.NewSymDense(f.p, nil)
	f.pairs = make([][]float64, f.p)
	for a := range f.pairs {
		f.pairs[a] = make([]float64, f.p)
	}
	for a := range f.p {
		for b := range a + 1 {
			var sum, noise, n, known float64
			kinds := map[int]bool{}
			for i, row := range f.rows {
				v := row[a] * row[b]
				if math.IsNaN(v) {
					continue
				}
				sum += v
				n++
				kinds[f.kind[i]] = true
				if w := f.sigma[i][a] * f.sigma[i][b]; !math.IsNaN(w) {
					noise += w
					known++
				}
			}
			f.pairs[a][b], f.pairs[b][a] = n, n
			s := math.NaN()
			if df := n - float64(len(kinds)); df > 0 {
				s = sum / df * f.factor
			}
			switch {
			case known == 0 || a != b && f.rho == nil:
				noise = 0
			default:
				noise /= known
				if a != b {
					noise *= f.rho[a][b]
				}
			}
			f.s.SetSym(a, b, s)
			f.noise.SetSym(a, b, noise)
			f.c.SetSym(a, b, s-noise)
		}
	}
}

// adds returns what each stroke adds to a function of the covariance to first
// order, of which g is the derivative.
func (f *jointFit) adds(g *mat.SymDense) []float64 {
	weight, s := make([]float64, f.p*f.p), make([]float64, f.p*f.p)
	for a := range f.p {
		for b := range f.p {
			weight[a*f.p+b] = g.At(a, b) * float64(f.n) / f.pairs[a][b]
			s[a*f.p+b] = f.s.At(a, b)
		}
	}
	out := make([]float64, f.n)
	for i, row := range f.rows {
		for a, u := range row {
			for b, v := range row {
				if v *= u; v == v { // neither is missing
					out[i] += weight[a*f.p+b] * (f.factor*v - s[a*f.p+b])
				}
			}
		}
	}
	return out
}

// likeness returns the mean over the columns of their lag-1 autocorrelations,
// squared with their signs, as those of squares are.
func (f *jointFit) likeness() float64 {
	var sum float64
	for k := range f.p {
		r := likeness(f.column(k))
		sum += r * math.Abs(r)
	}
	return sum / float64(f.p)
}

// worth returns how many independent strokes these are worth, by the mean
// lag-1 autocorrelation of the columns; NaN below 15 strokes.
func (f *jointFit) worth() float64 {
	if f.n < fewest {
		return math.NaN()
	}
	var r float64
	for k := range f.p {
		r += likeness(f.column(k)) / float64(f.p)
	}
	n := float64(f.n)
	return min(n, n*(1-r)/(1+r))
}

// column returns the known values of column k.
func (f *jointFit) column(k int) []float64 {
	xs := make([]float64, 0, f.n)
	for _, row := range f.rows {
		if !math.IsNaN(row[k]) {
			xs = append(xs, row[k])
		}
	}
	return xs
}

// leaveOut leaves out the strokes that lie apart and returns which they were.
func (f *jointFit) leaveOut() []int {
	f.centre(robust.Median)
	keep := inlying(f.rows)
	var out []int
	for i, in := range keep {
		if !in {
			out = append(out, f.stroke[i])
		}
	}
	_, factor, widen := truncation(f.p)
	*f = f.only(keep)
	f.factor, f.widen = factor, widen
	return out
}

// only returns the strokes that are kept.
func (f *jointFit) only(keep []bool) jointFit {
	g := jointFit{p: f.p, rho: f.rho, factor: 1, widen: 1}
	kinds := map[int]int{}
	for i, in := range keep {
		if !in {
			continue
		}
		if _, ok := kinds[f.kind[i]]; !ok {
			kinds[f.kind[i]] = len(kinds)
		}
		g.rows, g.sigma = append(g.rows, f.rows[i]), append(g.sigma, f.sigma[i])
		g.kind, g.stroke = append(g.kind, kinds[f.kind[i]]), append(g.stroke, f.stroke[i])
	}
	g.n, g.groups = len(g.rows), len(kinds)
	return g
}

// axes returns the eigenvalues of a symmetric matrix, the largest first, with
// their vectors, the largest component of each positive. It returns false if
// there are none.
func axes(m *mat.SymDense) (values []float64, vectors [][]float64, ok bool) {
	var e mat.EigenSym
	p := m.SymmetricDim()
	for a := range p {
		for b := range p {
			if v := m.At(a, b); math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, nil, false
			}
		}
	}
	if !e.Factorize(m, true) {
		return nil, nil, false
	}
	var v mat.Dense
	e.VectorsTo(&v)
	values = e.Values(nil)
	slices.Reverse(values)
	vectors = make([][]float64, p)
	for k := range vectors {
		vectors[k] = mat.Col(nil, p-1-k, &v)
		var far float64
		for _, x := range vectors[k] {
			if math.Abs(x) > math.Abs(far)*(1+1e-9) {
				far = x
			}
		}
		if far < 0 {
			for i := range vectors[k] {
				vectors[k][i] = -vectors[k][i]
			}
		}
	}
	return values, vectors, true
}
