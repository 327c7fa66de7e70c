package motion

import (
	"math"

	"github.com/plectrace/plectrace/variability/robust"
)

const (
	// learnRounds bounds how often profiles and turns are found from each other,
	// and learnStill is the change of a coefficient below which that ends.
	learnRounds = 16
	learnStill  = 2e-5
	// What a profile has beyond the half-cosine is not told from noise up to
	// toldFrom standard errors, which chance passes once in 80, and counts in
	// full from toldFull on; in part between them, so that a few strokes more
	// do not make all turns leap.
	toldFrom = 2.5
	toldFull = 4.5
)

// shaped is the profile of the stroke that begins at a node, if it has one, and
// by how much the fits move that turn, as a share of the cycle.
type shaped struct {
	profile
	ok    bool
	moved float64
}

// value is coefficient c, β₂ or β₃.
func (p *shaped) value(c int) float64 {
	if c == 0 {
		return p.b2
	}
	return p.b3
}

// learn returns the profiles of both directions, found on the strokes that begin at
// the turns idx, and leaves the turns between them in at. Each follows from the other:
// turns that all lie early make every stroke seem to start slowly, and late ones fast. The fit with such a
// profile then puts them back by a part, so the rounds go on until nothing changes,
// and what they start from must not be noise, which they would raise as well: see
// [search.profiles].
func (s *search) learn(sh *shaper, idx []int, at []float64) (down, up profile) {
	s.first = s.pools.shaped.take(len(s.nodes))
	s.fitAll(sh, idx, at, down, up)
	now, later := s.first, s.pools.shaped.take(len(s.nodes))
	floats, fits := s.pools.floats, s.pools.fits
	for range learnRounds {
		s.shapes(now, sh, idx, at)
		d, u := s.profiles(now, idx)
		s.fitAll(sh, idx, at, d, u)
		still := d.near(down) && u.near(up)
		if down, up = d, u; still {
			break
		}
		now = later
		s.pools.floats.back(floats)
		s.pools.fits.back(fits)
	}
	return down, up
}

// near reports whether q is no other profile to the rounds.
func (p profile) near(q profile) bool {
	return math.Abs(p.b2-q.b2) < learnStill && math.Abs(p.b3-q.b3) < learnStill
}

// shapes sets the profile of each stroke that begins at one of the turns idx.
func (s *search) shapes(now []shaped, sh *shaper, idx []int, at []float64) {
	for _, i := range idx {
		p, ok := sh.fitProfile(s.g.time(at[i]), s.g.time(at[i+1]), &s.axis[int(s.nodes[i].at)])
		now[i] = shaped{profile: p, ok: ok}
	}
}

// profiles returns the profile of each direction: the median of each coefficient
// over its strokes, those kept of earlier pieces included, as far as it is told from
// noise. Two things are asked of a coefficient: what both directions have in common,
// and half their difference. What is not told is as in the half-cosine, and so is all
// of it where a direction has fewer than leastShaped strokes.
//
// Of an earlier piece is kept what the first round found. The later rounds move the
// coefficients of all strokes alike, and those kept are moved by as much as those of
// this piece were: so pieces learn what the take as a whole would.
func (s *search) profiles(now []shaped, idx []int) (down, up profile) {
	x := s.pools.floats.take(len(s.seen.Profiles) + len(idx))
	var mean, half [2]float64
	for c := range mean {
		var m, se [2]float64
		for k, d := range [2]Direction{Down, Up} {
			v := s.coefficients(x[:0], now, idx, c, d)
			if len(v) < leastShaped {
				return profile{}, profile{}
			}
			m[k] = robust.MedianInPlace(v)
			se[k] = robust.ScaleInPlace(v) * math.Sqrt(math.Pi/2/float64(len(v))) // of normal values
		}
		own := math.Hypot(se[0], se[1]) / 2
		mean[c], half[c] = told((m[0]+m[1])/2, own), told((m[0]-m[1])/2, own)
	}
	return profile{mean[0] + half[0], mean[1] + half[1]}, profile{mean[0] - half[0], mean[1] - half[1]}
}

// coefficients appends coefficient c of the strokes of one direction to dst.
func (s *search) coefficients(dst []float64, now []shaped, idx []int, c int, d Direction) []float64 {
	own := func(i int) bool { return now[i].ok && s.first[i].ok && kind(s.nodes[i]) == startsAt(d) }
	moved := dst
	for _, i := range idx {
		if own(i) {
			moved = append(moved, now[i].value(c)-s.first[i].value(c))
		}
	}
	by := 0.0
	if len(moved) > 0 {
		by = robust.MedianInPlace(moved)
	}
	for i := range s.seen.Profiles {
		if p := &s.seen.Profiles[i]; p.Direction == d {
			dst = append(dst, p.B[c]+by)
		}
	}
	for _, i := range idx {
		if own(i) && !s.seen.kept(s.g.time(s.nodes[i].at)) {
			dst = append(dst, now[i].value(c))
		}
	}
	return dst
}

// told is as much of x as its standard error tells from noise.
func told(x, se float64) float64 {
	if size := math.Abs(x); size < toldFull*se {
		return x * max(0, (size/se-toldFrom)/(toldFull-toldFrom))
	}
	return x
}
