package cycle

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// normal is the normal equations of all laps, up to some number of harmonics.
type normal struct {
	order int
	lower []float64 // Cholesky's, row by row, 2 order to a row
	chol  mat.Cholesky
	coef  [3][]float64
	// pull[i] is what lap i pulls the coefficients by: they would be less by
	// it, to first order, without that lap.
	pull [][3][]float64
	// miss is the squared error with which the others predict a lap, summed
	// over the laps; doubt the part of it that is the mean cycle's own.
	miss, doubt float64
	leverage    float64
}

// equations are the normal equations of all laps. Those of fewer harmonics are
// the first rows and columns.
type equations struct {
	axes    []int
	samples int
	p       int
	gram    []float64 // p by p
	g       [3][]float64
	yy      [3]float64
}

// together adds up the sums of all laps.
func together(all []sums, axes []int) *equations {
	p := len(all[0].z)
	e := &equations{axes: axes, p: p, gram: make([]float64, p*p)}
	for _, a := range axes {
		e.g[a] = make([]float64, p)
	}
	one := make([]float64, p*p)
	for i := range all {
		s := &all[i]
		e.samples += s.n
		s.gram(one, p)
		floats.Add(e.gram, one)
		for _, a := range axes {
			floats.Add(e.g[a], s.g[a])
			e.yy[a] += s.yy[a]
		}
	}
	return e
}

// solve fits order harmonics. It reports whether the samples determine them at
// the phases that are seen.
func (e *equations) solve(order int, seen *coverage) (*normal, bool) {
	p := 2 * order
	m := &normal{order: order, lower: make([]float64, p*p)}
	gram := mat.NewSymDense(p, nil)
	for j := range p {
		copy(gram.RawSymmetric().Data[j*p:(j+1)*p], e.gram[j*e.p:])
	}
	if !m.chol.Factorize(gram) || m.chol.Cond() > 1e13 {
		return nil, false
	}
	var l mat.TriDense
	m.chol.LTo(&l)
	for j := range p {
		for k := range j + 1 {
			m.lower[j*p+k] = l.At(j, k)
		}
	}
	if m.leverage = seen.leverage(m, e.samples); !(m.leverage <= maxLeverage) {
		return nil, false
	}
	for _, a := range e.axes {
		b := mat.NewVecDense(p, nil)
		if m.chol.SolveVecTo(b, mat.NewVecDense(p, e.g[a][:p])) != nil {
			return nil, false
		}
		m.coef[a] = b.RawVector().Data
		// Σ(y - ŷ)² = Σy² - Σŷ² of least squares.
		m.miss += math.Max(0, e.yy[a]-floats.Dot(m.coef[a], e.g[a][:p]))
	}
	return m, true
}

// rest writes what is left of a lap's own normal equations along axis a, given
// its gram matrix of rows at least stride long.
func (m *normal) rest(u []float64, s *sums, gram []float64, stride, a int) {
	for j := range u {
		u[j] = s.g[a][j] - floats.Dot(gram[j*stride:j*stride+len(u)], m.coef[a])
	}
}

// forward overwrites u with the solution x of L x = u, and returns its square.
func (m *normal) forward(u []float64) (square float64) {
	p := len(u)
	for j := range u {
		row := m.lower[j*p : j*p+j+1]
		u[j] = (u[j] - floats.Dot(row[:j], u[:j])) / row[j]
		square += u[j] * u[j]
	}
	return square
}

// weighed is the number of laps, evenly spread, that are enough to tell what a
// lap adds to miss and doubt.
const weighed = 500

// weigh fills in miss and doubt of fits of several orders.
func weigh(tried []*normal, all []sums, axes []int) {
	p := 0
	for _, m := range tried {
		p = max(p, 2*m.order)
	}
	gram, u := make([]float64, p*p), make([]float64, p)
	step := max(1, len(all)/weighed)
	each := float64(len(all)) / float64((len(all)+step-1)/step)
	for i := 0; i < len(all); i += step {
		all[i].gram(gram, p)
		for _, m := range tried {
			u := u[:2*m.order]
			for _, a := range axes {
				m.rest(u, &all[i], gram, p, a)
				own := each * m.forward(u)
				m.miss += 2 * own
				m.doubt += own
			}
		}
	}
}

