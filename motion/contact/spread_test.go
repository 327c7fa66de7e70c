package contact

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestSpreadCoverage holds the intervals of spreads against those of the
// distributions drawn from, symmetric and lopsided, whose strokes follow each
// other independently or not.
func TestSpreadCoverage(t *testing.T) {
	takes := 400
	if testing.Short() {
		takes = 100
	}
	// Quantile functions. With m the median, the spread is the median
	// deviation s, at which F(m+s) - F(m-s) = 1/2, over Φ⁻¹(3/4).
	normal := func(p float64) float64 { return distuv.UnitNormal.Quantile(p) }
	exponential := func(p float64) float64 { return -math.Log1p(-p) }
	cube := func(p float64) float64 { return math.Pow(normal(p), 3) }
	perDeviation := 1 / distuv.UnitNormal.Quantile(0.75)
	for _, c := range []struct {
		name     string
		quantile func(p float64) float64
		truth    float64
		next     float64 // correlation of neighbours, of the normal beneath
		n        int
		least    float64 // share of intervals that must hold the truth
	}{
		{"normal", normal, 1, 0, 30, 0.93},
		{"normal", normal, 1, 0, 200, 0.93},
		{"alternating", normal, 1, -0.4, 100, 0.93},
		{"wandering", normal, 1, 0.5, 60, 0.92},
		{"wandering far", normal, 1, 0.8, 100, 0.91},
		{"wandering far", normal, 1, 0.8, 600, 0.93},
		// sinh s = 1/2: the deviation about the median of an exponential.
		{"lopsided", exponential, perDeviation * math.Asinh(0.5), 0, 60, 0.91},
		{"lopsided", exponential, perDeviation * math.Asinh(0.5), 0, 400, 0.91},
		{"heavy tails", cube, perDeviation * math.Pow(distuv.UnitNormal.Quantile(0.75), 3), 0, 100, 0.92},
	} {
		in, open, width := 0, 0, 0.0
		for seed := range takes {
			rng := rand.New(rand.NewPCG(uint64(seed), 42))
			x := make([]float64, c.n)
			z := rng.NormFloat64()
			for i := range x {
				x[i] = 7 + c.quantile(distuv.UnitNormal.CDF(z))
				z = c.next*z + math.Sqrt(1-c.next*c.next)*rng.NormFloat64()
			}
			v := spread(x, 0)
			if v.Level == 0 {
				open++
				continue
			}
			if v.Low <= c.truth && c.truth <= v.High {
				in++
			}
			width += (v.High - v.Low) / 2 / c.truth
		}
		share := float64(in) / float64(takes-open)
		t.Logf("%-14s %4d strokes: covered %.1f %%, half-width %.0f %%, none %.1f %%", c.name, c.n, 100*share, 100*width/float64(takes-open), 100*float64(open)/float64(takes))
		// Less two standard deviations of the count itself.
		if least := c.least - 2*math.Sqrt(c.least*(1-c.least)/float64(takes)); share < least {
			t.Errorf("%s, %d strokes: %.3f of the intervals hold the truth", c.name, c.n, share)
		}
		if 20*open > takes {
			t.Errorf("%s, %d strokes: %d of %d without an interval", c.name, c.n, open, takes)
		}
	}
}

func TestSpreadSpecial(t *testing.T) {
	same := make([]float64, 20)
	if v := spread(same, 0); v.Value != 0 || v.Low != 0 || v.High != 0 || v.N != 20 {
		t.Errorf("twenty times the same: %+v", v)
	}
	// Deviations from 3.5: 0.5, 0.5, 1.5, 1.5, 2.5, 2.5, the median 1.5.
	six := []float64{4, 1, 3, 6, 2, 5}
	want := 1.5 / 0.6744897501960817 // Φ⁻¹(3/4): R qnorm(0.75)
	if v := spread(six, 0); math.Abs(v.Value-want) > 1e-12 || v.N != 6 {
		t.Errorf("%+v, want %g", v, want)
	}
	if v := spread(six, 1); math.Abs(v.Value-math.Sqrt(want*want-1)) > 1e-12 {
		t.Errorf("less noise of 1: %+v", v)
	}
	if v := spread(six, 3); v.Value != 0 {
		t.Errorf("less noise of 3: %+v", v)
	}
	if v := spread(six[:1], 0); v.Value != 0 || v.Low == v.Low || v.Level != 0 {
		t.Errorf("one stroke: %+v", v)
	}
}
