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
	t         []float64
	cols      [][]float64 // across, along, out as the view has them
	seen      []int       // samples present, in order
	seenT     []float64   // their times
	along     int         // index of the column, or -1
	out       int
	noise     float64 // of one sample on one axis
	axisError float64 // rad
	angles    bool    // enough samples per stroke
	shape     bool
	heights   bool
	step      float64 // median sample interval, s
	cursor    int
}

func newShaper(p trajectory.Placed) *shaper {
	cols, along, out := axes(p)
	sh := &shaper{t: p.T, cols: cols, along: along, out: out}
	sh.seen = make([]int, 0, len(p.T))
	sh.seenT = make([]float64, 0, len(p.T))
	for i, x := range p.Across {
		if x == x {
			sh.seen = append(sh.seen, i)
			sh.seenT = append(sh.seenT, p.T[i])
		}
	}
	return sh
}

// after returns the index into seen of the first sample at or after t,
// searching on from the cursor.
func (sh *shaper) after(t float64) int {
	k := sh.cursor
	for k > 0 && sh.seenT[k-1] >= t {
		k--
	}
	for k < len(sh.seenT) && sh.seenT[k] < t {
		k++
	}
	sh.cursor = min(k, len(sh.seenT)-1)
	return k
}

// hidden reports whether the turn at time t fell into a gap, for a stroke of
// the given duration: the samples around it are further apart than a fifth of
// the stroke, and than a frame.
func (sh *shaper) hidden(t, duration float64) bool {
	k := sh.after(t)
	if k == 0 || k == len(sh.seenT) {
		// Before the first or after the last sample: within one interval of
		// it counts as seen.
		edge := sh.seenT[min(k, len(sh.seenT)-1)]
		return math.Abs(edge-t) > sh.step
	}
	return sh.seenT[k]-sh.seenT[k-1] > max(1.6*sh.step, 0.2*duration)
}

// measure fills in the shape of st, which lies between grid samples q.start
// and q.end.
func (sh *shaper) measure(s *search, q piece, st *Stroke) {
	duration := st.Duration()
	st.StartHidden = sh.hidden(st.Start, duration)
	st.EndHidden = sh.hidden(st.End, duration)

	// Peak speed along the axis.
	r := s.g.runs[q.run]
	top := 0.0
	for _, v := range s.along[max(r.Start, int(q.start)):min(r.End, int(q.end)+2)] {
		top = max(top, math.Abs(v))
	}
	st.PeakSpeed = top
	st.Noise.Duration = math.Hypot(q.startSE, q.endSE) / s.g.hz

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
	st.chord = chord{run: q.run, from: a, axis: ax, length: norm}
	st.Seen.Length, st.Seen.LengthNoise = sh.travel(st.Start, st.End, &ax)
	st.course = st.Seen.Length
	f, ok := sh.fit(st.Start, st.End, a, ax, norm)
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
	n       int
}

// fit fits the samples between two turns a distance of length apart, with
// travel counted from the first of them. The parabola keeps the slope that
// of the chord, whatever the timing along a symmetric arc; the slope and bend
// of w itself are 1 and 0 by construction. Travel is measured on noisy
// samples, whose attenuation of the slope is removed to first order because
// the axis is already within noise of the answer.
func (sh *shaper) fit(start, end float64, from, ax [3]float64, length float64) (chordFit, bool) {
	var f chordFit
	k0 := sh.after(start)
	k1 := k0
	for k1 < len(sh.seenT) && sh.seenT[k1] <= end {
		k1++
	}
	n := k1 - k0
	if n < 3 {
		return f, false
	}
	var m1, m2, m3, m4 float64 // moments of w about its mean
	travel := func(k int) float64 {
		i := sh.seen[k]
		w := 0.0
		for d := range sh.cols {
			w += ax[d] * (sh.cols[d][i] - from[d])
		}
		return w
	}
	for k := k0; k < k1; k++ {
		m1 += travel(k)
	}
	m1 /= float64(n)
	for k := k0; k < k1; k++ {
		w := travel(k) - m1
		m2 += w * w
		m3 += w * w * w
		m4 += w * w * w * w
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
		var sw, sq, mean float64
		x := sh.cols[d]
		for k := k0; k < k1; k++ {
			mean += x[sh.seen[k]]
		}
		mean /= float64(n)
		for k := k0; k < k1; k++ {
			w := travel(k) - m1
			v := x[sh.seen[k]] - mean
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
		for k := k0; k < k1; k++ {
			w := travel(k) - m1
			e := x[sh.seen[k]] - mean - p1*w - p2*(w*w-b*w-c)
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
	f.n = n
	return f, true
}

// travel returns the length of the half-cosine course that fits the samples
// between two times along ax best, and its standard error from the noise; NaN
// with fewer than three samples.
func (sh *shaper) travel(start, end float64, ax *[3]float64) (length, se float64) {
	var n, sg, sgg, sv, sgv float64
	for k := sh.after(start); k < len(sh.seenT) && sh.seenT[k] <= end; k++ {
		g := 1 - math.Cos(math.Pi*(sh.seenT[k]-start)/(end-start))
		v := sh.project(k, ax)
		n++
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
	if sh.seenT[to-1]-sh.seenT[from] > 2*n*sh.step {
		return 0, 0, false
	}
	t0 := sh.seenT[from]
	var st, sx, stt, stx float64
	for k := from; k < to; k++ {
		t, x := sh.seenT[k]-t0, sh.project(k, ax)
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
