package motion

// profile is how strokes of one direction run from turn to turn: position as
// a share of the stroke's travel at the share u of its time,
//
//	P(u) = ½ [ 1 - cos πu + 2 β₂ sin³ πu + β₃ (cos πu - cos 3πu) ]
//
// Half a cosine, the profile of a free oscillation, has β₂ = β₃ = 0; β₂ > 0
// starts fast and ends slowly, β₃ tells a flatter or a sharper peak of speed.
// Every such profile has zero speed at both ends, and what β₂ adds has no
// acceleration there: a pick that turns clear of the strings is moved by no force
// that leaps. (With sin² in place of sin³ it would leap, and the fit would take a
// smooth stroke that starts fast for one that leaps and turned late.)
type profile struct{ b2, b3 float64 }

// branch returns one side of a turn and its derivative by the phase πu, which is
// negative before the turn, both as polynomials of the sine and cosine of that
// phase: 2P after it, and 2(1-P) before it. The two are one formula.
func (p profile) branch(sin, cos float64) (g, d float64) {
	g = (1 - cos) * (1 + (1+cos)*(2*p.b2*sin+4*p.b3*cos))
	d = sin * (1 - 4*p.b3 + cos*(6*p.b2*sin+12*p.b3*cos))
	return g, d
}

// fitProfile fits the profile of one stroke between two times, by six samples at the
// least: two more than it has unknowns.
func (sh *shaper) fitProfile(start, end float64, ax *[3]float64) (profile, bool) {
	lo, hi := sh.within(start, end)
	if hi-lo < 6 {
		return profile{}, false
	}
	w := &sh.near
	w.resize(hi - lo)
	sh.projections(w.v, lo, ax, sh.project(lo, ax))
	w.phase(sh.t[lo:hi], 0, hi-lo, start, end-start)
	var m [4][4]float64
	var y [4]float64
	m[0][0] = float64(hi - lo)
	for k, v := range w.v {
		c := w.cos[k]
		a := 1 - c
		square := a * (1 + c)
		b := 2 * square * w.sin[k] // 2 sin³ πu
		e := 4 * square * c        // cos πu - cos 3πu
		m[1][0] += a
		m[2][0] += b
		m[3][0] += e
		m[1][1] += a * a
		m[2][1] += a * b
		m[3][1] += a * e
		m[2][2] += b * b
		m[3][2] += b * e
		m[3][3] += e * e
		y[0] += v
		y[1] += a * v
		y[2] += b * v
		y[3] += e * v
	}
	if !solve(&m, &y, 4) || y[1] == 0 {
		return profile{}, false
	}
	return profile{y[2] / y[1], y[3] / y[1]}, true
}
