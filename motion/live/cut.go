package live

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/trajectory/filter"
)

// cut takes out of the store what is no measurement, by trajectory.Clean on the
// window, as a review does on a whole take. That takes a while, so it is only asked
// where a look at the new samples says that it could find something. pending is
// the time from which on a step waits to be explained, +Inf for none.
func (t *Tracker) cut(dst []Event, lo int, all bool) (_ []Event, pending float64) {
	pending = math.Inf(1)
	s := &t.store
	d := &t.s.Done
	n := s.len()
	if n-lo < 16 {
		return dst, pending
	}
	now := t.s.Last
	if noise := t.noiseOf(lo, s.tip); noise > 0 || d.TipNoise == 0 {
		d.TipNoise = noise
	}
	// A step may be the first of two, and is looked at until the second would
	// have come. In the meantime nothing about it is final.
	wait := float64(t.waits()) * t.s.Step
	if at := t.suspect(t.since(lo, d.Cut-wait), s.raw, d.TipNoise); at >= 0 {
		dst = t.clean(dst, lo, &s.raw, &s.tip, all)
		if s.t[at] <= now-wait {
			at = t.suspect(t.since(lo, now-wait), s.raw, d.TipNoise)
		}
		if at >= 0 {
			pending = s.t[at] - 3*t.s.Step
		}
	}
	from := t.since(lo, d.Cut)
	if t.brought > 0 {
		noise := 0.0
		for k := range s.marks {
			v := t.noiseOf(lo, s.marks[k])
			noise = max(noise, v)
			if t.suspect(from, s.marks[k], v) >= 0 {
				dst = t.clean(dst, lo, &s.marks[k], &s.marks[k], all)
			}
		}
		t.s.Sight.MarkNoise = noise
	}
	d.Cut = now
	return dst, pending
}

// waits is the number of samples for which the tracker may sit elsewhere.
func (t *Tracker) waits() int {
	if m := t.o.Clean.MaxElsewhere; m != 0 {
		return max(m, 0) + edgeRows
	}
	return heldMost + edgeRows
}

// noiseOf is the noise on one axis of a point from index lo on, in its own unit; 0
// where it cannot be seen.
func (t *Tracker) noiseOf(lo int, x [3][]float64) float64 {
	size(&t.window.scratch, t.store.len())
	sum, weight := 0.0, 0.0
	start := lo
	col := x[t.axes[0]]
	for i := lo; i <= len(col); i++ {
		if i < len(col) && col[i] == col[i] {
			continue
		}
		if i-start >= 24 {
			for _, a := range t.axes {
				v := filter.NoiseLevelIn(t.window.scratch, x[a][start:i])
				sum += v * v * float64(i-start)
				weight += float64(i - start)
			}
		}
		start = i + 1
	}
	if weight == 0 {
		return 0
	}
	return math.Sqrt(sum / weight)
}

const (
	// suspectNoise is how many standard deviations of the noise a sample lies off
	// the cubic through its neighbours to be suspect. By chance 7.5 is passed once
	// in two million samples of two axes, 1.39 being that of the noise itself, and
	// trajectory.Clean cuts nothing below about 7.
	suspectNoise = 7.5
	// suspectSpeed is the share of the neighbours' speed that it lies off, at
	// least, to be.
	suspectSpeed = 0.3
	// suspectFlat is how nearly equal to its neighbours, or to their middle, in
	// standard deviations, a sample is suspect.
	suspectFlat = 0.05
)

