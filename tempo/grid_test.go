package tempo_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// clicked are n events on a grid of that interval from first on, each with normal
// jitter about its line.
func clicked(seed uint64, n int, first, interval, jitter float64) []float64 {
	rng := estimate.Stream(seed, "grid test")
	t := make([]float64, n)
	for i := range t {
		t[i] = first + interval*float64(i) + jitter*rng.NormFloat64()
	}
	return t
}

// sparse leaves one in so many out, the last ones apart.
func sparse(t []float64, every int) (out []float64) {
	for i, x := range t {
		if (i+5)%every != 0 || i > len(t)-10 {
			out = append(out, x)
		}
	}
	return out
}

// doubled finds events twice, 15 ms later.
func doubled(t []float64, at ...int) []float64 {
	for k, i := range at {
		t = with(t, i+k+1, t[i+k]+0.015)
	}
	return t
}

// TestFitGrid holds what a grid was made with, at ten notes a second.
func TestFitGrid(t *testing.T) {
	const step = 0.1 // sixteenths at 150 BPM
	nan := math.NaN()
	start := 2.0
	given := tempo.GridOptions{BPM: 150, Note: tempo.Sixteenth, Start: &start, ClockShared: true}
	noShared, noStart := given, given
	noShared.ClockShared = false
	noStart.Start = nil
	noise := given
	noise.Noise = 0.006
	for _, c := range []struct {
		name           string
		events         []float64
		o              tempo.GridOptions
		offset, spread float64 // NaN: absent
		drift          float64 // per cent
		missing, extra int
	}{
		{"10 ms late", clicked(1, 200, 0.01, step, 0.008), given, 0.01, 0.008, 0, 0, 0},
		{"30 ms early", clicked(2, 200, -0.03, step, 0.008), given, -0.03, 0.008, 0, 0, 0},
		{"48 ms late", clicked(3, 200, 0.048, step, 0.001), given, 0.048, 0.001, 0, 0, 0},
		{"52 ms late, which is 48 ms early", clicked(3, 200, 0.052, step, 0.001), given, -0.048, 0.001, 0, 0, 0},
		{"one missed in ten", sparse(clicked(3, 200, 0.01, step, 0.008), 10), given, 0.01, 0.008, 0, 19, 0},
		{"three found twice", doubled(clicked(4, 200, 0.01, step, 0.004), 40, 90, 150), given, 0.01, 0.004, 0, 0, 3},
		{"a break of 2.35 s", slices.Concat(clicked(5, 90, 0.01, step, 0.008), []float64{nan}, clicked(6, 90, 11.41, step, 0.008)), given, 0.01, 0.008, 0, 0, 0},
		{"a rest of 2 s", slices.Concat(clicked(5, 90, 0.01, step, 0.008), clicked(6, 90, 11.01, step, 0.008)), given, 0.01, 0.008, 0, 0, 0},
		{"clocks not shared", clicked(7, 200, 0.01, step, 0.008), noShared, nan, 0.008, 0, 0, 0},
		{"start not known", clicked(7, 200, 0.01, step, 0.008), noStart, nan, 0.008, 0, 0, 0},
		{"noise taken out", clicked(8, 400, 0.01, step, 0.010), noise, 0.01, 0.008, 0, 0, 0},
		{"no metronome", clicked(9, 200, 0.01, 0.097, 0.008), tempo.GridOptions{}, nan, 0.008, nan, 0, 0},
		{"1 % slower", clicked(10, 200, 0, step*1.01, 0.004), given, nan, nan, 100 * (1/1.01 - 1), 0, 0},
		{"every second note", clicked(11, 200, 0, 2*step, 0.004), given, 0, 0.004, 0, 199, 0},
	} {
		g := tempo.FitGrid(c.events, c.o)
		check := func(what string, v estimate.Value[float64], want, within float64) {
			t.Helper()
			switch {
			case math.IsNaN(want):
				if v.Known() || v.Absent == nil || v.Absent.Why == "" {
					t.Errorf("%s: %s is %+v, want it absent with a reason", c.name, what, v)
				}
			case !v.Known() || math.Abs(v.Value-want) > within || v.Level > 0 && !(v.Low <= v.Value && v.Value <= v.High):
				t.Errorf("%s: %s is %+v, want %g within %g", c.name, what, v, want, within)
			}
		}
		check("offset", g.Offset, c.offset, 0.002) // three standard errors of 200 events
		check("share", g.OffsetShare, c.offset/step, 0.02)
		check("drift", g.Drift, c.drift, 0.3)
		check("spread", g.Spread, c.spread, 0.0015)
		if len(g.Missing) != c.missing || len(g.Extra) != c.extra {
			t.Errorf("%s: %d missing, %d extra, want %d, %d", c.name, len(g.Missing), len(g.Extra), c.missing, c.extra)
		}
		if len(g.Asynchrony) != len(c.events) {
			t.Fatalf("%s: %d asynchronies of %d events", c.name, len(g.Asynchrony), len(c.events))
		}
		for i, a := range g.Asynchrony {
			extra := slices.Contains(g.Extra, i)
			absent := extra || !g.Spread.Known() || math.IsNaN(c.events[i])
			if absent != math.IsNaN(a) || math.Abs(a) > step/2+0.01 {
				t.Errorf("%s: event %d is %g s from its line", c.name, i, a)
			}
		}
	}
}

