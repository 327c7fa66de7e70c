package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

// profile is how strokes of one direction run from turn to turn: position as
// a share of the stroke's travel at the share u of its time,
//
//	P(u) = ½ [ 1 - cos πu + β₂ (1 - cos 2πu) + β₃ (cos πu - cos 3πu) ]
//
// Half a cosine, the course of a free oscillation, has β₂ = β₃ = 0; β₂ > 0
// starts fast and ends slowly, β₃ tells a flatter or a sharper peak of speed.
// Every such course has zero speed at both ends.
type profile struct{ b2, b3 float64 }

// turnFit is what the samples around a turn say about it.
type turnFit struct {
	tau    float64
	se     float64 // its standard error from the noise, s
	misfit float64 // residual variance over that of the noise
}

// fitTurns sharpens the times of the turns on the samples themselves. Around
// each turn the coordinate along the local axis is taken to leave it on either
// side by the profile of the strokes' directions, which is learned from the
// take, and the turn's time, its place and the two travels are found by least
// squares (Gauss-Newton) on the samples within fitReach of a stroke. Unlike
// the zero of a low-passed velocity, the result is not drawn toward the slower
// of two unequal strokes, and it rests on most of both strokes' samples.
//
// The more the residuals exceed what the noise explains, the more strokes vary
// in their course, and the more weight goes back to the zero crossing of the
// velocity. It is kept next to a pause or to a gap's or the recording's end,
// and with too few samples.
func (s *search) fitTurns(sh *shaper, rests []rest) {
	idx := s.fittable(rests)
	if len(idx) < 6 || s.cycle < 10 {
		return
	}
	at := make([]float64, len(s.nodes))
	for i := range s.nodes {
		at[i] = s.nodes[i].at
	}
	// Learn the profiles on evenly spread turns.
	sample := idx
	if step := len(idx) / learnTurns; step > 1 {
		sample = nil
		for i := 0; i < len(idx); i += step {
			sample = append(sample, idx[i])
		}
	}
	var down, up profile
	s.fitAll(sh, sample, at, down, up)
	for range learnRounds {
		down, up = s.learn(sh, sample, at)
		s.fitAll(sh, sample, at, down, up)
	}
	// What the fit moves the turns of each kind by on the sample is where it
	// starts from on all: the strokes' durations are then right at once.
	var moved [2][]float64
	for _, i := range sample {
		k := kind(s.nodes[i])
		moved[k] = append(moved[k], at[i]-s.nodes[i].at)
	}
	shift := [2]float64{middle(moved[0]), middle(moved[1])}
	for i, nd := range s.nodes {
		at[i] = nd.at
		if !nd.edge {
			at[i] += shift[kind(nd)]
		}
	}
	before := append([]float64(nil), at...)
	fits := s.fitAll(sh, idx, at, down, up)
	// Where turns moved far, the strokes' durations were not right after all.
	var again, place []int
	for k, i := range idx {
		t := before[i+1] - before[i-1]
		if math.Abs(at[i-1]-before[i-1]) > refitShare*t || math.Abs(at[i]-before[i]) > refitShare*t || math.Abs(at[i+1]-before[i+1]) > refitShare*t {
			again, place = append(again, i), append(place, k)
		}
	}
	for j, f := range s.fitAll(sh, again, at, down, up) {
		fits[place[j]] = f
	}
	for k, w := range trust(fits) {
		nd := &s.nodes[idx[k]]
		nd.at += w * (at[idx[k]] - nd.at)
		nd.se += w * (fits[k].se*s.g.hz - nd.se)
	}
}

// trust returns how much weight each fit deserves, by the residuals of those
// around it.
func trust(fits []turnFit) []float64 {
	w := make([]float64, len(fits))
	for k, f := range fits {
		w[k] = f.misfit
	}
	w = rolling(w)
	for k := range w {
		w[k] = min(max((misfitNone-w[k])/(misfitNone-misfitFull), 0), 1)
		if fits[k].tau == 0 && fits[k].se == 0 {
			w[k] = 0 // not fitted
		}
	}
	return w
}

const (
	fitReach    = 0.8 // share of the strokes before and after a turn that its fit looks at
	learnTurns  = 120
	learnRounds = 8
	refitShare  = 0.004 // of a cycle, by which a turn moves to have it and its neighbours fitted again
	misfitFull  = 1.05  // up to this residual variance over the noise the fit stands alone
	misfitNone  = 1.4   // and from here on the zero crossing does
)

// kind is 1 for a top and 0 for a bottom.
func kind(nd node) int {
	if nd.top {
		return 1
	}
	return 0
}

