package trajectory

import "math"

// The statistic that finds jumps is the divided difference over six samples,
// three before a boundary and three after it, scaled so that a unit step at
// the boundary gives one. On even times it is the fifth difference over 6,
//
//	s = (-x[0] + 5x[1] - 10x[2] + 10x[3] - 5x[4] + x[5]) / 6
//
// It takes no notice of polynomials up to the fourth degree. Of an oscillation
// of amplitude A it leaves A (2 sin π/p)⁵/6 at p samples per cycle, 0.044 A at
// 8. Noise of standard deviation σ becomes √252/6 σ = 2.65 σ, and one sample
// that is off by D gives 1.67 D on both of its sides.
const (
	stepGain = 2.6457513110645907 // √252/6
	// stepSum is the sum of the three weights after the boundary in the
	// divided difference on even unit times, before scaling.
	stepSum = 0.05
	// unevenness is how far an interval may be from the median one, as a share
	// of it, for times to count as even.
	unevenness = 0.05
)

// stencil is the weights of a step on six samples.
type stencil struct {
	weight [6]float64
	gain   float64 // of noise, against that of even times
	bend   float64 // of a smooth movement, against that of even times
}

var evenStencil = stencil{[6]float64{-1. / 6, 5. / 6, -10. / 6, 10. / 6, -5. / 6, 1. / 6}, 1, 1}

// stencilAt returns the weights for six times in usual intervals.
func stencilAt(t *[6]float64) stencil {
	for i := range 5 {
		if math.Abs(t[i+1]-t[i]-1) > unevenness {
			return unevenStencil(t)
		}
	}
	return evenStencil
}

// unevenStencil returns the weights for six times of any spacing.
func unevenStencil(t *[6]float64) stencil {
	var s stencil
	var sum, squares float64
	for i := range t {
		product := 1.0
		for j := range t {
			if j != i {
				product *= t[i] - t[j]
			}
		}
		s.weight[i] = 1 / product
		squares += s.weight[i] * s.weight[i]
		if i >= 3 {
			sum += s.weight[i]
		}
	}
	for i := range s.weight {
		s.weight[i] /= sum
	}
	s.gain = math.Sqrt(squares) / sum / stepGain
	s.bend = stepSum / sum
	return s
}

// step returns the step in six values of one axis.
func (s *stencil) step(x *[6]float64) float64 {
	w := &s.weight
	return w[0]*x[0] + w[1]*x[1] + w[2]*x[2] + w[3]*x[3] + w[4]*x[4] + w[5]*x[5]
}

// evenStep returns the step in six values of one axis at even times.
func evenStep(x *[6]float64) float64 {
	return (x[5] - x[0] - 5*(x[4]-x[1]) + 10*(x[3]-x[2])) / 6
}
