package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
)

// chain measures the places of the turns, and with them lengths, angles and
// heights, jointly over strokes that follow each other without a gap or a
// hidden turn. Consecutive strokes share a turn, so each turn rests on the
// samples of both, and a stroke's direction on those of four: its variance is
// 3.3 σ²/(n L²) where a stroke on its own would give 8 σ²/(n L²), with n samples
// and length L.
//
// In each column the samples of a stroke from turn p to turn q are
//
//	x = (1-g) p + g q - g (1-g) L² c
//
// where g is the share of the way gone, by the filtered path along the
// stroke's axis, L the stroke's length and c the bend of its direction. The
// turns are the least-squares solution, a symmetric tridiagonal system.
type chain struct {
	diag, off []float64    // the system; then its L D Lᵀ factors
	rhs       [3][]float64 // right sides; then the turns
	inv, next []float64    // the inverse's diagonal and what stands beside it
}

// bend is the parabola of a stroke over its chord in each column: x = bend w²
// at the travel w from the middle.
type bend [3]float64

// oddLength is the factor by which a stroke is longer or shorter than those
// around it from which on it is measured alone: on the way to another string
// the path has a form of its own, which its neighbours should not share.
const oddLength = 1.5

// chains goes through all strokes and measures each chain.
func (sh *shaper) chains(s *search, st []Stroke) {
	bends := sh.bends(s, st)
	local := 0
	odd := func(x *Stroke) bool {
		local = s.size.nearest(local, s.g.index(x.Middle()))
		r := x.chord.length / s.size.length[local]
		return r > oddLength || r < 1/oddLength
	}
	c := s.chain
	for i := 0; i < len(st); {
		j := i
		for j < len(st) && !st[j].TurnHidden() && (j == i || st[j].Joined) {
			if lo, hi := sh.within(st[j].Start, st[j].End); hi-lo < 3 {
				break
			}
			if alone := odd(&st[j]); alone && j > i {
				break
			} else if j++; alone {
				break
			}
		}
		if j > i {
			c.measure(sh, s, st[i:j], bends)
		}
		i = max(j, i+1)
	}
}

func (c *chain) measure(sh *shaper, s *search, st []Stroke, bends [2]bend) {
	m := len(st) + 1
	c.reset(m)
	for j := range st {
		c.add(sh, s, j, &st[j], bends[side(st[j].Direction)])
	}
	if !c.solve(len(sh.cols)) {
		return
	}
	for j := range st {
		s := &st[j]
		var chord [3]float64
		norm := 0.0
		for d := range sh.cols {
			chord[d] = c.rhs[d][j+1] - c.rhs[d][j]
			norm += chord[d] * chord[d]
		}
		norm = math.Sqrt(norm)
		if !(norm > 0) {
			continue // both turns in one place: no stroke by the samples
		}
		se := s.sigma * math.Sqrt(c.inv[j]+c.inv[j+1]-2*c.next[j])
		// Between two turns the frame moves as if by chance.
		se = math.Hypot(se, math.Sqrt2*sh.frameNoise)
		lengthSE := se
		if d := s.Noise.Duration / s.Duration(); d == d {
			lengthSE = math.Hypot(se, stretched*norm*d)
		}
		s.Length, s.Noise.Length = norm, lengthSE
		s.AcrossStart, s.AcrossEnd = c.rhs[0][j], c.rhs[0][j+1]
		if sh.heights {
			s.HeightStart, s.HeightEnd = c.rhs[sh.out][j], c.rhs[sh.out][j+1]
		}
		angle := func(d int) circular.Angle { return circular.Angle(math.Atan2(chord[d], chord[0])).Axial() }
		second := sh.out
		if second < 0 {
			second = sh.along
		}
		s.Seen = Seen{
			Length: norm, LengthNoise: lengthSE,
			Angle: angle(second), AngleNoise: circular.Angle(math.Hypot(se/math.Hypot(chord[0], chord[second]), sh.axisNoise)),
		}
		if !sh.angles {
			continue
		}
		s.Noise.Angle = s.Seen.AngleNoise
		if sh.out >= 0 {
			own := math.Hypot(se/math.Hypot(chord[0], chord[sh.out]), sh.axisNoise)
			wide := circular.Angle(1.959964 * math.Hypot(own, sh.axisError))
			s.PathAngle = angle(sh.out)
			if s.rise = chord[sh.out]; s.Direction == Up {
				s.rise = -s.rise
			}
			s.PathAngleLow, s.PathAngleHigh = s.PathAngle-wide, s.PathAngle+wide
		}
		if sh.along >= 0 {
			s.Skew = angle(sh.along)
		}
	}
}

