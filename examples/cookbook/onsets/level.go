package main

import (
	"fmt"
	"io"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// loudness is the power over time of a sound's power in octaves.
type loudness struct {
	step float64 // seconds from one value to the next, about a millisecond
	// bands hold the mean square over each step, summed over the channels, from
	// the lowest octave to the highest, which has no upper end.
	bands [][]float32
	width []float64 // of each octave, in Hz
	// clipped is how many frames have a channel at full scale, of frames in all.
	clipped, frames int64
}

// fullScale is the value from which on a sample counts as clipped: the highest
// of 16 bits, with a margin for rounding.
const fullScale = 0.9999

// section is a second-order filter: a low-pass by package filter, or a
// Butterworth high-pass, which has the denominator of the low-pass of the same
// cut-off and its zeros at frequency zero.
type section struct {
	b, a           [3]float64
	x1, x2, y1, y2 float64
}

func newSection(hz, rate float64, high bool) (section, error) {
	f, err := filter.Once(hz, rate)
	if err != nil {
		return section{}, err
	}
	var s section
	s.b, s.a = f.Coefficients()
	if high {
		g := (1 - s.a[1] + s.a[2]) / 4 // gain 1 at half the rate
		s.b = [3]float64{g, -2 * g, g}
	}
	return s, nil
}

func (s *section) push(x float64) float64 {
	y := s.b[0]*x + s.b[1]*s.x1 + s.b[2]*s.x2 - s.a[1]*s.y1 - s.a[2]*s.y2
	s.x2, s.x1, s.y2, s.y1 = s.x1, x, s.y1, y
	return y
}

// band passes an octave, or all above its lower end: two sections at each end.
type band struct {
	width    float64 // Hz
	sections []section
}

// octaves is how many bands there are at most. The highest begins at 16 kHz
// with the default for the lowest.
const octaves = 6

func newBands(lowest, rate float64) ([]band, error) {
	// A band needs some room below half the rate.
	fits := func(i int, hz float64) bool { return i < octaves && hz < 0.4*rate }
	var all []band
	for i, hz := 0, lowest; fits(i, hz); i, hz = i+1, 2*hz {
		b := band{width: rate/2 - hz}
		low, err := newSection(hz, rate, true)
		if err != nil {
			return nil, err
		}
		b.sections = append(b.sections, low, low)
		if next := 2 * hz; fits(i+1, next) {
			high, err := newSection(next, rate, false)
			if err != nil {
				return nil, err
			}
			b.width = hz
			b.sections = append(b.sections, high, high)
		}
		all = append(all, b)
	}
	return all, nil
}

// readLoudness reads a sound to its end, in octaves from the lowest frequency on.
func readLoudness(s *sound, lowest float64) (loudness, error) {
	channels := make([][]band, s.channels)
	for i := range channels {
		var err error
		if channels[i], err = newBands(lowest, float64(s.rate)); err != nil {
			return loudness{}, err
		}
	}
	if len(channels[0]) == 0 {
		return loudness{}, fmt.Errorf("at %d Hz the sound has no room for a lowest octave from %v Hz on", s.rate, lowest)
	}
	frames := (s.rate + 500) / 1000 // in a step
	c := loudness{step: float64(frames) / float64(s.rate), bands: make([][]float32, len(channels[0]))}
	for _, b := range channels[0] {
		c.width = append(c.width, b.width)
	}
	block := make([]float64, frames*s.channels)
	for {
		n, err := s.next(block)
		if err == io.EOF {
			return c, nil
		}
		if err != nil {
			return loudness{}, err
		}
		for i := range n {
			for _, v := range block[i*s.channels : (i+1)*s.channels] {
				if v >= fullScale || v <= -fullScale {
					c.clipped++
					break
				}
			}
		}
		c.frames += int64(n)
		for b := range c.bands {
			var sum float64
			for ch := range channels {
				sections := channels[ch][b].sections
				for i := range n {
					v := block[i*s.channels+ch]
					for j := range sections {
						v = sections[j].push(v)
					}
					sum += v * v
				}
			}
			c.bands[b] = append(c.bands[b], float32(sum/float64(n)))
		}
	}
}
