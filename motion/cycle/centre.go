package cycle

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// smoother follows the centre of the hand through the laps: at every time the
// local line through the centres of the laps around it (least squares,
// tricube weights: Cleveland 1979), within one segment.
type smoother struct {
	t    []float64 // of the laps
	half float64   // width to each side, s; infinite for a constant
}

// weights writes the weight of each lap's centre in the centre at time t, which
// lies in lap i of the segment [from, to), to w. It returns the range of those
// that are not zero, which holds i.
func (s *smoother) weights(w []float64, t float64, i, from, to int) (lo, hi int) {
	if math.IsInf(s.half, 1) || to-from < 4 {
		for j := from; j < to; j++ {
			w[j] = 1 / float64(to-from)
		}
		return from, to
	}
	// At the ends of a segment the window is the same number of laps wide.
	half := math.Max(s.half, 1.001*math.Max(s.t[min(from+3, to-1)]-t, t-s.t[max(to-4, from)]))
	lo, hi = i, i+1
	for lo > from && t-s.t[lo-1] < half {
		lo--
	}
	for hi < to && s.t[hi]-t < half {
		hi++
	}
	var s0, s1, s2 float64
	for j := lo; j < hi; j++ {
		d := (s.t[j] - t) / half
		c := 1 - math.Abs(d*d*d)
		k := c * c * c
		w[j] = k
		s0, s1, s2 = s0+k, s1+k*d, s2+k*d*d
	}
	det := s0*s2 - s1*s1
	for j := lo; j < hi; j++ {
		d := (s.t[j] - t) / half
		if det > 1e-9*s0*s2 {
			w[j] *= (s2 - s1*d) / det
		} else {
			w[j] /= s0
		}
	}
	return lo, hi
}

// follow writes the slow centre at every sample of the laps to slow, and
// returns how far each lap's centre lies off it, and the share of the variance
// of centres that scatter from lap to lap which that keeps.
func (r *run) follow(slow, centre *[3][]float64, half float64) (off [3][]float64, kept float64) {
	n := len(r.laps)
	s := smoother{t: make([]float64, n), half: half}
	for i, l := range r.laps {
		s.t[i] = l.t
	}
	for _, a := range r.axes {
		off[a] = make([]float64, n)
	}
	w := make([]float64, n)
	for from := 0; from < n; {
		to := from + 1
		for to < n && r.laps[to].segment == r.laps[from].segment {
			to++
		}
		for i := from; i < to; i++ {
			l := r.laps[i]
			var at [3]vec // at the lap's start, middle and end: it bends little between
			for m := range at {
				lo, hi := s.weights(w, l.start+float64(m)/2*l.duration(), i, from, to)
				for _, a := range r.axes {
					at[m][a] = floats.Dot(w[lo:hi], centre[a][lo:hi])
				}
			}
			for k := l.lo; k < l.hi; k++ {
				u := (r.t[k] - l.start) / l.duration()
				p, q := (1-u)*(1-2*u), u*(2*u-1)
				for _, a := range r.axes {
					slow[a][k] = p*at[0][a] + (1-p-q)*at[1][a] + q*at[2][a]
				}
			}
			lo, hi := s.weights(w, s.t[i], i, from, to)
			w[i]-- // what is taken is the centre less the weighted mean
			for _, a := range r.axes {
				for j := lo; j < hi; j++ {
					off[a][i] -= w[j] * centre[a][j]
				}
			}
			for j := lo; j < hi; j++ {
				kept += w[j] * w[j] / float64(n)
				if j > lo {
					kept += 2 * neighbours * w[j] * w[j-1] / float64(n)
				}
			}
		}
		from = to
	}
	return off, kept
}

// neighbours is the correlation of the centres of two laps that follow each
// other when turns scatter independently: the centre is a quarter, a half and a
// quarter of three turns, of which the next lap shares one.
const neighbours = 1.0 / 6

// jumps begins a new segment where the centre moves from a lap to the next by
// more than a quarter of the length and five times as much as it usually does.
func (r *run) jumps(centre *[3][]float64, length float64) {
	n := len(r.laps)
	step := make([]float64, 0, n)
	move := func(i int) float64 {
		d := 0.0
		for _, a := range r.axes {
			e := centre[a][i] - centre[a][i-1]
			d += e * e
		}
		return math.Sqrt(d)
	}
	for i := 1; i < n; i++ {
		step = append(step, move(i))
	}
	limit := math.Max(length/4, 5*median(step))
	added := 0
	for i := 1; i < n; i++ {
		r.laps[i].segment += added
		if r.laps[i].segment == r.laps[i-1].segment && step[i-1] > limit {
			added++
			r.laps[i].segment++
		}
	}
}
