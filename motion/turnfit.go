package motion

import "math"

// turnFit is what the samples around a turn say about it.
type turnFit struct {
	tau    float64
	se     float64 // its standard error from the noise, s
	misfit float64 // residual variance over that of the noise
}

// stretch is the samples that one fit looks at.
type stretch struct {
	v        []float64 // the coordinate, from the first sample
	sin, cos []float64 // of the phase, half a turn per stroke
}

func (w *stretch) resize(n int) {
	if cap(w.v) < n {
		flat := make([]float64, 6*n)
		w.v, w.sin, w.cos = flat[:0:2*n], flat[2*n:2*n:4*n], flat[4*n:4*n]
	}
	w.v, w.sin, w.cos = w.v[:n], w.sin[:n], w.cos[:n]
}

// phase sets the phases of the samples [from, to) at the times t of a stroke
// that begins or ends at tau. Samples are nearly even in time, so each phase is
// the one before turned by a step whose sine and cosine are at hand; what the
// step lacks is added by its power series, to 1e-13.
func (w *stretch) phase(t []float64, from, to int, tau, duration float64) {
	if from >= to {
		return
	}
	scale := math.Pi / duration
	sin, cos := math.Sincos(scale * (t[from] - tau))
	w.sin[from], w.cos[from] = sin, cos
	step, sinStep, cosStep := 0.0, 0.0, 1.0
	for k := from + 1; k < to; k++ {
		e := scale*(t[k]-t[k-1]) - step
		if math.Abs(e) > 1e-3 {
			step, e = step+e, 0
			sinStep, cosStep = math.Sincos(step)
		}
		p, q := 1-e*e/2, e*(1-e*e/6)
		s, c := sinStep*p+cosStep*q, cosStep*p-sinStep*q
		sin, cos = sin*c+cos*s, cos*c-sin*s
		w.sin[k], w.cos[k] = sin, cos
	}
}

// fitTurn returns the time of the turn near tau between strokes of durations
// t1 and t2, by the samples along ax. Where the turn is moved, the phases
// follow by the sum of two angles.
func (sh *shaper) fitTurn(tau, t1, t2 float64, ax *[3]float64, before, after profile) (turnFit, bool) {
	const least = 3 // samples on each side
	lo, hi := sh.within(tau-fitReach*t1, tau+fitReach*t2)
	n := hi - lo
	if n < 2*least+2 {
		return turnFit{}, false
	}
	t := sh.t[lo:hi]
	turn := 0
	for turn < n && t[turn] < tau {
		turn++
	}
	if turn < least || n-turn < least {
		return turnFit{}, false
	}
	w := &sh.near
	w.resize(n)
	sh.projections(w.v, lo, ax, sh.project(lo, ax))
	w.phase(t, 0, turn, tau, t1)
	w.phase(t, turn, n, tau, t2)

	l, r := w.sums(0, turn, 0, before), w.sums(turn, n, 0, after)
	// The place and the travels alone say where to start from.
	m, c := normal(&l, &r, 0, 0)
	if !solve(&m, &c, 3) || c[1]*c[2] <= 0 {
		return turnFit{}, false
	}
	f := turnFit{misfit: 1}
	moved := 0.0
	for iter := range 2 {
		if iter > 0 {
			was := turn
			for turn > 0 && t[turn-1] >= tau+moved {
				turn--
			}
			for turn < n && t[turn] < tau+moved {
				turn++
			}
			if turn < least || n-turn < least {
				return turnFit{}, false
			}
			w.phase(t, turn, was, tau, t2) // those that changed sides
			w.phase(t, was, turn, tau, t1)
			l, r = w.sums(0, turn, -math.Pi*moved/t1, before), w.sums(turn, n, -math.Pi*moved/t2, after)
		}
		var y [4]float64
		m, y = normal(&l, &r, -math.Pi*c[1]/t1, -math.Pi*c[2]/t2)
		c = y
		if !solve(&m, &c, 4) || c[1]*c[2] <= 0 { // both sides must leave to the same side
			return turnFit{}, false
		}
		rss := l.vv + r.vv
		for p := range y {
			rss -= c[p] * y[p]
		}
		f.se = sh.noise / m[3][3] // the last row of the Cholesky factor
		if v := sh.noise * sh.noise; v > 0 {
			f.misfit = math.Max(0, rss) / float64(n-4) / v
		}
		step := math.Max(-0.1*t1, math.Min(c[3], 0.1*t2))
		moved += step
		if math.Abs(step) < 1e-5 {
			break
		}
	}
	f.tau = tau + moved
	return f, true
}

// sums are those over the samples on one side of a turn: of the branch g, its
// derivative d by the phase, the coordinate v, and their products.
type sums struct{ n, g, d, v, gg, gd, dd, gv, dv, vv float64 }

// sums goes over the samples [from, to) with their phases turned by turn.
func (w *stretch) sums(from, to int, turn float64, p profile) sums {
	sinTurn, cosTurn := math.Sincos(turn)
	sin, cos, v := w.sin[from:to], w.cos[from:to], w.v[from:to]
	var sg, sd, sv, gg, gd, dd, gv, dv, vv float64
	for k, s := range sin {
		c := cos[k]
		g, d := p.branch(s*cosTurn+c*sinTurn, c*cosTurn-s*sinTurn)
		x := v[k]
		sg += g
		sd += d
		sv += x
		gg += g * g
		gd += g * d
		dd += d * d
		gv += g * x
		dv += d * x
		vv += x * x
	}
	return sums{float64(to - from), sg, sd, sv, gg, gd, dd, gv, dv, vv}
}

// normal returns the normal equations of a turn for its place, the travels
// before and after, and the step of its time, whose column on each side is the
// derivative by the phase times p and q.
func normal(l, r *sums, p, q float64) (m [4][4]float64, y [4]float64) {
	m = [4][4]float64{
		{l.n + r.n},
		{l.g, l.gg},
		{r.g, 0, r.gg},
		{p*l.d + q*r.d, p * l.gd, q * r.gd, p*p*l.dd + q*q*r.dd},
	}
	return m, [4]float64{l.v + r.v, l.gv, r.gv, p*l.dv + q*r.dv}
}
