package learning

import (
	"fmt"
	"math"
	"slices"

	"github.com/plectrace/plectrace/variability/robust"
)

// data are the observations that are there, in order of x.
type data struct {
	x, y  []float64 // y as its logarithm with Options.Log
	se    []float64 // standard errors of y, nil without
	index []int     // of each in the input
}

// prepare checks the input and puts it in order.
func prepare(x, y []float64, o Options) (data, error) {
	var d data
	if o.Prior < 0 || math.IsNaN(o.Prior) || math.IsInf(o.Prior, 0) {
		return d, fmt.Errorf("learning: Prior is %v: give the practice before x = 0 as a number from 0", o.Prior)
	}
	for i := range x {
		switch {
		case math.IsInf(x[i], 0):
			return d, fmt.Errorf("learning: x[%d] is %v", i, x[i])
		case math.IsInf(y[i], 0):
			return d, fmt.Errorf("learning: y[%d] is %v", i, y[i])
		case math.IsNaN(x[i]) || math.IsNaN(y[i]):
			continue
		case o.Log && y[i] <= 0:
			return d, fmt.Errorf("learning: y[%d] is %v: the logarithm needs values above 0", i, y[i])
		}
		if o.Errors != nil {
			if se := o.Errors[i]; !(se > 0) || math.IsInf(se, 0) {
				return d, fmt.Errorf("learning: Errors[%d] is %v: a standard error is above 0", i, se)
			}
		}
		d.index = append(d.index, i)
	}
	slices.SortStableFunc(d.index, func(a, b int) int {
		switch {
		case x[a] < x[b]:
			return -1
		case x[a] > x[b]:
			return 1
		}
		return 0
	})
	if n := len(d.index); n > 0 {
		if low, high := x[d.index[0]], x[d.index[n-1]]; math.IsInf(high-low, 0) {
			return data{}, fmt.Errorf("learning: x from %v to %v is a wider range than can be computed with", low, high)
		}
	}
	for _, i := range d.index {
		v := y[i]
		if o.Log {
			v = math.Log(v)
		}
		d.x, d.y = append(d.x, x[i]), append(d.y, v)
		if o.Errors != nil {
			se := o.Errors[i]
			if o.Log {
				se /= y[i] // to first order
			}
			d.se = append(d.se, se)
		}
	}
	return d, nil
}

// problem scales the data, so that sums of squares neither overflow nor vanish.
func (d data) problem() *problem {
	n := len(d.y)
	low, high := slices.Min(d.y), slices.Max(d.y)
	p := &problem{
		x: d.x, y: make([]float64, n), whole: make([]float64, n), root: make([]float64, n),
		mid: low/2 + high/2, scale: high/2 - low/2, factor: 1,
	}
	if p.scale == 0 {
		p.scale = max(math.Abs(p.mid), 1)
	}
	var most float64
	for i, v := range d.y {
		p.y[i], p.whole[i], p.root[i] = (v-p.mid)/p.scale, v/p.scale, 1
		most = max(most, math.Abs(p.whole[i]))
	}
	const epsilon = 0x1p-52
	p.floor = float64(n) * epsilon * epsilon * (1 + most) * (1 + most)
	return p
}

// pivot fits the most flexible of the shapes that there are, the one with the
// least scatter, to pull values in and to weigh them against.
func (p *problem) pivot(list map[Kind]*shape) (*shape, node) {
	var s *shape
	var best node
	for _, kind := range []Kind{Exponential, Power, Line, Constant} {
		c := list[kind]
		if c == nil || len(p.y) < c.parameters()+2 || s != nil && c.parameters() < s.parameters() {
			continue
		}
		if nd := newSolver(c, p, 0).best(); s == nil || nd.rss < best.rss {
			s, best = c, nd
		}
	}
	return s, best
}

