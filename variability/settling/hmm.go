package settling

import "math"

// chain is a hidden Markov model of two states. move[a][b] is the probability
// of b after a.
type chain struct {
	start [2]float64
	move  [2][2]float64
}

// sticky returns the chain that stays in either state for dwell observations
// on average.
func sticky(dwell float64) chain {
	p := 1 / dwell
	return chain{[2]float64{0.5, 0.5}, [2][2]float64{{1 - p, p}, {p, 1 - p}}}
}

// smooth writes to dst the probability of state 1 at each observation given
// all of them, by the scaled forward-backward recursion, and returns it with
// the log-likelihood. emit holds the log-density of each observation in
// either state.
func (c chain) smooth(dst []float64, emit [][2]float64) ([]float64, float64) {
	if dst == nil {
		dst = make([]float64, len(emit))
	}
	ll := 0.0
	prior := c.start
	for i, e := range emit { // forward: dst is P(state 1 | observations to i)
		top := max(e[0], e[1])
		a, b := prior[0]*math.Exp(e[0]-top), prior[1]*math.Exp(e[1]-top)
		ll += top + math.Log(a+b)
		dst[i] = b / (a + b)
		prior = c.next(dst[i])
	}
	for i := len(emit) - 2; i >= 0; i-- {
		f := dst[i]
		prior, later := c.next(f), dst[i+1]
		dst[i] = 0
		if prior[0] > 0 {
			dst[i] += f * c.move[1][0] * (1 - later) / prior[0]
		}
		if prior[1] > 0 {
			dst[i] += f * c.move[1][1] * later / prior[1]
		}
		dst[i] = min(1, dst[i]) // rounding
	}
	return dst, ll
}

// next returns the distribution of the next state when state 1 has
// probability p.
func (c chain) next(p float64) [2]float64 {
	return [2]float64{
		(1-p)*c.move[0][0] + p*c.move[1][0],
		(1-p)*c.move[0][1] + p*c.move[1][1],
	}
}

// decode writes to dst whether the most probable sequence of states is in
// state 1, by the Viterbi recursion, and returns it with the log of the joint
// probability of that sequence and the observations.
func (c chain) decode(dst []bool, emit [][2]float64) ([]bool, float64) {
	if dst == nil {
		dst = make([]bool, len(emit))
	}
	if len(emit) == 0 {
		return dst, 0
	}
	var move [2][2]float64
	for a := range move {
		for b := range move[a] {
			move[a][b] = math.Log(c.move[a][b])
		}
	}
	v := [2]float64{math.Log(c.start[0]) + emit[0][0], math.Log(c.start[1]) + emit[0][1]}
	from := make([][2]bool, len(emit))
	for i, e := range emit[1:] {
		var w [2]float64
		for b := range w {
			w[b] = v[0] + move[0][b]
			if s := v[1] + move[1][b]; s > w[b] {
				w[b], from[i+1][b] = s, true
			}
			w[b] += e[b]
		}
		v = w
	}
	state := 0
	if v[1] > v[0] {
		state = 1
	}
	best := v[state]
	for i := len(emit) - 1; i >= 0; i-- {
		dst[i] = state == 1
		if from[i][state] {
			state = 1
		} else {
			state = 0
		}
	}
	return dst, best
}
