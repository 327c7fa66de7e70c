package circular_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// The figures in the package comment come from
//
//	go test -run Calibration -calibrate 2000 -v ./variability/circular
//
// with seeds from 9,000,000 on. Methods were tuned with others.
var calibrate = flag.Int("calibrate", 0, "number of samples for each line of the calibration; 0 is a quick run")

// share counts how often hit is true of the samples that have an answer, and fails outside least to most, widened
// by 3.5 standard errors of a binomial share.
func share(t *testing.T, name string, least, most float64, hit func(seed uint64) (given, hit bool)) {
	t.Helper()
	runs, first := 80, uint64(0)
	if *calibrate > 0 {
		runs, first = *calibrate, 9_000_000
	}
	hits, answers := 0.0, 0.0
	for k := range runs {
		given, hit := hit(first + uint64(k))
		if given {
			answers++
			if hit {
				hits++
			}
		}
	}
	if answers < float64(runs)/50 {
		t.Logf("%-72s refused", name)
		return
	}
	got := hits / answers
	slack := func(p float64) float64 { return 3.5 * math.Sqrt(p*(1-p)/answers) }
	verdict := ""
	if got < least-slack(least) || got > most+slack(most) {
		verdict = "  OUTSIDE"
		t.Errorf("%s: %.3f of %v, want %v to %v", name, got, answers, least, most)
	}
	t.Logf("%-72s %5.1f %% of %3.0f %%%s", name, 100*got, 100*answers/float64(runs), verdict)
}

// rejects is whether there is a test, and whether it rejects at 0.05.
func rejects(t circular.Test) (given, hit bool) { return t.Absent == nil, t.P <= 0.05 }

// misses is whether there is an interval, and whether it leaves out 0.
func misses(v estimate.Value[circular.Angle]) (given, hit bool) {
	return v.Level > 0, v.Low > 0 || v.High < 0
}

// vonMises draws n directions about 0 by the method of Best and Fisher (1979).
func vonMises(n int, kappa float64, rng *rand.Rand) []circular.Angle {
	out := make([]circular.Angle, n)
	tau := 1 + math.Sqrt(1+4*kappa*kappa)
	rho := (tau - math.Sqrt(2*tau)) / (2 * kappa)
	r := (1 + rho*rho) / (2 * rho)
	for i := range out {
		if kappa == 0 {
			out[i] = circular.Angle(2 * math.Pi * rng.Float64())
			continue
		}
		for {
			z := math.Cos(math.Pi * rng.Float64())
			f := (1 + r*z) / (r + z)
			c := kappa * (r - f)
			u := rng.Float64()
			if c*(2-c) > u || math.Log(c/u)+1 >= c {
				out[i] = circular.Angle(math.Acos(max(-1, min(1, f))))
				if rng.Float64() < 0.5 {
					out[i] = -out[i]
				}
				break
			}
		}
	}
	return out
}

// angled turns a series into axes or directions of the given scatter.
func angled(x []float64, scale circular.Angle) []circular.Angle {
	out := make([]circular.Angle, len(x))
	for i, v := range x {
		out[i] = circular.Angle(v) * scale
	}
	return out
}

// evenly turns a standard normal series into directions spread evenly.
func evenly(x []float64) []circular.Angle {
	out := make([]circular.Angle, len(x))
	for i, v := range x {
		out[i] = circular.Angle(math.Pi * math.Erfc(-v/math.Sqrt2))
	}
	return out
}

// specs are the kinds of series, all of mean 0.
var specs = []series.Spec{
	{}, {Phi: 0.3}, {Phi: 0.6}, {Phi: 0.9}, {Alternate: 2}, {Phi: 0.6, Alternate: 2},
	{Phi: 0.3, Drift: 1},
	{Phi: 0.3, Spans: series.Spans{Settled: 60, Searching: 20, Level: 0.5, Scatter: 2}},
}

// most is the share of true nulls that a method may reject: 7 % where it is meant
// to serve, more where neighbours are very much alike, and what the package comment
// admits where the level jumps between spans, and where two columns drift together.
func most(s series.Spec, together bool) float64 {
	switch {
	case s.Spans.Level > 0 || together && s.Drift > 0:
		return 0.42
	case s.Phi > 0.8:
		return 0.09
	}
	return 0.07
}

