package motion

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// memory is what the pieces of a take so far have shown, of the last seenMost
// strokes. Times are in seconds, lengths in the unit of the path.
type memory struct {
	// Begun says that something is kept. Strokes that start before Until are.
	Begun bool    `json:"begun"`
	Until float64 `json:"until"`

	// NoiseSum is the sum of the samples' noise variance up to NoiseUntil,
	// NoiseWeight the number of samples.
	NoiseUntil  float64 `json:"noise_until"`
	NoiseSum    float64 `json:"noise_sum"`
	NoiseWeight float64 `json:"noise_weight"`

	Swings   []swingSeen   `json:"swings,omitempty"`
	Shapes   []shapeSeen   `json:"shapes,omitempty"`
	Profiles []profileSeen `json:"profiles,omitempty"`
}

// swingSeen is a swing from turn to turn.
type swingSeen struct {
	At       float64 `json:"at"` // its middle
	Length   float64 `json:"length"`
	Duration float64 `json:"duration"`
	Local    float64 `json:"local"` // median duration of those around
	Top      float64 `json:"top"`   // greatest speed
}

// shapeSeen is what a stroke says of the strokes of its direction.
type shapeSeen struct {
	Direction Direction `json:"direction"`
	Bend      bend      `json:"bend"`
	// Ratio is that of its length to a half-cosine's, 0 for not known.
	Ratio float64 `json:"ratio"`
}

// profileSeen is the profile of a stroke by the first round of learning, and by how much the turn that it begins
// at is moved.
type profileSeen struct {
	Direction Direction  `json:"direction"`
	B         [2]float64 `json:"b"`
	Moved     float64    `json:"moved"` // share of the cycle
}

const (
	seenMost      = 256   // kept of each, about
	seenNoise     = 20000 // samples that the noise rests on, about
	seenNoiseStep = 0.5   // s: samples are kept for the noise in portions of this
	seenEnough    = 8     // swings that make a guess of the cycle
)

// ratio is Ratio, NaN for not known.
func (x *shapeSeen) ratio() float64 {
	if x.Ratio > 0 {
		return x.Ratio
	}
	return math.NaN()
}

// kept reports whether what began at t is kept.
func (m *memory) kept(t float64) bool { return m.Begun && t < m.Until }

// noiseFrom is the time after which samples are not yet kept for the noise.
func (m *memory) noiseFrom() float64 {
	if !m.Begun {
		return math.Inf(-1)
	}
	return m.NoiseUntil
}

// remember appends x to s, and drops the oldest quarter where that is full.
func remember[T any](s []T, x T) []T {
	if s == nil {
		s = make([]T, 0, seenMost)
	}
	if len(s) >= seenMost {
		s = s[:copy(s, s[seenMost/4:])]
	}
	return append(s, x)
}

// cycleHz is the frequency of the cycle by the swings kept, 0 for not known.
func (a *Analyzer) cycleHz() float64 {
	w := a.seen.Swings
	if len(w) < seenEnough {
		return 0
	}
	x := a.pools.floats.take(len(w))
	for i := range w {
		x[i] = w[i].Duration
	}
	return 1 / (2 * robust.MedianInPlace(x))
}

// appendShapes appends what the strokes kept of one direction say to dst.
func (m *memory) appendShapes(dst []float64, d Direction, value func(*shapeSeen) float64) []float64 {
	for i := range m.Shapes {
		if x := &m.Shapes[i]; x.Direction == d {
			dst = appendKnown(dst, value(x))
		}
	}
	return dst
}

// earlier makes the swings those kept that lie shortly before the path, so that
// the sizes near its start rest on both sides.
func (s *search) earlier() {
	s.swings.reset()
	kept := s.seen.Swings
	from := len(kept)
	for from > 0 && kept[from-1].At >= s.g.t0 {
		from--
	}
	for _, w := range kept[max(0, from-swingWindow):from] {
		if at := s.g.index(w.At); at > -float64(s.g.n()) {
			s.swings.add(at, w.Length, w.Duration*s.g.hz, w.Top)
		}
	}
	s.before = len(s.swings.at)
}

// durations returns the durations of the swings kept, in grid samples, and of
// those of own that are not kept: local ones, or each its own.
func (s *search) durations(own []float64, local bool) []float64 {
	d := s.pools.floats.take(len(s.seen.Swings) + len(own))[:0]
	for i := range s.seen.Swings {
		w := &s.seen.Swings[i]
		v := w.Duration
		if local {
			v = w.Local
		}
		d = append(d, v*s.g.hz)
	}
	for i, v := range own {
		if !s.seen.kept(s.g.time(s.swings.at[s.before+i])) {
			d = append(d, v)
		}
	}
	return d
}

