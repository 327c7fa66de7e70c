package live

import "math"

// parabola is the sums for the least-squares parabola through points (t, x); with
// fewer than three it is a line or a constant.
type parabola struct {
	n, t1, t2, t3, t4 float64
	x0, x1, x2        float64
}

func (s *parabola) add(t, x float64) {
	tt := t * t
	s.n++
	s.t1, s.t2, s.t3, s.t4 = s.t1+t, s.t2+tt, s.t3+tt*t, s.t4+tt*tt
	s.x0, s.x1, s.x2 = s.x0+x, s.x1+t*x, s.x2+tt*x
}

// fit returns x = a + b t + c t².
func (s *parabola) fit() (a, b, c float64) {
	m := s.t1 / s.n
	u2 := s.t2 - s.n*m*m
	if s.n < 2 || !(u2 > 0) {
		return s.x0 / s.n, 0, 0
	}
	u3 := s.t3 - 3*m*s.t2 + 2*s.n*m*m*m
	u4 := s.t4 - 4*m*s.t3 + 6*m*m*s.t2 - 3*s.n*m*m*m*m
	y1 := s.x1 - m*s.x0
	y2 := s.x2 - 2*m*s.x1 + m*m*s.x0
	mean := s.x0 / s.n
	det := u4 - u3*u3/u2 - u2*u2/s.n
	if s.n >= 3 && det > 1e-9*u4 {
		c = (y2 - u3/u2*y1 - u2*mean) / det
	}
	b = (y1 - c*u3) / u2
	a = mean - c*u2/s.n
	// About m so far.
	return a - b*m + c*m*m, b - 2*c*m, c
}

// vertex returns where the parabola turns, and its curve; ok is false for a line.
func (s *parabola) vertex() (at, curve float64, ok bool) {
	_, b, c := s.fit()
	if c == 0 || math.IsNaN(c) {
		return 0, 0, false
	}
	return -b / (2 * c), c, true
}

// at returns the parabola's value.
func (s *parabola) at(t float64) float64 {
	a, b, c := s.fit()
	return a + t*(b+t*c)
}

// squares is the sum of the squared times about their mean: the error of the
// slope at the vertex is that of one point over its root.
func (s *parabola) squares() float64 { return max(s.t2-s.t1*s.t1/s.n, 1e-9) }
