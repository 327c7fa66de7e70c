package live

import (
	"math"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/circular"
)

// window is the memory in which the last seconds are looked at.
type window struct {
	t       []float64
	tip     [3][]float64
	marks   [][3][]float64
	placed  trajectory.Placed
	scratch []float64
	cleaned trajectory.Path
	space   trajectory.Workspace
	columns [][]float64 // of placed
	rates   tempo.Workspace
	runs    []stretch
	row     [][3]float64
}

// stretch is a gap-free range of rows, [start, end).
type stretch struct{ start, end int }

func (w *window) init(marks int) {
	w.marks = make([][3][]float64, marks)
	w.row = make([][3]float64, marks)
}

// size makes x have n values, in the room that it has. It makes room for a quarter
// more.
func size(x *[]float64, n int) {
	if cap(*x) < n {
		*x = make([]float64, n+n/4)
	}
	*x = (*x)[:n]
}

// How far a stroke must lie behind the last sample to be final: so many strokes
// like it, and within these seconds. See the package's comment for what more would
// change.
const (
	behindStrokes = 7.0
	behindLeast   = 0.5
	behindMost    = 2.5
	// settledIn is the number of strokes before which finals wait, for as long
	// as the window lets them: the profile of strokes is learned from them.
	settledIn = 24
	// contextStrokes is how many strokes before the last final one a look goes back,
	// and contextLeast how many seconds at the least. Local sizes rest on six swings to
	// each side and the local axis on half a second. By how much the rounds of learning
	// move the profile of a direction is learned from half of the strokes looked at:
	// with 12 instead of 16, 0.92 instead of 0.95 of the turns of a take of few strokes,
	// all unlike each other, lie within 1 ms.
	contextStrokes = 16.0
	contextLeast   = 1.5
	// edgeRows is the number of samples at the end in which nothing is cut yet.
	edgeRows = 8
)

// pass looks at the last seconds, and tells what is final.
func (t *Tracker) pass(dst []Event, all bool) []Event {
	d := &t.s.Done
	now := t.s.Last
	d.Looked = now
	n := t.store.len()
	lo := 0
	for lo < n && t.store.t[lo] < now-t.o.Window {
		lo++
	}
	lo = max(lo, n-t.o.MaxSamples/2) // those that are held for sure
	dst, pending := t.cut(dst, lo, all)
	lo = t.context(lo)
	if !t.rows(lo) {
		return dst
	}
	if seenRows(t.window.tip[t.axes[0]]) < 16 {
		return t.finish(dst, now, all)
	}
	t.placeRows()
	o := t.motionOptions()
	m, err := t.analyzer.Analyze(t.window.placed, o)
	if err != nil || m == nil {
		return t.finish(dst, now, all)
	}
	t.learned(m)
	if m.SamplesPerStroke < motion.MinSamplesStrokes {
		dst = t.spectral(dst, m, now)
		t.analyzer.Keep(now - behindMost)
		return t.finish(dst, now, all)
	}
	until := t.horizon(m, lo, now, pending)
	if all {
		until = math.Inf(1)
	}
	told := d.Number
	dst = t.settle(dst, m, until, now)
	if !all {
		t.analyzer.Keep(until)
	}
	if d.Number > told || all {
		dst = t.withdraw(dst, d.Until+1e-3, now)
	}
	return t.finish(dst, now, all)
}

// context is the index from lo on of the first sample that the look needs: once the
// take is known, what lies further behind the last final stroke only says again what
// the analyzer keeps of it.
func (t *Tracker) context(lo int) int {
	d := &t.s.Done
	if d.Number < settledIn {
		return lo
	}
	from := d.Until - max(contextLeast, contextStrokes*d.PerStroke*t.s.Step)
	for lo < t.store.len() && t.store.t[lo] < from {
		lo++
	}
	return lo
}

// finish gives up provisional strokes that nothing will confirm any more.
func (t *Tracker) finish(dst []Event, now float64, all bool) []Event {
	if all {
		return t.withdraw(dst, math.Inf(1), now)
	}
	return t.withdraw(dst, now-t.o.Window, now)
}

// horizon is the time up to which strokes are final.
func (t *Tracker) horizon(m *motion.Motion, lo int, now, pending float64) float64 {
	stroke := m.Cycle / 2
	if !(stroke > 0) {
		stroke = behindMost / behindStrokes
	}
	behind := max(behindLeast, min(behindStrokes*stroke, behindMost))
	until := min(now-behind, pending)
	start := t.store.t[lo]
	if t.s.Done.Number+len(m.Strokes) < settledIn || t.s.Done.Number == 0 && now-start < min(4, t.o.Window-1.5) {
		// Wait, but not for longer than the window holds.
		until = min(until, now-t.o.Window+0.5)
	}
	return until
}

// learned takes from m what the early path goes by.
func (t *Tracker) learned(m *motion.Motion) {
	d := &t.s.Done
	if m.Noise > 0 {
		t.s.Early.Noise = m.Noise
	}
	if m.SamplesPerStroke > 0 {
		d.PerStroke = m.SamplesPerStroke
	}
}

// spectralEvery is how often in seconds a rate is taken from the spectrum.
const spectralEvery = 1.0

// spectral tells the rate where there are too few samples for strokes.
func (t *Tracker) spectral(dst []Event, m *motion.Motion, now float64) []Event {
	d := &t.s.Done
	if now-d.Spectral < spectralEvery && now >= d.Spectral {
		return dst
	}
	d.Spectral = now
	w := &t.window
	w.columns = w.columns[:0]
	for _, x := range [...][]float64{w.placed.Across, w.placed.Along, w.placed.Out} {
		if x != nil {
			w.columns = append(w.columns, x)
		}
	}
	v := w.rates.Spectral(w.columns, m.SampleHz, tempo.SpectralOptions{})
	if !v.Known() {
		return dst
	}
	t.s.Rate = v.Value
	return append(dst, Event{Kind: Rate, T: now, At: now, NotesPerSecond: v.Value, Low: v.Low, High: v.High, Spectral: true})
}

