package motion

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// shaper measures the shape of strokes on the samples themselves, not on the
// filtered path: a low-pass that serves the search for turns would flatten
// curvature, which lives at twice the cycle frequency.
type shaper struct {
	samples
	near      stretch // scratch: the samples being fitted
	along     int     // index of the column, or -1
	out       int
	noise     float64 // of one sample on one axis
	axisError float64 // rad
	// Of a frame that follows noisy marks: its movement, and its turning in rad.
	frameNoise, axisNoise float64
	angles                bool // enough samples per stroke
	shape                 bool
	heights               bool
}

func (a *Analyzer) newShaper(p trajectory.Placed) *shaper {
	cols, along, out := a.pools.columns(p)
	a.shaper = shaper{samples: newSamples(&a.pools, p.T, cols), near: a.shaper.near, along: along, out: out}
	return &a.shaper
}

// hidden reports whether the turn at time t fell into a gap, for a stroke of
// the given duration: the samples around it are further apart than a fifth of
// the stroke, and than a frame.
func (sh *shaper) hidden(t, duration float64) bool {
	k := sh.after(t)
	if k == 0 || k == len(sh.t) {
		// Before the first or after the last sample: within one interval of
		// it counts as seen.
		edge := sh.t[min(k, len(sh.t)-1)]
		return math.Abs(edge-t) > sh.step
	}
	return sh.t[k]-sh.t[k-1] > max(1.6*sh.step, 0.2*duration)
}

// turnsOppose is by how much the noise of a duration exceeds that of two turns
// fitted on their own: neighbouring turns are fitted to the same samples, each
// with the other's place for its scale, so that their errors oppose each other.
// It is how much half-cosine strokes that are all alike scatter, 1.4 to 1.55
// times as much at 8 to 70 samples a stroke (TestStatedNoise); strokes that
// linger at their turns scatter up to twice as much.
const turnsOppose = 1.5

// stretched is by how much a stroke appears longer, as a share of its length, when
// it is taken to be shorter in time than it is, as a share of its duration: the
// samples in its middle then seem to go by faster.
const stretched = 0.6

// measure fills in the shape of st, which lies between grid samples q.start
// and q.end.
func (sh *shaper) measure(s *search, q piece, st *Stroke) {
	duration := st.Duration()
	st.StartHidden = sh.hidden(st.Start, duration)
	st.EndHidden = sh.hidden(st.End, duration)

	// Peak speed along the axis.
	r := s.g.runs[q.run]
	st.PeakSpeed = topSpeed(s.along[max(r.Start, int(q.start)):min(r.End, int(q.end)+2)])
	st.Noise.Duration = turnsOppose * math.Hypot(q.startSE, q.endSE) / s.g.hz

	// The axis of the stroke from turn to turn on the filtered path.
	var a, b, ax [3]float64
	var norm float64
	for d := range sh.cols {
		x := s.g.pos[d][r.Start:r.End]
		a[d] = cubic(x, q.start-float64(r.Start))
		b[d] = cubic(x, q.end-float64(r.Start))
		ax[d] = b[d] - a[d]
		norm += ax[d] * ax[d]
	}
	norm = math.Sqrt(norm)
	if !(norm > 0) {
		return
	}
	for d := range ax {
		ax[d] /= norm
	}
	if !st.StartHidden {
		st.AcrossStart = a[0]
	}
	if !st.EndHidden {
		st.AcrossEnd = b[0]
	}
	lo, hi := sh.within(st.Start, st.End)
	st.chord = chord{run: q.run, from: a, axis: ax, length: norm}
	st.Seen.Length, st.Seen.LengthNoise = sh.travel(lo, hi, st.Start, st.End, &ax)
	if !(st.Seen.Length > 0) { // what is seen does not run along the stroke
		st.Seen.Length, st.Seen.LengthNoise = math.NaN(), math.NaN()
	}
	st.halfCosine = st.Seen.Length
	f, ok := sh.fit(lo, hi, &a, &ax, norm)
	if !ok {
		return
	}
	st.sigma = f.sigma
	second := sh.out
	if second < 0 {
		second = sh.along
	}
	st.Seen.Angle = circular.Angle(math.Atan2(f.line[second], f.line[0])).Axial()
	st.Seen.AngleNoise = circular.Angle(f.slopeSE)
	if st.TurnHidden() {
		return
	}
	if f.bent {
		st.bend = f.bend
	}
	if !sh.shape {
		return
	}
	if sh.out >= 0 {
		// In the across/out plane: bulge of the parabola over the chord, on
		// the side that lies further out.
		c, o := f.slope[0], f.slope[sh.out]
		if l := math.Hypot(c, o); l > 0 {
			// The normal (-o, c)/l points out when c > 0.
			bend := (f.bend[sh.out]*c - f.bend[0]*o) / l
			if c < 0 {
				bend = -bend
			}
			// v = bend w² with w in units of travel along the fit axis;
			// chord travel per unit is l, so curvature is -2 bend / l².
			st.Curvature = -2 * bend / (l * l)
		}
	}
}

// chordFit is the least-squares description of one stroke's samples: each
// column as a parabola of the travel w along the stroke's axis,
//
//	x = level + slope w + bend w²
type chordFit struct {
	slope   [3]float64
	bend    bend
	bent    bool       // there were enough samples for the parabola
	line    [3]float64 // slope of the line through the samples alone
	slopeSE float64    // rad: standard error of the direction
	sigma   float64    // scatter of the samples about it, at least the noise
}

