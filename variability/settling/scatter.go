package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// power is a variance with its noise: the estimate, and by how much the square
// of each stroke exceeds the mean of them.
type power struct {
	value, noise float64   // the variance contains the noise, a variance too
	excess       []float64 // NaN where a stroke lacks the measurement
	n            int
	memory, most float64 // correlation of a stroke with the one a cycle before, and its upper bound
}

func (p *power) free() float64 { return p.value - p.noise }

// series returns the standard error of a mean over the strokes of p whose terms
// are xs, and its degrees of freedom. Terms that are squares resemble each
// other as the strokes do: where these have a memory r, by r² a cycle before,
// which is r from stroke to stroke of a first-order autoregression. The larger
// of what that says and of the long-run variance holds, and with fewer than
// [estimate.MinBlocks] effective strokes nothing does: df is 0.
func (p *power) series(xs []float64) (se, df float64) {
	v, k := estimate.LongRun(xs)
	own, n := 0.0, 0.0
	for _, x := range xs {
		if x == x {
			own += x * x
			n++
		}
	}
	r := min(maxPhi, p.memory+p.memory*(p.most-p.memory))
	factor := (1 + r) / (1 - r)
	df = float64(k)
	if n/factor < 2 {
		df = 0
	}
	return math.Sqrt(max(v, own/n*factor) / n), df
}

// centred returns how many of n strokes of one direction are left for the
// squares when one mean for them all is taken off, if those in runs of the
// numbers given are autoregressions of correlation r, each for itself.
func centred(numbers []float64, r float64) float64 {
	var n, sum float64
	for _, k := range numbers {
		p := products{n: k}
		squares, _ := p.expected(r)
		n += k
		sum += k * (k - squares) // of all covariances
	}
	return n - sum/n
}

// powerOf returns the variance of the strokes of runs in col, of memory r,
// about one centre for each direction: in all of them together, or in each run.
func (x *explorer) powerOf(col *explored, runs []run, each bool, r float64) (p power) {
	step := max(1, len(runs))
	if each {
		step = 1
	}
	total, left := 0.0, 0.0
	for k := 0; k < len(runs); k += step {
		group := runs[k : k+step]
		var mean [2]float64
		for d := range mean {
			x.buf = x.buf[:0] // strokes that each run has
			sum, n := 0.0, 0.0
			for _, r := range group {
				before := n
				for i := r.lo; i < r.hi; i++ {
					if v := col.x[i]; v == v && x.c.up[i] == (d == 1) {
						sum += v
						n++
					}
				}
				if n > before {
					x.buf = append(x.buf, n-before)
				}
			}
			if n > 0 {
				mean[d] = sum / n
				left += centred(x.buf, r)
			}
		}
		for _, r := range group {
			for i := r.lo; i < r.hi; i++ {
				v := col.x[i] - mean[0]
				if x.c.up[i] {
					v = col.x[i] - mean[1]
				}
				p.excess = append(p.excess, v*v)
				if v == v {
					total += v * v
					p.n++
				}
			}
		}
	}
	for i := range p.excess {
		p.excess[i] -= total / float64(p.n)
	}
	p.value, p.noise, p.memory = total/max(1, left), col.noise*col.noise, r
	return p
}

// around returns √v·scale, v a variance with that relative standard error, with
// the interval that v has as a multiple of χ², of 2/relative² degrees of
// freedom (Satterthwaite 1946), the error itself known with df.
func around(v, relative, df float64, n int) estimate.Value[float64] {
	e := estimate.Value[float64]{Value: math.Sqrt(v), Low: math.NaN(), High: math.NaN(), N: n}
	if df > 0 {
		relative *= student(z975, df) / z975
		k := 2 / (relative * relative)
		if least := chiSquared(-z975, k); least > 0 {
			e.Low, e.High, e.Level = math.Sqrt(v/chiSquared(z975, k)), math.Sqrt(v/least), 0.95
		}
	}
	return e
}

