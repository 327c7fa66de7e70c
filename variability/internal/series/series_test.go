package series_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"github.com/plectrace/plectrace/variability/internal/series"
)

// correlation is that of values lag apart.
func correlation(x []float64, lag int) float64 {
	return stat.Correlation(x[lag:], x[:len(x)-lag], nil)
}

// A hundred thousand values have moments within 4 standard errors of the
// truth: that of a mean of an autoregression is √((1+φ)/(1-φ)/n).
func TestMoments(t *testing.T) {
	const n = 100_000
	for _, tc := range []struct {
		spec           series.Spec
		mean, sd, r1   float64
		seMean, seRest float64
	}{
		{series.Spec{}, 0, 1, 0, 0.0032, 0.0032},
		{series.Spec{Phi: 0.6}, 0, 1, 0.6, 0.0064, 0.005},
		{series.Spec{Phi: 0.9}, 0, 1, 0.9, 0.014, 0.008},
		// Variance 1 + 4/4; lag-1 covariance 0.5 - 1.
		{series.Spec{Phi: 0.5, Alternate: 2}, 0, math.Sqrt2, -0.25, 0.006, 0.005},
		// A line from -1.5 to 1.5 has variance 9/12.
		{series.Spec{Drift: 3}, 0, math.Sqrt(1.75), 0.75 / 1.75, 0.0032, 0.004},
		{series.Spec{Phi: 0.5, Noise: 2}, 0, math.Sqrt(5), 0.1, 0.009, 0.008},
		// Spans of one mean length: half of the values three times as wide,
		// and a level of variance 4 that lasts 50 values.
		{series.Spec{Spans: series.Spans{Settled: 50, Searching: 50, Level: 2, Scatter: 3}}, 0, 3, 4 * 0.98 / 9, 0.07, 0.03},
		{series.Spec{Cube: true}, 0, 1, 0, 0.0032, 0.011},
	} {
		x := tc.spec.Make(n, 1)
		mean, sd := stat.MeanStdDev(x, nil)
		if math.Abs(mean-tc.mean) > 4*tc.seMean || math.Abs(sd-tc.sd) > 4*tc.seRest || math.Abs(correlation(x, 1)-tc.r1) > 4*tc.seRest {
			t.Errorf("%v: mean %.4f, sd %.4f, r(1) %.4f; want %v, %.4f, %.4f", tc.spec, mean, sd, correlation(x, 1), tc.mean, tc.sd, tc.r1)
		}
	}
}

// The first value has the law of all others: over 4000 seeds its variance is 1
// to within 4 standard errors, √(2/4000).
func TestStationaryStart(t *testing.T) {
	first := make([]float64, 4000)
	for seed := range first {
		first[seed] = series.Spec{Phi: 0.9}.Make(1, uint64(seed))[0]
	}
	if v := stat.Variance(first, nil); math.Abs(v-1) > 4*0.0224 {
		t.Errorf("variance %v of the first value, want 1", v)
	}
}

func TestRepeats(t *testing.T) {
	s := series.Spec{Phi: 0.3, Alternate: 1, Noise: 0.1, Spans: series.Spans{Settled: 5, Searching: 5, Scatter: 2}}
	if !slices.Equal(s.Make(50, 7), s.Make(50, 7)) || slices.Equal(s.Make(50, 7), s.Make(50, 8)) {
		t.Error("a seed must repeat, and another give other values")
	}
	if got := s.String(); got != "AR 0.3, down/up 1, spans 5/5 level 0 scatter 2, noise 0.1" {
		t.Errorf("named %q", got)
	}
	if got := series.Times(3, 0.5); !slices.Equal(got, []float64{0, 0.5, 1}) {
		t.Errorf("times %v", got)
	}
}
