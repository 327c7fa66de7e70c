package tempo_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestShareWithinWilson holds the interval of independent events against that
// of Wilson (1927) by scipy.stats.binomtest. Here the number of events that
// tell as much is estimated, and Student's quantile stands for the normal one:
// both within 15 % of its width for 2,000 events.
func TestShareWithinWilson(t *testing.T) {
	for _, c := range loadTiming(t).Wilson {
		rng := estimate.Stream(1, "wilson")
		a := make([]float64, c.N)
		for i, at := range rng.Perm(c.N) {
			a[at] = 0.005
			if i >= c.K {
				a[at] = 0.03
			}
		}
		s := tempo.ShareWithin(a, 0.1, 0.01, 0)
		if !near(s.Share.Value, float64(c.K)/float64(c.N), 1e-12) || !near(s.Chance, 0.2, 1e-12) || s.Within != 0.01 || s.Share.Level != 0.95 {
			t.Errorf("%d of %d: %+v", c.K, c.N, s)
		}
		width := c.High - c.Low
		if math.Abs(s.Share.Low-c.Low) > 0.15*width || math.Abs(s.Share.High-c.High) > 0.15*width {
			t.Errorf("%d of %d: %v to %v, want %v to %v", c.K, c.N, s.Share.Low, s.Share.High, c.Low, c.High)
		}
	}
}

// TestShareWithinMemory holds the effective number of events, the harmonic mean
// over 40 takes, against what the autocorrelation of being within an sd gives by
// Hermite polynomials: n/(1 + 2 Σ ρ), ρ(k) = Σ c²(j) φ^(jk) / Σ c²(j) with j = 2, 4,
// ... The long-run variance is estimated with 40 % of scatter, a standard
// error of 6 % here; the tolerance is three.
func TestShareWithinMemory(t *testing.T) {
	const n, seeds = 2000, 40
	for _, phi := range []float64{0, 0.5, 0.8} {
		var inverse float64
		for k := range seeds {
			inverse += 1 / tempo.ShareWithin(late(estimate.Stream(uint64(k), "share memory"), n, phi), 0.1, 0.008, 0).Effective
		}
		// c(j) = ∫ He_j φ over [-1, 1] / √j! = -2 He_(j-1)(1) φ(1) / √j!
		var all, with float64
		below, he, factorial := 1.0, 1.0, 1.0 // He_(j-2)(1), He_(j-1)(1) of j = 2, and (j-1)!
		for j := 2; j < 60; j++ {
			factorial *= float64(j)
			if j%2 == 0 {
				c := he * he / factorial
				all += c
				power := math.Pow(phi, float64(j))
				with += c * power / (1 - power)
			}
			below, he = he, he-float64(j-1)*below
		}
		want := n / (1 + 2*with/all)
		if got := seeds / inverse; math.Abs(got/want-1) > 0.18 {
			t.Errorf("memory %v: %.0f events tell as much, want %.0f", phi, got, want)
		}
	}
}

func TestShareWithinEdges(t *testing.T) {
	nan := math.NaN()
	all := make([]float64, 40)
	for i := range all {
		all[i] = 0.001 * math.Sin(float64(i))
	}
	for _, c := range []struct {
		name             string
		a                []float64
		interval, within float64
		level            float64
		share, chance    float64 // NaN: absent
	}{
		{"all within", all, 0.1, 0.01, 0, 1, 0.2},
		{"none within", add(all, 0.04), 0.1, 0.01, 0, 0, 0.2},
		{"a window over all", all, 0.1, 0.06, 0, 1, 1},
		{"no level", all, 0.1, 0.01, -1, 1, 0.2},
		{"with gaps", append([]float64{nan, nan}, all...), 0.1, 0.01, 0, 1, 0.2},
		{"no window", all, 0.1, 0, 0, nan, 0},
		{"window not a number", all, 0.1, nan, 0, nan, nan},
		{"eleven", all[:11], 0.1, 0.01, 0, nan, 0.2},
		{"nothing", nil, 0.1, 0.01, 0, nan, 0.2},
	} {
		s := tempo.ShareWithin(c.a, c.interval, c.within, c.level)
		if math.IsNaN(c.share) {
			if s.Share.Known() || s.Share.Absent == nil || s.Share.Absent.Why == "" {
				t.Errorf("%s: %+v, want it absent with a reason", c.name, s.Share)
			}
			continue
		}
		if s.Share.Value != c.share || !near(s.Chance, c.chance, 1e-12) {
			t.Errorf("%s: %+v", c.name, s)
		}
		if c.level < 0 != (s.Share.Level == 0) {
			t.Errorf("%s: level %v", c.name, s.Share.Level)
		}
		if s.Share.Level > 0 && !(0 <= s.Share.Low && s.Share.Low <= c.share && c.share <= s.Share.High && s.Share.High <= 1 && s.Share.Low < s.Share.High) {
			t.Errorf("%s: %v to %v", c.name, s.Share.Low, s.Share.High)
		}
	}
}

func add(xs []float64, by float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = x + by
	}
	return out
}

// TestWithin holds the chance of a cycle to lie near the rate against
// scipy.stats.gamma, and a simulated take against the normal share that its
// scatter gives: strokes of 4 % make cycles of 4 %/√2 with turns that do not
// jitter. The tolerance is three standard errors of 6,000 cycles that share
// strokes, and half as much for what a cycle pulls the curve to itself by.
func TestWithin(t *testing.T) {
	c := tempo.NewCurve(hand{clock: 0.04, uneven: 0.1}.turns(estimate.Stream(1, "within"), 6000, nil), tempo.CurveOptions{Level: -1})
	for _, r := range loadTiming(t).Chance {
		s := c.Within(r.Share, 0)
		if !near(s.Chance, r.Chance, 1e-12) {
			t.Errorf("%v: chance %v, want %v", r.Share, s.Chance, r.Chance)
		}
		want := math.Erf(r.Share / 0.04)
		if math.Abs(s.Share.Value-want) > 0.035 {
			t.Errorf("%v: share %v, want %v", r.Share, s.Share.Value, want)
		}
	}
}

// A learner's notes lie about the click with 8 ms: how many within 10 ms?
func ExampleShareWithin() {
	asynchrony := late(estimate.Stream(4, "example"), 300, 0.3)
	s := tempo.ShareWithin(asynchrony, 0.1, 0.010, 0)
	fmt.Printf("%.0f %% within 10 ms (%.0f to %.0f %%), %.0f %% by chance\n",
		100*s.Share.Value, 100*s.Share.Low, 100*s.Share.High, 100*s.Chance)
	// Output:
	// 81 % within 10 ms (76 to 86 %), 20 % by chance
}

func ExampleCurve_Within() {
	turns := hand{clock: 0.03, uneven: 0.1}.turns(estimate.Stream(5, "example"), 300, nil)
	s := tempo.NewCurve(turns, tempo.CurveOptions{}).Within(0.05, 0)
	fmt.Printf("%.0f %% of cycles within 5 %%, %.0f %% by chance\n", 100*s.Share.Value, 100*s.Chance)
	// Output:
	// 97 % of cycles within 5 %, 5 % by chance
}
