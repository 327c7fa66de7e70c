package cycle_test

import (
	"fmt"
	"math"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/variability/estimate"
)

// tally is how one quantity does over many takes: the mean error, its root mean
// square, and how often the interval holds the truth.
type tally struct {
	n, absent           int
	sum, square, in, of float64
}

func (t *tally) add(v estimate.Value[float64], want, unit float64) {
	if !v.Known() {
		t.absent++
		return
	}
	e := (v.Value - want) / unit
	t.n++
	t.sum += e
	t.square += e * e
	if v.Level > 0 {
		t.of++
		if v.Low <= want && want <= v.High {
			t.in++
		}
	}
}

func (t *tally) bias() float64 { return t.sum / float64(t.n) }

func (t *tally) rms() float64 { return math.Sqrt(t.square / float64(t.n)) }

func (t *tally) cover() float64 { return t.in / t.of }

func (t *tally) String() string {
	return fmt.Sprintf("%+6.2f %5.2f %4.2f (%d)", 100*t.bias(), 100*t.rms(), t.cover(), t.absent)
}

// score gathers the tallies of takes that are alike.
type score struct {
	length, angle, curvature, loop, speed, evenness tally
	band                                            tally // sum is unused
	unseen                                          int
	harmonics, takes                                float64
}

func (s *score) add(m maker, c cycle.Cycle, tr truth) {
	s.takes++
	if c.Absent != nil {
		s.unseen++
		return
	}
	s.harmonics += float64(c.Harmonics)
	s.length.add(c.Length, tr.length, tr.length)
	s.angle.add(estimate.As[float64](c.PathAngle), m.angle*math.Pi/180, math.Pi/180*100)
	if m.down+m.up != 0 {
		s.curvature.add(c.Curvature, (m.down+m.up)/2, (m.down+m.up)/2)
	}
	s.loop.add(c.LoopWidth, tr.loop, 1)
	s.speed.add(c.PeakSpeedDown, tr.peakDown, tr.peakDown)
	s.evenness.add(c.Evenness, tr.evenness, tr.evenness)

	// The band is about the centre of the phases that are seen.
	const grid = 64
	var got, want [3]float64
	n := 0.0
	for k := range grid {
		ph := (float64(k) + 0.5) / grid
		x, _ := c.At(ph)
		if x.Across != x.Across {
			continue
		}
		n++
		w := tr.place(ph)
		for a, v := range [3]float64{x.Across, x.Along, x.Out} {
			got[a] += v
			want[a] += w[a]
		}
	}
	for k := range grid {
		ph := (float64(k) + 0.5) / grid
		lo, hi := c.Band(ph)
		x, _ := c.At(ph)
		w := tr.place(ph)
		l, h := [3]float64{lo.Across, lo.Along, lo.Out}, [3]float64{hi.Across, hi.Along, hi.Out}
		for a, v := range [3]float64{x.Across, x.Along, x.Out} {
			if v != v {
				continue
			}
			shift := (got[a] - want[a]) / n
			s.band.add(estimate.Value[float64]{Value: v - shift, Low: l[a] - shift, High: h[a] - shift, Level: 0.95, N: 1}, w[a], 1)
		}
	}
}

func (s *score) String() string {
	return fmt.Sprintf("H %4.1f none %d | length%% %v | angle %v | curvature%% %v | loop %v | speed%% %v | evenness%% %v | band %.3f",
		s.harmonics/s.takes, s.unseen, &s.length, &s.angle, &s.curvature, &s.loop, &s.speed, &s.evenness, s.band.cover())
}
