package tempo_test

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// steady returns the turns of n strokes of 0.1 s, of which down and up differ
// by twice uneven, with jitter of that sd on each.
func steady(n int, uneven, jitter float64, use string) []float64 {
	rng := estimate.Stream(1, use)
	turns := make([]float64, n+1)
	for i := range turns {
		turns[i] = 0.1*float64(i) + uneven*float64(i%2) + jitter*rng.NormFloat64()
	}
	return turns
}

// walking returns turns of which each stroke differs by that sd, alike with
// its neighbours by rho, with jitter on top.
func walking(n int, sd, rho, jitter float64, use string) []float64 {
	rng := estimate.Stream(1, use)
	turns := make([]float64, n+1)
	t, x := 0.0, rng.NormFloat64()
	for i := range turns {
		turns[i] = t + jitter*rng.NormFloat64()
		t += 0.1 + sd*x
		x = rho*x + math.Sqrt(1-rho*rho)*rng.NormFloat64()
	}
	return turns
}

// TestFromTurnsCoverage counts how often the interval holds the true rate of
// 10 in 2000 takes (standard error 0.005), and how wide it is as a multiple of
// 1.96 sd of the estimate. A take about a steady pulse is known better than
// the interval claims, by up to a factor of two.
func TestFromTurnsCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	for _, c := range []struct {
		name               string
		n                  int
		take               func(n int, use string) []float64
		least, most, width float64
	}{
		{"steady pulse", 40, func(n int, u string) []float64 { return steady(n, 0, 0.005, u) }, 0.95, 1, 3.2},
		{"steady pulse", 100, func(n int, u string) []float64 { return steady(n, 0, 0.005, u) }, 0.95, 1, 2},
		{"steady pulse", 1000, func(n int, u string) []float64 { return steady(n, 0, 0.005, u) }, 0.95, 1, 2},
		{"down and up differ", 100, func(n int, u string) []float64 { return steady(n, 0.015, 0.005, u) }, 0.95, 1, 2},
		{"random walk", 20, func(n int, u string) []float64 { return walking(n, 0.005, 0, 0, u) }, 0.92, 0.98, 1.5},
		{"random walk", 100, func(n int, u string) []float64 { return walking(n, 0.005, 0, 0, u) }, 0.93, 0.97, 1.25},
		{"random walk", 1000, func(n int, u string) []float64 { return walking(n, 0.005, 0, 0, u) }, 0.935, 0.97, 1.1},
		{"walk and jitter", 100, func(n int, u string) []float64 { return walking(n, 0.002, 0, 0.005, u) }, 0.91, 0.97, 1.4},
		{"walk and jitter", 1000, func(n int, u string) []float64 { return walking(n, 0.002, 0, 0.005, u) }, 0.935, 0.97, 1.1},
		{"slow wander", 200, func(n int, u string) []float64 { return walking(n, 0.004, 0.8, 0.002, u) }, 0.89, 0.97, 1.1},
		{"slow wander", 1000, func(n int, u string) []float64 { return walking(n, 0.004, 0.8, 0.002, u) }, 0.92, 0.97, 1.1},
	} {
		const takes = 2000
		held := 0
		var width, square float64
		for k := range takes {
			v := tempo.FromTurns(c.take(c.n, c.name+strconv.Itoa(k)), tempo.Options{})
			if v.Low <= 10 && 10 <= v.High {
				held++
			}
			width += float64(v.High-v.Low) / 2 / takes
			square += float64(v.Value-10) * float64(v.Value-10) / takes
		}
		got, wide := float64(held)/takes, width/(1.96*math.Sqrt(square))
		if got < c.least || got > c.most || wide > c.width {
			t.Errorf("%s of %d strokes: held in %v, %.2f wide, want %v to %v, at most %v wide", c.name, c.n, got, wide, c.least, c.most, c.width)
		}
	}
}

