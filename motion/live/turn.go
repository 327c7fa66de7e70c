package live

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// turned takes the turn whose extreme is sample number at, told at sample n.
func (t *Tracker) turned(dst []Event, at int, top bool, n int) []Event {
	e := &t.s.Early
	now := e.T
	u, ok := t.turnAt(at, top, n)
	if !ok {
		e.Turn.Known = false // it lies too far back to be told
		return dst
	}
	before := e.Turn
	e.Turn = u
	left := e.Left
	e.Left = u.T
	if t.tooFew() {
		return dst
	}
	direction := motion.Up
	if top {
		direction = motion.Down
	}
	dst = append(dst, Event{Kind: Turn, T: u.T, At: now, Direction: direction})
	t.s.Counts.Turns++
	if !before.Known || before.Top == top || !(u.T > before.T) {
		return dst
	}
	duration, travel := u.T-before.T, distance(&u.At, &before.At)
	start := before
	joined := e.Turns.N > 0
	if d := e.duration(); duration > 2.5*d && e.Sizes >= 2 {
		// The hand has rested in between.
		start.T, joined = min(max(left, before.T), u.T-0.3*d), false
		duration = u.T - start.T
		e.Turns = last{}
	}
	if e.tooQuick(duration) {
		return dst
	}
	if e.Turns.N == 0 {
		e.Turns.push(start.T)
	}
	e.Turns.push(u.T)
	e.Lengths.push(travel)
	e.Lasts.push(duration)
	e.Sizes++
	st := t.stroke(&start, &u, direction, joined)
	number := t.s.Counts.Provisional
	t.s.Counts.Provisional++
	dst = append(dst, Event{Kind: Provisional, T: u.T, At: now, Stroke: st, Number: number})
	t.expect(number, &st)
	if r, ok := e.rate(); ok {
		t.s.Rate = r
		dst = append(dst, Event{Kind: Rate, T: u.T, At: now, NotesPerSecond: r, Low: tempo.NotesPerSecond(nan), High: tempo.NotesPerSecond(nan)})
	}
	return dst
}

// tooQuick reports whether no stroke lasts so short a time.
func (e *early) tooQuick(duration float64) bool {
	return duration < quickest && duration < quickShare*e.duration()
}

// turnAt refines the turn at sample number at by the parabola through the samples
// about it, which also says where it is.
func (t *Tracker) turnAt(at int, top bool, n int) (earlyTurn, bool) {
	e := &t.s.Early
	step := t.s.Step
	half := 1
	if d := e.duration(); d == d {
		half = max(1, min(int(0.16*d/step), 64))
	}
	c, ok := t.store.at(at)
	for ok && c > 0 && t.store.way[c] != t.store.way[c] {
		c-- // the box reached over a gap
	}
	if !ok || t.store.t[c] < e.T-t.o.Window || n-at > t.o.MaxSamples/2 {
		return earlyTurn{}, false
	}
	last, _ := t.store.at(n)
	lo, hi := max(0, c-half), min(last, c+half)
	if hi-lo < 2 {
		lo, hi = max(0, hi-2), min(last, lo+2)
	}
	t0 := t.store.t[c]
	var s parabola
	for i := lo; i <= hi; i++ {
		if v := t.store.way[i]; v == v {
			s.add((t.store.t[i]-t0)/step, v)
		}
	}
	u := earlyTurn{Known: true, T: t0, Top: top}
	vertex, curve, ok := s.vertex()
	if ok && (curve < 0) == top && math.Abs(vertex) <= float64(half)+0.5 {
		u.T = t0 + vertex*step
		u.SE = step * e.Noise / (2 * math.Abs(curve) * math.Sqrt(s.squares()))
	} else {
		vertex = 0
	}
	for a := range u.At {
		var q parabola
		for i := lo; i <= hi; i++ {
			if v := t.store.place[a][i]; v == v {
				q.add((t.store.t[i]-t0)/step, v)
			}
		}
		u.At[a] = q.at(vertex)
	}
	if middle, hidden := t.hiddenAt(c, last); hidden {
		u.T, u.Hidden = middle, true
	}
	return u, true
}

// hiddenAt reports whether the samples beside sample c, the extreme, lie too far
// from it to tell the turn there, and the middle of the gap.
func (t *Tracker) hiddenAt(c, last int) (middle float64, hidden bool) {
	s := &t.store
	i, j := c+1, c-1
	for i <= last && s.way[i] != s.way[i] {
		i++
	}
	for j >= 0 && s.way[j] != s.way[j] {
		j--
	}
	most := 1.6 * t.s.Step
	if d := t.s.Early.duration(); d == d {
		most = max(most, 0.2*d)
	}
	switch {
	case j < 0 || i > last:
		return s.t[c], true
	case s.t[i]-s.t[c] > most:
		return (s.t[i] + s.t[c]) / 2, true
	case s.t[c]-s.t[j] > most:
		return (s.t[j] + s.t[c]) / 2, true
	}
	return s.t[c], false
}

// stroke is that between two early turns.
func (t *Tracker) stroke(a, b *earlyTurn, direction motion.Direction, joined bool) motion.Stroke {
	st := unmeasured()
	st.Direction, st.Start, st.End, st.Joined = direction, a.T, b.T, joined
	st.StartHidden, st.EndHidden = a.Hidden, b.Hidden
	st.Noise.Duration = math.Hypot(a.SE, b.SE)
	if st.TurnHidden() {
		return st
	}
	var d [3]float64
	for k := range d {
		d[k] = b.At[k] - a.At[k]
	}
	st.Length = math.Sqrt(dot(d, d))
	st.AcrossStart, st.AcrossEnd = a.At[0], b.At[0]
	if t.perStroke() < motion.MinSamplesAngles {
		return st
	}
	if v := t.o.Frame.View; v != trajectory.Front {
		st.PathAngle = circular.Angle(math.Atan2(d[2], d[0])).Axial()
	}
	if v := t.o.Frame.View; v == trajectory.Front || v == trajectory.Spatial {
		st.Skew = circular.Angle(math.Atan2(d[1], d[0])).Axial()
	}
	return st
}

var nan = math.NaN()

// unmeasured is a stroke of which nothing is known.
func unmeasured() motion.Stroke {
	x := circular.Angle(nan)
	return motion.Stroke{
		Length: nan, PathAngle: x, PathAngleLow: x, PathAngleHigh: x, Skew: x, Curvature: nan,
		HeightStart: nan, HeightEnd: nan, AcrossStart: nan, AcrossEnd: nan, PeakSpeed: nan,
		Seen:  motion.Seen{Length: nan, LengthNoise: nan, Angle: x, AngleNoise: x},
		Noise: motion.StrokeNoise{Angle: x, Duration: nan, Length: nan},
	}
}
