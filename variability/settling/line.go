package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// line describes a run of strokes by how every feature's centre runs, still or
// smoothly moving, and by the scatter about it. Odd strokes are left out of all but
// loglik.
type line struct {
	run
	mid         float64           // time zero of centre
	half        [features]float64 // half of down minus up, beyond the take's
	centre      [features]poly
	degree      int // of the line: the best by BIC
	n           [features]int
	sd          [features]float64 // about the line
	scatter     [features]float64 // about the mean
	moved       [features]float64 // range of the line over the run
	wander      [features]float64 // mean product of neighbouring deviations from the mean
	local       [features]float64 // scatter about the local centres
	apart       [features]float64 // range of the local centres
	apartError  [features]float64 // and how well that is known
	odd         int
	loglik      float64           // with the provision for odd strokes, less the price of the degree
	bic         float64           // of the line, up to what all descriptions of the run share
	half2, logs [features]float64 // of the density of one more stroke: 1/(2 variance), log s.d.
	refused     bool              // would not join with the next
}

const (
	// leastSD keeps a scatter, in tolerances, from vanishing.
	leastSD = 0.05
	// shrink is the number of strokes that the take's scatter counts for
	// beside a run's own.
	shrink = 10
)

// at returns the centre of feature f at time t.
func (cs *line) at(f int, t float64) float64 {
	if cs.degree == 0 {
		return cs.centre[f].coef[0]
	}
	return cs.centre[f].at(t-cs.mid, cs.degree)
}

// fitter fits lines to runs of c under m; it holds the scratch.
type fitter struct {
	c           *columns
	m           *model
	cond, mixed []float64 // log-density of each stroke while searching
	auto        []float64 // and under one autoregression throughout

	y                        [][features]float64
	odd, kept                []bool
	t, ys, roll, buf, q, win []float64
	index                    []int
	sums                     sums
	last                     line // what fit returned last, while y and odd are as it left them
	limits                   limits
}

func newFitter(c *columns, m *model, cond, mixed []float64, minSpan float64) *fitter {
	n := len(c.x)
	col := make([]float64, 6*n)
	return &fitter{
		c: c, m: m, cond: cond, mixed: mixed, limits: usual(minSpan),
		y: make([][features]float64, n), odd: make([]bool, n), kept: make([]bool, n), index: make([]int, n),
		t: col[:n:n], ys: col[n : 2*n : 2*n], roll: col[2*n : 3*n : 3*n], buf: col[3*n : 4*n : 4*n], q: col[4*n : 5*n : 5*n],
		auto: col[5*n:],
	}
}

// searching returns the log-likelihood of r if all of it were searching.
func (ft *fitter) searching(r run) (ll float64) {
	for _, v := range ft.cond[r.lo:r.hi] {
		ll += v
	}
	return ll
}

// fit describes r. Afterwards ft.y and ft.odd hold its strokes, from 0, less
// the direction effect.
func (ft *fitter) fit(r run) line {
	if r == ft.last.run {
		return ft.last
	}
	c := ft.c
	cs := line{run: r, mid: (c.start[r.lo] + c.end[r.hi-1]) / 2, half: c.directions(ft.buf, r, 6)}
	y := ft.level(&cs)
	cs.odd = ft.strip(r)
	var bic [maxDegree + 1]float64
	least := len(y)
	for f := range features {
		k := 0
		for j := range y {
			if v := y[j][f]; v == v && !ft.odd[j] {
				ft.t[k], ft.ys[k] = c.start[r.lo+j]-cs.mid, v
				k++
			}
		}
		if k < 4 {
			continue
		}
		cs.n[f] = k
		least = min(least, k)
		cs.centre[f] = fitPoly(ft.t[:k], ft.ys[:k])
		n := float64(k)
		for d := range bic {
			bic[d] += n*math.Log(cs.centre[f].rss[d]/n+leastSD*leastSD) + float64(d)*math.Log(n)
		}
	}
	top := maxDegree
	switch { // what so few strokes can tell
	case least < 12:
		top = 0
	case least < 40:
		top = 1
	}
	for d := 1; d <= top; d++ {
		if bic[d] < bic[cs.degree] {
			cs.degree = d
		}
	}
	cs.bic = bic[cs.degree]
	ft.describe(&cs)
	ft.last = cs
	return cs
}

