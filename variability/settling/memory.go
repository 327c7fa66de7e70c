package settling

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// products holds the sums of squares and of products of neighbours over the
// strokes of one direction of one span, about their mean.
type products struct {
	n, pairs, squares, products float64
	times                       float64 // in recall.groups: of so many runs
}

// expected returns what squares and products are on average for a stationary
// first-order autoregression of variance 1 and correlation r: the mean that is
// taken off has a variance S/n² of its own, S the sum of all covariances.
func (p *products) expected(r float64) (squares, cross float64) {
	n := p.n
	rn := 1.0 // r^n by squaring: quicker than math.Pow, which is for any n
	for k, q := int(n), r; k > 0; k, q = k/2, q*q {
		if k%2 == 1 {
			rn *= q
		}
	}
	sum := n*(1+r)/(1-r) - 2*r*(1-rn)/((1-r)*(1-r))
	end := (1 - rn) / (1 - r) // n times the covariance of the last with the mean
	squares = n - sum/n
	cross = (n-1)*r - 2*(sum-end)/n + (n-1)*sum/(n*n)
	return squares, cross * p.pairs / (n - 1)
}

// recall is how strokes of one measurement, or of several, resemble those a
// cycle before.
type recall struct {
	groups          []products
	squares, cross  float64   // sums over groups, the noise taken off
	strokes, cycles float64   // strokes, and pairs of them a cycle apart
	moment          []float64 // of each stroke of the take with the one a cycle before, see memory
	base            []float64 // the squares that go with it
}

// recallOf sums over the searching strokes of col.
func (x *explorer) recallOf(col *explored) (rc recall) {
	n := len(x.c.x)
	rc.moment, rc.base = make([]float64, n), make([]float64, n)
	noise := col.noise * col.noise
	for _, r := range x.searches {
		for d := range 2 {
			var p products
			mean := 0.0
			for i := r.lo; i < r.hi; i++ {
				if v := col.x[i]; v == v && x.c.up[i] == (d == 1) {
					mean += v
					p.n++
				}
			}
			if p.n < 3 {
				continue
			}
			mean /= p.n
			before := math.NaN()
			for i := r.lo; i < r.hi; i++ {
				if x.c.up[i] != (d == 1) {
					continue
				}
				v := col.x[i] - mean
				if v == v {
					p.squares += v * v
				}
				if w := v * before; w == w {
					p.products += w
					p.pairs++
					rc.moment[i] = w + noise/p.n
					rc.base[i] = (v*v+before*before)/2 - noise*(1-1/p.n)
				}
				before = v
			}
			p.times = 1
			rc.group(p)
			rc.squares += p.squares - noise*(p.n-1)
			rc.cross += p.products + noise*p.pairs/p.n
			rc.strokes += p.n
			rc.cycles += p.pairs
		}
	}
	return rc
}

// group counts p among the groups: those of equal numbers expect the same.
func (rc *recall) group(p products) {
	for k := range rc.groups {
		if g := &rc.groups[k]; g.n == p.n && g.pairs == p.pairs {
			g.times += p.times
			return
		}
	}
	rc.groups = append(rc.groups, p)
}

// add counts other, too, each stroke by its scatter.
func (rc *recall) add(other *recall) {
	w := other.strokes / other.squares
	if rc.moment == nil {
		rc.moment, rc.base = make([]float64, len(other.moment)), make([]float64, len(other.moment))
	}
	for i := range rc.moment {
		rc.moment[i] += w * other.moment[i]
		rc.base[i] += w * other.base[i]
	}
	for _, p := range other.groups {
		rc.group(p)
	}
	rc.squares += w * other.squares
	rc.cross += w * other.cross
	rc.strokes += other.strokes
	rc.cycles = max(rc.cycles, other.cycles)
}

// ratio returns what cross/squares is on average if the correlation is r: the
// ratio of their means less 2r/n, as the two go together. For one long span
// that is r - (1+4r)/n (Marriott & Pope 1954, Kendall 1954).
func (rc *recall) ratio(r float64) float64 {
	var squares, cross float64
	for k := range rc.groups {
		a, b := rc.groups[k].expected(r)
		squares += rc.groups[k].times * a
		cross += rc.groups[k].times * b
	}
	return cross/squares - 2*r/rc.strokes
}

