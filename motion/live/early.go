package live

import (
	"math"

	"github.com/plectrace/plectrace/motion/internal/turns"
	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/robust"
)

// early finds turns as they happen: the tip's travel along the local direction of
// its motion is added up from sample to sample and given to the turn detector,
// whose threshold follows the last strokes. Nothing of it comes from the future,
// and it lags by the threshold alone. What it keeps can be written to a file.
type early struct {
	Begun  bool       `json:"begun"`
	T      float64    `json:"t"`      // of the last sample taken
	Number int        `json:"number"` // and its number
	Pos    [3]float64 `json:"pos"`
	Way    float64    `json:"way"`
	Axis   [3]float64 `json:"axis"`
	// Scatter is that of the velocity, of the last second or so: xx, yy, zz, xy,
	// xz, yz.
	Scatter [6]float64  `json:"scatter"`
	Speeds  last        `json:"speeds"`
	Noise   float64     `json:"noise"` // of one sample on one axis, in the placed unit; 0 for not known
	Low     float64     `json:"low"`   // range of Way before there is a stroke
	High    float64     `json:"high"`
	Lengths last        `json:"lengths"`
	Lasts   last        `json:"durations"`
	Turns   last        `json:"turns"` // times, of one stretch without a break
	Sizes   int         `json:"sizes"` // strokes that the scale rests on
	Left    float64     `json:"left"`  // when the tip left the last turn
	Turn    earlyTurn   `json:"turn"`  // the last
	Base    int         `json:"base"`  // sample number of the detector's first
	Turned  turns.State `json:"turned"`

	// A tip that went too far at once is held until it is seen whether it comes
	// back.
	Held   int        `json:"held"`
	HeldAt [3]float64 `json:"held_at"`
	HeldT  float64    `json:"held_t"`

	detector turns.Detector
	scratch  []float64
}

// earlyTurn is a turn of the early path.
type earlyTurn struct {
	Known  bool       `json:"known"`
	T      float64    `json:"t"`
	At     [3]float64 `json:"at"`
	Top    bool       `json:"top"`
	Hidden bool       `json:"hidden"`
	SE     float64    `json:"se"` // of T
}

// last is the last few values of something, in no order.
type last struct {
	N int               `json:"n"` // pushed in all
	X [lastMost]float64 `json:"x"`

	middle float64 // their median, where it is known
	known  bool
}

const lastMost = 9

func (l *last) push(x float64) {
	l.X[l.N%lastMost] = x
	l.N++
	l.known = false
}

// back returns the value k before the last.
func (l *last) back(k int) float64 { return l.X[(l.N-1-k)%lastMost] }

// median returns that of the values, NaN of none.
func (l *last) median() float64 {
	if !l.known {
		x := l.X
		l.middle, l.known = robust.MedianInPlace(x[:min(l.N, lastMost)]), true
	}
	return l.middle
}

// third returns the third largest, 0 of fewer.
func (l *last) third() float64 {
	var a, b, c float64
	for _, v := range l.X[:min(l.N, lastMost)] {
		switch {
		case v > a:
			a, b, c = v, a, b
		case v > b:
			b, c = v, b
		case v > c:
			c = v
		}
	}
	return c
}

const (
	earlyShare  = 0.07    // of a stroke, that coming back makes a turn
	earlyNoise  = 5       // standard deviations of the noise, that it is at least
	earlyMost   = 0.25    // of a stroke, that it is at most
	earlyFirst  = 0.15    // of the range so far, before there is a stroke
	earlyBox    = 1. / 14 // of a stroke, that samples are averaged over
	earlyGap    = 1.3     // strokes without a sample, after which a stretch begins anew
	earlyForget = 2.0     // s without a turn, after which a scale of few strokes is forgotten
	earlySizes  = 7       // strokes that make a scale
	earlyLearn  = 32      // samples before anything is said
	quickest    = 1. / 24 // s, below which package motion looks for no strokes
	quickShare  = 0.3     // of a stroke, below which it takes none for a stroke like those around
	heldMost    = 60      // samples for which a tip that went away is waited for
)

// restart begins a new stretch at sample number n: what came before does not join.
func (e *early) restart(n int) {
	e.detector.Reset()
	e.Base, e.Turn.Known = n, false
	e.Turns = last{}
	e.Low, e.High = e.Way, e.Way
}

// length and duration are those of strokes, NaN before the first.
func (e *early) length() float64   { return e.Lengths.median() }
func (e *early) duration() float64 { return e.Lasts.median() }

// tooFar reports whether the tip cannot have gone to p by the time now.
func (e *early) tooFar(p *[3]float64, now, step float64) bool {
	d := distance(p, &e.Pos)
	reach := 3 * e.Speeds.third() * (now - e.T)
	reach = max(reach, 10*e.Noise)
	if l := e.length(); l == l {
		reach = max(reach, 0.35*l)
		if now-e.T > 3*step { // it may have gone anywhere that strokes go
			reach = max(reach, 1.5*l)
		}
	}
	return e.Speeds.N >= lastMost && d > reach
}

func distance(p, q *[3]float64) float64 {
	x, y, z := p[0]-q[0], p[1]-q[1], p[2]-q[2]
	return math.Sqrt(x*x + y*y + z*z)
}

