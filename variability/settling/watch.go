package settling

import (
	"math"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
)

// Watch tells settled from searching while a take is played: by the strokes so
// far alone, with the search of [Find], whose hypotheses it carries from stroke
// to stroke. It does not fit its model to the take as Find does, since there is
// no end to come back from, so that the two differ on takes that barely settle.
//
// It keeps the last 256 strokes and allocates nothing after the first. Make
// one with [NewWatch].
//
// False alarms, in takes of a minute that never settle, and how long after the
// first stroke of a settled span of 3 s and more it says so, in takes as those of
// the package's comment, by the serial correlation r of searching; 400 takes each,
// go test -run TestWatch -v -calibrate 400:
//
//	r                        0      0.3    0.6    0.9
//	alarms a minute        0.000  0.000  0.005  0.50
//	delay, median, s        1.31   1.29   1.29   1.26
//	delay, 9 of 10, s       2.24   2.17   2.13   2.13
//	spans told             0.996  0.996  0.998  0.996
//	taken back a minute    0.00   0.00   0.03   0.03
//	ends told, median, s    0.33   0.33   0.33   0.32
//	ends told, 9 of 10, s   0.59   0.59   0.62   0.64
//
// Taken back is what is said to end within such a span.
type Watch struct {
	o Options
	s watchState

	model  model
	tracer tracer
	buf    []float64
	c      columns
	pair   columns // the stroke and the one before, for the density while searching
}

// Reading is what a [Watch] says at the end of a stroke.
type Reading struct {
	// Settled says that the strokes from Since on keep one motion.
	Settled bool
	// P is the probability of that by the model of the search; NaN where the
	// strokes do not bear it: fewer than eight, noise of more than half a
	// tolerance, duration or length missing in more than half of the last 24,
	// or a stroke that is passed over.
	P float64
	// Since is the start of the span in seconds, NaN where none is likely.
	Since float64
}

const (
	watched     = 256 // strokes that are kept, a power of two
	watchModel  = 96  // strokes that the scatter of searching is taken from
	watchMemory = 24  // strokes of one direction that a centre is the mean of, at most
	// A state is told once it is this likely, and taken back once the other is ten
	// times likelier: one odd stroke in a steady take halves the probability for
	// itself alone.
	watchSure   = 0.99
	watchUnsure = 1. / 11
	// Likewise what strokes scatter and move by may be beyond the tolerances by so
	// many standard errors before that is taken to be so.
	watchLeave = 2
)

// watchState is what is kept from stroke to stroke.
type watchState struct {
	N       int               `json:"n"` // strokes pushed
	Axis    *circular.Angle   `json:"axis_rad,omitempty"`
	Strokes []watchStroke     `json:"strokes,omitempty"` // ring, by number modulo watched
	Threads []watchThread     `json:"threads,omitempty"`
	Settled bool              `json:"settled"`
	Closed  float64           `json:"closed"` // best span that may end here, over searching
	Closing bool              `json:"closing"`
	Noise   [features]float64 `json:"noise"` // running, in tolerances
}

// watchStroke is a stroke in tolerances. A feature that was not had is not in Had.
type watchStroke struct {
	X     [features]float64 `json:"x"`
	Had   [features]bool    `json:"had"`
	Off   [features]float64 `json:"off"` // half of what downstrokes exceed upstrokes by, then
	Up    bool              `json:"up,omitempty"`
	Break bool              `json:"break,omitempty"`
	Start float64           `json:"start"`
	End   float64           `json:"end"`
}

// watchThread is a thread as it is kept in files: a mean that was not had is 0
// and not in Had.
type watchThread struct {
	Score float64              `json:"score"`
	Start int                  `json:"start"`
	Odd   int                  `json:"odd"`
	N     [2]int               `json:"n"`
	Mean  [2][features]float64 `json:"mean"`
	Had   [2][features]bool    `json:"had"`
}

// NewWatch returns a watch that has seen no stroke. Options are those of Find.
func NewWatch(o Options) *Watch {
	w := &Watch{o: o.orDefault()}
	w.begin()
	return w
}

// Options returns the options in force.
func (w *Watch) Options() Options { return w.o }

// Reset forgets all strokes.
func (w *Watch) Reset() {
	w.s = watchState{Strokes: w.s.Strokes[:0], Threads: w.s.Threads[:0]}
	w.tracer.threads = w.tracer.threads[:0]
}

// begin makes the memory.
func (w *Watch) begin() {
	w.s.Strokes = make([]watchStroke, 0, watched)
	w.s.Threads = make([]watchThread, 0, beam)
	w.buf = make([]float64, watched)
	w.c = columns{
		x: make([][features]float64, watched), up: make([]bool, watched),
		start: make([]float64, watched), end: make([]float64, watched),
		used: [features]bool{w.o.Tolerances.Angle > 0, true, true},
	}
	w.tracer = tracer{c: &w.c, minSpan: max(0, w.o.Tolerances.MinSpan), mixed: make([]float64, watched), cond: make([]float64, watched), threads: make([]thread, 0, beam)}
	w.tracer.room(watchMemory)
	w.pair = columns{x: make([][features]float64, 2), parts: make([]run, 1)}
}