// Keep makes a remember what the strokes of the path analysed last, those that
// start before the time until, show of the take. The next path goes on from
// there: it holds that time and the seconds before it, as far as strokes reach
// back. The path must not have been changed since.
func (a *Analyzer) Keep(until float64) {
	m, s := &a.seen, &a.search
	if m.Begun && until <= m.Until {
		return
	}
	if from := m.noiseFrom(); !(until-from < seenNoiseStep) && a.path.Len() > 0 {
		sum, weight := a.noiseSquares(a.path, from, until)
		m.NoiseSum += sum
		m.NoiseWeight += weight
		if m.NoiseWeight > seenNoise {
			m.NoiseSum, m.NoiseWeight = m.NoiseSum/2, m.NoiseWeight/2
		}
		m.NoiseUntil = until
	}
	fresh := func(t float64) bool { return !m.kept(t) && t < until }
	if s.g != nil && a.found {
		for i, at := range s.swings.at[s.before:] {
			if t := s.g.time(at); fresh(t) {
				k := s.before + i
				m.Swings = remember(m.Swings, swingSeen{
					At: t, Length: s.swings.length[k], Top: s.swings.top[k],
					Duration: s.swings.duration[k] / s.g.hz, Local: s.size.duration[k] / s.g.hz,
				})
			}
		}
		for _, i := range s.turning {
			nd := &s.nodes[i]
			if !fresh(s.g.time(nd.at)) {
				continue
			}
			if p := s.first[i]; p.ok {
				d := Up
				if !nd.top {
					d = Down
				}
				m.Profiles = remember(m.Profiles, profileSeen{d, [2]float64{p.b2, p.b3}, p.moved})
			}
		}
	}
	for i := range a.motion.Strokes {
		st := &a.motion.Strokes[i]
		if !fresh(st.Start) || st.bend != st.bend {
			continue
		}
		x := shapeSeen{Direction: st.Direction, Bend: st.bend}
		if r := st.Length / st.halfCosine; r == r {
			x.Ratio = r
		}
		m.Shapes = remember(m.Shapes, x)
	}
	m.Begun, m.Until = true, until
}

// Reset makes a forget the take; the memory that it works in stays.
func (a *Analyzer) Reset() {
	a.seen = memory{Swings: a.seen.Swings[:0], Shapes: a.seen.Shapes[:0], Profiles: a.seen.Profiles[:0]}
	a.begin(trajectory.Placed{}, Options{})
}

// MarshalJSON returns what a remembers of the take.
func (a *Analyzer) MarshalJSON() ([]byte, error) { return json.Marshal(&a.seen) }

// UnmarshalJSON makes a go on from what another remembered. On an error a is as
// it was.
func (a *Analyzer) UnmarshalJSON(b []byte) error {
	var m memory
	if err := json.Unmarshal(b, &m); err != nil {
		return fmt.Errorf("motion: what an analyzer remembers: %w", err)
	}
	if err := m.check(); err != nil {
		return fmt.Errorf("motion: what an analyzer remembers: %w", err)
	}
	a.Reset()
	a.seen = m
	return nil
}

// check reports what cannot have been remembered.
func (m *memory) check() error {
	if len(m.Swings) > seenMost || len(m.Shapes) > seenMost || len(m.Profiles) > seenMost {
		return fmt.Errorf("more than %d strokes", seenMost)
	}
	if !(m.NoiseSum >= 0) || !(m.NoiseWeight >= 0) {
		return fmt.Errorf("a noise of %g from %g samples", m.NoiseSum, m.NoiseWeight)
	}
	last := math.Inf(-1)
	for i, w := range m.Swings {
		if !(w.At >= last && w.Length >= 0 && w.Duration > 0 && w.Local > 0 && w.Top >= 0) {
			return fmt.Errorf("swing %d is %+v", i, w)
		}
		last = w.At
	}
	for i, x := range m.Shapes {
		if x.Direction != Down && x.Direction != Up {
			return fmt.Errorf("stroke %d has no direction", i)
		}
	}
	for i, x := range m.Profiles {
		if x.Direction != Down && x.Direction != Up {
			return fmt.Errorf("profile %d has no direction", i)
		}
	}
	return nil
}