// early takes the last sample of the store, placed at p, NaN where it is missing.
func (t *Tracker) early(dst []Event, p [3]float64) []Event {
	e := &t.s.Early
	n := t.store.next() - 1
	k, _ := t.store.at(n)
	now := t.store.t[k]
	if p[0] != p[0] {
		t.s.Counts.Missing++
		e.detector.Push(math.NaN(), 0)
		return dst
	}
	if e.Begun && e.tooFar(&p, now, t.s.Step) {
		if e.Held++; e.Held <= heldMost {
			e.HeldAt, e.HeldT = p, now
			t.s.Counts.Held++
			e.detector.Push(math.NaN(), 0)
			return dst
		}
		dst = append(dst, Event{Kind: Moved, T: now, At: now, Samples: e.Held})
		e.Pos, e.T, e.Number = p, now, n-1
		e.Speeds = last{}
		e.restart(n)
	}
	e.Held = 0
	if !e.Begun {
		e.Begun, e.Pos, e.T, e.Axis = true, p, now, [3]float64{1, 0.1, 0.1}
		e.restart(n)
	}
	dt := now - e.T
	if missed := n - e.Number - 1; e.Number > 0 && (missed >= 3 || dt > 3.5*t.s.Step) {
		dst = append(dst, Event{Kind: Gap, T: e.T, At: now, Samples: missed, Seconds: dt})
	}
	longest := 0.3
	if d := e.duration(); d == d {
		longest = max(earlyGap*d, 2.5*t.s.Step)
	}
	if dt > longest {
		e.restart(n)
	}
	var d [3]float64
	for a := range d {
		d[a] = p[a] - e.Pos[a]
	}
	if dt > 0 {
		e.turnAxis(&d, dt)
		e.Speeds.push(distance(&p, &e.Pos) / dt)
	}
	e.Way += dot(d, e.Axis)
	e.Pos, e.T, e.Number = p, now, n
	t.store.way[k] = e.Way
	for a := range p {
		t.store.place[a][k] = p[a]
	}
	e.Low, e.High = min(e.Low, e.Way), max(e.High, e.Way)
	if e.Noise == 0 && k >= earlyLearn {
		e.learnNoise(&t.store, k)
	}
	limit := e.limit()
	if e.Noise == 0 || !(limit > 0) {
		e.detector.Push(math.NaN(), 0)
		return dst
	}
	if e.Sizes < earlySizes && now-max(e.Left, e.Turn.T) > earlyForget && e.Turn.Known {
		e.Sizes, e.Lengths, e.Lasts = 0, last{}, last{}
		e.restart(n)
	}
	box := t.box()
	turn, ok := e.detector.Push(t.mean(k, box), limit)
	if e.Turn.Known && e.Left == e.Turn.T && math.Abs(e.Way-e.Turn.way(e)) > limit {
		e.Left = now
	}
	if ok {
		dst = t.turned(dst, e.Base+turn.Index-(box-1)/2, turn.Top, n)
	}
	return dst
}

// way is where along the axis, as it now is, the turn lies.
func (u *earlyTurn) way(e *early) float64 {
	var d [3]float64
	for a := range d {
		d[a] = u.At[a] - e.Pos[a]
	}
	return e.Way + dot(d, e.Axis)
}

// turnAxis takes a step of d in dt seconds into the direction of the motion.
func (e *early) turnAxis(d *[3]float64, dt float64) {
	tau := 0.5
	if l := e.duration(); l == l {
		tau = max(tau, 3*l)
	}
	keep := math.Exp(-dt / tau)
	c := &e.Scatter
	for i, v := range [6]float64{d[0] * d[0], d[1] * d[1], d[2] * d[2], d[0] * d[1], d[0] * d[2], d[1] * d[2]} {
		c[i] = keep*c[i] + v/dt
	}
	before := e.Axis
	a := [3]float64{
		c[0]*before[0] + c[3]*before[1] + c[4]*before[2],
		c[3]*before[0] + c[1]*before[1] + c[5]*before[2],
		c[4]*before[0] + c[5]*before[1] + c[2]*before[2],
	}
	n := math.Sqrt(dot(a, a))
	if !(n > 0) {
		return
	}
	sign := a[0]
	if math.Abs(a[0]) < 0.05*n {
		sign = dot(a, before)
	}
	if sign < 0 {
		n = -n
	}
	for i := range a {
		e.Axis[i] = a[i] / n
	}
}

// learnNoise takes the noise from the first samples.
func (e *early) learnNoise(s *store, k int) {
	if len(e.scratch) < earlyLearn {
		e.scratch = make([]float64, earlyLearn)
	}
	sum, axes := 0.0, 0.0
	for a := range s.place {
		x := s.place[a][k-earlyLearn+1 : k+1]
		if v := filter.NoiseLevelIn(e.scratch, x); v > 0 {
			sum += v * v
			axes++
		}
	}
	if axes > 0 {
		e.Noise = math.Sqrt(sum / axes)
	}
}

// limit is the travel back that makes a turn.
func (e *early) limit() float64 {
	if e.Sizes == 0 {
		return max(earlyFirst*(e.High-e.Low), 1.5*earlyNoise*e.Noise)
	}
	l := e.length()
	return max(earlyShare*l, min(earlyNoise*e.Noise, earlyMost*l))
}

// box is the number of samples that are averaged: a part of a stroke.
func (t *Tracker) box() int {
	d := t.s.Early.duration() / t.s.Step
	if !(d > 0) {
		return 1
	}
	return max(1, min(int(earlyBox*d), 64))
}

// mean is that of the travel up to sample k over so many seen samples.
func (t *Tracker) mean(k, n int) float64 {
	sum, seen := 0.0, 0
	for i := k; i >= 0 && i > k-n; i-- {
		if v := t.store.way[i]; v == v {
			sum += v
			seen++
		}
	}
	return sum / float64(seen)
}