// middle is the median of x, which it reorders, or 0 of none.
func middle(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	return robust.MedianInPlace(x)
}

// fittable returns the nodes that are turns between two strokes of the same
// run without a pause, of durations like those around.
func (s *search) fittable(rests []rest) []int {
	var idx []int
	k, ri := 0, 0
	for i := 1; i+1 < len(s.nodes); i++ {
		a, b, c := s.nodes[i-1], s.nodes[i], s.nodes[i+1]
		if b.edge || a.run != b.run || c.run != b.run || a.edge || c.edge {
			continue
		}
		k = s.size.nearest(k, b.at)
		typical := s.size.duration[k]
		t1, t2 := b.at-a.at, c.at-b.at
		if t1 < 0.3*typical || t1 > 2.5*typical || t2 < 0.3*typical || t2 > 2.5*typical {
			continue
		}
		for ri < len(rests) && (rests[ri].run < b.run || rests[ri].run == b.run && rests[ri].end < a.at) {
			ri++
		}
		if ri < len(rests) && rests[ri].run == b.run && rests[ri].start < c.at {
			continue
		}
		idx = append(idx, i)
	}
	return idx
}

// fitAll fits the turns idx between neighbours at the times at, in grid
// samples, and replaces those times once all are fitted. A turn that could not
// be fitted keeps its time, and its fit is zero but for a misfit of 1.
func (s *search) fitAll(sh *shaper, idx []int, at []float64, down, up profile) []turnFit {
	fits := make([]turnFit, len(idx))
	for k, i := range idx {
		nd := s.nodes[i]
		t1, t2 := at[i]-at[i-1], at[i+1]-at[i]
		before, after := up, down // at a bottom
		if nd.top {
			before, after = down, up
		}
		r := s.g.runs[nd.run]
		ax := &s.axis[min(max(int(at[i]), r.Start), r.End-1)]
		f, ok := sh.fitTurn(s.g.time(at[i]), t1/s.g.hz, t2/s.g.hz, ax, before, after)
		fits[k].misfit = 1
		// No further than a fifth of the shorter stroke: beyond that the
		// motion around the turn is not of this form.
		if ok && math.Abs(s.g.index(f.tau)-nd.at) < 0.2*math.Min(t1, t2) {
			fits[k] = f
		}
	}
	for k, i := range idx {
		if fits[k].tau != 0 {
			at[i] = s.g.index(fits[k].tau)
		}
	}
	return fits
}

// learn returns the median profile of the strokes that begin at the turns idx.
func (s *search) learn(sh *shaper, idx []int, at []float64) (down, up profile) {
	var b [2][2][]float64 // direction, coefficient
	for _, i := range idx {
		nd := s.nodes[i]
		ax := &s.axis[int(nd.at)]
		p, ok := sh.fitProfile(s.g.time(at[i]), s.g.time(at[i+1]), ax)
		if !ok {
			continue
		}
		d := kind(nd)
		b[d][0] = append(b[d][0], p.b2)
		b[d][1] = append(b[d][1], p.b3)
	}
	median := func(d int) profile {
		if len(b[d][0]) < 5 {
			return profile{}
		}
		return profile{robust.MedianInPlace(b[d][0]), robust.MedianInPlace(b[d][1])}
	}
	return median(0), median(1)
}

// fitProfile fits the course of one stroke between two times.
func (sh *shaper) fitProfile(start, end float64, ax *[3]float64) (profile, bool) {
	var m [4][4]float64
	var y [4]float64
	n := 0
	lo := sh.after(start)
	base := 0.0
	for k := lo; k < len(sh.seenT) && sh.seenT[k] <= end; k++ {
		if n == 0 {
			base = sh.project(k, ax)
		}
		v := sh.project(k, ax) - base
		c := math.Cos(math.Pi * (sh.seenT[k] - start) / (end - start))
		c2 := 2*c*c - 1
		c3 := c * (2*c2 - 1)
		r := [4]float64{1, 1 - c, 1 - c2, c - c3}
		for p := range r {
			y[p] += r[p] * v
			for q := range p + 1 {
				m[p][q] += r[p] * r[q]
			}
		}
		n++
	}
	if n < 8 || !solve(&m, &y, 4) || y[1] == 0 {
		return profile{}, false
	}
	return profile{y[2] / y[1], y[3] / y[1]}, true
}