// scatters fills in Scatter, Ratio and Share; Memory must be there.
func (x *explorer) scatters(out []Explored) {
	const noisy = "the noise of the measurement accounts for all the scatter"
	powers := make([]power, len(out))
	sum := 0.0
	for k := range out {
		e, col := &out[k], &x.cols[k]
		r, most := 0.0, 0.0
		if e.Memory.Known() {
			r, most = max(0, min(maxPhi, e.Memory.Value)), max(0, e.Memory.High)
		}
		powers[k] = x.powerOf(col, x.searches, false, r)
		powers[k].most = most
		p := &powers[k]
		if p.free() <= 0 {
			e.Scatter = estimate.Missing[float64]("noise", "scatter of the searching "+e.Name, noisy)
			e.Ratio = estimate.Missing[float64]("noise", "scatter of the searching against the settled "+e.Name, noisy)
			continue
		}
		sum += p.free()
		se, df := p.series(p.excess)
		e.Scatter = around(p.free(), se/p.free(), df, p.n)
		e.Ratio = x.ratio(e.Name, col, p.free(), se/p.free(), df)
	}
	for k := range out {
		out[k].Share = share(out[k].Name, powers, k, sum)
	}
}

// mostNoise is the relative standard error of a variance above which nothing
// is divided by it.
const mostNoise = 0.5

// ratio returns the square root of free, a variance of searching strokes, over
// that of the settled ones.
func (x *explorer) ratio(name string, col *explored, free, relative, df float64) estimate.Value[float64] {
	what := "scatter of the searching against the settled " + name
	p := x.powerOf(col, x.holds, true, 0)
	if p.n <= 2*minCycles {
		return estimate.Missing[float64]("too-few-strokes", what, "too few strokes are settled to compare with")
	}
	se, k := p.series(p.excess)
	own := p.free()
	if !(own > 0) || se/own > mostNoise {
		return estimate.Missing[float64]("noise", what, "the noise of the measurement hides the scatter of the settled strokes")
	}
	v := estimate.Value[float64]{Value: math.Sqrt(free / own), Low: math.NaN(), High: math.NaN(), N: p.n}
	if df > 0 && k > 0 {
		// Each bound by how far the two are from their values on that side
		// (Donner & Zou 2012).
		a, b := around(free, relative, df, p.n), around(own, se/own, k, p.n)
		if a.Level == 0 || b.Level == 0 {
			return v
		}
		la, ua := math.Log(a.Low/a.Value), math.Log(a.High/a.Value)
		lb, ub := math.Log(b.Low/b.Value), math.Log(b.High/b.Value)
		v.Low, v.High, v.Level = v.Value*math.Exp(-math.Hypot(la, ub)), v.Value*math.Exp(math.Hypot(ua, lb)), 0.95
	}
	return v
}

// share returns the part of powers[k] in the sum of all, noise taken off, with
// the interval of its logit, from the variance of
//
//	(excess of k - share × excess of all) / sum
//
// The larger of two estimates of that errs to the wide side, for which its
// degrees of freedom are doubled.
func share(name string, powers []power, k int, sum float64) estimate.Value[float64] {
	own := powers[k].free()
	what := "share of the " + name + " in the exploration"
	switch {
	case len(powers) < 2:
		return estimate.Missing[float64]("alone", what, "no other measurement takes part")
	case own <= 0:
		return estimate.Missing[float64]("noise", what, "the noise of the measurement accounts for all the scatter")
	case own == sum:
		return estimate.Missing[float64]("noise", what, "of all others the noise accounts for all the scatter")
	}
	s := own / sum
	all := power{memory: 0}
	influence := make([]float64, len(powers[k].excess))
	for j := range powers {
		p := &powers[j]
		if p.free() <= 0 {
			continue
		}
		w := -s
		if j == k {
			w++
		}
		w /= sum * float64(p.n) / float64(len(influence))
		for i, v := range p.excess {
			if v == v {
				influence[i] += w * v
			}
		}
		all.memory += p.memory * p.free() / sum
		all.most += p.most * p.free() / sum
	}
	v := estimate.Value[float64]{Value: s, Low: math.NaN(), High: math.NaN(), N: powers[k].n}
	if se, df := all.series(influence); df > 0 {
		f := math.Exp(student(z975, 2*df) * se / (s * (1 - s)))
		odds := s / (1 - s)
		v.Low, v.High, v.Level = odds/f/(1+odds/f), odds*f/(1+odds*f), 0.95
	}
	return v
}