// least is the same from below: a drift makes tests of a mean cautious.
func least(s series.Spec) float64 {
	if s.Drift > 0 {
		return 0
	}
	return 0.03
}

func TestCalibrationOneSample(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	for _, n := range []int{8, 15, 24, 30, 60} {
		for _, kappa := range []float64{0.5, 1, 2, 5, 20} {
			share(t, fmt.Sprintf("MeanTest, n=%d, κ=%v", n, kappa), 0.03, 0.07, func(seed uint64) (bool, bool) {
				return rejects(circular.MeanTest(vonMises(n, kappa, estimate.Stream(seed, "one")), 0, circular.Options{}))
			})
		}
		for _, c := range []struct {
			name string
			p    func(a []circular.Angle) float64
		}{
			{"VTest", func(a []circular.Angle) float64 { return circular.VTest(a, 1, circular.Options{}).P }},
			{"WatsonU2", func(a []circular.Angle) float64 { return circular.WatsonU2(a, circular.Options{}).P }},
			{"RayleighP", func(a []circular.Angle) float64 { return circular.Directional(a, circular.Options{}).RayleighP }},
		} {
			share(t, fmt.Sprintf("%s, n=%d", c.name, n), 0.03, 0.07, func(seed uint64) (bool, bool) {
				return true, c.p(vonMises(n, 0, estimate.Stream(seed, "even"))) < 0.05
			})
		}
	}
}

func TestCalibrationSeries(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	o := circular.Options{Series: true}
	for _, n := range []int{60, 240, 1000} {
		for _, s := range specs {
			name := func(what string) string { return fmt.Sprintf("%s, n=%d, %v", what, n, s) }
			share(t, name("MeanTest"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				return rejects(circular.MeanTest(angled(s.Make(n, seed), 10*circular.Degree), 0, circular.Options{Series: true, Axes: true}))
			})
			if s.Alternate == 0 && s.Drift == 0 && s.Spans.Level == 0 { // not spread evenly
				share(t, name("VTest"), least(s), most(s, false), func(seed uint64) (bool, bool) {
					return rejects(circular.VTest(evenly(s.Make(n, seed)), 1, o))
				})
				share(t, name("RayleighP"), least(s), most(s, false), func(seed uint64) (bool, bool) {
					p := circular.Directional(evenly(s.Make(n, seed)), o).RayleighP
					return !math.IsNaN(p), p < 0.05
				})
			}
			share(t, name("MeanDifference misses"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				a, b := angled(s.Make(n, seed), 20*circular.Degree), angled(s.Make(n/2, seed+1<<40), 8*circular.Degree)
				return misses(circular.MeanDifference(a, b, circular.Options{Series: true, Axes: true}))
			})
		}
	}
	for _, n := range []int{6, 12, 30, 100} {
		for _, kappa := range []float64{1, 3, 20} {
			share(t, fmt.Sprintf("MeanDifference misses, n=%d and %d, κ=%v and 8", n, n, kappa), 0.03, 0.07, func(seed uint64) (bool, bool) {
				rng := estimate.Stream(seed, "difference")
				return misses(circular.MeanDifference(vonMises(n, kappa, rng), vonMises(n, 8, rng), circular.Options{}))
			})
		}
	}
}

