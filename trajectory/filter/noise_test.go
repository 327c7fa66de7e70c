package filter_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

// Simulation with known noise. The standard error of one estimate from 500
// samples is 7 per cent, of the mean of 100 takes 0.7 per cent; the bias is
// that stated in the documentation.
func TestNoiseLevel(t *testing.T) {
	const size, noise, takes, n = 10, 0.2, 100, 500
	for _, tc := range []struct {
		name           string
		samplesAcycle  float64
		want, from, to float64
	}{
		{"rest", math.Inf(1), noise, 0.97, 1.03},
		{"32 samples a cycle", 32, noise, 0.97, 1.03},
		{"16 samples a cycle", 16, noise, 0.97, 1.03},
		{"8 samples a cycle", 8, noise, 1.00, 1.08},
		{"4 samples a cycle: useless", 4, noise, 5, 20},
	} {
		var sum float64
		for take := range takes {
			rng := rand.New(rand.NewPCG(uint64(take), 5))
			phase := 2 * math.Pi * rng.Float64()
			x := make([]float64, n)
			for i := range x {
				x[i] = size*math.Sin(2*math.Pi*float64(i)/tc.samplesAcycle+phase) + noise*rng.NormFloat64()
			}
			sum += filter.NoiseLevel(x)
		}
		if ratio := sum / takes / tc.want; !(ratio > tc.from && ratio < tc.to) {
			t.Errorf("%s: %v times the true noise, want %v to %v", tc.name, ratio, tc.from, tc.to)
		}
	}
}

// Uniform rounding has a standard deviation of 1/√12 of a step.
func TestNoiseLevelRounding(t *testing.T) {
	x := make([]float64, 5000)
	for i := range x {
		x[i] = math.Round(40 * math.Sin(float64(i)/7.3))
	}
	if got := filter.NoiseLevel(x); !near(got, 1/math.Sqrt(12), 0.03) {
		t.Errorf("noise of rounding %v, want 0.289", got)
	}
}

func TestNoiseLevelResists(t *testing.T) {
	x := stroke(2000, 240, 5, 10, 0.2)
	clean := filter.NoiseLevel(x)
	for i := 50; i < len(x); i += 100 { // 1 per cent of jumps touch 7 per cent of the differences
		x[i] += 30
	}
	if got := filter.NoiseLevel(x); !near(got/clean, 1, 0.15) {
		t.Errorf("noise %v with jumps, %v without", got, clean)
	}
}

// A long column, in which not all differences are taken.
func TestNoiseLevelLong(t *testing.T) {
	x := stroke(144000, 240, 6, 10, 0.2)
	if got := filter.NoiseLevel(x); !near(got, 0.2, 0.008) { // four standard errors
		t.Errorf("noise %v, want 0.2", got)
	}
	x[143990] = math.NaN()
	if got := filter.NoiseLevel(x); !math.IsNaN(got) {
		t.Errorf("noise %v with a missing sample, want NaN", got)
	}
}

func TestNoiseLevelExact(t *testing.T) {
	// Fifth-degree polynomials have no sixth difference; a lone 1 in the
	// middle of 7 samples has the largest, 20.
	poly := make([]float64, 30)
	for i := range poly {
		v := float64(i) - 15
		poly[i] = v * v * v * v * v
	}
	for _, tc := range []struct {
		name string
		x    []float64
		want float64
	}{
		{"polynomial", poly, 0},
		{"one step of 7", []float64{0, 0, 0, 1, 0, 0, 0}, 20 / math.Sqrt(924) * 1.482602218505602},
		{"two differences", []float64{0, 0, 0, 1, 0, 0, 0, 0}, 17.5 / math.Sqrt(924) * 1.482602218505602},
		{"six samples", make([]float64, 6), math.NaN()},
		{"none", nil, math.NaN()},
		{"infinity", []float64{0, 0, 0, 0, 0, 0, math.Inf(1), math.Inf(-1)}, math.NaN()},
	} {
		if got := filter.NoiseLevel(tc.x); !near(got, tc.want, 1e-12) {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
}
