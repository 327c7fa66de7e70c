package variability_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/variability"
)

func TestEffectsReference(t *testing.T) {
	for _, p := range readReference(t).Pairs {
		if got := variability.HedgesG(p.A, p.B); !near(got, p.G, 1e-12) {
			t.Errorf("%s: g %v, want %v", p.Name, got, p.G)
		}
		if got := variability.CliffDelta(p.A, p.B); !near(got, p.Delta, 1e-15) {
			t.Errorf("%s: δ %v, want %v", p.Name, got, p.Delta)
		}
	}
}

// Borenstein et al. (2009), Introduction to Meta-Analysis, ch. 4: means 103
// and 100, standard deviations 5.5 and 4.5, 50 values each, g = 0.5924.
func TestHedgesGBorenstein(t *testing.T) {
	sample := func(mean, sd float64) []float64 {
		x := make([]float64, 50)
		off := sd * math.Sqrt(49./50)
		for i := range x {
			x[i] = mean + off*float64(1-2*(i%2))
		}
		return x
	}
	if got := variability.HedgesG(sample(100, 4.5), sample(103, 5.5)); !near(got, 0.5924, 5e-5) {
		t.Errorf("g %v, want 0.5924", got)
	}
}

// The definition, over all pairs.
func TestCliffDeltaPlain(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 50 {
		a, b := make([]float64, 1+rng.IntN(20)), make([]float64, 1+rng.IntN(20))
		for i := range a {
			a[i] = float64(rng.IntN(6)) / 10
		}
		for i := range b {
			b[i] = float64(rng.IntN(6)) / 10
		}
		var want float64
		for _, x := range a {
			for _, y := range b {
				switch {
				case y > x:
					want++
				case y < x:
					want--
				}
			}
		}
		want /= float64(len(a) * len(b))
		if got := variability.CliffDelta(a, b); !near(got, want, 1e-15) {
			t.Fatalf("δ of %v and %v is %v, want %v", a, b, got, want)
		}
	}
}

func TestEffectsSpecial(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name     string
		a, b     []float64
		g, delta float64
	}{
		{"none", nil, nil, nan, nan},
		{"one side", []float64{1, 2, 3, 4}, nil, nan, nan},
		{"other side missing", []float64{1, 2, 3, 4}, []float64{nan}, nan, nan},
		{"three values", []float64{1, 2}, []float64{3}, nan, 1},
		{"no scatter", []float64{1, 1}, []float64{3, 3}, nan, 1},
		// ν = 2, J = Γ(1)/Γ(1/2) = 1/√π, s = √(1/2), difference 2.
		{"four values", []float64{1, 2}, []float64{3, 4}, 2 * math.Sqrt2 / math.Sqrt(math.Pi), 1},
		{"missing left out", []float64{1, nan, 2}, []float64{nan, 3, 4, nan}, 2 * math.Sqrt2 / math.Sqrt(math.Pi), 1},
		{"the same", []float64{1, 2, 3}, []float64{1, 2, 3}, 0, 0},
	} {
		if got := variability.HedgesG(tc.a, tc.b); !near(got, tc.g, 1e-14) {
			t.Errorf("%s: g %v, want %v", tc.name, got, tc.g)
		}
		if got := variability.CliffDelta(tc.a, tc.b); !near(got, tc.delta, 1e-15) {
			t.Errorf("%s: δ %v, want %v", tc.name, got, tc.delta)
		}
	}
}
