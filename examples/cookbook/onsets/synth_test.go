package main

import (
	"math"
	"math/rand/v2"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// playing says how the test's plucked strings sound. It is written apart from
// demo.go: another model of the string, with what a real room and a real hand
// add.
type playing struct {
	seed       uint64
	rate       int     // Hz
	seconds    float64 // of playing, after half a second of room
	notes      float64 // per second
	jitter     float64 // of the intervals, as a share
	low        float64 // lowest fundamental, Hz
	strings    int     // played at random
	ring       float64 // seconds for the fundamental to fall by 60 dB
	bright     float64 // Hz at which the strength of partials has halved
	spread     float64 // standard deviation of the notes' level, dB
	noise      float64 // dB below the typical attack, of the room
	hum        float64 // amplitude of mains hum, as a share of a string's
	touch      float64 // seconds by which the plectrum touches before it lets go
	touchLevel float64 // of the noise of touching, as a share of the note
	room       float64 // share of sound that comes back from the walls
	gain       float64 // before the converter: above 1 it clips
	bits       int
	codec      float64 // Hz above which nothing is left, 0 for no limit
	stereo     bool    // with the channels in opposite phase
}

// typical is a mandolin at 10 notes/s, played close to a good microphone.
var typical = playing{
	rate: 48000, seconds: 6, notes: 10, jitter: 0.05, low: 196, strings: 1, ring: 1, bright: 2500, spread: 2,
	noise: 50, touch: 0.008, touchLevel: 0.05, gain: 0.5, bits: 16,
}

// play returns the samples, interleaved, and the times at which notes begin.
func (r playing) play() (samples []float64, truth []float64) {
	rng := rand.New(rand.NewPCG(r.seed, 77))
	fs := float64(r.rate)
	n := int((r.seconds + 1.5) * fs)
	x := make([]float64, n)
	type note struct {
		at, strength float64
		str          int
	}
	var notes []note
	for t := 0.5; t < 0.5+r.seconds; t += math.Max(0.3, 1+r.jitter*rng.NormFloat64()) / r.notes {
		notes = append(notes, note{t, math.Pow(10, r.spread*rng.NormFloat64()/20), rng.IntN(r.strings)})
		truth = append(truth, t)
	}
	for i, nt := range notes {
		// It rings until the plectrum touches this string again.
		until := float64(n) / fs
		for _, later := range notes[i+1:] {
			if later.str == nt.str {
				until = later.at - r.touch
				break
			}
		}
		f0 := r.low * math.Pow(2, float64(5*nt.str+rng.IntN(5))/12)
		where := 0.1 + 0.1*rng.Float64() // of the string's length
		for p := 1; p <= 40; p++ {
			f := f0 * float64(p) * math.Sqrt(1+1e-4*float64(p*p))
			if f > 0.45*fs {
				break
			}
			amp := 0.3 * nt.strength * math.Sin(math.Pi*where*float64(p)) / float64(p) / (1 + f/r.bright) * 4
			decay := math.Pow(10, -3/(r.ring/(1+f/3000))/fs)
			damp := math.Pow(10, -3/0.03/fs) // under the plectrum: 60 dB in 30 ms
			phase := 2*math.Pi*rng.Float64()*0.2 + math.Pi/2
			re, im := amp*math.Cos(phase), amp*math.Sin(phase)
			c, s := math.Cos(2*math.Pi*f/fs), math.Sin(2*math.Pi*f/fs)
			start := int(math.Ceil(nt.at * fs))
			for k := start; k < n; k++ {
				x[k] += re * math.Min(1, float64(k-start+1)/fs/0.0008) // lets go within 0.8 ms
				d := decay
				if float64(k)/fs > until {
					d = damp
				}
				re, im = d*(re*c-im*s), d*(re*s+im*c)
				if math.Abs(re)+math.Abs(im) < 1e-6 {
					break
				}
			}
		}
		// The plectrum scrapes from its touch on and snaps off.
		for k := int((nt.at - r.touch) * fs); k < int((nt.at+0.004)*fs); k++ {
			u := float64(k)/fs - nt.at
			scrape := r.touchLevel * nt.strength
			if u > 0 {
				scrape = 4 * r.touchLevel * nt.strength * math.Exp(-u/0.001)
			}
			x[k] += scrape * rng.NormFloat64() * 0.3
		}
	}
	if r.room > 0 {
		for _, delay := range []float64{0.0113, 0.0171, 0.0297, 0.0371} {
			d := int(delay * fs)
			y := make([]float64, n)
			for k := d; k < n; k++ {
				y[k] = x[k-d] + 0.75*y[k-d]
			}
			for k := range x {
				x[k] += r.room / 4 * y[k]
			}
		}
	}
	if r.codec > 0 {
		for range 4 {
			f, err := filter.Once(r.codec, fs)
			if err != nil {
				panic(err)
			}
			s := f.Start()
			for k := range x {
				x[k] = s.Push(x[k])
			}
		}
	}
	floor := 0.3 * math.Pow(10, -r.noise/20)
	for k := range x {
		x[k] += floor*rng.NormFloat64() + 0.3*r.hum*math.Sin(2*math.Pi*50*float64(k)/fs)
		x[k] = math.Max(-1, math.Min(1, r.gain*x[k]))
		if full := math.Exp2(float64(r.bits - 1)); r.bits > 0 {
			x[k] = math.Max(-1, math.Min((full-1)/full, math.Round(x[k]*full)/full))
		}
	}
	if !r.stereo {
		return x, truth
	}
	both := make([]float64, 0, 2*n)
	for _, v := range x {
		both = append(both, v, -v)
	}
	return both, truth
}