// motionOptions are those of the analysis.
func (t *Tracker) motionOptions() motion.Options {
	o := t.o.Motion
	if o.AxisError == 0 && !t.o.Placed {
		o.AxisError = circular.Angle(t.s.Sight.Error)
	}
	if o.FrameNoise == 0 && o.AxisNoise == 0 && t.brought > 0 {
		o.FrameNoise, o.AxisNoise = t.markNoise()
	}
	if t.o.Frame.View == trajectory.Oblique && !o.Relative {
		o.Relative, o.RelativeWhy = true, "an oblique view does not show true heights"
	}
	return o
}

// rows puts the samples from lo on into the window, on the even times of the
// camera where they lie on them to a fiftieth of an interval, with missing rows
// for lost frames. It reports whether there is anything to look at.
func (t *Tracker) rows(lo int) bool {
	s, w := &t.store, &t.window
	ts := s.t[lo:]
	if len(ts) < 16 {
		return false
	}
	step, even := evenStep(ts, t.s.Step)
	n := len(ts)
	if even {
		n = int(math.Round((ts[len(ts)-1]-ts[0])/step)) + 1
	}
	if n > 4*len(ts)+64 {
		even, n = false, len(ts) // mostly lost: leave the times
	}
	size(&w.t, n)
	for a := range w.tip {
		size(&w.tip[a], n)
	}
	for k := range w.marks {
		for a := range 3 {
			size(&w.marks[k][a], n)
		}
	}
	if !even {
		copy(w.t, ts)
		t.copyRows(0, lo, n)
		return true
	}
	at := 0
	for i, v := range ts {
		row := int(math.Round((v - ts[0]) / step))
		for ; at < row; at++ {
			t.blankRow(at)
		}
		t.copyRows(row, lo+i, 1)
		at = row + 1
	}
	// The grid that lies best on the times.
	origin := 0.0
	for _, v := range ts {
		origin += v - ts[0] - step*math.Round((v-ts[0])/step)
	}
	origin = ts[0] + origin/float64(len(ts))
	for i := range w.t {
		w.t[i] = origin + float64(i)*step
	}
	return true
}

func (t *Tracker) blankRow(row int) {
	for a := range t.window.tip {
		t.window.tip[a][row] = nan
		for k := range t.window.marks {
			t.window.marks[k][a][row] = nan
		}
	}
}

// copyRows copies n samples from store index from on to the rows from to on.
func (t *Tracker) copyRows(to, from, n int) {
	s, w := &t.store, &t.window
	for a := range w.tip {
		copy(w.tip[a][to:to+n], s.tip[a][from:from+n])
		for k := range w.marks {
			copy(w.marks[k][a][to:to+n], s.marks[k][a][from:from+n])
		}
	}
}

// nearGrid is how far from even times, in intervals, frames may lie to count as
// on them.
const nearGrid = 0.02

// evenStep returns the interval of the even times that ts lie on, given about it.
func evenStep(ts []float64, step float64) (float64, bool) {
	n := len(ts)
	if !(step > 0) {
		return step, false
	}
	span := ts[n-1] - ts[0]
	frames := 0.0
	for i := 1; i < n; i++ {
		frames += max(1, math.Round((ts[i]-ts[i-1])/step))
	}
	step = span / frames
	origin := 0.0
	for _, v := range ts {
		origin += v - ts[0] - step*math.Round((v-ts[0])/step)
	}
	origin /= float64(n)
	row := -1.0
	for _, v := range ts {
		r := math.Round((v - ts[0]) / step)
		if r <= row || math.Abs(v-ts[0]-origin-r*step) > nearGrid*step {
			return step, false
		}
		row = r
	}
	return step, true
}

func seenRows(x []float64) int {
	n := 0
	for _, v := range x {
		if v == v {
			n++
		}
	}
	return n
}

// placeRows brings the rows of the window into the instrument frame.
func (t *Tracker) placeRows() {
	w, v := &t.window, t.o.Frame.View
	p := &w.placed
	n := len(w.t)
	p.Name, p.T, p.Unit = "tip", w.t, t.s.Sight.Unit
	size(&p.Across, n)
	if v == trajectory.Front || v == trajectory.Spatial {
		size(&p.Along, n)
	}
	if v != trajectory.Front {
		size(&p.Out, n)
	}
	if t.brought > 0 {
		t.smoothMarks()
	}
	for i := range n {
		q := [3]float64{w.tip[0][i], w.tip[1][i], w.tip[2][i]}
		switch {
		case q[t.axes[0]] != q[t.axes[0]]:
			q = [3]float64{nan, nan, nan}
		case t.o.Placed:
		case t.brought == 0:
			q = t.s.Sight.place(v, &t.s.Sight.Pose, &q)
		default:
			for k := range w.row {
				for a := range 3 {
					w.row[k][a] = w.marks[k][a][i]
				}
			}
			nut := nutOf(w.row)
			if at, ok := poseOf(v, &w.row[0], &w.row[1], &nut); ok {
				q = t.s.Sight.place(v, &at, &q)
			} else {
				q = [3]float64{nan, nan, nan}
			}
		}
		p.Across[i] = q[0]
		if p.Along != nil {
			p.Along[i] = q[1]
		}
		if p.Out != nil {
			p.Out[i] = q[2]
		}
	}
}