// level sets ft.y to the strokes of cs less the direction effect.
func (ft *fitter) level(cs *line) [][features]float64 {
	y := ft.y[:cs.len()]
	for j := range y {
		i := cs.lo + j
		y[j] = ft.c.x[i]
		for f := range features {
			y[j][f] -= ft.c.signed(i, cs.half[f])
		}
	}
	return y
}

// keep saves which strokes of the line fitted last are odd, for as long as
// no other that shares strokes with it is kept; recall sets ft.y and ft.odd as
// they were then.
func (ft *fitter) keep(cs line) line {
	copy(ft.kept[cs.lo:cs.hi], ft.odd)
	return cs
}

func (ft *fitter) recall(cs *line) {
	ft.last = line{}
	ft.level(cs)
	copy(ft.odd, ft.kept[cs.lo:cs.hi])
}

// describe works out what follows from the lines of cs.
func (ft *fitter) describe(cs *line) {
	c, y := ft.c, ft.y[:cs.len()]
	ll := ft.q[:len(y)]
	clear(ll)
	for f := range features {
		if cs.n[f] == 0 {
			continue
		}
		p, n := &cs.centre[f], float64(cs.n[f])
		cs.sd[f] = max(leastSD, math.Sqrt(p.rss[cs.degree]/max(1, n-2-float64(cs.degree))))
		cs.scatter[f] = math.Sqrt(p.rss[0] / max(1, n-2))
		v := (n*cs.sd[f]*cs.sd[f] + shrink*ft.m.settled[f]) / (n + shrink) * (1 + 2/n)
		cs.half2[f], cs.logs[f] = 0.5/v, 0.5*math.Log(v)
		logs, half := math.Log(cs.sd[f]), 0.5/(cs.sd[f]*cs.sd[f])
		lo, hi := math.Inf(1), math.Inf(-1)
		var products, pairs float64
		last := math.NaN()
		for j := range y {
			v := cs.at(f, c.start[cs.lo+j])
			lo, hi = min(lo, v), max(hi, v)
			if d := y[j][f] - v; d == d {
				ll[j] -= d*d*half + logs
			}
			d := y[j][f] - p.coef[0]
			if ft.odd[j] {
				d = math.NaN()
			}
			if e := d * last; e == e {
				products += e
				pairs++
			}
			last = d
		}
		cs.moved[f] = hi - lo
		cs.wander[f] = products / max(1, pairs)
		cs.loglik -= 0.5 * float64(cs.degree) * math.Log(n)
	}
	ft.local(cs)
	for j, v := range ll {
		cs.loglik += max(v, ft.cond[cs.lo+j]-oddFirst)
	}
}

// odds returns the log-odds of stroke i belonging to cs over searching.
func (ft *fitter) odds(cs *line, i int) float64 {
	g := -ft.mixed[i]
	for f := range features {
		if cs.n[f] == 0 {
			continue
		}
		d := ft.c.x[i][f] - ft.c.signed(i, cs.half[f]) - cs.at(f, ft.c.start[i])
		if d == d {
			g -= d*d*cs.half2[f] + cs.logs[f]
		}
	}
	return g
}

// strip marks in ft.odd the odd strokes of ft.y and returns how many: those
// too far from the running median for the scatter about it, in all features
// together. About one in 500 strokes of Gaussian scatter is one.
func (ft *fitter) strip(r run) (odd int) {
	w := max(7, int(ft.c.rate)) | 1
	y, q := ft.y[:r.len()], ft.q[:r.len()]
	clear(q)
	lim := 5.0
	for f := range features {
		k := 0
		for j := range y {
			if v := y[j][f]; v == v {
				ft.ys[k], ft.index[k] = v, j
				k++
			}
		}
		if k < 4 {
			continue
		}
		lim += 3
		ft.win = rollingMedian(ft.roll[:k], ft.ys[:k], ft.win, w)
		for i := range k {
			ft.ys[i] -= ft.roll[i]
			ft.buf[i] = ft.ys[i]
		}
		s := robust.ScaleInPlace(ft.buf[:k]) * medianLoss
		n := float64(k)
		s2 := (n*s*s + shrink*ft.m.settled[f]) / (n + shrink)
		for i, j := range ft.index[:k] {
			q[j] += ft.ys[i] * ft.ys[i] / s2
		}
	}
	for j, v := range q {
		ft.odd[j] = v > lim
		if v > lim {
			odd++
		}
	}
	return odd
}