// add puts the samples of stroke j, with the bend b, into the system.
func (c *chain) add(sh *shaper, s *search, j int, st *Stroke, b bend) {
	chord := &st.chord
	lo, hi := sh.within(st.Start, st.End)
	sh.near.resize(hi - lo)
	ways := sh.near.v // shares of the way gone
	for k, t := range sh.t[lo:hi] {
		ways[k] = chord.way(s.g, s.g.index(t))
	}
	for _, g := range ways {
		a := 1 - g
		c.diag[j] += a * a
		c.diag[j+1] += g * g
		c.off[j] += a * g
	}
	for d, x := range sh.cols {
		bulge := chord.length * chord.length * b[d]
		var from, to float64
		for k, v := range x[lo:hi] {
			g := ways[k]
			a := 1 - g
			v += a * g * bulge
			from += a * v
			to += g * v
		}
		c.rhs[d][j] += from
		c.rhs[d][j+1] += to
	}
}

// side is 0 for downstrokes and 1 for upstrokes.
func side(d Direction) int {
	if d == Down {
		return 0
	}
	return 1
}

// reset makes room for m turns.
func (c *chain) reset(m int) {
	for _, p := range []*[]float64{&c.diag, &c.off, &c.inv, &c.next, &c.rhs[0], &c.rhs[1], &c.rhs[2]} {
		if cap(*p) < m {
			*p = make([]float64, m, m+m/2+16)
		}
		*p = (*p)[:m]
		clear(*p)
	}
}

// solve replaces rhs by the turns and fills in inv and next. It reports whether
// every turn is borne by samples.
func (c *chain) solve(cols int) bool {
	n := len(c.diag)
	for i := range n {
		if i > 0 {
			l := c.off[i-1] / c.diag[i-1]
			c.diag[i] -= l * c.off[i-1]
			c.off[i-1] = l
			for d := range cols {
				c.rhs[d][i] -= l * c.rhs[d][i-1]
			}
		}
		if !(c.diag[i] > 1e-6) {
			return false
		}
	}
	for i := n - 1; i >= 0; i-- {
		c.inv[i] = 1 / c.diag[i]
		for d := range cols {
			c.rhs[d][i] /= c.diag[i]
		}
		if i+1 < n {
			l := c.off[i]
			c.next[i] = -l * c.inv[i+1]
			c.inv[i] += l * l * c.inv[i+1]
			for d := range cols {
				c.rhs[d][i] -= l * c.rhs[d][i+1]
			}
		}
	}
	return true
}

// bends returns the median bend of each direction's strokes.
func (sh *shaper) bends(s *search, st []Stroke) [2]bend {
	var b [2]bend
	for k, d := range [2]Direction{Down, Up} {
		for col := range sh.cols {
			xs := s.seen.appendShapes(s.pools.floats.take(len(s.seen.Shapes) + len(st))[:0], d, func(x *shapeSeen) float64 { return x.Bend[col] })
			for i := range st {
				if st[i].Direction == d && !s.seen.kept(st[i].Start) {
					xs = appendKnown(xs, st[i].bend[col])
				}
			}
			if len(xs) >= 5 {
				b[k][col] = robust.MedianInPlace(xs)
			}
		}
	}
	return b
}
