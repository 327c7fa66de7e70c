package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/trajectory"
)

// TestCubic: the interpolation is exact for cubics, at the ends too.
func TestCubic(t *testing.T) {
	f := func(u float64) float64 { return 2 - u + 0.5*u*u - 0.1*u*u*u }
	x := make([]float64, 7)
	for i := range x {
		x[i] = f(float64(i))
	}
	for at := 0.0; at <= 6; at += 0.13 {
		if got := cubic(x, at); math.Abs(got-f(at)) > 1e-12 {
			t.Errorf("at %.2f: %v, want %v", at, got, f(at))
		}
	}
}

// TestBranch: the derivative is that of the branch, numerically.
func TestBranch(t *testing.T) {
	p := profile{0.1, -0.05}
	for x := -3.0; x < 3; x += 0.3 {
		const h = 1e-6
		g0, _ := p.branch(math.Sincos(x - h))
		g1, _ := p.branch(math.Sincos(x + h))
		if _, d := p.branch(math.Sincos(x)); math.Abs(d-(g1-g0)/(2*h)) > 1e-6 {
			t.Errorf("at %.1f: derivative %v, numerically %v", x, d, (g1-g0)/(2*h))
		}
	}
}

// TestSolveChain holds the tridiagonal solution and the parts of the inverse
// that it keeps to the dense ones of a system small enough to write down:
// [2 1 0; 1 3 1; 0 1 2] x = [3 5 3], x = [1 1 1], inverse determinant 8.
func TestSolveChain(t *testing.T) {
	var c chain
	c.reset(3)
	copy(c.diag, []float64{2, 3, 2})
	copy(c.off, []float64{1, 1, 0})
	copy(c.rhs[0], []float64{3, 5, 3})
	if !c.solve(1) {
		t.Fatal("not solved")
	}
	for i, want := range []float64{1, 1, 1} {
		if math.Abs(c.rhs[0][i]-want) > 1e-12 {
			t.Errorf("x[%d] = %v, want %v", i, c.rhs[0][i], want)
		}
	}
	for i, want := range []float64{5. / 8, 4. / 8, 5. / 8} {
		if math.Abs(c.inv[i]-want) > 1e-12 {
			t.Errorf("inverse %d %d = %v, want %v", i, i, c.inv[i], want)
		}
	}
	for i, want := range []float64{-2. / 8, -2. / 8} {
		if math.Abs(c.next[i]-want) > 1e-12 {
			t.Errorf("inverse %d %d = %v, want %v", i, i+1, c.next[i], want)
		}
	}
}

// TestNoiseOfShortRuns: a point that hides in every stroke leaves runs of a few
// samples, whose noise is still seen; shorter ones leave it unknown, not zero.
func TestNoiseOfShortRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	const sigma = 0.2
	for _, c := range []struct {
		every, hidden int
		low, high     float64
	}{{1000, 1, 0.9, 1.1}, {14, 3, 0.85, 1.3}, {10, 5, math.NaN(), math.NaN()}} {
		p := trajectory.Placed{T: make([]float64, 3000), Across: make([]float64, 3000), Out: make([]float64, 3000)}
		for i := range p.T {
			p.T[i] = float64(i) / 240
			p.Across[i], p.Out[i] = 5*math.Sin(float64(i)/8)+sigma*rng.NormFloat64(), sigma*rng.NormFloat64()
			if i%c.every < c.hidden {
				p.Across[i], p.Out[i] = math.NaN(), math.NaN()
			}
		}
		var a Analyzer
		got := a.noise(p) / sigma
		if math.IsNaN(got) {
			got = a.noiseOfShort(p) / sigma
		}
		if math.IsNaN(c.low) != math.IsNaN(got) || got < c.low || got > c.high {
			t.Errorf("%d of %d hidden: noise %.2f of the true one, want %.2f to %.2f", c.hidden, c.every, got, c.low, c.high)
		}
	}
}
