package settling_test

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// triple holds a quantity for angle (degrees), duration and length (natural
// logarithms).
type triple [3]float64

// manner is how strokes scatter about a centre: s.d. and serial correlation.
type manner struct {
	sd  triple
	phi float64
}

// take is a recipe for stroke features with known labels. Times are seconds,
// spans half-open.
type take struct {
	rate, seconds   float64
	spans           [][2]float64 // settled
	centres         []triple     // of the spans
	settled, search manner
	searchCentre    triple
	frozen          int     // feature that scatters as when settled throughout, or -1
	direction       triple  // half of down less up
	noise           triple  // degrees, fractions
	drift           triple  // from start to end, linear
	odd             float64 // changes of string per second; each pulls one or two strokes
	pause           float64 // when a pause begins; 0 none
	fromCentre      bool    // searching sets in at its centre and wanders off
	turns           bool    // duration scatter and noise are those of independent turns
	likeDuration    float64 // correlation of length with duration
	heavy           float64 // share of settled strokes with three times the scatter
	ramp            float64 // searching sets in over this long
	uneven          bool    // each stretch has a scatter of its own
	missing         float64 // share of strokes without angle and length
	noAngle         bool
}

// truth says for each stroke which span it is in, or -1.
type truth []int

func (tr truth) settled() []bool {
	out := make([]bool, len(tr))
	for i, k := range tr {
		out[i] = k >= 0
	}
	return out
}

const (
	baseAngle  = 20.0
	baseLength = 12.0
)

// make draws the strokes of tk.
func (tk take) make(rng *rand.Rand) (ss []settling.Stroke, tr truth) {
	var wander triple
	var t, lastTurn, lastNoise float64
	before, odd, paused, uneven := -2, 0, false, 1.0
	for i := 0; t < tk.seconds; i++ {
		s := settling.Stroke{Down: i%2 == 0, Break: i == 0}
		if tk.pause > 0 && !paused && t > tk.pause {
			t += uniform(rng, 0.4, 1.9)
			paused, s.Break, before = true, true, -2
		}
		which := tk.which(t)
		if which != before && tk.uneven {
			uneven = uniform(rng, 0.6, 1.3)
		}
		var x triple
		var zd float64
		for f := range x {
			m, c := tk.search, tk.searchCentre[f]
			if which >= 0 {
				m, c = tk.settled, tk.centres[which][f]
			} else if f == tk.frozen {
				m = manner{sd: tk.settled.sd}
			}
			z := rng.NormFloat64()
			switch {
			case f == 1 && tk.turns:
				z, lastTurn = z/math.Sqrt2-lastTurn, z/math.Sqrt2
			case f == 2:
				z = tk.likeDuration*zd + math.Sqrt(1-tk.likeDuration*tk.likeDuration)*z
			}
			if f == 1 {
				zd = z
			}
			if which >= 0 && rng.Float64() < tk.heavy {
				z *= 3
			}
			switch {
			case which == before || m.phi == 0:
				wander[f] = m.phi*wander[f] + math.Sqrt(1-m.phi*m.phi)*z
			case tk.fromCentre && which < 0:
				wander[f] = 0
			default:
				wander[f] = z
			}
			x[f] = c + uneven*tk.onset(t, which)*m.sd[f]*wander[f] + tk.drift[f]*(t/tk.seconds-0.5)
			if s.Down {
				x[f] += tk.direction[f]
			} else {
				x[f] -= tk.direction[f]
			}
		}
		before = which
		if odd == 0 && rng.Float64() < tk.odd/tk.rate {
			odd = 1 + rng.IntN(2)
		}
		if odd > 0 {
			odd--
			x[0] += 6 * rng.NormFloat64()
			x[1] += math.Log(uniform(rng, 1.1, 1.4))
			x[2] += math.Log(uniform(rng, 1.2, 1.8))
		}
		d, l := math.Exp(x[1])/tk.rate, baseLength*math.Exp(x[2])
		s.Start, s.End = t, t+d
		s.AngleNoise = degrees(tk.noise[0])
		s.DurationNoise, s.LengthNoise = tk.noise[1]/tk.rate, tk.noise[2]*baseLength
		s.Angle = degrees(baseAngle + x[0] + tk.noise[0]*rng.NormFloat64())
		s.Length = math.Max(1e-3, l+s.LengthNoise*rng.NormFloat64())
		e := s.DurationNoise * rng.NormFloat64()
		if tk.turns {
			e, lastNoise = e/math.Sqrt2-lastNoise, e/math.Sqrt2
		}
		s.Duration = math.Max(1e-3, d+e)
		hidden := rng.Float64() < tk.missing
		if hidden || tk.noAngle {
			s.Angle = circular.Angle(math.NaN())
		}
		if hidden {
			s.Length = math.NaN()
		}
		ss, tr = append(ss, s), append(tr, which)
		t += d
	}
	return ss, tr
}

