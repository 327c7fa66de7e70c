package review_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/trajectory"
)

// likeness says how a take that shows the same strokes through other samples, or to
// another clock, must come out: not to the last digit, but nearer than its own
// intervals are wide.
type likeness struct {
	// at maps a moment of the one to that of the other, backward if it runs
	// backward. time is the factor on times.
	at       func(float64) float64
	time     float64
	backward bool
	// matched is the least share of strokes that both have, the same way.
	matched float64
	// turns is how far apart their turns may lie in the median, in the noise of a
	// duration.
	turns float64
	// share is how far apart values may be, in half-widths of the interval.
	share float64
	// more says that the other may know what the one does not.
	more bool
	// becomes returns which measure of the one that of the other is, and its value
	// times what; nil is the same. false is for what may be what it will.
	becomes func(name string) (from string, value func(float64) float64, ok bool)
}

// holds reports where it does not.
func (l likeness) holds(t *testing.T, what string, want, got *review.Review) {
	t.Helper()
	matched, apart := 0, []float64{}
	strokes := got.Motion.Strokes
	for _, s := range want.Motion.Strokes {
		start, end, direction := l.at(s.Start), l.at(s.End), s.Direction
		if l.backward {
			start, end = end, start
			direction = motion.Down + motion.Up - direction
		}
		i, _ := slices.BinarySearchFunc(strokes, start, func(s motion.Stroke, at float64) int {
			return int(math.Copysign(1, s.Start-at))
		})
		for _, k := range []int{i - 1, i} {
			if k < 0 || k >= len(strokes) {
				continue
			}
			o := strokes[k]
			if math.Max(math.Abs(o.Start-start), math.Abs(o.End-end)) < (end-start)/4 {
				if o.Direction == direction {
					matched++
				}
				if n := o.Noise.Duration; n > 0 {
					apart = append(apart, math.Abs(o.Start-start)/n)
				}
			}
		}
	}
	most := max(len(want.Motion.Strokes), len(strokes))
	if most < 20 || float64(matched) < l.matched*float64(most) {
		t.Errorf("%s: %d strokes of %d and %d are the same", what, matched, len(want.Motion.Strokes), len(strokes))
	}
	slices.Sort(apart)
	if m := len(apart) / 2; m == 0 || apart[m] > l.turns {
		t.Errorf("%s: turns lie %v standard deviations of their noise apart in the median, of %d", what, apart[m:min(m+1, len(apart))], len(apart))
	}
	worst, at, n := 0.0, "", 0
	for i, m := range review.Measures() {
		v, w := want.Values[i], got.Values[i]
		value := same
		if l.becomes != nil {
			from, f, ok := l.becomes(m.Name)
			if !ok {
				continue
			}
			v, value = want.Value(from), f
		}
		expected := value(v.Value * math.Pow(l.time, float64(unitKinds[m.Unit].time)))
		if v.Known() && !w.Known() || w.Known() && !v.Known() && !l.more {
			t.Errorf("%s: %s is %g (%v), want %g (%v)", what, m.Name, w.Value, w.Absent, v.Value, v.Absent)
			continue
		}
		if !v.Known() || !(v.High > v.Low) || !(w.High > w.Low) {
			continue
		}
		n++
		wide := max((w.High-w.Low)/2, (v.High-v.Low)/2*math.Pow(l.time, float64(unitKinds[m.Unit].time)))
		if off := math.Abs(w.Value-expected) / wide; off > l.share {
			t.Errorf("%s: %s is %g (%g to %g), want %g: %.2f half-widths off", what, m.Name, w.Value, w.Low, w.High, expected, off)
		} else if off > worst {
			worst, at = off, m.Name
		}
	}
	if n < 8 {
		t.Errorf("%s: %d values: hardly anything is compared", what, n)
	}
	t.Logf("%s: %d of %d strokes, turns %.2g apart, values %.2g half-widths (%s)", what, matched, most, apart[len(apart)/2], worst, at)
}

func same(x float64) float64 { return x }

