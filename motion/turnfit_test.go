package motion

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPhase holds the phases made step by step to the sine and cosine of each
// angle, on even, jittered and gappy times.
func TestPhase(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		name  string
		times func() []float64
	}{
		{"even", func() []float64 {
			x := make([]float64, 60)
			for i := range x {
				x[i] = float64(i) / 240
			}
			return x
		}},
		{"rounded", func() []float64 {
			x := make([]float64, 60)
			for i := range x {
				x[i] = math.Round(float64(i)/240*1e4) / 1e4
			}
			return x
		}},
		{"uneven", func() []float64 { return uneven(rng, 60, 1./240) }},
	} {
		x := c.times()
		var w stretch
		w.resize(len(x))
		w.phase(x, 0, len(x), 0.1, 0.11)
		for k, v := range x {
			sin, cos := math.Sincos(math.Pi * (v - 0.1) / 0.11)
			if d := max(math.Abs(w.sin[k]-sin), math.Abs(w.cos[k]-cos)); d > 1e-11 {
				t.Errorf("%s: sample %d is %g off", c.name, k, d)
			}
		}
	}
}

// turning is a shaper with a turn of profiles before and after at 0.1 s, whose
// strokes last t1 and t2, in two columns.
func turning(t1, t2 float64, before, after profile) *shaper {
	const hz, n = 240, 60
	x, y, t := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range t {
		t[i] = float64(i) / hz
		p, d := after, t2
		if t[i] < 0.1 {
			p, d = before, t1
		}
		g, _ := p.branch(math.Sincos(math.Pi * (t[i] - 0.1) / d))
		x[i], y[i] = 3+4*g, -2+3*g
	}
	return &shaper{samples: samples{t: t, cols: [][]float64{x, y}, step: 1. / hz}, noise: 0.01}
}

// TestFitTurn: the fit finds the turn that the samples were made from, from a
// start several samples off.
func TestFitTurn(t *testing.T) {
	before, after := profile{0.05, -0.03}, profile{-0.02, 0.04}
	sh := turning(0.08, 0.1, before, after)
	for _, off := range []float64{0, 0.001, -0.004, 0.004} {
		f, ok := sh.fitTurn(0.1+off, 0.08, 0.1, &[3]float64{0.8, 0.6}, before, after)
		// Two steps of a method that converges quadratically.
		if !ok || math.Abs(f.tau-0.1) > 2e-5 {
			t.Errorf("from %g s off: %v %v, want a turn at 0.1", off, f, ok)
		}
	}
}

func BenchmarkFitTurn(b *testing.B) {
	before, after := profile{0.05, -0.03}, profile{-0.02, 0.04}
	sh := turning(0.1, 0.1, before, after)
	ax := &[3]float64{0.8, 0.6}
	b.ReportAllocs()
	for b.Loop() {
		sh.fitTurn(0.101, 0.1, 0.1, ax, before, after)
	}
}
