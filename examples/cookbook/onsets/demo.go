package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/estimate"
)

const (
	demoTake = "beginner-1"
	demoRate = 44100 // Hz
)

// strikes returns the times at which the invented beginner struck a string, and
// how long the take is.
func strikes() (times []float64, seconds float64, err error) {
	for _, p := range simulate.Presets() {
		if p.Name != demoTake {
			continue
		}
		take, err := simulate.Make(p.Options)
		if err != nil {
			return nil, 0, err
		}
		for _, s := range take.Truth.Strokes {
			if s.Reached {
				times = append(times, s.Struck)
			}
		}
		return times, take.Options.Duration, nil
	}
	return nil, 0, fmt.Errorf("there is no take %q", demoTake)
}

// strum returns the samples of a pair of strings that is plucked at the times,
// by the algorithm of K. Karplus and A. Strong, "Digital synthesis of
// plucked-string and drum timbres", Computer Music J. 7 (1983) 43-55: a burst of
// noise goes round a delay line that averages neighbours.
func strum(times []float64, seconds float64) []float64 {
	rng := estimate.Stream(1, "onsets: strum")
	x := make([]float64, int(seconds*demoRate))
	scale := []float64{440, 493.88, 523.25, 587.33, 659.26, 587.33, 523.25, 493.88} // up and down, in Hz
	next := 0
	var lines [2][]float64 // of the pair
	at := 0
	for k := range x {
		if next < len(times) && float64(k) >= times[next]*demoRate {
			loud := math.Exp(0.25 * rng.NormFloat64())
			for i := range lines {
				hz := scale[next%len(scale)] * []float64{1, 1.002}[i]
				lines[i] = make([]float64, int(demoRate/hz+0.5))
				for j := range lines[i] {
					lines[i][j] = 0.2 * loud * (2*rng.Float64() - 1)
				}
			}
			at = 0
			next++
		}
		x[k] = 0.001 * rng.NormFloat64() // the room
		for _, line := range lines {
			if n := len(line); n > 0 {
				i := at % n
				x[k] += line[i]
				line[i] = 0.498 * (line[i] + line[(i+1)%n])
			}
		}
		at++
	}
	return x
}

// encode returns the samples as a WAV file of 16 bits.
func encode(x []float64, rate int) []byte {
	le := binary.LittleEndian
	size := uint32(2 * len(x))
	b := append([]byte("RIFF"), le.AppendUint32(nil, 36+size)...)
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, 16)
	b = le.AppendUint16(b, linearPCM)
	b = le.AppendUint16(b, 1)
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(2*rate))
	b = le.AppendUint16(b, 2)
	b = le.AppendUint16(b, 16)
	b = append(b, "data"...)
	b = le.AppendUint32(b, size)
	for _, v := range x {
		b = le.AppendUint16(b, uint16(int16(math.Round(32767*max(-1, min(1, v))))))
	}
	return b
}

// near is how far a found onset may be from a true one to be that one.
const near = 0.025

// pairs matches found times with true ones, both in order, one to one, and
// returns for each true one the index of its found one, or -1.
func pairs(truth, found []float64) []int {
	match := make([]int, len(truth))
	j := 0
	for i, v := range truth {
		match[i] = -1
		for j < len(found) && found[j] < v-near {
			j++
		}
		if j == len(found) || found[j] > v+near {
			continue
		}
		// The next one may be closer, if it is not the next truth's.
		if j+1 < len(found) && math.Abs(found[j+1]-v) < math.Abs(found[j]-v) &&
			!(i+1 < len(truth) && math.Abs(found[j+1]-truth[i+1]) < math.Abs(found[j+1]-v)) {
			j++
		}
		match[i] = j
		j++
	}
	return match
}

// score returns F1, the harmonic mean of the share of notes that were found and
// the share of found ones that are notes.
func score(notes, found, both int) float64 { return 2 * float64(both) / float64(notes+found) }

// demo is a sound whose notes are known.
func (f *heard) demo(s setup) error {
	truth, seconds, err := strikes()
	if err != nil {
		return err
	}
	file := encode(strum(truth, seconds), demoRate)
	f.power, err = listen(bytes.NewReader(file), int64(len(file)), s.find.lowest)
	for _, t := range truth {
		f.truth = append(f.truth, t+s.shift)
	}
	return err
}

// held tells how the found onsets compare with the true ones: how many are true, F1,
// and how far off those are, in ms.
func (f *heard) held() (both int, f1 float64, off []float64) {
	times := make([]float64, len(f.onsets))
	for i, o := range f.onsets {
		times[i] = o.Time
	}
	for i, m := range pairs(f.truth, times) {
		if m >= 0 {
			off = append(off, 1000*math.Abs(times[m]-f.truth[i]))
		}
	}
	return len(off), score(len(f.truth), len(times), len(off)), off
}
