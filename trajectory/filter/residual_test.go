package filter_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/trajectory/filter"
)

func TestResidualAnalysisReference(t *testing.T) {
	ref := readReference(t).Residual
	r, err := filter.ResidualAnalysis(ref.Y, ref.FS, filter.ResidualOptions{})
	if err != nil {
		t.Fatal(err)
	}
	allNear(t, "residuals", r.RMS, ref.RMS, 1e-10)
	if !near(r.Cutoff, ref.Cutoff, 1e-9) || !near(r.NoiseRMS, ref.Intercept, 1e-10) || !near(r.Slope, ref.Slope, 1e-11) {
		t.Errorf("cut-off %v, noise %v, slope %v; want %v, %v, %v", r.Cutoff, r.NoiseRMS, r.Slope, ref.Cutoff, ref.Intercept, ref.Slope)
	}
	if want := (filter.ResidualOptions{Step: 1, Max: 40, TailFrom: 20}); r.Options != want {
		t.Errorf("options %+v, want %+v", r.Options, want)
	}
	if r.Hz[0] != 1 || r.Hz[39] != 40 {
		t.Errorf("cut-offs from %v to %v, want 1 to 40", r.Hz[0], r.Hz[39])
	}
}

func stroke(n int, rate, hz, size, noise float64) []float64 {
	rng := rand.New(rand.NewPCG(7, 7))
	x := make([]float64, n)
	for i := range x {
		x[i] = size*math.Sin(2*math.Pi*hz*float64(i)/rate) + noise*rng.NormFloat64()
	}
	return x
}

func TestResidualAnalysisFindsNoise(t *testing.T) {
	for _, tc := range []struct {
		name                   string
		rate, hz, noise        float64
		cutoffFrom, cutoffUpto float64
	}{
		{"3 Hz of 60", 60, 3, 0.2, 5, 9},
		{"3 Hz of 240", 240, 3, 0.2, 6, 12},
		{"6.67 Hz of 240", 240, 6.67, 0.2, 12, 22},
		{"6.67 Hz of 240, less noise", 240, 6.67, 0.05, 15, 26},
	} {
		r, err := filter.ResidualAnalysis(stroke(1000, tc.rate, tc.hz, 10, tc.noise), tc.rate, filter.ResidualOptions{})
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		if !(r.Cutoff > tc.cutoffFrom && r.Cutoff < tc.cutoffUpto) {
			t.Errorf("%s: cut-off %v Hz", tc.name, r.Cutoff)
		}
		// Known 4 per cent of bias, and noise of 1000 samples.
		if !near(r.NoiseRMS/tc.noise, 0.98, 0.1) {
			t.Errorf("%s: noise %v, want %v", tc.name, r.NoiseRMS, tc.noise)
		}
	}
}

func TestResidualAnalysisErrors(t *testing.T) {
	noise := stroke(1000, 240, 5, 0, 1)
	buzz := stroke(1000, 240, 3, 2, 0) // with noise at half the sample rate alone
	for i := range buzz {
		buzz[i] += float64(1 - 2*(i%2))
	}
	for _, tc := range []struct {
		name      string
		x         []float64
		rate      float64
		o         filter.ResidualOptions
		undecided bool
		says      string
	}{
		{"noise alone", noise, 240, filter.ResidualOptions{}, true, "already"},
		{"no noise", stroke(1000, 240, 5, 10, 0), 240, filter.ResidualOptions{}, true, "straight line"},
		{"movement in the tail", stroke(1000, 60, 8, 10, 0.1), 60, filter.ResidualOptions{}, true, "straight line"},
		{"down only in the tail", buzz, 240, filter.ResidualOptions{TailFrom: 4}, true, "come down"},
		{"constant", make([]float64, 100), 240, filter.ResidualOptions{}, true, "already"},
		{"short", noise[:39], 240, filter.ResidualOptions{}, false, "39 samples"},
		{"empty", nil, 240, filter.ResidualOptions{}, false, "0 samples"},
		{"infinite", append([]float64{math.Inf(1)}, noise...), 240, filter.ResidualOptions{}, false, "not finite"},
		{"no rate", noise, 0, filter.ResidualOptions{}, false, "half the sample rate"},
		{"rate NaN", noise, math.NaN(), filter.ResidualOptions{}, false, "half the sample rate"},
		{"beyond half the rate", noise, 240, filter.ResidualOptions{Max: 120}, false, "half the sample rate"},
		{"tail behind max", noise, 240, filter.ResidualOptions{Max: 20, TailFrom: 20}, false, "tail"},
		{"negative step", noise, 240, filter.ResidualOptions{Step: -1}, false, "step"},
		{"tail of two", noise, 240, filter.ResidualOptions{Step: 10, Max: 40, TailFrom: 25}, false, "2 cut-offs"},
	} {
		r, err := filter.ResidualAnalysis(tc.x, tc.rate, tc.o)
		if err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: error %v, want one with %q", tc.name, err, tc.says)
			continue
		}
		if errors.Is(err, filter.ErrUndecided) != tc.undecided {
			t.Errorf("%s: ErrUndecided is %v, want %v", tc.name, !tc.undecided, tc.undecided)
		}
		if !math.IsNaN(r.Cutoff) || !math.IsNaN(r.NoiseRMS) {
			t.Errorf("%s: cut-off %v and noise %v beside the error", tc.name, r.Cutoff, r.NoiseRMS)
		}
		if tc.undecided && len(r.RMS) == 0 {
			t.Errorf("%s: no curve", tc.name)
		}
	}
}