// bySpans are the measures that hang on where a span begins and ends: another
// second, or a stroke that scatters at the tolerance, moves them at once.
func bySpans(name string) bool {
	for _, part := range []string{"settle", "hold_s", "search", "leaves", "moving", "unevenness", "loop_width", "down_share", "spectral_arc", "jerk"} {
		if strings.Contains(name, part) {
			return true
		}
	}
	return false
}

func butSpans(name string) (string, func(float64) float64, bool) { return name, same, !bySpans(name) }

// TestSlower: a take that is played k times slower, filmed at a k-th of the frames, is
// the same in other seconds: times are k times as long, rates a k-th, angles and
// lengths as they were. What is known in seconds (a span is settled from one second
// on, marks are smoothed at 10 Hz, rates are sought on a grid) leaves differences
// below what noise makes.
func TestSlower(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		want := a.run(t)
		for _, k := range []float64{2, 0.5} {
			l := likeness{time: k, at: func(s float64) float64 { return k * s }, matched: 0.97, turns: 0.3, share: 0.5, becomes: butSpans}
			l.holds(t, fmt.Sprintf("%g times slower", k), want, a.timed(l.at).run(t))
		}
	})
}

// TestMoreFrames: the same strokes at twice the frames. Samples have other noise:
// a turn's time differs by √1.5 standard deviations of what it had, 0.83 in the
// median (up to 1.2 in one of 50 turns), and values by their noise, which is less than what the strokes' own
// scatter makes their intervals.
func TestMoreFrames(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		want := a.run(t)
		o.FrameRate = 480
		take, err := simulate.Make(o)
		if err != nil {
			t.Fatal(err)
		}
		a.rec = &take.Recording
		l := likeness{time: 1, at: same, matched: 0.97, turns: 1.3, share: 2, more: true, becomes: butSpans}
		l.holds(t, "twice the frames", want, a.run(t))
	})
}

// TestUnixTime: a film of 240 frames/s whose clock counts from 1970 is as even as it is,
// though its times are rounded to a quarter of a microsecond.
func TestUnixTime(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, _ simulate.Options, _ *rand.Rand) {
		l := likeness{time: 1, at: func(s float64) float64 { return s + 1.7e9 }, matched: 1, turns: 0.05, share: 0.2, becomes: butSpans}
		l.holds(t, "since 1970", a.run(t), a.timed(l.at).run(t))
	})
}

// TestBackward: a film that runs backward shows the strokes in the other order, down as
// up. Turns, axes, lengths and rates stay; what a stroke does on its way is told of the
// other direction; what goes with time changes its sign.
func TestBackward(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		// A sound does not run backward, and the hand comes from the touch.
		a.onsets, a.setup.TouchS, a.setup.TouchString = nil, nil, 0
		want := a.run(t)
		end := a.rec.T[len(a.rec.T)-1]
		l := likeness{time: 1, at: func(s float64) float64 { return end - s }, backward: true, matched: 1, turns: 0.15, share: 0.6}
		rec := &trajectory.Recording{Unit: a.rec.Unit, T: turned(a.rec.T)}
		for i, s := range rec.T {
			rec.T[i] = l.at(s)
		}
		for _, p := range a.rec.Points {
			rec.Points = append(rec.Points, trajectory.Path{Name: p.Name, T: rec.T, X: turned(p.X), Y: turned(p.Y), Z: turned(p.Z)})
		}
		a.rec = rec
		l.becomes = func(name string) (string, func(float64) float64, bool) {
			switch name {
			case "down_over_up":
				return name, func(x float64) float64 { return 1 / x }, true
			case "rate_drift_percent_per_minute":
				return name, func(x float64) float64 { return -x }, true
			}
			for _, way := range []string{"slowing_", "depth_", "edge_angle_", "edge_angle_scatter_", "pick_lean_"} {
				for _, of := range []string{"", "_deg"} {
					switch name {
					case way + "down" + of:
						return way + "up" + of, same, true
					case way + "up" + of:
						return way + "down" + of, same, true
					}
				}
			}
			return butSpans(name)
		}
		l.holds(t, "backward", want, a.run(t))
	})
}

