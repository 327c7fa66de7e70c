package contact_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/simulate"
)

// heard is what a microphone makes of a take.
type heard struct {
	jitter, lost, extra, offset float64
}

// listen returns the onsets, and for each true stroke whether one of them is its.
func (h heard) listen(times []float64, reached []bool, rng *rand.Rand) ([]contact.Onset, []bool) {
	var on []contact.Onset
	sounded := make([]bool, len(times))
	for i, t := range times {
		jitter, lost := h.jitter*rng.NormFloat64(), rng.Float64() < h.lost
		if reached[i] && !lost {
			on = append(on, contact.Onset{Time: t + h.offset + jitter, Level: -20 + 2*rng.NormFloat64()})
			sounded[i] = true
		}
		if rng.Float64() < h.extra {
			on = append(on, contact.Onset{Time: t + h.offset + 0.2*rng.Float64(), Level: -30})
		}
	}
	slices.SortFunc(on, func(a, b contact.Onset) int {
		if a.Time < b.Time {
			return -1
		}
		return 1
	})
	return slices.CompactFunc(on, func(a, b contact.Onset) bool { return a.Time == b.Time }), sounded
}

func TestAccuracyOnsets(t *testing.T) {
	takes := 12
	if testing.Short() {
		takes = 4
	}
	for _, c := range []struct {
		name  string
		heard heard
		find  bool
		heads bool // heights are known, and help to find the lag
		hide  float64
		blind bool // nothing is known of the strings
		least float64
	}{
		{name: "jitter 5 ms", heard: heard{jitter: 0.005}, least: 0.99},
		{name: "jitter 5 ms, 15 ms late, lag not sought", heard: heard{jitter: 0.005, offset: 0.015}, least: 0.99},
		{name: "jitter 5 ms, 2 % spurious", heard: heard{jitter: 0.005, extra: 0.02}, least: 0.98},
		{name: "jitter 5 ms, 2 % lost (silent), 2 % spurious", heard: heard{jitter: 0.005, lost: 0.02, extra: 0.02}, least: 0.98},
		{name: "lag sought, heights", heard: heard{jitter: 0.005, extra: 0.01}, find: true, heads: true, least: 0.98},
		{name: "lag sought, no heights", heard: heard{jitter: 0.005, extra: 0.01}, find: true, least: 0.98},
		{name: "lag sought, no strings", heard: heard{jitter: 0.005, extra: 0.01}, find: true, blind: true, least: 0.97},
		{name: "a third of the turns hidden", heard: heard{jitter: 0.005}, hide: 0.33, least: 0.99},
	} {
		var s score
		var lag covered
		var open, wrong int
		for seed := range takes {
			rng := stream("contact/onsets", seed)
			q := randomPlayer(rng)
			q.hz, q.strum = 120, 0
			pl := q.play(160, rng)
			if c.hide > 0 {
				hide(&pl, c.hide, 0.4/q.rate, rng)
			}
			mid, reached := pl.middles(), make([]bool, len(pl.crosses))
			times := slices.Clone(mid)
			for i, list := range pl.crosses {
				for _, x := range list {
					if x.depth > 0 {
						times[i], reached[i] = x.t, true
						break
					}
				}
			}
			h := c.heard
			if c.find {
				h.offset = -0.05 + 0.1*rng.Float64()
			}
			on, sounded := h.listen(times, reached, rng)
			m, cs, err := q.measure(&pl)
			if err != nil {
				t.Fatal(err)
			}
			if !c.heads && !c.blind {
				for i := range cs.Strokes {
					cs.Strokes[i].P = math.NaN()
				}
			}
			if c.blind {
				cs = nil
			}
			match, err := contact.MatchOnsets(m.Strokes, cs, on, contact.MatchOptions{FindOffset: c.find})
			if err != nil {
				t.Fatal(err)
			}
			if match.Absent != nil {
				open++
				continue
			}
			if v := match.Offset; c.find && v.Known() && !c.blind {
				lag.add(math.Abs(v.Value-h.offset) < 0.003)
				if math.Abs(v.Value-h.offset) > 0.5/q.rate {
					wrong++
				}
			}
			for i, k := range pair(m.Strokes, mid) {
				switch {
				case k < 0:
				case match.Struck[i] == contact.Unknown:
					s.unknown++
				default:
					s.add(match.Struck[i] == contact.No, !sounded[k])
				}
			}
		}
		t.Logf("%-46s F1 of silent strokes %.3f of %d (unknown %d); takes left open %d of %d; lag within 3 ms %d/%d, off by a stroke %d", c.name, s.f1(), s.all, s.unknown, open, takes, lag.in, lag.all, wrong)
		if !(s.f1() >= c.least) || wrong > 0 {
			t.Errorf("%s: F1 %.3f, want %v; %d lags off by a stroke", c.name, s.f1(), c.least, wrong)
		}
	}
}

