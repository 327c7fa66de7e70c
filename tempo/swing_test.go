package tempo_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// TestSwing holds turns without scatter against the shares that they were made
// with. Swung eighths in triplets are 2 to 1, 66.7 % of the beat, dotted ones 3 to
// 1, 75 %: common practice.
func TestSwing(t *testing.T) {
	for _, c := range []struct {
		name         string
		uneven       float64
		first        bool // goes down
		ratio, share float64
	}{
		{"even", 0, true, 1, 0.5},
		{"down longer", 0.1, true, 1.1 / 0.9, 0.55},
		{"down shorter", 0.1, false, 0.9 / 1.1, 0.45},
		{"triplet swing", 1. / 3, true, 2, 2. / 3},
		{"dotted", 0.5, true, 3, 0.75},
		{"dotted, up longer", 0.5, false, 1. / 3, 0.25},
	} {
		turns := even(80, c.uneven)
		s := tempo.SwingOf(turns, alternating(len(turns), c.first), tempo.SwingOptions{TurnError: -1, Drawn: -1})
		if !near(s.Ratio.Value, c.ratio, 1e-9) || !near(s.DownShare.Value, c.share, 1e-9) || s.Floor != 1 {
			t.Errorf("%s: %+v", c.name, s)
		}
		if !near(s.Ratio.Low, c.ratio, 1e-9) || !near(s.Ratio.High, c.ratio, 1e-9) || s.Uneven != (c.uneven != 0) {
			t.Errorf("%s: without scatter or error of the turns %+v", c.name, s)
		}
		// The camera alone: a tenth of a sample at 120 per second.
		s = tempo.SwingOf(turns, alternating(len(turns), c.first), tempo.SwingOptions{SampleHz: 120, Drawn: -1})
		down := 0.2 * c.share
		floor := 0.1/120/down + 0.1/120/(0.2-down)
		if !near(s.Floor, math.Exp(floor), 1e-6) || !near(s.Ratio.Low, c.ratio*math.Exp(-floor), 1e-6) || !near(s.Ratio.High, c.ratio*math.Exp(floor), 1e-6) || !near(s.Options.TurnError, 0.1/120, 1e-12) {
			t.Errorf("%s at 120 per second: %+v, floor %v", c.name, s, math.Exp(floor))
		}
		// Turns that are drawn toward the slower stroke: only away from even.
		log := math.Log(c.ratio)
		low, high := log-floor, log+floor
		low, high = min(low, low/0.6), max(high, high/0.6)
		s = tempo.SwingOf(turns, alternating(len(turns), c.first), tempo.SwingOptions{SampleHz: 120})
		if !near(s.Ratio.Low, math.Exp(low), 1e-6) || !near(s.Ratio.High, math.Exp(high), 1e-6) || !near(s.Ratio.Value, c.ratio, 1e-9) {
			t.Errorf("%s, drawn: %+v, want %v to %v", c.name, s.Ratio, math.Exp(low), math.Exp(high))
		}
		if even := 1 / (1 + math.Exp(-low)); !near(s.DownShare.Low, even, 1e-6) {
			t.Errorf("%s, drawn: share from %v, want %v", c.name, s.DownShare.Low, even)
		}
	}
}

// Damage, breaks and a change of rate leave the ratio alone.
func TestSwingDamaged(t *testing.T) {
	clean := even(120, 0.1)
	down := alternating(len(clean), true)
	for _, c := range []struct {
		name  string
		turns []float64
		down  []bool
	}{
		{"a turn missed", without(clean, 51, 52), slices.Delete(slices.Clone(down), 51, 52)},
		{"a turn found twice", with(clean, 51, clean[50]+0.02), slices.Insert(slices.Clone(down), 51, false)},
		{"a break", with(clean, 51, math.NaN()), slices.Insert(slices.Clone(down), 51, false)},
		{"a rate that doubles", slices.Concat(clean[:61], half(clean[61:], clean[60])), down},
		{"two of one direction", clean, append(alternating(60, true), alternating(61, false)...)},
	} {
		s := tempo.SwingOf(c.turns, c.down, tempo.SwingOptions{TurnError: -1, Drawn: -1})
		want := 1.1 / 0.9
		if c.name == "two of one direction" { // half of the strokes each way
			if s.Uneven && s.Ratio.Low > 1 == (s.Ratio.High < 1) {
				t.Errorf("%s: %+v", c.name, s)
			}
			continue
		}
		if !near(s.Ratio.Value, want, 1e-9) {
			t.Errorf("%s: %+v, want %v", c.name, s.Ratio, want)
		}
	}
}

// half returns times that go on from start at twice the pace.
func half(turns []float64, start float64) []float64 {
	out := make([]float64, len(turns))
	for i, t := range turns {
		out[i] = start + (t-start)/2
	}
	return out
}

func TestSwingAbsent(t *testing.T) {
	for _, c := range []struct {
		name  string
		turns []float64
		o     tempo.SwingOptions
		code  string
	}{
		{"no sample rate", even(40, 0), tempo.SwingOptions{}, "no-sample-rate"},
		{"13 strokes", even(13, 0), tempo.SwingOptions{SampleHz: 120}, "too-short"},
		{"nothing", nil, tempo.SwingOptions{SampleHz: 120}, "too-short"},
		{"not a number", even(40, 0), tempo.SwingOptions{TurnError: math.NaN()}, "no-sample-rate"},
	} {
		s := tempo.SwingOf(c.turns, alternating(len(c.turns), true), c.o)
		if s.Ratio.Absent == nil || s.Ratio.Absent.Code != c.code || s.DownShare.Absent == nil || s.Uneven || s.Ratio.Absent.Why == "" {
			t.Errorf("%s: %+v", c.name, s)
		}
	}
	if s := tempo.SwingOf(even(14, 0), alternating(15, true), tempo.SwingOptions{SampleHz: 120}); !s.Ratio.Known() || s.Ratio.N != 12 {
		t.Errorf("14 strokes: %+v", s)
	}
	defer func() {
		if recover() == nil {
			t.Error("unequal lengths do not panic")
		}
	}()
	tempo.SwingOf([]float64{1, 2}, []bool{true}, tempo.SwingOptions{})
}

// Ten strokes a second at 120 frames: what looks like 53 to 47 may be what the
// frames make of it.
func ExampleSwingOf() {
	turns := hand{clock: 0.03, uneven: 0.06}.turns(estimate.Stream(2, "example"), 300, nil)
	s := tempo.SwingOf(turns, alternating(len(turns), true), tempo.SwingOptions{SampleHz: 120})
	fmt.Printf("down to up %.2f, %.2f to %.2f, uneven %v\n", s.Ratio.Value, s.Ratio.Low, s.Ratio.High, s.Uneven)
	s = tempo.SwingOf(turns, alternating(len(turns), true), tempo.SwingOptions{SampleHz: 30})
	fmt.Printf("at 30 frames per second %.2f to %.2f, uneven %v\n", s.Ratio.Low, s.Ratio.High, s.Uneven)
	// Output:
	// down to up 1.12, 1.10 to 1.27, uneven true
	// at 30 frames per second 1.04 to 1.38, uneven true
}
