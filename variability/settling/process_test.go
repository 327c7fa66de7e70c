package settling_test

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// process draws takes that change between holding and searching by chance, as
// an alternating renewal process. It shares nothing with the takes of
// generate_test.go: spans have no planned places, strokes long tails, and
// turns, not durations, an error of measurement. Deviations are in tolerances.
type process struct {
	rate, seconds float64 // strokes per second; length of the take
	hold, search  float64 // median seconds of a span, see spanLength
	phi           float64 // serial correlation of searching strokes
	settledPhi    float64
	wide          [3]float64 // s.d. of searching strokes
	narrow        [3]float64 // of settled ones
	centres       float64    // s.d. of the centres of the holds
	noise         [3]float64
	alternate     [3]float64 // half of down less up
	drift         [3]float64 // over the take, added to all
	fall          float64    // strokes over which the scatter falls at the start of a hold
	odd           float64    // changes of string per second
	steady        bool       // begins at the beginning of a span; else in the midst of one
}

// tolerance is in radians, logarithms.
var tolerance = [3]float64{float64(3.5 * circular.Degree), 0.08, 0.12}

const leastHold = 1.0

// spanLength draws how long a span lasts: at least one second for a hold, 0.6
// for a search, and beyond that exponential.
func (p *process) spanLength(rng *rand.Rand, settled bool) float64 {
	median, least := p.search, 0.6
	if settled {
		median, least = p.hold, leastHold
	}
	return least + (median-least)/math.Ln2*rng.ExpFloat64()
}

// drawn is a take of a process with its truth.
type drawn struct {
	strokes []settling.Stroke
	settled []bool
	spans   []settling.Span
	centres [][3]float64 // of the spans that are settled, else zero
}

// draw returns a take.
func (p process) draw(rng *rand.Rand) (d drawn) {
	t, end := 0.0, 0.0
	settled := rng.Float64() < p.hold/(p.hold+p.search)
	var centre, wander [3]float64
	fresh, since, pull := true, 0, 0
	var turn float64 // error of the last turn, seconds
	if !p.steady {
		t = -20 // so that the beginning falls into the midst of a span
		end = t
		settled = !settled
	} else {
		settled = !settled
	}
	t0 := t
	for i := 0; t < p.seconds; i++ {
		if t >= end {
			settled = !settled
			end = max(t, end) + p.spanLength(rng, settled)
			fresh, since = true, 0
			if settled {
				for f := range centre {
					centre[f] = p.centres * rng.NormFloat64()
				}
			}
			if p.hold == 0 {
				settled, end = false, math.Inf(1)
			}
		}
		var x [3]float64
		for f := range x {
			phi, sd := p.phi, p.wide[f]
			if settled {
				phi, sd = p.settledPhi, p.narrow[f]
				if k := float64(since); k < p.fall {
					sd += (p.wide[f] - sd) * (1 - (k+1)/(p.fall+1))
				}
			}
			z := tailed(rng)
			if !fresh {
				z = phi*wander[f] + math.Sqrt(1-phi*phi)*z
			}
			wander[f] = z
			x[f] = sd*z + p.drift[f]*((t-t0)/(p.seconds-t0)-0.5)
			if settled {
				x[f] += centre[f]
			}
			if i%2 == 0 {
				x[f] += p.alternate[f]
			} else {
				x[f] -= p.alternate[f]
			}
		}
		fresh = false
		since++
		if pull == 0 && rng.Float64() < p.odd/p.rate {
			pull = 1 + rng.IntN(2)
		}
		if pull > 0 {
			pull--
			x[0] += 2 * rng.NormFloat64()
			x[1] += 3
			x[2] += 3.5
		}
		last := math.Exp(x[1]*tolerance[1]) / p.rate
		later := p.noise[1] * tolerance[1] / p.rate / math.Sqrt2 * rng.NormFloat64()
		s := settling.Stroke{
			Start: t, End: t + last, Down: i%2 == 0,
			Angle:         circular.Angle(0.4 + tolerance[0]*(x[0]+p.noise[0]*rng.NormFloat64())),
			Duration:      math.Max(1e-3, last+later-turn),
			Length:        11 * math.Exp(tolerance[2]*(x[2]+p.noise[2]*rng.NormFloat64())),
			AngleNoise:    circular.Angle(p.noise[0] * tolerance[0]),
			DurationNoise: p.noise[1] * tolerance[1] / p.rate,
			LengthNoise:   p.noise[2] * tolerance[2] * 11,
		}
		turn = later
		t += last
		if s.Start < 0 {
			continue
		}
		n := len(d.strokes)
		s.Break = n == 0
		if n == 0 || since == 1 {
			c := [3]float64{}
			if settled {
				c = centre
			}
			d.spans = append(d.spans, settling.Span{Settled: settled, First: n, Start: s.Start})
			d.centres = append(d.centres, c)
		}
		sp := &d.spans[len(d.spans)-1]
		sp.Last, sp.End = n, s.End
		d.strokes, d.settled = append(d.strokes, s), append(d.settled, settled)
	}
	return d
}

// tailed draws from Student's t with 8 degrees of freedom, scaled to variance 1.
func tailed(rng *rand.Rand) float64 {
	sum := 0.0
	for range 8 {
		z := rng.NormFloat64()
		sum += z * z
	}
	return rng.NormFloat64() / math.Sqrt(sum/8) * math.Sqrt(6.0/8)
}

// known returns the truth as Find would say it.
func (d *drawn) known() settling.Result {
	r := settling.Find(d.strokes, settling.Options{})
	r.Spans, r.Labels, r.P = d.spans, d.settled, make([]float64, len(d.strokes))
	for i, s := range d.settled {
		if s {
			r.P[i] = 1
		}
	}
	return r
}

// usual draws a process of a player at random.
func usual(rng *rand.Rand) process {
	p := process{
		rate: uniform(rng, 5, 14), seconds: uniform(rng, 18, 40),
		hold: uniform(rng, 2, 5), search: uniform(rng, 1.5, 4),
		phi:        [4]float64{0, 0.3, 0.6, 0.9}[rng.IntN(4)],
		settledPhi: uniform(rng, 0, 0.4),
		centres:    uniform(rng, 0, 1.2), odd: 0,
	}
	for f := range p.wide {
		p.narrow[f] = uniform(rng, 0.25, 0.6)
		p.wide[f] = uniform(rng, 1.5, 3.2)
		p.noise[f] = uniform(rng, 0, 0.35)
		p.alternate[f] = uniform(rng, -0.8, 0.8)
	}
	return p
}
