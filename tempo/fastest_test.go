package tempo_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestFastestExact finds a burst of 16 strokes at 12.5 a second amid 10, and
// crosses neither a break nor a repaired stroke for it.
func TestFastestExact(t *testing.T) {
	burst := func(t float64) float64 {
		if t >= 3-1e-9 && t < 3+16*0.08-1e-9 {
			return 12.5
		}
		return 10
	}
	turns := hand{}.turns(estimate.Stream(1, "burst"), 120, burst)
	for _, c := range []struct {
		name  string
		turns []float64
		rates []float64 // of 1, 2, 4, 8 beats
		start float64   // of 4 beats; NaN: not looked at
	}{
		{"whole", turns, []float64{12.5, 12.5, 12.5, 32 / (16*0.08 + 1.6)}, 3},
		{"a break amid it", with(turns, 39, math.NaN()), []float64{12.5, 12.5, 16 / (8*0.08 + 0.8), 32 / (8*0.08 + 2.4)}, math.NaN()},
		{"a turn missed amid it", without(turns, 38, 39), []float64{12.5, 8 / (7*0.08 + 0.1), 16 / (7*0.08 + 0.9), 32 / (7*0.08 + 2.5)}, math.NaN()},
	} {
		f, err := tempo.NewCurve(c.turns, tempo.CurveOptions{Level: -1}).Fastest(tempo.FastestOptions{Draws: -1})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.rates {
			if !near(float64(f[i].Rate.Value), want, 1e-9) || f[i].Strokes != 4<<i || f[i].Beats != 1<<i {
				t.Errorf("%s: %d beats, %v, want %v", c.name, f[i].Beats, f[i].Rate, want)
			}
			if f[i].Chance.Absent == nil || f[i].Chance.Absent.Code != "not-asked" || f[i].Beyond {
				t.Errorf("%s: no draws, but %+v", c.name, f[i])
			}
		}
		if !math.IsNaN(c.start) && !near(f[2].Start, c.start, 1e-9) {
			t.Errorf("%s: four beats begin at %v, want %v", c.name, f[2].Start, c.start)
		}
	}
}

// A player of one rate shows quick stretches by luck: the shorter, the quicker.
// A burst is beyond them.
func TestFastestChance(t *testing.T) {
	h := hand{memory: 0.3, clock: 0.03, uneven: 0.1}
	steady := h.turns(estimate.Stream(1, "steady"), 300, nil)
	burst := h.turns(estimate.Stream(1, "steady"), 300, func(t float64) float64 {
		if t > 10 && t < 12 {
			return 12
		}
		return 10
	})
	for _, c := range []struct {
		name   string
		turns  []float64
		beyond bool
	}{{"steady", steady, false}, {"burst", burst, true}} {
		f, err := tempo.NewCurve(c.turns, tempo.CurveOptions{Level: -1}).Fastest(tempo.FastestOptions{Seed: 2})
		if err != nil {
			t.Fatal(err)
		}
		before := math.Inf(1)
		for _, f := range f {
			if f.Beyond != c.beyond {
				t.Errorf("%s: %d beats at %v beside %+v, beyond %v", c.name, f.Beats, f.Rate.Value, f.Chance, f.Beyond)
			}
			v := f.Chance
			if !(v.Low < v.Value && v.Value < v.High) || v.Level != 0.9 || float64(v.Value) > before || math.Abs(float64(v.Value)/10.2-1) > 0.12 {
				t.Errorf("%s: %d beats by chance %+v", c.name, f.Beats, v)
			}
			before = float64(v.Value)
		}
	}
}