// memory returns the correlation r for which cross/squares is on average what
// was seen, and the correlations for which the bounds of that ratio are. Its
// standard error is that of the estimating function
//
//	Σ x(i)x(i-1) - q (x(i)² + x(i-1)²)/2, q = cross/squares
//
// whose terms go together over the neighbouring strokes, of the other direction
// and of the next cycle.
func (rc *recall) memory(what string) estimate.Value[float64] {
	if rc.cycles < minCycles {
		return estimate.Missing[float64]("too-few-strokes", what,
			fmt.Sprintf("only %.0f searching strokes have one a cycle before; %d are needed", rc.cycles, minCycles))
	}
	if !(rc.squares > 0) {
		return estimate.Missing[float64]("noise", what, "the noise of the measurement accounts for all the scatter")
	}
	q := rc.cross / rc.squares
	for i := range rc.moment {
		rc.moment[i] -= q * rc.base[i]
	}
	var own, next float64
	for i, v := range rc.moment {
		own += v * v
		for lag := 1; lag <= 2 && lag <= i; lag++ {
			next += 2 * v * rc.moment[i-lag]
		}
	}
	se := math.Sqrt(max(own, own+next)) / rc.squares
	r := rc.correlation(q)
	t := student(z975, rc.cycles/2) * se
	low, high := rc.correlation(q-t/math.Sqrt(rc.left(r))), rc.correlation(q+t/math.Sqrt(rc.left(r)))
	high = rc.correlation(q + t/math.Sqrt(rc.left(high)))
	return estimate.Value[float64]{
		Value: r, Low: low, High: high, Level: 0.95, N: int(rc.cycles),
	}
}

// left returns the share of the squares that the means, one for each span and
// direction, leave if the correlation is r.
func (rc *recall) left(r float64) float64 {
	var squares float64
	for k := range rc.groups {
		a, _ := rc.groups[k].expected(r)
		squares += rc.groups[k].times * a
	}
	return squares / rc.strokes
}

// correlation returns the one that gives the ratio q on average, and 1 or -1
// less a little where none does: by the secant through the bounds, the bound
// that stays counted half (the Illinois rule; Dowell & Jarratt 1971).
func (rc *recall) correlation(q float64) float64 {
	const most, close = 0.999, 1e-6
	lo, hi := -most, most
	a, b := rc.ratio(lo)-q, rc.ratio(hi)-q
	switch {
	case a >= 0:
		return lo
	case b <= 0:
		return hi
	}
	r, side := 0.0, 0
	for range 60 {
		last := r
		r = (lo*b - hi*a) / (b - a)
		v := rc.ratio(r) - q
		if math.Abs(r-last) < close {
			break
		}
		if v < 0 {
			lo, a = r, v
			if side < 0 {
				b /= 2
			}
			side = -1
		} else {
			hi, b = r, v
			if side > 0 {
				a /= 2
			}
			side = 1
		}
	}
	return r
}

// memories fills in Memory and Draws.
func (x *explorer) memories(e *Exploration) {
	var all recall
	for k := range e.Features {
		f := &e.Features[k]
		rc := x.recallOf(&x.cols[k])
		if rc.squares > 0 {
			all.add(&rc)
		}
		f.Memory = rc.memory("memory of the searching " + f.Name)
		f.Draws = draws(f.Memory, e.Options.Threshold)
	}
	e.Memory = all.memory("memory of the searching strokes")
	e.Draws = draws(e.Memory, e.Options.Threshold)
}

// draws holds the interval of a correlation against the threshold.
func draws(v estimate.Value[float64], threshold float64) Draws {
	switch {
	case !v.Known() || !(math.Abs(threshold) < 1):
		return 0
	case v.High < threshold:
		return Fresh
	case v.Low > threshold:
		return Wander
	}
	return DrawsUnsure
}