// The asynchronies are the events less their lines, and the missing lines lie
// where events were left out.
func TestFitGridLines(t *testing.T) {
	start := 0.0
	clean := clicked(1, 120, 0.012, 0.1, 0.005)
	events := without(clean, 50, 52)
	g := tempo.FitGrid(events, tempo.GridOptions{BPM: 150, Note: tempo.Sixteenth, Start: &start, ClockShared: true})
	for i, at := range events {
		if line := 0.1 * math.Round((at-0.012)/0.1); math.Abs(g.Asynchrony[i]-(at-line)) > 1e-9 {
			t.Errorf("event %d: %v, want %v", i, g.Asynchrony[i], at-line)
		}
	}
	if len(g.Missing) != 2 || !near(g.Missing[0], 5.0, 1e-6) || !near(g.Missing[1], 5.1, 1e-6) {
		t.Errorf("missing %v", g.Missing)
	}
	if g.Interval != 0.1 || g.Options.Level != 0.95 {
		t.Errorf("interval %v, options %+v", g.Interval, g.Options)
	}
}

// A player without a click wanders: the interval that was played is known, the
// place on a grid is not.
func TestFitGridFree(t *testing.T) {
	rng := estimate.Stream(1, "free")
	events := []float64{0}
	for range 400 {
		events = append(events, events[len(events)-1]+0.1*(1+0.08*rng.NormFloat64()))
	}
	start := 0.0
	g := tempo.FitGrid(events, tempo.GridOptions{BPM: 150, Note: tempo.Sixteenth, Start: &start, ClockShared: true})
	if g.Spread.Known() || g.Offset.Known() || g.Offset.Absent.Code != "phase-slips" || !g.Drift.Known() || !(g.Drift.Low < 0 && 0 < g.Drift.High) {
		t.Errorf("offset %+v, spread %+v, drift %+v", g.Offset, g.Spread, g.Drift)
	}
}

func TestFitGridAbsent(t *testing.T) {
	nan := math.NaN()
	good := clicked(1, 100, 0, 0.1, 0.005)
	random := make([]float64, 100)
	rng := estimate.Stream(1, "random")
	for i := range random {
		random[i] = 100 * rng.Float64()
	}
	slices.Sort(random)
	for _, c := range []struct {
		name   string
		events []float64
		o      tempo.GridOptions
		code   string
	}{
		{"a tempo below none", good, tempo.GridOptions{BPM: -1}, "no-grid"},
		{"no number", good, tempo.GridOptions{BPM: tempo.BPM(nan)}, "no-grid"},
		{"endless", good, tempo.GridOptions{BPM: tempo.BPM(math.Inf(1))}, "no-grid"},
		{"no note", good, tempo.GridOptions{BPM: 120, Note: tempo.NoteValue{Dots: 9}}, "no-grid"},
		{"another tempo", good, tempo.GridOptions{BPM: 100, Note: tempo.Sixteenth}, "off-grid"},
		{"nothing", nil, tempo.GridOptions{BPM: 120}, "too-few"},
		{"three", []float64{1, 2, 3}, tempo.GridOptions{BPM: 60}, "too-few"},
		{"breaks", []float64{nan, nan}, tempo.GridOptions{}, "too-few"},
		{"one moment", slices.Repeat([]float64{1}, 20), tempo.GridOptions{BPM: 120}, "off-grid"},
		{"backwards", []float64{14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1}, tempo.GridOptions{BPM: 60}, "off-grid"},
	} {
		g := tempo.FitGrid(c.events, c.o)
		for _, v := range []estimate.Value[float64]{g.Period, g.Drift, g.Offset, g.OffsetShare, g.Spread} {
			if v.Absent == nil || v.Absent.Code != c.code || v.Absent.Why == "" {
				t.Errorf("%s: %+v, want %s", c.name, v, c.code)
			}
		}
		if len(g.Asynchrony) != len(c.events) {
			t.Errorf("%s: %d asynchronies", c.name, len(g.Asynchrony))
		}
	}
	start := 0.0
	if g := tempo.FitGrid(random, tempo.GridOptions{BPM: 60, Start: &start, ClockShared: true}); g.Offset.Known() {
		t.Errorf("events at random have an offset, %+v", g.Offset)
	}
}

// A learner plays sixteenths to a click at 150 BPM, 12 ms late on the whole.
func ExampleFitGrid() {
	click := 0.0 // the first one, on the film's clock
	g := tempo.FitGrid(clicked(6, 240, 0.012, 0.1, 0.008), tempo.GridOptions{
		BPM: 150, Note: tempo.Sixteenth, Start: &click, ClockShared: true,
	})
	fmt.Printf("late by %.0f ms (%.0f to %.0f), spread %.0f ms\n", 1000*g.Offset.Value, 1000*g.Offset.Low, 1000*g.Offset.High, 1000*g.Spread.Value)
	s := tempo.ShareWithin(g.Asynchrony, g.Interval, 0.020, 0)
	fmt.Printf("%.0f %% within 20 ms\n", 100*s.Share.Value)
	// Output:
	// late by 12 ms (10 to 13), spread 8 ms
	// 85 % within 20 ms
}
