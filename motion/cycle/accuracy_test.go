package cycle_test

import (
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/trajectory"
)

// hiding hides the tip about the turns after downstrokes, at a share of them.
func hiding(p float64) func(int, float64, *rand.Rand) bool {
	state := map[int]bool{}
	return func(stroke int, u float64, rng *rand.Rand) bool {
		k := (stroke + 1) / 2
		if _, ok := state[k]; !ok {
			state[k] = rng.Float64() < p
		}
		return state[k] && (stroke%2 == 0 && u > 0.8 || stroke%2 == 1 && u < 0.2)
	}
}

// TestAccuracy holds mean cycles to the truth of takes that are made without
// package simulate. Run it with -v for the table: mean and root mean square
// error, share of intervals that hold the truth, number absent.
func TestAccuracy(t *testing.T) {
	base := maker{hz: 240, rate: 11, strokes: 121, angle: 17, skew: 8, down: 0.03, up: 0.02, jitter: 0.03, scatter: 0.3, drift: 0.3, noise: 0.05, share: 0.48, view: trajectory.Spatial}
	type limits struct{ length, curvature, speed, evenness float64 }
	usual := limits{0.01, 0.05, 0.03, 0.08}
	for _, c := range []struct {
		name   string
		f      func(m *maker, o *cycle.Options)
		limits limits
	}{
		{"60 frames/s, 5.5 strokes/s", func(m *maker, o *cycle.Options) { m.hz, m.rate = 60, 5.5 }, usual},
		{"60 frames/s, 11 strokes/s", func(m *maker, o *cycle.Options) { m.hz = 60 }, usual},
		{"60 frames/s, 13.3 strokes/s", func(m *maker, o *cycle.Options) { m.hz, m.rate = 60, 13.33 }, usual},
		{"120 frames/s, 13.3 strokes/s", func(m *maker, o *cycle.Options) { m.hz, m.rate = 120, 13.33 }, usual},
		{"240 frames/s, 5.5 strokes/s", func(m *maker, o *cycle.Options) { m.rate = 5.5 }, usual},
		{"240 frames/s, 11 strokes/s", func(m *maker, o *cycle.Options) {}, usual},
		{"1000 frames/s, 13.3 strokes/s", func(m *maker, o *cycle.Options) { m.hz, m.rate = 1000, 13.33 }, usual},
		{"minimum jerk, 60 frames/s", func(m *maker, o *cycle.Options) { m.minimumJerk, m.hz = true, 60 }, usual},
		{"minimum jerk, 240 frames/s", func(m *maker, o *cycle.Options) { m.minimumJerk = true }, usual},
		{"same frames in every cycle", func(m *maker, o *cycle.Options) { m.hz, m.rate, m.jitter, m.share = 60, 12, 0, 0.5 }, usual},
		{"noise of 0.25 mm", func(m *maker, o *cycle.Options) { m.noise = 0.25 }, usual},
		{"2 strokes/s, 20 cycles", func(m *maker, o *cycle.Options) { m.rate, m.strokes, m.drift = 2, 41, 0 }, limits{0.01, 0.05, 0.03, 0.12}},
		{"even player", func(m *maker, o *cycle.Options) { m.scatter, m.drift = 0.05, 0.1 }, limits{0.01, 0.05, 0.03, 0.25}},
		{"10 cycles", func(m *maker, o *cycle.Options) { m.strokes = 21 }, limits{0.01, 0.05, 0.03, 0.12}},
		{"3 in 10 samples lost", func(m *maker, o *cycle.Options) {
			m.lose = func(_ int, _ float64, rng *rand.Rand) bool { return rng.Float64() < 0.3 }
		}, usual},
		{"9 in 10 turns hidden", func(m *maker, o *cycle.Options) { m.lose = hiding(0.9) }, limits{0.01, 0.15, 0.03, 0.08}},
		{"change of string", func(m *maker, o *cycle.Options) { m.jumpAt = 60 }, usual},
		{"exposure of 1/60 s, known", func(m *maker, o *cycle.Options) { m.hz, m.exposure, o.Exposure = 60, 1.0/60, 1.0/60 }, usual},
		{"front", func(m *maker, o *cycle.Options) { m.view, m.skew = trajectory.Front, 20 }, usual},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s score
			takes := 16
			if testing.Short() {
				takes = 3
			}
			for seed := range takes {
				m, o := base, cycle.Options{}
				m.seed = uint64(seed) + 100
				c.f(&m, &o)
				k, tr, err := m.fitted(o)
				if err != nil {
					t.Fatal(err)
				}
				s.add(m, k, tr)
			}
			t.Log(&s)
			few := testing.Short() // too few takes for shares
			for _, q := range []struct {
				name  string
				tally *tally
				limit float64
				least float64 // coverage of nominal 0.95 by so many takes
			}{
				{"length", &s.length, c.limits.length, 0.8},
				{"path angle", &s.angle, 0.005, 0.87}, // half a degree
				{"curvature", &s.curvature, c.limits.curvature, 0.8},
				{"loop width", &s.loop, 0.015, 0.93}, // mm
				{"peak speed", &s.speed, c.limits.speed, 0.8},
				{"evenness", &s.evenness, c.limits.evenness, 0.8},
			} {
				if q.tally.n == 0 {
					continue
				}
				if b := q.tally.bias(); !(b < 2*q.limit && b > -2*q.limit) || !few && !(b < q.limit && b > -q.limit) {
					t.Errorf("bias of %s is %.4f, limit %g", q.name, b, q.limit)
				}
				if v := q.tally.cover(); !few && v < q.least {
					t.Errorf("%.2f of the intervals of %s hold the truth, want %g", v, q.name, q.least)
				}
			}
			if v := s.band.cover(); !few && !(v >= 0.88) {
				t.Errorf("%.3f of the band holds the truth, want 0.88", v)
			}
			if s.unseen > 0 || s.length.absent > 0 {
				t.Errorf("%d takes without a mean cycle, %d without a length", s.unseen, s.length.absent)
			}
		})
	}
}