// suspect returns the first sample from index from on that trajectory.Clean might
// cut, or a sample next to it, -1 for none.
func (t *Tracker) suspect(from int, x [3][]float64, noise float64) int {
	var at [5]int // seen samples, the last last
	k, flat := 0, 0
	col := x[t.axes[0]]
	for i := max(0, from-4); i < len(col); i++ {
		if col[i] != col[i] {
			continue
		}
		copy(at[:], at[1:])
		at[4] = i
		if k++; k < 3 {
			continue
		}
		bend, step := 0.0, 0.0
		for _, a := range t.axes {
			c := x[a]
			b := c[at[4]] - 2*c[at[3]] + c[at[2]]
			bend = max(bend, math.Abs(b))
			step += (c[at[4]] - c[at[3]]) * (c[at[4]] - c[at[3]])
		}
		if bend <= suspectFlat*noise || step == 0 {
			if flat++; flat >= 2 && i >= from {
				return i
			}
		} else {
			flat = 0
		}
		if k < 5 || i < from {
			continue
		}
		var weight, moves [4]float64
		gain, gap := cubicAt(&at, &weight)
		off := 0.0
		for _, a := range t.axes {
			c := x[a]
			r := c[at[2]] - weight[0]*c[at[0]] - weight[1]*c[at[1]] - weight[2]*c[at[3]] - weight[3]*c[at[4]]
			off += r * r
			for j := range moves {
				d := (c[at[j+1]] - c[at[j]]) / float64(at[j+1]-at[j])
				moves[j] += d * d
			}
		}
		// Beside a gap a movement bends more.
		bent := suspectSpeed * gap * gap
		if least := suspectNoise * noise * gain; off > least*least && off > bent*bent*secondLeast(&moves) {
			return i
		}
	}
	return -1
}

// cubicAt sets the weights of the cubic through four samples at the one in their
// middle. It returns by how much the noise of what lies off it exceeds that on
// even times, and the widest interval.
func cubicAt(at *[5]int, weight *[4]float64) (gain, gap float64) {
	if at[4]-at[0] == 4 {
		*weight = [4]float64{-1. / 6, 4. / 6, 4. / 6, -1. / 6}
		return 1, 1
	}
	others := [4]int{at[0], at[1], at[3], at[4]}
	squares := 1.0
	for j, p := range others {
		w := 1.0
		for _, q := range others {
			if q != p {
				w *= float64(at[2]-q) / float64(p-q)
			}
		}
		weight[j] = w
		squares += w * w
	}
	for j := range 4 {
		gap = max(gap, float64(at[j+1]-at[j]))
	}
	return math.Sqrt(squares * 36 / 70), gap
}

// secondLeast returns the second smallest: one sample that is off makes two large.
func secondLeast(x *[4]float64) float64 {
	a, b := math.Inf(1), math.Inf(1)
	for _, v := range x {
		switch {
		case v < a:
			a, b = v, a
		case v < b:
			b = v
		}
	}
	return b
}

// since is the index from lo on of the first sample after time at, a few earlier.
func (t *Tracker) since(lo int, at float64) int {
	from := t.store.len()
	for from > lo && t.store.t[from-1] > at {
		from--
	}
	return max(lo, from-2*edgeRows)
}

// clean makes x what trajectory.Clean leaves of raw, in the later half of the
// window and not at the very end: what it says of the beginning lacks what came
// before.
func (t *Tracker) clean(dst []Event, lo int, raw, x *[3][]float64, all bool) []Event {
	s, w := &t.store, &t.window
	a, b := t.axes[0], t.axes[1]
	p := trajectory.Path{Name: "tip", T: s.t[lo:], X: raw[a][lo:], Y: raw[b][lo:]}
	if len(t.axes) == 3 {
		p.Z = raw[2][lo:]
	}
	clean, edits, err := w.space.Clean(w.cleaned, p, t.o.Clean)
	if err != nil {
		return dst // nothing is left, or nothing was there: the strokes will say
	}
	w.cleaned = trajectory.Path{X: clean.X, Y: clean.Y, Z: clean.Z}
	end := s.len() - edgeRows
	if all {
		end = s.len()
	}
	from := t.since(lo, t.s.Last-t.o.Window/2)
	for _, e := range edits {
		n := 0
		for i := max(from, lo+e.Start); i < min(end, lo+e.End); i++ {
			if x[a][i] == x[a][i] {
				n++
			}
		}
		if n > 0 {
			dst = append(dst, Event{Kind: Cut, T: e.StartTime, At: t.s.Last, Samples: n})
		}
	}
	for i := from; i < end; i++ {
		was, is := x[a][i] == x[a][i], clean.X[i-lo] == clean.X[i-lo]
		switch {
		case was && !is:
			t.s.Counts.Cut++
		case is && !was:
			t.s.Counts.Cut-- // not a mistake after all
		}
		x[a][i], x[b][i] = clean.X[i-lo], clean.Y[i-lo]
		if clean.Z != nil {
			x[2][i] = clean.Z[i-lo]
		}
	}
	return dst
}