// pulls fills in what every lap pulls the coefficients by.
func (m *normal) pulls(all []sums, axes []int) {
	p := 2 * m.order
	gram, u, inverse := make([]float64, p*p), make([]float64, p), make([]float64, p*p)
	var inv mat.SymDense
	if err := m.chol.InverseTo(&inv); err != nil && inv.SymmetricDim() != p {
		panic(err) // it was factorised, and is not that ill-conditioned
	}
	for j := range p {
		for k := range p {
			inverse[j*p+k] = inv.At(j, k)
		}
	}
	room := make([]float64, len(all)*len(axes)*p)
	m.pull = make([][3][]float64, len(all))
	for i := range all {
		all[i].gram(gram, p)
		for _, a := range axes {
			m.rest(u, &all[i], gram, p, a)
			pull := room[:p:p]
			room = room[p:]
			for j := range pull {
				pull[j] = floats.Dot(inverse[j*p:(j+1)*p], u)
			}
			m.pull[i][a] = pull
		}
	}
}

// The noise may count for so much more at the phases that are seen, in the
// mean, than with as many samples spread evenly, and with more harmonics for so
// much more than with two. With samples at few phases, or at the same in every
// cycle, that bounds the harmonics.
const (
	maxLeverage  = 10
	moreLeverage = 1.5
)

// coverage says which phases are seen.
type coverage struct {
	seen [phases]bool
	all  bool
}

const (
	phases = 64 // bins of phase
	// Within so many cycles to each side of a phase there are samples of at
	// least seenIn laps, or the phase is not seen. Where every lap has its few
	// samples at the same phases, they are further apart.
	seenReach = 0.03
	seenIn    = 3
)

// cover looks which phases have samples.
func (r *run) cover() coverage {
	var in [phases]int // laps with a sample in each bin
	var last [phases]int
	for i, l := range r.laps {
		for _, ph := range r.phase[l.lo:l.hi] {
			if b := bin(ph); last[b] != i+1 {
				last[b] = i + 1
				in[b]++
			}
		}
	}
	reach := max(seenReach, 0.65/float64(max(r.samplesPerLap(), 1)))
	w := int(math.Round(reach * phases))
	c := coverage{all: true}
	for b := range c.seen {
		n := 0
		for d := -w; d <= w; d++ {
			n += in[(b+d+phases)%phases]
		}
		c.seen[b] = n >= seenIn
		c.all = c.all && c.seen[b]
	}
	return c
}

// at reports whether a phase is seen.
func (c *coverage) at(phase float64) bool { return c.seen[bin(phase)] }

// middle returns the mean of the basis over the phases that are seen; zero when
// all are.
func (c *coverage) middle(order int) []float64 {
	mid, z := make([]float64, 2*order), make([]float64, 2*order)
	if c.all {
		return mid
	}
	n := 0.0
	for b, ok := range c.seen {
		if ok {
			basis(z, (float64(b)+0.5)/phases)
			floats.Add(mid, z)
			n++
		}
	}
	if n > 0 {
		floats.Scale(1/n, mid)
	}
	return mid
}

// leverage returns the mean variance that noise gives the path at the phases
// that are seen, as a multiple of what as many samples spread evenly would.
func (c *coverage) leverage(m *normal, samples int) float64 {
	p := 2 * m.order
	mid := c.middle(m.order)
	z := make([]float64, p)
	sum, n := 0.0, 0.0
	for b, ok := range c.seen {
		if !ok {
			continue
		}
		basis(z, (float64(b)+0.5)/phases)
		floats.Sub(z, mid)
		sum += m.forward(z) * float64(samples) / float64(p)
		n++
	}
	return sum / n
}
