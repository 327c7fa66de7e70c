package cycle

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// sums are those of one lap, about its own mean: what is left of the normal
// equations once the lap's centre is solved for.
type sums struct {
	n    int
	z    []float64 // mean of the basis
	gram []float64 // p by p, the lower triangle
	y    [3]float64
	g    [3][]float64
	yy   [3]float64
}

// collect returns the sums of every lap, up to a number of harmonics, of the
// samples less the slow centre.
func (r *run) collect(order int, slow *[3][]float64) []sums {
	p := 2 * order
	all := make([]sums, len(r.laps))
	z := make([]float64, p)
	for i, l := range r.laps {
		s := &all[i]
		s.n, s.z, s.gram = l.hi-l.lo, make([]float64, p), make([]float64, p*p)
		for _, a := range r.axes {
			s.g[a] = make([]float64, p)
		}
		var first [3]float64 // sums about a sample lose fewer digits
		for _, a := range r.axes {
			first[a] = r.x[a][l.lo] - slow[a][l.lo]
		}
		for k := l.lo; k < l.hi; k++ {
			basis(z, r.phase[k])
			floats.Add(s.z, z)
			for j, v := range z {
				floats.AddScaled(s.gram[j*p:j*p+j+1], v, z[:j+1])
			}
			for _, a := range r.axes {
				y := r.x[a][k] - slow[a][k] - first[a]
				s.y[a] += y
				s.yy[a] += y * y
				floats.AddScaled(s.g[a], y, z)
			}
		}
		n := float64(s.n)
		for j := range p {
			floats.AddScaled(s.gram[j*p:j*p+j+1], -s.z[j]/n, s.z[:j+1])
		}
		for _, a := range r.axes {
			s.yy[a] -= s.y[a] * s.y[a] / n
			floats.AddScaled(s.g[a], -s.y[a]/n, s.z)
			s.y[a] = first[a] + s.y[a]/n
		}
		floats.Scale(1/n, s.z)
	}
	return all
}

// normal is the normal equations of all laps, up to some number of harmonics.
type normal struct {
	order int
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

// solve fits order harmonics to the sums of all laps. It reports whether the
// samples determine them at the phases that are seen.
func solve(all []sums, axes []int, order int, seen *coverage) (*normal, bool) {
	p, full := 2*order, len(all[0].z)
	m := &normal{order: order}
	gram := mat.NewSymDense(p, nil)
	samples := 0
	for i := range all {
		samples += all[i].n
		for j := range p {
			for k := range j + 1 {
				gram.SetSym(j, k, gram.At(j, k)+all[i].gram[j*full+k])
			}
		}
	}
	if !m.chol.Factorize(gram) || m.chol.Cond() > 1e13 {
		return nil, false
	}
	if m.leverage = seen.leverage(m, samples); !(m.leverage <= maxLeverage) {
		return nil, false
	}
	rhs := mat.NewVecDense(p, nil)
	var out mat.VecDense
	for _, a := range axes {
		rhs.Zero()
		for i := range all {
			floats.Add(rhs.RawVector().Data, all[i].g[a][:p])
		}
		if m.chol.SolveVecTo(&out, rhs) != nil && m.chol.Cond() > 1e13 {
			return nil, false
		}
		m.coef[a] = append([]float64(nil), out.RawVector().Data...)
	}
	m.pull = make([][3][]float64, len(all))
	for i := range all {
		s := &all[i]
		for _, a := range axes {
			// What is left of the lap's own normal equations.
			u := rhs.RawVector().Data
			copy(u, s.g[a][:p])
			left := s.yy[a] - 2*floats.Dot(s.g[a][:p], m.coef[a])
			for j := range p {
				row := s.gram[j*full : j*full+j+1]
				b := m.coef[a][j]
				for k, v := range row[:j] {
					u[j] -= v * m.coef[a][k]
					u[k] -= v * b
					left += 2 * v * b * m.coef[a][k]
				}
				u[j] -= row[j] * b
				left += row[j] * b * b
			}
			if err := m.chol.SolveVecTo(&out, rhs); err != nil && out.Len() != p {
				return nil, false
			}
			m.pull[i][a] = append([]float64(nil), out.RawVector().Data...)
			own := floats.Dot(u, m.pull[i][a])
			m.miss += math.Max(0, left) + 2*own
			m.doubt += own
		}
	}
	return m, true
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
	z := mat.NewVecDense(p, nil)
	var out mat.VecDense
	sum, n := 0.0, 0.0
	for b, ok := range c.seen {
		if !ok {
			continue
		}
		raw := z.RawVector().Data
		basis(raw, (float64(b)+0.5)/phases)
		floats.Sub(raw, mid)
		if m.chol.SolveVecTo(&out, z) != nil && out.Len() != p {
			return math.Inf(1)
		}
		sum += mat.Dot(z, &out) * float64(samples) / float64(p)
		n++
	}
	return sum / n
}