func (tk take) which(t float64) int {
	for k, s := range tk.spans {
		if t >= s[0] && t < s[1] {
			return k
		}
	}
	return -1
}

// onset is the share of the searching scatter that has set in at t.
func (tk take) onset(t float64, which int) float64 {
	v := 1.0
	if which >= 0 || tk.ramp == 0 {
		return v
	}
	for _, s := range tk.spans {
		if d := max(s[0]-t, t-s[1]); d >= 0 {
			v = min(v, (d+0.1)/tk.ramp)
		}
	}
	return v
}

func degrees(v float64) circular.Angle { return circular.Angle(v) * circular.Degree }

func uniform(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

// seeded returns the stream of one take of one test.
func seeded(test string, seed int) *rand.Rand {
	h := uint64(14695981039346656037)
	for _, b := range []byte(test) {
		h = (h ^ uint64(b)) * 1099511628211
	}
	return rand.New(rand.NewPCG(h, uint64(seed)))
}

// plain draws a take that is settled throughout.
func plain(rng *rand.Rand) take {
	tk := take{
		rate: uniform(rng, 5, 14.5), seconds: uniform(rng, 15, 20), frozen: -1,
		settled:   manner{sd: triple{uniform(rng, 0.8, 2), uniform(rng, 0.02, 0.05), uniform(rng, 0.03, 0.08)}},
		noise:     triple{uniform(rng, 0, 1.5), uniform(rng, 0.01, 0.03), uniform(rng, 0.02, 0.04)},
		direction: triple{uniform(rng, -3, 3), uniform(rng, -0.04, 0.04), uniform(rng, -0.05, 0.05)},
	}
	tk.spans, tk.centres = [][2]float64{{0, math.Inf(1)}}, []triple{{}}
	return tk
}

// never draws a take that is searching throughout: drawn afresh from stroke to
// stroke or wandering, in all three features or in two.
func never(rng *rand.Rand) take {
	tk := plain(rng)
	tk.spans = nil
	tk.search.sd = triple{uniform(rng, 5, 12), uniform(rng, 0.12, 0.25), uniform(rng, 0.18, 0.35)}
	if rng.Float64() < 0.5 {
		tk.search.phi = uniform(rng, 0.3, 0.9)
	}
	if rng.Float64() < 1.0/3 {
		tk.frozen = rng.IntN(3)
	}
	tk.searchCentre = centre(rng)
	return tk
}

// mixed draws a take with one to five settled spans of 1.5 to 8 s, at least
// 0.8 s apart, with centres of their own.
func mixed(rng *rand.Rand) take {
	const apart = 0.8
	tk := never(rng)
	for {
		lengths := make([]float64, 1+rng.IntN(5))
		gaps := make([]float64, len(lengths)+1) // before the first to after the last, beyond apart
		free, sum := tk.seconds-apart*float64(len(gaps)), 0.0
		for k := range lengths {
			lengths[k] = uniform(rng, 1.5, 8)
			free -= lengths[k]
		}
		for k := range gaps {
			if k > 0 && k < len(lengths) || len(lengths) == 1 || rng.Float64() < 0.7 {
				gaps[k] = rng.ExpFloat64()
				sum += gaps[k]
			}
		}
		if free < 0 || sum == 0 {
			continue
		}
		t := 0.0
		for k, l := range lengths {
			if k > 0 || gaps[k] > 0 { // else settled from the start
				t += apart + free*gaps[k]/sum
			}
			tk.spans = append(tk.spans, [2]float64{t, t + l})
			tk.centres = append(tk.centres, centre(rng))
			t += l
		}
		if gaps[len(lengths)] == 0 { // settled to the end
			tk.seconds = t
		}
		return tk
	}
}

func centre(rng *rand.Rand) triple {
	return triple{4 * rng.NormFloat64(), 0.08 * rng.NormFloat64(), 0.15 * rng.NormFloat64()}
}

// overlap returns intersection over union of a and b in playing time.
func overlap(ss []settling.Stroke, a, b []bool) float64 {
	var and, or float64
	for i, s := range ss {
		if a[i] && b[i] {
			and += s.End - s.Start
		}
		if a[i] || b[i] {
			or += s.End - s.Start
		}
	}
	if or == 0 {
		return 1
	}
	return and / or
}

// count returns the number of settled spans of r.
func count(r settling.Result) (k int) {
	for _, s := range r.Spans {
		if s.Settled {
			k++
		}
	}
	return k
}
