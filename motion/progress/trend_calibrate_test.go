package progress

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
)

// evenings returns takes of a class that meets twice a week: rate and scatters
// of each take given by the day's, with what takes and days differ by.
func evenings(rng *rand.Rand, days, each int, phi float64, rate, scatter func(u float64) float64) []Take {
	between := [2][]float64{wander(days, phi, rng), wander(days, phi, rng)}
	var takes []Take
	for d := range days {
		u := float64(d) / float64(days-1)
		for range each {
			r := math.Exp(math.Log(6) + rate(u) + 0.05*between[0][d] + 0.03*rng.NormFloat64())
			s := math.Exp(math.Log(0.06) + scatter(u) + 0.1*between[1][d] + 0.08*rng.NormFloat64())
			takes = append(takes, played(7*d/2, map[string]float64{"notes_per_second": r, "duration_scatter": s / r}))
		}
	}
	return takes
}

func still(float64) float64 { return 0 }

// TestTrendCalibration: of players who do not change, trends over days are seen
// in 1 of 20, where days do not depend on each other; where they do, more often,
// as the package comment states.
func TestTrendCalibration(t *testing.T) {
	draws, seed := simulated(t, 250)
	rng := estimate.Stream(seed, "trend of days")
	for _, c := range []struct {
		days int
		phi  float64
		most float64
	}{{6, 0, 0.05}, {10, 0, 0.05}, {10, 0.3, 0.12}, {19, 0.3, 0.14}, {20, 0, 0.05}, {20, 0.3, 0.05}, {20, 0.6, 0.05}, {40, 0.6, 0.05}} {
		out := 0
		for range draws {
			days := make([]Day, c.days)
			for i, x := range wander(c.days, c.phi, rng) {
				days[i] = Day{Date: played(3*i, nil).Date, scaled: x}
			}
			s := Series{Days: days}
			ts, xs := s.columns()
			r, err := trendOf(ts, xs)
			if err != nil {
				t.Fatal(err)
			}
			if r.P <= 0.05 {
				out++
			}
		}
		if *calibrate > 0 {
			t.Logf("%2d days, likeness %.1f: %4.1f %%", c.days, c.phi, 100*float64(out)/float64(draws))
		}
		if out > atMost(draws, c.most) {
			t.Errorf("%d days, likeness %v: %d of %d show a trend", c.days, c.phi, out, draws)
		}
	}
}

// TestOrderCalibration: of players whose rate and evenness came together, one is
// said to have come first in 1 of 20 at most; where one was first, the other is
// hardly ever named. With -calibrate it writes the table of the package comment.
func TestOrderCalibration(t *testing.T) {
	draws, seed := simulated(t, 30)
	rng := estimate.Stream(seed, "what came first")
	line := func(by float64) func(float64) float64 { return func(u float64) float64 { return by * u } }
	early := func(by float64) func(float64) float64 {
		return func(u float64) float64 { return by * (1 - math.Exp(-5*u)) / (1 - math.Exp(-5)) }
	}
	late := func(by float64) func(float64) float64 {
		f := early(by)
		return func(u float64) float64 { return by - f(1-u) }
	}
	for _, c := range []struct {
		name          string
		days          int
		phi           float64
		rate, scatter func(float64) float64
		truth         Order
		most          float64 // share of wrong first places
	}{
		{"both evenly", 10, 0, line(0.4), line(-0.8), Together, 0.05},
		{"both evenly", 20, 0, line(0.4), line(-0.8), Together, 0.05},
		{"both evenly, likeness 0.3", 20, 0.3, line(0.4), line(-0.8), Together, 0.07},
		{"both early", 20, 0, early(0.4), early(-0.8), Together, 0.05},
		{"both late", 20, 0, late(0.4), late(-0.8), Together, 0.05},
		{"rate early, evenness late", 20, 0, early(0.4), late(-0.8), RateFirst, 0.01},
		{"rate late, evenness early", 20, 0, late(0.4), early(-0.8), EvennessFirst, 0.01},
		{"no change", 20, 0, still, still, OrderUnknown, 0.01},
	} {
		var count [4]int
		for range draws {
			p := Progress{Options: Options{Seed: rng.Uint64()}.withDefaults()}
			p.Series = p.follow(mustMeasure(t, "duration_scatter"), evenings(rng, c.days, 3, c.phi, c.rate, c.scatter))
			count[p.order("duration_scatter").Order]++
		}
		if *calibrate > 0 {
			t.Logf("%-28s %2d days: rate first %4.1f %%, evenness first %4.1f %%, together %4.1f %%, cannot say %4.1f %%", c.name, c.days,
				pct(count[RateFirst], draws), pct(count[EvennessFirst], draws), pct(count[Together], draws), pct(count[OrderUnknown], draws))
		}
		wrong := count[RateFirst] + count[EvennessFirst]
		if c.truth == RateFirst || c.truth == EvennessFirst {
			if wrong = count[Together] + count[RateFirst+EvennessFirst-c.truth]; count[c.truth] < draws/2 {
				t.Errorf("%s: seen in %d of %d", c.name, count[c.truth], draws)
			}
		}
		if wrong > atMost(draws, c.most) {
			t.Errorf("%s, %d days: %d rate first, %d evenness first, %d together of %d", c.name, c.days, count[RateFirst], count[EvennessFirst], count[Together], draws)
		}
	}
}

// TestWithinCalibration: rate and scatter that have nothing to do with each other
// within a day are told to in 1 of 20, however they go from day to day.
func TestWithinCalibration(t *testing.T) {
	draws, seed := simulated(t, 60)
	rng := estimate.Stream(seed, "within days")
	out, held, n := 0, 0, 0
	for range draws {
		p := Progress{Options: Options{Seed: rng.Uint64()}.withDefaults()}
		p.Options.Scatter = []string{"path_angle_scatter_deg"}
		takes := evenings(rng, 14, 3, 0, func(u float64) float64 { return u }, still)
		for i := range takes {
			x := played(0, map[string]float64{"notes_per_second": takes[i].Summary.Value("notes_per_second").Value,
				"path_angle_scatter_deg": math.Exp(float64(takes[i].Date.YearDay())/40 + 0.1*rng.NormFloat64())})
			takes[i].Summary = x.Summary
		}
		p.Series = p.follow(mustMeasure(t, "path_angle_scatter_deg"), takes)
		r := p.order("path_angle_scatter_deg")
		if r.P <= 0.05 {
			out++
		}
		if r.WithinDays.Level > 0 {
			n++
			if r.WithinDays.Low <= 0 && 0 <= r.WithinDays.High {
				held++
			}
		}
	}
	if *calibrate > 0 {
		t.Logf("told to go together within days %4.1f %%; interval holds nothing in %4.1f %%", pct(out, draws), pct(held, n))
	}
	if out > atMost(draws, 0.05) {
		t.Errorf("%d of %d", out, draws)
	}
	if n != draws || n-held > atMost(n, 0.07) {
		t.Errorf("%d of %d intervals hold nothing", held, n)
	}
}

func mustMeasure(t *testing.T, name string) review.Measure {
	t.Helper()
	m, ok := measureNamed(name)
	if !ok {
		t.Fatalf("no measure %q", name)
	}
	return m
}

func pct(k, n int) float64 { return 100 * float64(k) / float64(n) }