// fitTurn returns the time of the turn near tau between strokes of durations
// t1 and t2, by the samples along ax.
func (sh *shaper) fitTurn(tau, t1, t2 float64, ax *[3]float64, before, after profile) (turnFit, bool) {
	lo := sh.after(tau - fitReach*t1)
	hi := lo
	for hi < len(sh.seenT) && sh.seenT[hi] <= tau+fitReach*t2 {
		hi++
	}
	const least = 3 // samples on each side
	if hi-lo < 2*least+2 {
		return turnFit{}, false
	}
	turn := lo
	for turn < hi && sh.seenT[turn] < tau {
		turn++
	}
	base := sh.project(lo, ax)
	var c [4]float64 // place, travels before and after, step of tau
	f := turnFit{misfit: 1}
	for iter := range 3 {
		for turn > lo && sh.seenT[turn-1] >= tau {
			turn--
		}
		for turn < hi && sh.seenT[turn] < tau {
			turn++
		}
		if turn-lo < least || hi-turn < least {
			return turnFit{}, false
		}
		l := sh.side(lo, turn, tau, t1, base, ax, profile{-before.b2, before.b3}, c[1])
		r := sh.side(turn, hi, tau, t2, base, ax, after, c[2])
		m := [4][4]float64{
			{l.n + r.n},
			{l.g, l.gg},
			{r.g, 0, r.gg},
			{l.d + r.d, l.gd, r.gd, l.dd + r.dd},
		}
		y := [4]float64{l.v + r.v, l.gv, r.gv, l.dv + r.dv}
		n := 4
		if iter == 0 {
			n = 3
		}
		c = y
		if !solve(&m, &c, n) || c[1]*c[2] <= 0 { // both sides must leave to the same side
			return turnFit{}, false
		}
		if iter == 0 {
			continue
		}
		rss := l.vv + r.vv
		for p := range n {
			rss -= c[p] * y[p]
		}
		f.se = sh.noise / m[3][3] // the last row of the Cholesky factor
		if v := sh.noise * sh.noise; v > 0 {
			f.misfit = math.Max(0, rss) / float64(hi-lo-n) / v
		}
		step := math.Max(-0.1*t1, math.Min(c[3], 0.1*t2))
		tau += step
		if math.Abs(step) < 1e-5 {
			break
		}
	}
	f.tau = tau
	return f, true
}

// sums are those over the samples on one side of a turn: of the branch g, the
// column d of the turn's time, the coordinate v, and their products.
type sums struct{ n, g, d, v, gg, gd, dd, gv, dv, vv float64 }

func (sh *shaper) side(from, to int, tau, duration, base float64, ax *[3]float64, p profile, travel float64) sums {
	var s sums
	s.n = float64(to - from)
	for k := from; k < to; k++ {
		g, d := branch((sh.seenT[k]-tau)/duration, p)
		d *= -travel / duration
		v := sh.project(k, ax) - base
		s.g += g
		s.d += d
		s.v += v
		s.gg += g * g
		s.gd += g * d
		s.dd += d * d
		s.gv += g * v
		s.dv += d * v
		s.vv += v * v
	}
	return s
}

// branch returns one side of a turn at the share x of the stroke's time away
// from it, negative before it, and the derivative by x.
func branch(x float64, p profile) (g, d float64) {
	s, c := math.Sincos(math.Pi * x)
	c2, s2 := 2*c*c-1, 2*s*c
	c3, s3 := c*(2*c2-1), s*(2*c2+1)
	g = 1 - c + p.b2*(1-c2) + p.b3*(c-c3)
	d = math.Pi * (s + 2*p.b2*s2 + p.b3*(3*s3-s))
	return g, d
}

// project returns sample k of those seen along ax.
func (sh *shaper) project(k int, ax *[3]float64) float64 {
	i := sh.seen[k]
	v := 0.0
	for d := range sh.cols {
		v += ax[d] * sh.cols[d][i]
	}
	return v
}

// solve replaces y by the solution of the symmetric positive definite system
// m x = y of order n, given the lower triangle of m, which becomes its
// Cholesky factor. It reports whether m is well enough conditioned.
func solve(m *[4][4]float64, y *[4]float64, n int) bool {
	for j := range n {
		d := m[j][j]
		for k := range j {
			d -= m[j][k] * m[j][k]
		}
		if !(d > 1e-10*m[j][j]) {
			return false
		}
		d = math.Sqrt(d)
		m[j][j] = d
		for i := j + 1; i < n; i++ {
			v := m[i][j]
			for k := range j {
				v -= m[i][k] * m[j][k]
			}
			m[i][j] = v / d
		}
	}
	for i := range n {
		for k := range i {
			y[i] -= m[i][k] * y[k]
		}
		y[i] /= m[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			y[i] -= m[k][i] * y[k]
		}
		y[i] /= m[i][i]
	}
	return true
}
