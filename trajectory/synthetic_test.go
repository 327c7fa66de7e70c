package trajectory

import (
	"math"
	"math/rand/v2"
)

// picking describes an invented recording of a plectrum tip, in pixels.
type picking struct {
	fs, rate     float64 // samples and strokes per second
	length       float64 // of a stroke, px
	noise        float64 // px on each axis
	seconds      float64
	bow          float64 // second harmonic on the out axis, share of length
	search       float64 // lengths vary by up to this factor, slowly
	strings      float64 // px between strings, changed now and then
	rest         bool    // rests for a third of the time
	jitter       float64 // of the times, share of an interval
	outliers     float64 // share of samples
	jumps        int
	offset       bool // the jumped tracker moves with the tip
	hidden       float64
	lines, holds int // fills
	round        float64
	seed         uint64
}

// what happened to a sample.
const (
	good = iota
	outlying
	away
	drawn
	held
	gone
)

// record returns the path, what happened to each sample, and the path without
// noise and mishaps.
func (s picking) record() (p Path, what []int, truth Path) {
	rng := rand.New(rand.NewPCG(s.seed, 1))
	if s.seconds == 0 {
		s.seconds = 15
	}
	n := int(s.fs * s.seconds)
	p = Path{Name: "tip", T: make([]float64, n), X: make([]float64, n), Y: make([]float64, n)}
	what = make([]int, n)
	turn := make([]float64, n)
	cycle := s.rate / 2
	phase, amp := 0.3, 1.0
	centre, from, target, since := 0.0, 0.0, 0.0, math.Inf(-1)
	for i := range n {
		t := float64(i) / s.fs
		p.T[i] = t + s.jitter*(rng.Float64()-0.5)/s.fs
		dt := 1 / s.fs
		if i > 0 {
			dt = p.T[i] - p.T[i-1]
		}
		t = p.T[i]
		speed := 1.0
		if s.rest { // of three seconds, for one; it stops and starts within a stroke
			u := math.Mod(t, 3)
			speed = smoothStep(u*s.rate) * smoothStep((2-u)*s.rate)
		}
		phase += cycle * dt * speed
		turn[i] = phase
		if s.search > 0 {
			amp = math.Pow(s.search, math.Sin(2*math.Pi*0.9*t))
		}
		if s.strings > 0 && t > since+1.2 && rng.Float64() < 2/s.fs {
			since, from, target = t, target, s.strings*float64(rng.IntN(3)-1)
		}
		centre = from + (target-from)*smoothStep((t-since)*s.rate/1.5) // in one and a half strokes
		a := s.length / 2 * amp
		across := centre + a*math.Cos(2*math.Pi*phase)
		out := s.bow*s.length*math.Cos(4*math.Pi*phase+0.4) + 0.2*a*math.Cos(2*math.Pi*phase)
		p.X[i] = 640 + 0.3*across + 0.95*out
		p.Y[i] = 360 + 0.95*across - 0.3*out
	}
	truth = Path{Name: "truth", T: p.T, X: append([]float64(nil), p.X...), Y: append([]float64(nil), p.Y...)}
	for i := range n {
		p.X[i] += s.noise * rng.NormFloat64()
		p.Y[i] += s.noise * rng.NormFloat64()
	}
	free := func(length int) int {
		for {
			i := 12 + rng.IntN(n-length-24)
			ok := true
			for j := i - 6; j < i+length+6; j++ {
				ok = ok && what[j] == good
			}
			if ok {
				return i
			}
		}
	}
	for range s.jumps {
		length := 5 + rng.IntN(min(56, n/20))
		i := free(length)
		d, a := 30+170*rng.Float64(), 2*math.Pi*rng.Float64()
		x, y := truth.X[i]+d*math.Cos(a), truth.Y[i]+d*math.Sin(a)
		for j := i; j < i+length; j++ {
			if s.offset {
				p.X[j] += d * math.Cos(a)
				p.Y[j] += d * math.Sin(a)
			} else {
				p.X[j], p.Y[j] = x+s.noise*rng.NormFloat64(), y+s.noise*rng.NormFloat64()
			}
			what[j] = away
		}
	}
	for range s.holds {
		length := 4 + rng.IntN(20)
		i := free(length)
		for j := i; j < i+length; j++ {
			p.X[j], p.Y[j] = p.X[i-1], p.Y[i-1]
			what[j] = held
		}
	}
	for range s.lines {
		length := 4 + rng.IntN(20)
		i := free(length)
		for j := i; j < i+length; j++ {
			u := float64(j-i+1) / float64(length+1)
			p.X[j] = (1-u)*p.X[i-1] + u*p.X[i+length]
			p.Y[j] = (1-u)*p.Y[i-1] + u*p.Y[i+length]
			what[j] = drawn
		}
	}
	for i := range n {
		if what[i] == good && rng.Float64() < s.outliers {
			d, a := 10+70*rng.Float64(), 2*math.Pi*rng.Float64()
			p.X[i] += d * math.Cos(a)
			p.Y[i] += d * math.Sin(a)
			what[i] = outlying
		}
		if s.hidden > 0 && math.Mod(turn[i], 1) < s.hidden {
			p.X[i], p.Y[i] = math.NaN(), math.NaN()
			what[i] = gone
		}
		if s.round > 0 {
			p.X[i] = s.round * math.Round(p.X[i]/s.round)
			p.Y[i] = s.round * math.Round(p.Y[i]/s.round)
		}
	}
	return p, what, truth
}

// smoothStep goes from 0 at u = 0 to 1 at u = 1.
func smoothStep(u float64) float64 {
	u = min(1, max(0, u))
	return u * u * (3 - 2*u)
}