// TestExposure: without being told, a frame's exposure shortens the path by
// what a moving average takes of the first harmonic: sin(x)/x at x = π/12 is
// 0.9886 at 12 strokes/s and 1/72 s.
func TestExposure(t *testing.T) {
	m := maker{seed: 5, hz: 72, rate: 12, strokes: 121, angle: 17, jitter: 0.03, scatter: 0.02, noise: 0.01, exposure: 1.0 / 72}
	c, tr, err := m.fitted(cycle.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Length.Value / tr.length; got < 0.984 || got > 0.992 {
		t.Errorf("a blurred length is %.4f of the true one, want 0.9886 to 0.004", got)
	}
	c, tr, err = m.fitted(cycle.Options{Exposure: m.exposure})
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Length.Value / tr.length; got < 0.996 || got > 1.004 {
		t.Errorf("with the exposure known the length is %.4f of the true one", got)
	}
}

// TestHidden: a turn that is never seen has no place, and what depends on it is
// absent; the rest of the cycle is as good as before.
func TestHidden(t *testing.T) {
	m := maker{seed: 3, hz: 240, rate: 11, strokes: 121, angle: 17, down: 0.03, up: 0.03, jitter: 0.03, scatter: 0.2, noise: 0.05, lose: hiding(1)}
	c, tr, err := m.fitted(cycle.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for name, a := range map[string]bool{
		"length": c.Length.Known(), "path angle": c.PathAngle.Known(), "curvature": c.Curvature.Known(),
		"loop width": c.LoopWidth.Known(), "height after downstrokes": c.HeightAfterDown.Known(), "clearing": c.Clearing != motion.ClearingUnknown,
	} {
		if a {
			t.Errorf("%s is known although the turn is never seen", name)
		}
	}
	if c.Length.Absent == nil || c.Length.Absent.Code != "hidden" || c.ClearingWhy == nil {
		t.Errorf("absence of the length: %+v, of the clearing: %+v", c.Length.Absent, c.ClearingWhy)
	}
	if x, v := c.At(c.DownShare.Value); x.Across == x.Across || v.Out == v.Out {
		t.Errorf("the hidden turn lies at %v", x)
	}
	if lo, _ := c.Band(c.DownShare.Value); lo.Out == lo.Out {
		t.Errorf("the hidden turn has a band from %v", lo)
	}
	var s score
	s.add(m, c, tr)
	if s.band.n < 80 || s.band.cover() < 0.8 {
		t.Errorf("%d phases are seen, %.2f of the band holds the truth", s.band.n/2, s.band.cover())
	}
}
