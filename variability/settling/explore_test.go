package settling_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/settling"
)

// TestExplore: angles are drawn afresh, lengths wander, durations keep still,
// and heights are what the caller says.
func TestExplore(t *testing.T) {
	rng := seeded("explore", 0)
	ss, r := plan([]int{-400, 100, -400, 100}, "", 0, 0)
	height := make([]float64, len(ss))
	wander, last := 0.0, 0.0
	for i := range ss {
		if r.Labels[i] {
			height[i] = rng.NormFloat64()
			continue
		}
		if i%2 == 0 { // a value for a cycle: memory 0.9
			wander = 0.9*wander + math.Sqrt(1-0.81)*rng.NormFloat64()
			last = wander
		}
		ss[i].Angle = degrees(14 * rng.NormFloat64())
		ss[i].Duration = 0.1 * math.Exp(0.02*rng.NormFloat64())
		ss[i].Length = 12 * math.Exp(0.36*last+0.01*rng.NormFloat64())
		height[i] = 4 * rng.NormFloat64()
	}
	o := settling.ExploreOptions{Columns: []settling.Column{{Name: "height", Values: height, Noise: 0.3, Tolerance: 2}}}
	e := settling.Explore(ss, r, o)
	if e.Absent != nil || e.Spans != 2 || e.Strokes != 800 || math.Abs(e.Seconds-80) > 1e-6 || e.Options.Threshold != 0.3 {
		t.Fatalf("%+v", e)
	}
	for k, want := range []struct {
		name                  string
		scatter, ratio, share float64
		draws                 settling.Draws
	}{ // scatters in tolerances 4, 0.25, 3, 2: squares 16, 0.06, 9, 4
		{"angle", 4, 14, 16 / 29.06, settling.Fresh},
		{"duration", 0.25, 1, 0.06 / 29.06, settling.Fresh},
		{"length", 3, 12, 9 / 29.06, settling.Wander},
		{"height", 2, 4, 4 / 29.06, settling.Fresh},
	} {
		f := e.Features[k]
		if f.Name != want.name || f.Draws != want.draws {
			t.Errorf("%+v, want %+v", f, want)
		}
		if v := f.Scatter; !(v.Low < want.scatter && want.scatter < v.High) {
			t.Errorf("%s: scatter %+v, want %v", f.Name, v, want.scatter)
		}
		if v := f.Ratio; !(v.Low < want.ratio && want.ratio < v.High) {
			t.Errorf("%s: ratio %+v, want %v", f.Name, v, want.ratio)
		}
		if v := f.Share; !(v.Low < want.share && want.share < v.High) {
			t.Errorf("%s: share %+v, want %v", f.Name, v, want.share)
		}
	}
	if v := e.Features[2].Memory; !(v.Low < 0.9 && 0.9 < v.High) {
		t.Errorf("memory of the length %+v, want 0.9", v)
	}
	// Without a threshold there is no verdict; what is known stays.
	o.Threshold = -1
	if e := settling.Explore(ss, r, o); e.Features[0].Draws != 0 || !e.Features[0].Memory.Known() {
		t.Errorf("threshold off: %+v", e.Features[0])
	}
	// Spans in which the sides differ: a lean of the upstrokes is no scatter.
	for i := range ss {
		if !ss[i].Down {
			ss[i].Angle += 30 * circular.Degree
		}
	}
	o.Threshold = 0
	if v := settling.Explore(ss, r, o).Features[0].Scatter; !(v.Low < 4 && 4 < v.High) {
		t.Errorf("upstrokes turned: scatter %+v", v)
	}
}

func TestExploreAbsent(t *testing.T) {
	ss, r := plan([]int{-24, 60}, "", 10)
	if e := settling.Explore(ss, r, settling.ExploreOptions{}); e.Absent == nil || e.Absent.Code != "too-few-strokes" || !strings.Contains(e.Absent.Why, "24 strokes") {
		t.Errorf("%+v", e.Absent)
	}
	ss, r = plan([]int{-100}, "", 10)
	nan := math.NaN()
	holes := make([]float64, 100)
	for i := range holes {
		holes[i] = nan
		if i < 20 {
			holes[i] = float64(i)
		}
	}
	still := make([]float64, 100)
	e := settling.Explore(ss, r, settling.ExploreOptions{Columns: []settling.Column{
		{Name: "holes", Values: holes, Tolerance: 1},
		{Name: "limitless", Values: still},
		{Name: "still", Values: still, Noise: nan, Tolerance: 1},
	}})
	notes := strings.Join(e.Notes, "\n")
	for _, want := range []string{"the holes is left out: only 20 searching strokes", "the limitless is left out", "the noise of the still is not known"} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes %q lack %q", notes, want)
		}
	}
	if len(e.Features) != 4 {
		t.Fatalf("%d measurements, want 4", len(e.Features))
	}
	f := e.Features[3]
	for _, v := range []string{f.Scatter.Absent.Code, f.Share.Absent.Code, f.Memory.Absent.Code} {
		if v != "noise" {
			t.Errorf("what keeps still: %q, want noise", v)
		}
	}
	if v := e.Features[0].Ratio; v.Known() || v.Absent.Code != "too-few-strokes" {
		t.Errorf("nothing settled: ratio %+v", v)
	}
	// Spans too short to compare anything a cycle apart.
	var numbers []int
	for range 20 {
		numbers = append(numbers, -4, 10)
	}
	ss, r = plan(numbers, "", 10)
	if v := settling.Explore(ss, r, settling.ExploreOptions{}).Memory; v.Known() || v.Absent.Code != "too-few-strokes" {
		t.Errorf("spans of four strokes: %+v", v)
	}
}

// TestUnchanged: what is given is not changed, and a span is told by its own
// strokes only.
func TestUnchanged(t *testing.T) {
	ss, r := plan([]int{-60, 30, -60}, "", 10)
	in, spans := slices.Clone(ss), slices.Clone(r.Spans)
	a := settling.Explore(ss, r, settling.ExploreOptions{})
	settling.HistoryOf(ss, r, settling.HistoryOptions{})
	if !slices.Equal(in, ss) || !slices.Equal(spans, r.Spans) {
		t.Error("strokes or spans were changed")
	}
	b := settling.Explore(ss, r, settling.ExploreOptions{})
	if a.Memory != b.Memory {
		t.Errorf("%+v, then %+v", a.Memory, b.Memory)
	}
}