// Push takes the next stroke. A stroke that does not end after its start, or
// starts before the one before it, is passed over: P is then NaN, and Settled as it
// was. The others are NaN where a measurement is missing, as for Find.
func (w *Watch) Push(s Stroke) Reading {
	none := Reading{P: math.NaN(), Since: math.NaN(), Settled: w.s.Settled}
	if !(s.End > s.Start) || math.IsInf(s.End-s.Start, 0) || w.s.N > 0 && !(s.Start >= w.at(w.s.N-1).Start) {
		return none
	}
	first := w.s.N == 0
	w.take(s)
	i := w.s.N - 1
	at := i % watched
	if first || w.at(i).Break {
		w.tracer.threads = w.tracer.threads[:0]
		w.s.Settled, w.s.Closing = false, false
	}
	if w.s.N < minStrokes {
		return none
	}
	if w.blind() {
		w.tracer.threads = w.tracer.threads[:0]
		w.s.Settled, w.s.Closing = false, false
		none.Settled = false
		return none
	}
	w.learn()
	w.searchingDensity(at, i)
	r := w.step(at, i)
	switch {
	case w.s.Settled:
		w.s.Settled = r.P >= watchUnsure && w.keeps(r.start, watchLeave)
	default:
		w.s.Settled = r.P >= watchSure && w.keeps(r.start, 0)
	}
	out := Reading{Settled: w.s.Settled, P: r.P, Since: math.NaN()}
	if r.start >= 0 && r.P >= watchUnsure {
		out.Since = w.at(max(r.start, w.s.N-watched)).Start
	}
	return out
}

// at is stroke i, one of the last watched.
func (w *Watch) at(i int) *watchStroke { return &w.s.Strokes[i%watched] }

// take puts s into the ring.
func (w *Watch) take(s Stroke) {
	t := w.o.Tolerances
	if w.s.Axis == nil && s.Angle == s.Angle && !math.IsInf(float64(s.Angle), 0) {
		a := s.Angle.Axial()
		w.s.Axis = &a
	}
	var axis circular.Angle
	if w.s.Axis != nil {
		axis = *w.s.Axis
	}
	x := [features]float64{
		sane(float64((s.Angle - axis).Axial() / t.Angle)), sane(math.Log(s.Duration) / t.Duration), sane(math.Log(s.Length) / t.Length),
	}
	noise := [features]float64{
		sane(math.Abs(float64(s.AngleNoise / t.Angle))), sane(s.DurationNoise / s.Duration / t.Duration), sane(s.LengthNoise / s.Length / t.Length),
	}
	k := watchStroke{Up: !s.Down, Break: s.Break || w.s.N == 0, Start: s.Start, End: s.End}
	for f, v := range x {
		k.Had[f] = v == v && w.c.used[f]
		if k.Had[f] {
			k.X[f] = v
		}
		if n := noise[f]; n == n {
			if w.s.Noise[f] == 0 { // the first that is known
				w.s.Noise[f] = n
			}
			w.s.Noise[f] += (n - w.s.Noise[f]) / float64(min(w.s.N+1, 24))
		}
	}
	at := w.s.N % watched
	if at == len(w.s.Strokes) {
		w.s.Strokes = append(w.s.Strokes, k)
	} else {
		w.s.Strokes[at] = k
	}
	w.s.N++
	w.load(at)
}

// load puts stroke at of the ring into the columns.
func (w *Watch) load(at int) {
	k := &w.s.Strokes[at]
	for f := range k.X {
		w.c.x[at][f] = math.NaN()
		switch {
		case k.Had[f] && k.Up:
			w.c.x[at][f] = k.X[f] + k.Off[f]
		case k.Had[f]:
			w.c.x[at][f] = k.X[f] - k.Off[f]
		}
	}
	w.c.up[at], w.c.start[at], w.c.end[at] = k.Up, k.Start, k.End
}

// blind reports whether the noise hides what there is to tell, or a feature that
// is needed is hardly had among the last strokes.
func (w *Watch) blind() bool {
	n := min(w.s.N, 24)
	for f := range features {
		if !w.c.used[f] {
			continue
		}
		had := 0
		for i := w.s.N - n; i < w.s.N; i++ {
			if w.at(i).Had[f] {
				had++
			}
		}
		if f != angle && 2*had < n || 2*had >= n && w.s.Noise[f] > 0.5 {
			return true
		}
	}
	return false
}

// learn sets the model by the last strokes.
func (w *Watch) learn() {
	n := min(w.s.N, watchModel)
	lo := w.s.N - n
	m := &w.model
	buf := w.buf[:0]
	for i := lo; i < w.s.N; i++ {
		buf = append(buf, w.at(i).End-w.at(i).Start)
	}
	w.c.rate = 1 / robust.MedianInPlace(buf)
	for f := range features {
		m.phi[f], m.settled[f], m.mean[f] = 0.8, settledPrior*settledPrior, 0
		m.searching[f] = searchingPrior * searchingPrior
		// Half of how much downstrokes exceed upstrokes, shrunk as where few
		// strokes are.
		buf = w.buf[:0]
		for i := lo + 1; i+1 < w.s.N; i++ {
			a, b, c := w.at(i-1), w.at(i), w.at(i+1)
			if a.Up != c.Up || a.Up == b.Up || !a.Had[f] || !b.Had[f] || !c.Had[f] {
				continue
			}
			v := b.X[f] - (a.X[f]+c.X[f])/2
			if b.Up {
				v = -v
			}
			buf = append(buf, v)
		}
		w.c.half[f] = 0
		if k := float64(len(buf)); k > 2 {
			w.c.half[f] = robust.MedianInPlace(buf) / 2 * k / (k + 4)
		}
		buf = w.buf[:0]
		for i := lo; i < w.s.N; i++ {
			if s := w.at(i); s.Had[f] {
				buf = append(buf, s.X[f]-w.c.signed(i%watched, w.c.half[f]))
			}
		}
		if len(buf) == 0 {
			continue
		}
		m.mean[f] = robust.MedianInPlace(buf)
		for i, v := range buf {
			buf[i] = math.Abs(v - m.mean[f])
		}
		s := max(searchingPrior, 1.4826*robust.MedianInPlace(buf))
		m.searching[f] = s * s
	}
	w.at(w.s.N - 1).Off = w.c.half
	w.load((w.s.N - 1) % watched)
}
