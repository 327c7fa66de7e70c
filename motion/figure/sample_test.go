package figure_test

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// sample is a made-up take of 20 s: searching, settled, a rest, settled.
type sample struct {
	t, across, out []float64
	strokes        []figure.Stroke
	settled        []figure.Span
	mid            []float64
	angle          []float64
	rate           []float64
	fromX, fromY   []float64 // turns after upstrokes
	toX, toY       []float64 // turns after downstrokes
	length, lasts  []float64
}

// newSample returns a take at hz samples a second; the film shakes by noise
// degrees. Random numbers only move the picture: no test draws on their law.
func newSample(seconds, hz, noise float64) sample {
	rng := rand.New(rand.NewPCG(1, 2))
	s := sample{settled: []figure.Span{{4, 9}, {11, seconds - 2}}}
	const perSecond = 11.0
	isSettled := func(t float64) bool {
		for _, sp := range s.settled {
			if sp.Start <= t && t <= sp.End {
				return true
			}
		}
		return false
	}
	for k := 0; float64(k)/perSecond < seconds; k++ {
		start := float64(k) / perSecond
		if start > 9 && start < 11 {
			continue // a rest
		}
		settled := isSettled(start + 0.5/perSecond)
		spread := 3.0
		if settled {
			spread = 0.5
		}
		s.strokes = append(s.strokes, figure.Stroke{
			Start: start, End: start + 1/perSecond, Settled: settled,
			EndHidden: k%17 == 3, StartHidden: k%17 == 4,
		})
		s.mid = append(s.mid, start+0.5/perSecond)
		s.angle = append(s.angle, 12+spread*rng.NormFloat64()+noise*rng.NormFloat64())
		s.rate = append(s.rate, perSecond*(1+0.02*spread*rng.NormFloat64()))
		s.length = append(s.length, 6.2+0.3*spread*rng.NormFloat64())
		s.lasts = append(s.lasts, 1000/perSecond*(1+0.02*spread*rng.NormFloat64()))
		x, y := 3.1+0.2*spread*rng.NormFloat64(), 0.66+0.1*rng.NormFloat64()
		if k%2 == 0 {
			s.toX, s.toY = append(s.toX, x), append(s.toY, y)
		} else {
			s.fromX, s.fromY = append(s.fromX, -x), append(s.fromY, -y-0.5)
		}
	}
	for i := range int(seconds * hz) {
		t := float64(i) / hz
		phase := math.Pi * perSecond * t
		size := 3.1
		if !isSettled(t) {
			size += 0.8 * math.Sin(7*t)
		}
		if t > 9 && t < 11 {
			size = 0.1
		}
		across := -size*math.Cos(phase) + 0.4*math.Sin(0.5*t)
		out := 0.2*across + 0.3*math.Sin(phase)*math.Sin(phase) + 0.05*rng.NormFloat64()
		if math.Mod(t, 3) < 0.02 {
			across, out = math.NaN(), math.NaN()
		}
		s.t, s.across, s.out = append(s.t, t), append(s.across, across), append(s.out, out)
	}
	return s
}

// moved returns values moved by d.
func moved(values []float64, d float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v + d
	}
	return out
}

// film returns the take as an end-on film at 12 px/mm sees it, y downward.
func (s sample) film() (x, y []float64) {
	for i := range s.across {
		x = append(x, 640+12*(0.97*s.across[i]-0.26*s.out[i]))
		y = append(y, 360-12*(0.26*s.across[i]+0.97*s.out[i]))
	}
	return x, y
}

func degree(v, low, high float64) estimate.Value[circular.Angle] {
	d := func(v float64) circular.Angle { return circular.Angle(v) * circular.Degree }
	return estimate.Value[circular.Angle]{Value: d(v), Low: d(low), High: d(high), Level: 0.95, N: 100}
}

// variants are figures that the Examples do not show, by the name of the file
// that is kept of each.
func variants() map[string]figure.Figure {
	s, shaky := newSample(20, 240, 0), newSample(20, 240, 5)
	early := make([]figure.Stroke, 30)
	copy(early, s.strokes)
	unjudged := strokes
	unjudged.Unjudged = true
	return map[string]figure.Figure{
		"paths-relative":   figure.Paths{Across: s.across, Out: s.out, Unit: "mm", Angle: degree(11.3, math.NaN(), math.NaN())},
		"strokes-short":    figure.StrokesOverTime{T: s.t, Across: s.across, Unit: "mm", Strokes: early},
		"strokes-unjudged": unjudged,
		"angle-band": figure.AngleOverTime{
			T: shaky.mid, Angle: shaky.angle, Low: moved(shaky.angle, -10), High: moved(shaky.angle, 10), Level: 0.95, Settled: shaky.settled,
		},
		"turns-across": figure.TurnScatter{AfterUp: figure.Turns{Across: s.fromX}, AfterDown: figure.Turns{Across: s.toX}, Unit: "px"},
		"cycle-front":  figure.MeanCycle{Mean: meanCycle.Mean, Second: "along", Unit: "mm"},
		"empty":        figure.StrokesOverTime{},
	}
}
