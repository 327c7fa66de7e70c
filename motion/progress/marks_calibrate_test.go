package progress

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
)

var calibrate = flag.Int("calibrate", 0, "number of simulated cases of each calibration; 0 is a quick number")

// marked is a made take: what it is, and what a viewer says of it.
func madeTruth(rng *rand.Rand, spans int, share float64) []Mark {
	var marks []Mark
	at, settled := 0.0, rng.IntN(2) == 0
	for range spans {
		mean := 6 * (1 - share)
		kind := "searching"
		if settled {
			mean, kind = 6*share, "settled"
		}
		d := mean * (0.3 + 0.7*rng.ExpFloat64())
		marks = append(marks, Mark{Kind: kind, Start: at, End: at + d})
		at, settled = at+d, !settled
	}
	return marks
}

// viewed returns the truth as a viewer says it, who moves every boundary by
// about blur seconds and takes spans for the other kind with probability miss.
func viewed(rng *rand.Rand, truth []Mark, blur, miss float64) []Mark {
	out := make([]Mark, 0, len(truth))
	at := truth[0].Start
	for i, m := range truth {
		end := m.End
		if i < len(truth)-1 {
			end += blur * rng.NormFloat64()
		}
		if end <= at+0.02 {
			continue
		}
		kind := m.Kind
		if rng.Float64() < miss {
			kind = map[string]string{"settled": "searching", "searching": "settled"}[kind]
		}
		out = append(out, Mark{Kind: kind, Start: at, End: end})
		at = end
	}
	return out
}

// TestKappaCoverage: how often the interval of kappa holds the kappa of the two
// viewers in the long run.
func TestKappaCoverage(t *testing.T) {
	runs, seed := simulated(t, 60)
	longRun := 20_000
	if *calibrate > 0 {
		longRun = 300_000
	}
	for _, c := range []struct {
		name              string
		spans, takes      int
		blur, miss, share float64
		spread            float64
	}{
		{"one take of 30", 30, 1, 0.3, 0.1, 0.5, 0},
		{"one take of 60", 60, 1, 0.3, 0.1, 0.5, 0},
		{"one take of 200", 200, 1, 0.3, 0.1, 0.5, 0},
		{"one take, good viewers", 30, 1, 0.3, 0.02, 0.5, 0},
		{"one take, boundaries only", 30, 1, 0.5, 0, 0.5, 0},
		{"one take, poor viewers", 30, 1, 1, 0.3, 0.5, 0},
		{"one take, mostly settled", 40, 1, 0.3, 0.1, 0.8, 0},
		{"6 takes", 6, 6, 0.3, 0.1, 0.5, 0},
		{"8 takes", 6, 8, 0.3, 0.1, 0.5, 0},
		{"12 takes", 6, 12, 0.3, 0.1, 0.5, 0},
		{"30 takes", 6, 30, 0.3, 0.1, 0.5, 0},
		{"takes that differ", 6, 12, 0.3, 0.1, 0.5, 0.1},
		{"takes mostly settled", 6, 12, 0.3, 0.1, 0.8, 0},
	} {
		rng := estimate.Stream(seed, c.name)
		draw := func(takes, spans int) (a, b [][]Mark) {
			for range takes {
				miss := c.miss + c.spread*rng.Float64()
				truth := madeTruth(rng, spans+rng.IntN(spans/2+1)-spans/4, c.share)
				a = append(a, viewed(rng, truth, c.blur, miss))
				b = append(b, viewed(rng, truth, c.blur, miss))
			}
			return a, b
		}
		a, b := draw(longRun/c.spans, c.spans)
		long, err := AgreeTakes(a, b)
		if err != nil {
			t.Fatal(err)
		}
		truth := long.Kappa.Value
		held, low, none, width := 0, 0, 0, 0.0
		for range runs {
			a, b := draw(c.takes, c.spans)
			g, err := AgreeTakes(a, b)
			if err != nil {
				t.Fatal(err)
			}
			switch v := g.Kappa; {
			case !v.Known() || v.Level == 0:
				none++
			case v.Low <= truth && truth <= v.High:
				held++
				width += v.High - v.Low
			case v.High < truth:
				low++
			}
		}
		n := runs - none
		share := float64(held) / float64(n)
		t.Logf("%-26s %3d takes of %3d spans: kappa %.3f, held by %.1f %% (below %.1f %%), none in %d of %d, width %.2f", c.name, c.takes, c.spans, truth, 100*share, 100*float64(low)/float64(n), none, runs, width/float64(max(held, 1)))
		// Three binomial standard errors beyond what is wanted of many runs.
		chance := func(p float64) float64 { return 3 * math.Sqrt(p*(1-p)/float64(n)) }
		if n >= 50 && (share < 0.93-chance(0.93) || share > 0.97+chance(0.97)) {
			t.Errorf("%s: the interval holds kappa in %.1f %%, want 93 to 97", c.name, 100*share)
		}
	}
}
