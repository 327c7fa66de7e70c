package learning

import "math"

// shape is a curve with at most one parameter that is not linear: columns of a
// linear model for each value of that parameter, κ.
//
// Time runs on a clock z, which is 0 at the first x and 1 at the last: x itself
// for a line and an exponential, its logarithm for a logarithm and a power.
// The exponential and the power curve are then the same function
//
//	g(z; κ) = (1 - exp(-κz)) / (1 - exp(-κ))
//
// which is 0 at the first x and 1 at the last, and z itself as κ goes to 0, so
// that the columns 1 and g never become alike.
type shape struct {
	kind   Kind
	clock  clock
	z      []float64 // clock at the values
	linear int       // number of linear parameters
	low    float64   // range of u, see kappa; both 0 without κ
	high   float64
	table  [][]float64 // columns at the points of solver.wide, once they are asked for
}

// clock is z(x).
type clock struct {
	log         bool
	first, span float64 // of x, or of ln(x + prior)
	prior       float64
}

func newClock(x []float64, log bool, prior float64) clock {
	c := clock{log: log, prior: prior}
	c.first = c.stretch(x[0])
	c.span = c.stretch(x[len(x)-1]) - c.first
	return c
}

func (c clock) stretch(x float64) float64 {
	if c.log {
		return math.Log(x + c.prior)
	}
	return x
}

func (c clock) at(x float64) float64 { return (c.stretch(x) - c.first) / c.span }

// x returns the x at which the clock shows z.
func (c clock) x(z float64) float64 {
	s := c.first + z*c.span
	if c.log {
		return math.Exp(s) - c.prior
	}
	return s
}

const (
	// slowest is the least κ searched: a bend of 1 part in 400 of the change,
	// with the level 50 times the change away.
	slowest = 0.02
	// overByThird is the largest κ z at the third place on the x axis: 15/16
	// of the change are over there, 3/4 at the second if the places are even.
	overByThird = 4 * math.Ln2
	// steepest is the largest exponent searched of a power to zero.
	steepest = 5
)

// shapes returns the curves that n values at x may be fitted with, nil for a
// kind that x does not allow.
func shapes(x []float64, prior float64) map[Kind]*shape {
	places := distinct(x)
	list := map[Kind]*shape{}
	add := func(kind Kind, c clock, linear int, low, high float64) {
		s := &shape{kind: kind, clock: c, linear: linear, low: low, high: high, z: make([]float64, len(x))}
		for i, v := range x {
			s.z[i] = c.at(v)
		}
		list[kind] = s
	}
	if len(places) < 2 {
		return list
	}
	closed := func(kind Kind, c clock) {
		if len(places) > 3 {
			add(kind, c, 2, math.Log(slowest), math.Log(overByThird/c.at(places[2])))
		}
	}
	plain := newClock(x, false, 0)
	add(Constant, plain, 1, 0, 0)
	add(Line, plain, 2, 0, 0)
	closed(Exponential, plain)
	if x[0]+prior > 0 {
		log := newClock(x, true, prior)
		add(Logarithm, log, 2, 0, 0)
		add(PowerToZero, log, 1, -steepest*log.span, steepest*log.span)
		closed(Power, log)
	}
	return list
}

// distinct returns the different values of x, which is sorted.
func distinct(x []float64) []float64 {
	var places []float64
	for i, v := range x {
		if i == 0 || v != x[i-1] {
			places = append(places, v)
		}
	}
	return places
}

// parameters is the number of parameters of the curve.
func (s *shape) parameters() int {
	if s.searched() {
		return s.linear + 1
	}
	return s.linear
}

// searched reports whether the shape has a κ.
func (s *shape) searched() bool { return s.low != s.high }

// intercept reports whether the shape has a column of ones.
func (s *shape) intercept() bool { return s.kind != PowerToZero }

// kappa returns κ for the variable u that is searched on an even grid: its
// logarithm, or κ itself for a power to zero, where it has both signs.
func (s *shape) kappa(u float64) float64 {
	if s.kind.levels() {
		return math.Exp(u)
	}
	return u
}

// u is the inverse of kappa.
func (s *shape) u(kappa float64) float64 {
	if s.kind.levels() {
		return math.Log(kappa)
	}
	return kappa
}

// column returns the value of the column that is not 1 at clock z.
func (s *shape) column(z, kappa float64) float64 {
	switch {
	case s.kind == Constant:
		return 0
	case s.kind == PowerToZero:
		return math.Exp(-kappa * z)
	case kappa == 0:
		return z
	}
	return math.Expm1(-kappa*z) / math.Expm1(-kappa)
}

// columns sets dst to the column at all values.
func (s *shape) columns(dst []float64, kappa float64) {
	if !s.kind.levels() || kappa == 0 {
		for i, z := range s.z {
			dst[i] = s.column(z, kappa)
		}
		return
	}
	all := math.Expm1(-kappa)
	for i, z := range s.z {
		dst[i] = math.Expm1(-kappa*z) / all
	}
}

// columnSlope returns the derivative of column with respect to u.
func (s *shape) columnSlope(z, kappa float64) float64 {
	if s.kind == PowerToZero {
		return -z * math.Exp(-kappa*z)
	}
	return kappa * (s.column(z, kappa)*math.Exp(-kappa) - z*math.Exp(-kappa*z)) / math.Expm1(-kappa)
}

// level is the value of column that the curve tends to: with g(1) = 1 the
// change over the data, level times that is all the change there is.
func level(kappa float64) float64 { return -1 / math.Expm1(-kappa) }