func TestFastestOptions(t *testing.T) {
	dotted := tempo.NoteValue{Dots: 1}
	c := tempo.NewCurve(even(100, 0), tempo.CurveOptions{Level: -1})
	for _, q := range []struct {
		name    string
		o       tempo.FastestOptions
		strokes int
		err     string
	}{
		{"sixteenths of a quarter", tempo.FastestOptions{}, 4, ""},
		{"sextuplets", tempo.FastestOptions{Note: tempo.Sextuplet}, 6, ""},
		{"sixteenths of a dotted quarter", tempo.FastestOptions{Beat: dotted, Note: tempo.Sixteenth}, 6, ""},
		{"eighth triplets", tempo.FastestOptions{Note: tempo.EighthTriplet}, 3, ""},
		{"one stroke", tempo.FastestOptions{StrokesPerBeat: 1}, 1, ""},
		{"five strokes", tempo.FastestOptions{StrokesPerBeat: 5, Note: tempo.Eighth}, 5, ""},
		{"no whole number", tempo.FastestOptions{Beat: dotted, Note: tempo.Quarter}, 0, "whole number"},
		{"less than none", tempo.FastestOptions{StrokesPerBeat: -2}, 0, "1 or more"},
		{"no length", tempo.FastestOptions{Beats: []int{0}}, 0, "1 beat or more"},
		{"no note", tempo.FastestOptions{Note: tempo.NoteValue{Dots: 9}}, 0, "dots"},
	} {
		q.o.Draws = -1
		f, err := c.Fastest(q.o)
		if q.err != "" {
			if err == nil || !strings.Contains(err.Error(), q.err) {
				t.Errorf("%s: %v, want %q", q.name, err, q.err)
			}
			continue
		}
		if err != nil || f[0].Strokes != q.strokes || len(f) != 4 {
			t.Errorf("%s: %+v, %v, want %d strokes", q.name, f, err, q.strokes)
		}
	}
	// Too short for a length, or for chance.
	for _, q := range []struct {
		n            int
		rate, chance string
	}{{20, "too-short", "too-short"}, {40, "", "too-short"}, {60, "", ""}} {
		f, err := tempo.NewCurve(even(q.n, 0), tempo.CurveOptions{Level: -1}).Fastest(tempo.FastestOptions{Beats: []int{8}, Draws: 19})
		if err != nil {
			t.Fatal(err)
		}
		code := func(a *estimate.Absence) string {
			if a == nil {
				return ""
			}
			return a.Code
		}
		if code(f[0].Rate.Absent) != q.rate || code(f[0].Chance.Absent) != q.chance || math.IsNaN(f[0].Start) != (q.rate != "") {
			t.Errorf("%d strokes: %+v", q.n, f[0])
		}
	}
	if f, err := tempo.NewCurve(nil, tempo.CurveOptions{}).Fastest(tempo.FastestOptions{}); err != nil || f[0].Rate.Known() {
		t.Errorf("nothing: %+v, %v", f, err)
	}
}

// Half a minute at ten notes a second, with two seconds that are quicker.
func ExampleCurve_Fastest() {
	turns := hand{memory: 0.3, clock: 0.03, uneven: 0.1}.turns(estimate.Stream(2, "example"), 300, func(t float64) float64 {
		if t > 12 && t < 14 {
			return 11.2
		}
		return 10
	})
	f, err := tempo.NewCurve(turns, tempo.CurveOptions{}).Fastest(tempo.FastestOptions{Note: tempo.Sixteenth})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range f {
		fmt.Printf("%d beats: %.1f; by chance %.1f, seldom above %.1f; beyond %v\n", f.Beats, f.Rate.Value, f.Chance.Value, f.Chance.High, f.Beyond)
	}
	// Output:
	// 1 beats: 11.8; by chance 10.9, seldom above 11.6; beyond true
	// 2 beats: 11.5; by chance 10.7, seldom above 11.2; beyond true
	// 4 beats: 11.3; by chance 10.5, seldom above 10.8; beyond true
	// 8 beats: 10.8; by chance 10.4, seldom above 10.5; beyond true
}

// Takes of one rate in which stretches of searching scatter five times as much as
// settled ones: the quickest stretch is among the searching, and no more than luck.
func TestFastestInSpans(t *testing.T) {
	takes := 60
	if testing.Short() {
		t.Skip("a calibration")
	}
	if *calibrate > 0 {
		takes = *calibrate
	}
	for _, n := range []int{140, 300} {
		for _, phi := range []float64{0, 0.6} {
			var beyond [4]float64
			for k := range takes {
				rng := estimate.Stream(uint64(12_000_000+k), fmt.Sprint("fastest in spans", n, phi))
				turns := []float64{0}
				left, wide, x := 0, false, rng.NormFloat64()
				for range n {
					if left == 0 {
						wide = !wide
						left = 10 + int(25*rng.ExpFloat64())
					}
					left--
					x = phi*x + math.Sqrt(1-phi*phi)*rng.NormFloat64()
					sd := 0.03
					if wide {
						sd = 0.15
					}
					turns = append(turns, turns[len(turns)-1]+0.14*max(0.3, 1+sd*x))
				}
				f, err := tempo.NewCurve(turns, tempo.CurveOptions{Level: -1}).Fastest(tempo.FastestOptions{Draws: 199, Seed: uint64(k)})
				if err != nil {
					t.Fatal(err)
				}
				for i := range f {
					if f[i].Beyond {
						beyond[i] += 1 / float64(takes)
					}
				}
			}
			t.Logf("%d strokes, memory %.1f: beyond luck, of 1, 2, 4, 8 beats: %.3f", n, phi, beyond)
			for i, b := range beyond {
				// Of 60 takes three standard errors about 0.08 are 0.11.
				if b > 0.08+3*math.Sqrt(0.08*0.92/float64(takes)) {
					t.Errorf("%d strokes, memory %.1f, %d: beyond luck in %.3f", n, phi, i, b)
				}
			}
		}
	}
}