// fit fits the samples [lo, hi) between two turns a distance of length apart,
// with travel counted from the first of them. The parabola keeps the slope that
// of the chord, whatever the timing along a symmetric arc; the slope and bend
// of w itself are 1 and 0 by construction. Travel is measured on noisy
// samples, whose attenuation of the slope is removed to first order because
// the axis is already within noise of the answer.
func (sh *shaper) fit(lo, hi int, from, ax *[3]float64, length float64) (chordFit, bool) {
	var f chordFit
	n := hi - lo
	if n < 3 {
		return f, false
	}
	sh.near.resize(n)
	ws := sh.near.v
	base := 0.0
	for d := range sh.cols {
		base += ax[d] * from[d]
	}
	sh.projections(ws, lo, ax, base)
	m1 := sum(ws) / float64(n)
	var m2, m3, m4 float64 // moments of w about its mean
	for k, w := range ws {
		w -= m1
		ws[k] = w
		ww := w * w
		m2 += ww
		m3 += ww * w
		m4 += ww * ww
	}
	// Orthogonal polynomials on the samples: 1, w, q = w² - b w - c.
	b, c := m3/m2, m2/float64(n)
	qq := m4 - m3*m3/m2 - m2*m2/float64(n)
	if !(m2 > 0) {
		return f, false
	}
	terms := 3
	f.bent = true
	if n < 5 || !(qq > 1e-9*m4) {
		terms, f.bent = 2, false // a line
	}
	rss := 0.0
	for d := range sh.cols {
		x := sh.cols[d][lo:hi]
		level := sum(x) / float64(n)
		var sw, sq float64
		for k, w := range ws {
			v := x[k] - level
			sw += w * v
			sq += (w*w - b*w - c) * v
		}
		p1, p2 := sw/m2, 0.0
		if terms == 3 {
			p2 = sq / qq
		}
		f.bend[d], f.line[d] = p2, p1
		// Slope of the chord between the turns, at travel 0 and length.
		f.slope[d] = p1 + p2*(length-2*m1-b)
		for k, w := range ws {
			e := x[k] - level - p1*w - p2*(w*w-b*w-c)
			rss += e * e
		}
	}
	// One direction (along w) is fitted exactly, so the residuals have one
	// column less.
	dof := (len(sh.cols) - 1) * (n - terms)
	sigma := sh.noise
	if dof > 0 {
		sigma = max(sigma, math.Sqrt(rss/float64(dof)))
	}
	f.slopeSE, f.sigma = sigma/math.Sqrt(m2), sigma
	return f, true
}

// sum adds x up in order: that of package floats depends on where x begins in memory
// in its last digit, which a tracker that is saved and restored must not.
func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}

// travel returns the length of the half-cosine between two times that
// fits the samples [lo, hi) along ax best, and its standard error from the
// noise; NaN with fewer than three samples.
func (sh *shaper) travel(lo, hi int, start, end float64, ax *[3]float64) (length, se float64) {
	n := float64(hi - lo)
	w := &sh.near
	w.resize(hi - lo)
	sh.projections(w.v, lo, ax, 0)
	w.phase(sh.t[lo:hi], 0, hi-lo, start, end-start)
	var sg, sgg, sv, sgv float64
	for k, v := range w.v {
		g := 1 - w.cos[k]
		sg += g
		sgg += g * g
		sv += v
		sgv += g * v
	}
	d := sgg - sg*sg/n
	if n < 3 || !(d > 0) {
		return math.NaN(), math.NaN()
	}
	return 2 * (sgv - sg*sv/n) / d, 2 * sh.noise / math.Sqrt(d)
}

// slope returns the line through the samples [from, to) of those seen, along
// ax: its slope and its value in the middle. ok is false where they lie too far
// apart.
func (sh *shaper) slope(from, to int, ax *[3]float64) (slope, middle float64, ok bool) {
	n := float64(to - from)
	if sh.t[to-1]-sh.t[from] > 2*n*sh.step {
		return 0, 0, false
	}
	t0 := sh.t[from]
	var st, sx, stt, stx float64
	for k := from; k < to; k++ {
		t, x := sh.t[k]-t0, sh.project(k, ax)
		st, sx, stt, stx = st+t, sx+x, stt+t*t, stx+t*x
	}
	return (n*stx - st*sx) / (n*stt - st*st), sx / n, true
}

// cubic reads x at a fractional sample by the cubic through the four samples
// around it; the nearest cubic serves at the ends, a line when there are fewer
// than four samples.
func cubic(x []float64, at float64) float64 {
	i := min(max(int(at), 0), len(x)-1)
	if at == float64(i) || len(x) < 2 {
		return x[i]
	}
	if len(x) < 4 {
		i = min(i, len(x)-2)
		return x[i] + (at-float64(i))*(x[i+1]-x[i])
	}
	i = min(max(i-1, 0), len(x)-4)
	z, a, b, c := x[i], x[i+1], x[i+2], x[i+3]
	u := at - float64(i+1) // from a; the nodes are -1, 0, 1, 2
	c3 := (c - z + 3*(a-b)) / 6
	c2 := (z+b)/2 - a
	return ((c3*u+c2)*u+(b-a-c2-c3))*u + a
}