func TestCalibrationGroups(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	for _, n := range []int{8, 12, 30, 100} {
		for _, kappa := range []float64{1, 2, 5, 20} {
			groups := func(k int, other float64) func(seed uint64) [][]circular.Angle {
				return func(seed uint64) [][]circular.Angle {
					rng := estimate.Stream(seed, "groups")
					g := make([][]circular.Angle, k)
					for j := range g {
						g[j] = vonMises(n, kappa, rng)
					}
					g[0] = vonMises(n+n/2, other, rng)
					return g
				}
			}
			like, unlike := groups(3, kappa), groups(2, 4*kappa)
			name := func(what string) string { return fmt.Sprintf("%s, n=%d, κ=%v", what, n, kappa) }
			share(t, name("WatsonWilliams"), 0.03, 0.07, func(seed uint64) (bool, bool) {
				w := circular.WatsonWilliams(like(seed), circular.Options{})
				return w.Absent == nil && w.Doubt == nil, w.P <= 0.05
			})
			share(t, name("EqualConcentration"), 0.03, 0.07, func(seed uint64) (bool, bool) {
				return rejects(circular.EqualConcentration(like(seed), circular.Options{}))
			})
			share(t, name("EqualMeans"), 0.03, 0.07, func(seed uint64) (bool, bool) {
				return rejects(circular.EqualMeans(like(seed), circular.Options{Draws: 199, Seed: seed}))
			})
			share(t, name("EqualMeans, fourfold κ in the longer"), 0.03, 0.07, func(seed uint64) (bool, bool) {
				return rejects(circular.EqualMeans(unlike(seed), circular.Options{Draws: 199, Seed: seed}))
			})
		}
	}
	for _, n := range []int{60, 120, 480} {
		for _, s := range specs {
			name := func(what string) string { return fmt.Sprintf("%s, n=%d and %d, %v", what, n, n/2, s) }
			o := circular.Options{Series: true, Axes: true}
			share(t, name("EqualMeans of three"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				return rejects(circular.EqualMeans([][]circular.Angle{
					angled(s.Make(n, seed), 10*circular.Degree), angled(s.Make(n, seed+1<<41), 10*circular.Degree),
					angled(s.Make(n/2, seed+1<<40), 5*circular.Degree)}, o))
			})
			share(t, name("EqualMeans"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				return rejects(circular.EqualMeans([][]circular.Angle{
					angled(s.Make(n, seed), 10*circular.Degree), angled(s.Make(n/2, seed+1<<40), 10*circular.Degree)}, o))
			})
			share(t, name("EqualMeans, fourfold scatter"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				return rejects(circular.EqualMeans([][]circular.Angle{
					angled(s.Make(n, seed), 20*circular.Degree), angled(s.Make(n/2, seed+1<<40), 5*circular.Degree)}, o))
			})
			blocks := o
			blocks.Block, blocks.Draws = 6, 199
			if s.Phi < 0.5 {
				share(t, name("EqualMeans, blocks of 6"), least(s), most(s, false), func(seed uint64) (bool, bool) {
					return rejects(circular.EqualMeans([][]circular.Angle{
						angled(s.Make(n, seed), 10*circular.Degree), angled(s.Make(n/2, seed+1<<40), 10*circular.Degree)}, blocks))
				})
			}
			share(t, name("EqualConcentration"), least(s), most(s, false), func(seed uint64) (bool, bool) {
				return rejects(circular.EqualConcentration([][]circular.Angle{
					angled(s.Make(n, seed), 10*circular.Degree), angled(s.Make(n/2, seed+1<<40), 10*circular.Degree)}, o))
			})
		}
	}
}

func TestCalibrationAssociation(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	for _, n := range []int{8, 20, 120, 480} {
		for _, s := range specs {
			if n < 100 && s.Phi != 0 || s.Alternate != 0 {
				continue // columns that both alternate do go together
			}
			o := circular.Options{Series: n > 100, Draws: 199}
			a := func(seed uint64) []circular.Angle { return angled(s.Make(n, seed), 30*circular.Degree) }
			b := func(seed uint64) []circular.Angle { return angled(s.Make(n, seed+1<<40), 60*circular.Degree) }
			name := func(what string) string { return fmt.Sprintf("%s, n=%d, %v", what, n, s) }
			share(t, name("CorrelationT"), 0, most(s, true), func(seed uint64) (bool, bool) {
				return rejects(circular.CorrelationT(a(seed), b(seed), o))
			})
			share(t, name("CorrelationSine"), 0, most(s, true), func(seed uint64) (bool, bool) {
				return rejects(circular.CorrelationSine(a(seed), b(seed), o))
			})
			share(t, name("CorrelationLinear"), 0, most(s, true), func(seed uint64) (bool, bool) {
				return rejects(circular.CorrelationLinear(a(seed), s.Make(n, seed+1<<40), o))
			})
		}
	}
}
