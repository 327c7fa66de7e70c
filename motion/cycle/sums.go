package cycle

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// sums are those of one lap's samples, about one of them. With the moments up
// to twice the number of harmonics they hold all products of two harmonics,
// since cos a cos b = (cos(a-b) + cos(a+b))/2 and so on.
type sums struct {
	n int
	// moment[2h-2] and moment[2h-1] are the sums of the cosine and the sine of
	// harmonic h; the first half of them over n is z, the mean of the basis.
	moment, z []float64
	y         [3]float64   // the mean of an axis
	g         [3][]float64 // products with the basis, about the lap's means
	yy        [3]float64   // squares about the mean
}

// collect returns the sums of every lap, up to a number of harmonics, of the
// samples less the slow centre.
func (r *run) collect(order int, slow *[3][]float64) []sums {
	p := 2 * order
	all := make([]sums, len(r.laps))
	room := make([]float64, len(all)*p*(3+len(r.axes)))
	take := func(n int) []float64 {
		part := room[:n:n]
		room = room[n:]
		return part
	}
	for i, l := range r.laps {
		s := &all[i]
		s.n, s.moment, s.z = l.hi-l.lo, take(2*p), take(p)
		for _, a := range r.axes {
			s.g[a] = take(p)
		}
		for k := l.lo; k < l.hi; k++ {
			s1, c1 := math.Sincos(2 * math.Pi * r.phase[k])
			addMoments(s.moment, s1, c1)
			for _, a := range r.axes {
				// Sums about a sample lose fewer digits.
				y := r.x[a][k] - slow[a][k] - r.x[a][l.lo] + slow[a][l.lo]
				s.y[a] += y
				s.yy[a] += y * y
				addHarmonics(s.g[a], y, s1, c1)
			}
		}
		n := float64(s.n)
		floats.AddScaled(s.z, 1/n, s.moment[:p])
		for _, a := range r.axes {
			s.y[a] /= n
			s.yy[a] -= n * s.y[a] * s.y[a]
			floats.AddScaled(s.g[a], -n*s.y[a], s.z)
			s.y[a] += r.x[a][l.lo] - slow[a][l.lo]
		}
	}
	return all
}

// addMoments adds the cosine and the sine of the harmonics of an angle, given
// its own, to dst. The number of harmonics is even: odd ones and even ones are
// stepped through side by side, for a step waits for the one before.
func addMoments(dst []float64, s1, c1 float64) {
	s2, c2 := 2*s1*c1, c1*c1-s1*s1
	c, s, d, t := c1, s1, c2, s2
	for len(dst) >= 4 {
		dst[0] += c
		dst[1] += s
		dst[2] += d
		dst[3] += t
		c, s = c*c2-s*s2, s*c2+c*s2
		d, t = d*c2-t*s2, t*c2+d*s2
		dst = dst[4:]
	}
}

// addHarmonics adds y times the basis to dst, given the sine and the cosine of
// the angle.
func addHarmonics(dst []float64, y, s1, c1 float64) {
	c, s := y*c1, y*s1
	for i := 0; i+1 < len(dst); i += 2 {
		dst[i] += c
		dst[i+1] += s
		c, s = c*c1-s*s1, s*c1+c*s1
	}
}

// gram writes the products of the first p functions of the basis, about their
// means, to the p by p matrix dst, row by row.
func (s *sums) gram(dst []float64, p int) {
	n := float64(s.n)
	at := func(h int) (c, s1 float64) { return s.moment[2*h-2], s.moment[2*h-1] }
	for h := 1; 2*h <= p; h++ {
		for k := 1; k <= h; k++ {
			c, sn := at(h + k)
			d, e := n, 0.0 // of the difference h-k
			if h > k {
				d, e = at(h - k)
			}
			zc, zs := s.z[2*k-2], s.z[2*k-1]
			row := dst[(2*h-2)*p:]
			zh := n * s.z[2*h-2]
			row[2*k-2] = (d+c)/2 - zh*zc
			row[2*k-1] = (sn-e)/2 - zh*zs
			row = row[p:]
			zh = n * s.z[2*h-1]
			row[2*k-2] = (sn+e)/2 - zh*zc
			row[2*k-1] = (d-c)/2 - zh*zs
		}
	}
	for j := range p {
		for k := range j {
			dst[k*p+j] = dst[j*p+k]
		}
	}
}
