package main

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
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

// row is a line of the comparison.
type row struct {
	at                        float64
	struck, found, off, level string
}

// demonstrate finds the onsets of a sound whose notes are known.
func demonstrate(s setup, out io.Writer) error {
	truth, seconds, err := strikes()
	if err != nil {
		return err
	}
	file := encode(strum(truth, seconds), demoRate)
	c, err := listen(bytes.NewReader(file), int64(len(file)), s.find.lowest)
	if err != nil {
		return err
	}
	found := find(c, s.find)
	if s.out != "" {
		if err := cli.WriteFile(s.out, table(found, s.shift), s.force); err != nil {
			return err
		}
	}

	var b bytes.Buffer
	fmt.Fprintf(&b, "This sound is invented: strings that the program plucks at the times at which an\ninvented beginner (examples/simulate -preset %s) strikes them.\n\n", demoTake)
	fmt.Fprintf(&b, "%9s %9s %7s %9s\n", "struck_s", "found_s", "off_ms", "level_db")
	times := make([]float64, len(found))
	for i, o := range found {
		times[i] = o.time
	}
	var rows []row
	var off []float64
	for i, m := range pairs(truth, times) {
		r := row{truth[i], fmt.Sprintf("%.4f", truth[i]+s.shift), "-", "-", "-"}
		if m >= 0 {
			d := 1000 * (times[m] - truth[i])
			off = append(off, math.Abs(d))
			r.found, r.off, r.level = fmt.Sprintf("%.4f", times[m]+s.shift), fmt.Sprintf("%.2f", d), fmt.Sprintf("%.1f", found[m].level)
			times[m] = math.NaN() // used
		}
		rows = append(rows, r)
	}
	for i, v := range times {
		if v == v {
			rows = append(rows, row{v, "-", fmt.Sprintf("%.4f", v+s.shift), "-", fmt.Sprintf("%.1f", found[i].level)})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.at, b.at) })
	for _, r := range rows {
		fmt.Fprintf(&b, "%9s %9s %7s %9s\n", r.struck, r.found, r.off, r.level)
	}
	fmt.Fprintf(&b, "\n%d notes, %d onsets, %d of them true: F1 %.3f\n", len(truth), len(found), len(off), score(len(truth), len(found), len(off)))
	if len(off) > 0 {
		fmt.Fprintf(&b, "half of those within %.1f ms, 95 %% within %.1f ms\n", robust.Quantile(0.5, off), robust.Quantile(0.95, off))
	}
	_, err = out.Write(b.Bytes())
	return err
}