// turned is x with the last value first; nil where there is none.
func turned(x []float64) []float64 {
	x = slices.Clone(x)
	slices.Reverse(x)
	return x
}

// TestTwice: a take, a pause and the same take again has twice the strokes, each as it
// was, and the spans of both. Medians stay and have narrower intervals.
func TestTwice(t *testing.T) {
	each(t, 4, func(t *testing.T, a asked, o simulate.Options, _ *rand.Rand) {
		a.onsets, a.setup.TouchS, a.setup.TouchString = nil, nil, 0
		once := a.run(t)
		n, step := len(a.rec.T), 1/240.0
		rest := int(2 / step) // nobody is in sight
		later := a.rec.T[n-1] + float64(rest+1)*step
		join := func(x []float64, second func(i int) float64, between func(k int) float64) []float64 {
			if x == nil {
				return nil
			}
			y := slices.Clone(x)
			for k := range rest {
				y = append(y, between(k))
			}
			for i := range x {
				y = append(y, second(i))
			}
			return y
		}
		nowhere := func(int) float64 { return math.NaN() }
		rec := &trajectory.Recording{Unit: a.rec.Unit}
		rec.T = join(a.rec.T, func(i int) float64 { return later + a.rec.T[i] }, func(k int) float64 { return a.rec.T[n-1] + float64(k+1)*step })
		for _, p := range a.rec.Points {
			again := func(x []float64) []float64 { return join(x, func(i int) float64 { return x[i] }, nowhere) }
			rec.Points = append(rec.Points, trajectory.Path{Name: p.Name, T: rec.T, X: again(p.X), Y: again(p.Y), Z: again(p.Z)})
		}
		a.rec = rec
		twice := a.run(t)

		part := func(from, to float64) *review.Review {
			m := *twice.Motion
			m.Strokes = nil
			for _, s := range twice.Motion.Strokes {
				if from <= s.Start && s.Start < to {
					m.Strokes = append(m.Strokes, s)
				}
			}
			r := *twice
			r.Motion = &m
			return &r
		}
		l := likeness{time: 1, matched: 0.98, turns: 0.3, share: 0.3, more: true}
		l.becomes = func(name string) (string, func(float64) float64, bool) {
			// Drifts are those of twice the time, and the two halves interfere in
			// one spectrum.
			for _, of := range []string{"rate_drift", "grid_", "spectral_"} {
				if strings.HasPrefix(name, of) {
					return "", nil, false
				}
			}
			return butSpans(name)
		}
		l.at = same
		l.holds(t, "the first time", once, part(0, later-1))
		l.at = func(s float64) float64 { return s + later }
		l.holds(t, "the second time", once, part(later-1, math.Inf(1)))
		if v, w := once.Value("length"), twice.Value("length"); math.Abs(float64(w.N)/float64(2*v.N)-1) > 0.02 || (w.High-w.Low) > 0.9*(v.High-v.Low) {
			t.Errorf("the length of %d strokes has an interval of %g, that of %d one of %g", v.N, v.High-v.Low, w.N, w.High-w.Low)
		}
		if once.Settling.Absent != nil || twice.Settling.Absent != nil {
			if (once.Settling.Absent == nil) != (twice.Settling.Absent == nil) {
				t.Errorf("settling: %v once, %v twice", once.Settling.Absent, twice.Settling.Absent)
			}
			return
		}
		// What was settled is so both times.
		for _, back := range []float64{0, later} {
			var both, all float64
			for _, s := range once.Spans {
				for _, q := range twice.Spans {
					if s.Settled && q.Settled {
						both += math.Max(0, math.Min(s.End, q.End-back)-math.Max(s.Start, q.Start-back))
					}
				}
				if s.Settled {
					all += s.End - s.Start
				}
			}
			if both < 0.8*all {
				t.Errorf("of %.2f s that are settled, %.2f are when it is played twice", all, both)
			}
		}
	})
}
