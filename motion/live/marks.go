package live

import (
	"math"

	"github.com/plectrace/plectrace/trajectory/filter"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/robust"
)

// smoothMarks bridges the gaps of the marks and low-passes them, as
// trajectory.NewFrame does for a whole recording, and takes their distance into
// the scale.
func (t *Tracker) smoothMarks() {
	w, o := &t.window, &t.o.Frame
	used := len(t.axes)
	for k := range w.marks {
		for a := range used {
			other := w.marks[0][a]
			if k == 0 {
				other = w.marks[1][a]
			}
			t.bridge(w.marks[k][a], other, o.MaxMarkGap)
		}
	}
	step := (w.t[len(w.t)-1] - w.t[0]) / float64(len(w.t)-1)
	low, err := filter.LowPass(o.MarkCutoff, 1/step)
	w.runs = appendRuns(w.runs[:0], w.marks)
	for _, r := range w.runs {
		if err == nil && r.end-r.start > 1 {
			for k := range w.marks {
				for a := range used {
					x := w.marks[k][a][r.start:r.end]
					low.ZeroPhase(x, x)
				}
			}
		}
	}
	if len(w.runs) > 0 {
		size(&w.scratch, len(w.t))
		n := 0
		for _, r := range w.runs {
			for i := r.start; i < r.end; i++ {
				square := 0.0
				for a := range used {
					d := w.marks[1][a][i] - w.marks[0][a][i]
					square += d * d
				}
				w.scratch[n] = math.Sqrt(square)
				n++
			}
		}
		t.s.Sight.spread(o.DistanceMM, robust.MedianInPlace(w.scratch[:n]))
	}
}

// bridge fills the gaps of one axis of a mark that last up to longest seconds: by
// another mark with the difference to it along a straight line where that is seen,
// and else by a straight line.
func (t *Tracker) bridge(x, other []float64, longest float64) {
	w := &t.window
	last := -1
	for i, v := range x {
		if v != v {
			continue
		}
		if last >= 0 && i > last+1 && w.t[i]-w.t[last] <= longest {
			d0, d1 := x[last]-other[last], v-other[i]
			for j := last + 1; j < i; j++ {
				u := (w.t[j] - w.t[last]) / (w.t[i] - w.t[last])
				if y := other[j] + d0 + u*(d1-d0); y == y {
					x[j] = y
				} else {
					x[j] = x[last] + u*(v-x[last])
				}
			}
		}
		last = i
	}
}

// appendRuns appends the ranges of rows in which every mark is seen.
func appendRuns(dst []stretch, marks [][3][]float64) []stretch {
	start := -1
	n := len(marks[0][0])
	for i := range n + 1 {
		seen := i < n
		for k := 0; k < len(marks) && seen; k++ {
			seen = marks[k][0][i] == marks[k][0][i]
		}
		if seen && start < 0 {
			start = i
		}
		if !seen && start >= 0 {
			dst = append(dst, stretch{start, i})
			start = -1
		}
	}
	return dst
}

// markNoise is what the noise of the marks leaves in the frame: on one axis of the
// origin, in the placed unit, and in its direction.
func (t *Tracker) markNoise() (float64, circular.Angle) {
	s := &t.s
	if s.Sight.MarkNoise == 0 || !(s.Sight.N > 0 || s.Sight.Scale > 0) {
		return 0, 0
	}
	noise := s.Sight.MarkNoise * math.Sqrt(filter.NoiseShare(t.o.Frame.MarkCutoff, 1/s.Step)/2)
	return noise * s.Sight.Scale, circular.Angle(math.Atan(2 * noise / s.Sight.Apart))
}