// hide removes the samples about a share of the turns.
func hide(pl *played, share, long float64, rng *rand.Rand) {
	for _, turn := range pl.turns {
		if rng.Float64() < share {
			for i, t := range pl.path.T {
				if math.Abs(t-turn) < long/2 {
					pl.path.Across[i], pl.path.Out[i] = math.NaN(), math.NaN()
				}
			}
		}
	}
}

// TestOnsetsBruteForce holds the pairing against all pairings of short lists.
func TestOnsetsBruteForce(t *testing.T) {
	rng := stream("contact/brute", 1)
	for range 300 {
		n, k := 1+rng.IntN(6), 1+rng.IntN(6)
		strokes := make([]motion.Stroke, n)
		at := 0.0
		for i := range strokes {
			d := 0.05 + 0.1*rng.Float64()
			strokes[i] = motion.Stroke{Direction: motion.Direction(1 + i%2), Start: at, End: at + d}
			at += d
		}
		on := make([]contact.Onset, k)
		for i := range on {
			on[i].Time = at * rng.Float64()
		}
		slices.SortFunc(on, func(a, b contact.Onset) int { return int(math.Copysign(1, a.Time-b.Time)) })
		m, err := contact.MatchOnsets(strokes, nil, on, contact.MatchOptions{Window: 1})
		if err != nil {
			t.Fatal(err)
		}
		durations := make([]float64, n)
		for i, s := range strokes {
			durations[i] = s.Duration()
		}
		slices.Sort(durations)
		window := (durations[(n-1)/2] + durations[n/2]) / 2
		gain := func(i, j int) float64 {
			d := (on[j].Time - strokes[i].Middle()) / window
			return 1 - d*d
		}
		var best func(i, j int) float64
		best = func(i, j int) float64 {
			if i == n || j == k {
				return 0
			}
			v := max(best(i+1, j), best(i, j+1))
			if g := gain(i, j); g > 0 {
				v = max(v, g+best(i+1, j+1))
			}
			return v
		}
		got, last := 0.0, -1
		for i, j := range m.Onset {
			if j < 0 {
				continue
			}
			if j <= last {
				t.Fatalf("onset %d after %d", j, last)
			}
			last = j
			got += gain(i, j)
		}
		if want := best(0, 0); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%d strokes, %d onsets: sum %v, want %v", n, k, got, want)
		}
	}
}

// TestAccuracyOnsetsSimulated does the same on takes of package simulate, with
// turns hidden, the lag of the sound sought and 5 ms of jitter.
func TestAccuracyOnsetsSimulated(t *testing.T) {
	var s score
	var lag covered
	for seed := range uint64(6) {
		take, err := simulate.Make(simulate.Options{
			Seed: seed, Rate: 6 + float64(seed), PathAngle: 0.3, MissShare: 0.06, FrameRate: 120, HideDown: 0.15, HideUp: 0.1, DropOuts: 0.01,
		})
		if err != nil {
			t.Fatal(err)
		}
		n := len(take.Truth.Strokes)
		mid, times, reached := make([]float64, n), make([]float64, n), make([]bool, n)
		for i, s := range take.Truth.Strokes {
			mid[i] = (s.Start + s.End) / 2
			times[i], reached[i] = s.Struck, s.Reached
		}
		rng := stream("contact/onsets simulated", int(seed))
		h := heard{jitter: 0.005, offset: -0.05 + 0.1*rng.Float64()}
		on, sounded := h.listen(times, reached, rng)
		p := placed(t, take)
		m, err := motion.Analyze(p, motion.Options{HeightError: 0.02})
		if err != nil {
			t.Fatal(err)
		}
		c, err := contact.Find(m, p, contact.Strings{Number: 6, SpacingMM: 10, CrownRadiusMM: -1}, contact.Options{})
		if err != nil {
			t.Fatal(err)
		}
		match, err := contact.MatchOnsets(m.Strokes, c, on, contact.MatchOptions{FindOffset: true})
		if err != nil || match.Absent != nil {
			t.Fatalf("take %d: %+v, %v", seed, match.Absent, err)
		}
		lag.add(match.Offset.Low-0.001 <= h.offset && h.offset <= match.Offset.High+0.001)
		for i, k := range pair(m.Strokes, mid) {
			if k >= 0 && match.Struck[i] != contact.Unknown {
				s.add(match.Struck[i] == contact.No, !sounded[k])
			}
		}
	}
	t.Logf("F1 of silent strokes %.3f of %d; lag covered to 1 ms %d/%d", s.f1(), s.all, lag.in, lag.all)
	if !(s.f1() >= 0.99) || lag.in < lag.all-1 {
		t.Errorf("F1 %.3f, lag %d/%d", s.f1(), lag.in, lag.all)
	}
}