// TestFromTurnsMistakes makes the mistakes that a turn detector makes.
func TestFromTurnsMistakes(t *testing.T) {
	clean := steady(400, 0.01, 0.004, "mistakes")
	missed := slices.Delete(slices.Clone(clean), 100, 101)
	missed = slices.Delete(missed, 200, 201)
	doubled := slices.Insert(slices.Clone(clean), 150, clean[150]-0.03)
	paused := slices.Clone(clean)
	for i := 250; i < len(paused); i++ {
		paused[i] += 5
	}
	broken := slices.Insert(slices.Clone(paused), 250, math.NaN())
	want := tempo.FromTurns(clean, tempo.Options{})
	if math.Abs(float64(want.Value)-10) > 0.01 || want.N != 399 {
		t.Fatalf("clean: %+v", want)
	}
	for _, c := range []struct {
		name   string
		turns  []float64
		cycles int
	}{
		{"two missed", missed, 399 - 2 - 4}, {"one found twice", doubled, -1},
		{"pause", paused, 397}, {"break", broken, 397},
	} {
		got := tempo.FromTurns(c.turns, tempo.Options{})
		if math.Abs(float64(got.Value-want.Value)) > 0.004 || c.cycles > 0 && got.N != c.cycles {
			t.Errorf("%s: %+v, want near %+v with %d cycles", c.name, got, want, c.cycles)
		}
		if !(got.Low <= 10 && 10 <= got.High) {
			t.Errorf("%s: %+v does not hold 10", c.name, got)
		}
	}
	if got := tempo.FromSpans([][]float64{paused[:250], nil, paused[250:]}, tempo.Options{}); got != tempo.FromTurns(broken, tempo.Options{}) {
		t.Errorf("two spans: %+v", got)
	}
	all := tempo.FromTurns(paused, tempo.Options{Within: -1})
	if wantMean := 2 / (0.2 + 2*5./399); math.Abs(float64(all.Value)-wantMean) > 0.01 || all.N != 399 {
		t.Errorf("every cycle counts: %+v, want %v", all, wantMean)
	}
}

func TestFromTurnsFew(t *testing.T) {
	nan := math.NaN()
	for _, turns := range [][]float64{nil, {1}, {1, 2}, {1, nan, 2, 3, nan}, {nan, nan, nan}, {3, 2, 1}} {
		v := tempo.FromTurns(turns, tempo.Options{})
		if v.Known() || v.Absent == nil || v.Absent.Code != "no-cycles" {
			t.Errorf("%v: %+v, want absent", turns, v)
		}
	}
	few := tempo.FromTurns([]float64{0, 0.1, 0.2, 0.3}, tempo.Options{})
	if !near(float64(few.Value), 10, 1e-12) || few.N != 2 || !math.IsNaN(float64(few.Low)) || few.Level != 0 {
		t.Errorf("two cycles: %+v", few)
	}
	exact := tempo.FromTurns([]float64{0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75}, tempo.Options{})
	if exact.Value != 4 || exact.Low != 4 || exact.High != 4 || exact.N != 6 {
		t.Errorf("exact pulse: %+v", exact)
	}
	turns := steady(100, 0, 0.004, "level")
	narrow, wide := tempo.FromTurns(turns, tempo.Options{Level: 0.5}), tempo.FromTurns(turns, tempo.Options{Level: 0.99})
	if !(wide.Low < narrow.Low && narrow.High < wide.High) || narrow.Level != 0.5 || wide.Level != 0.99 {
		t.Errorf("levels: %+v, %+v", narrow, wide)
	}
	if off := tempo.FromTurns(turns, tempo.Options{Level: -1}); !math.IsNaN(float64(off.Low)) || off.Level != 0 {
		t.Errorf("no interval wanted: %+v", off)
	}
	before := slices.Clone(turns)
	tempo.FromTurns(turns, tempo.Options{})
	if !slices.EqualFunc(turns, before, scalar.Same) {
		t.Error("the input was changed")
	}
}

func BenchmarkFromTurns(b *testing.B) {
	turns := steady(6600, 0.01, 0.004, "bench")
	b.ReportAllocs()
	for b.Loop() {
		tempo.FromTurns(turns, tempo.Options{})
	}
}