// residuals returns the values less the fit, unweighted.
func (p *problem) residuals(s *shape, nd node) []float64 {
	r := make([]float64, len(p.y))
	for i, z := range s.z {
		r[i] = p.y[i] - nd.b0 - nd.b1*s.column(z, nd.kappa)
	}
	return r
}

// weigh sets the weights from standard errors. Days differ by more than the
// errors of the takes say: the variance τ² of that is the one for which
//
//	Σ r² / (τ² + se²) = n - p
//
// (Paule & Mandel 1982), r being the residuals of the pivot, and weights are
// 1/(τ² + se²). It returns τ in the unit of y.
func (p *problem) weigh(se []float64, list map[Kind]*shape) float64 {
	n := len(se)
	var extra float64
	set := func() {
		var sum float64
		for i, e := range se {
			e /= p.scale
			p.root[i] = 1 / (extra + e*e)
			sum += p.root[i]
		}
		for i := range p.root {
			p.root[i] = math.Sqrt(p.root[i] * float64(n) / sum)
		}
	}
	set()
	for range 10 {
		s, nd := p.pivot(list)
		if s == nil {
			break
		}
		r := p.residuals(s, nd)
		excess := func(extra float64) (q float64) {
			for i, e := range se {
				e /= p.scale
				q += r[i] * r[i] / (extra + e*e)
			}
			return q - float64(n-s.parameters())
		}
		before := extra
		extra = 0
		if excess(0) > 0 {
			lo, hi := 0.0, dot(r, r)/float64(n-s.parameters()) // excess(hi) < 0
			for range 60 {
				if mid := (lo + hi) / 2; excess(mid) > 0 {
					lo = mid
				} else {
					hi = mid
				}
			}
			extra = hi
		}
		set()
		if math.Abs(extra-before) <= 1e-9*extra {
			break
		}
	}
	return math.Sqrt(extra) * p.scale
}

// pulled is the number of robust standard deviations beyond which Huber's
// function pulls a residual in: 95 % efficient for normal errors.
const pulled = 1.345

// pullIn replaces values by pseudo-values, the pivot's fit plus residuals cut
// at ±1.345 robust standard deviations (Huber 1981, 7.4 and 7.10), the pivot
// being fitted again until they settle. A least squares fit of those is
// Huber's M-estimate, and its standard errors are those of least squares times
// K/m, with m the share of residuals that are not cut and
//
//	K = 1 + (p/n) (1-m)/m
//
// (Huber 1981, 7.6). It returns which values lie beyond three standard
// deviations.
func (p *problem) pullIn(list map[Kind]*shape) (far []int) {
	n := len(p.y)
	y := slices.Clone(p.y)
	offset := p.mid / p.scale
	var kept int
	var params int
	for range 50 {
		s, nd := p.pivot(list)
		if s == nil {
			return nil
		}
		params = s.parameters()
		r := make([]float64, n)
		size := make([]float64, n)
		for i, z := range s.z {
			r[i] = (y[i] - nd.b0 - nd.b1*s.column(z, nd.kappa)) * p.root[i]
			size[i] = math.Abs(r[i])
		}
		scale := robust.Median(size) * robustScale * math.Sqrt(float64(n)/float64(n-params))
		if !(scale*scale*float64(n) > p.floor) {
			break
		}
		kept = 0
		far = far[:0]
		var moved float64
		for i := range r {
			cut := min(max(r[i], -pulled*scale), pulled*scale)
			if cut == r[i] {
				kept++
			}
			if size[i] > 3*scale {
				far = append(far, i)
			}
			v := y[i] + (cut-r[i])/p.root[i]
			moved = max(moved, math.Abs(v-p.y[i]))
			p.y[i], p.whole[i] = v, v+offset
		}
		if moved <= 1e-6*scale {
			break
		}
	}
	if kept > 0 {
		m := float64(kept) / float64(n)
		p.factor = (1 + float64(params)/float64(n)*(1-m)/m) / m
	}
	return far
}

// robustScale is 1/Φ⁻¹(3/4).
const robustScale = 1.482602218505602
