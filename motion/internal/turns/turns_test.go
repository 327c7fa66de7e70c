package turns

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func detect(x []float64, threshold float64) []Turn {
	var d Detector
	var ts []Turn
	for _, v := range x {
		if t, ok := d.Push(v, threshold); ok {
			ts = append(ts, t)
		}
	}
	return ts
}

func TestDetector(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name      string
		x         []float64
		threshold float64
		want      []Turn
	}{
		{name: "empty"},
		{name: "one sample", x: []float64{3}, threshold: 1},
		{name: "constant", x: []float64{3, 3, 3, 3}, threshold: 1},
		{name: "monotone", x: []float64{0, 1, 2, 3, 4}, threshold: 1},
		{name: "first sample is no turn", x: []float64{5, 4, 3, 2, 3, 4, 5}, threshold: 1,
			want: []Turn{{3, 2, false}}},
		{name: "both kinds", x: []float64{0, 2, 4, 2, 0, 2, 4, 2}, threshold: 1,
			want: []Turn{{2, 4, true}, {4, 0, false}, {6, 4, true}}},
		{name: "wiggle below the threshold", x: []float64{0, 2, 4, 3.5, 4.5, 2, 0}, threshold: 1,
			want: []Turn{{4, 4.5, true}}},
		{name: "exactly the threshold is not past it", x: []float64{0, 4, 3, 4, 3}, threshold: 1},
		{name: "missing samples keep their place", x: []float64{0, 2, nan, 4, nan, 2, 0}, threshold: 1,
			want: []Turn{{3, 4, true}}},
		{name: "negative values and offset", x: []float64{-9, -7, -5, -7, -9, -7}, threshold: 1,
			want: []Turn{{2, -5, true}, {4, -9, false}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if d := cmp.Diff(c.want, detect(c.x, c.threshold)); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
}

// TestDetectorThresholdAtExtreme checks that the threshold stated with the
// extreme counts, not the one stated where the coordinate has come back to.
func TestDetectorThresholdAtExtreme(t *testing.T) {
	var d Detector
	d.Push(0, 1)
	d.Push(5, 3)
	if _, ok := d.Push(3, 0.1); ok {
		t.Error("confirmed after a travel of 2 against a threshold of 3")
	}
	got, ok := d.Push(1.9, 0.1)
	if want := (Turn{1, 5, true}); !ok || got != want {
		t.Errorf("got %v %v, want %v", got, ok, want)
	}
	d.Reset()
	if got, ok := d.Push(7, 1); ok {
		t.Errorf("turn %v at the first sample after Reset", got)
	}
}

// TestState: a detector restored from its state goes on as the one it was taken of,
// and a state that cannot be is refused.
func TestState(t *testing.T) {
	x := []float64{0, 2, 4, 2, 0, 2, 4, 2, 0, 3, 1}
	var want []Turn
	for cut := range x {
		var d Detector
		var got []Turn
		for i, v := range x {
			if i == cut {
				s := d.State()
				d = Detector{}
				if !d.Restore(s) {
					t.Fatalf("%+v is refused", s)
				}
			}
			if turn, ok := d.Push(v, 1); ok {
				got = append(got, turn)
			}
		}
		if cut == 0 {
			want = got
		} else if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("cut at %d (-want +got)\n%s", cut, diff)
		}
	}
	var d Detector
	for _, s := range []State{{Dir: 2}, {N: -1}, {High: Extreme{At: -1}}, {N: 3, Low: Extreme{At: 4}}} {
		if d.Restore(s) {
			t.Errorf("%+v is taken", s)
		}
	}
}

// TestCrossing checks the documented accuracy on a sine at eight samples per
// cycle, whose zeros are known, at every phase.
func TestCrossing(t *testing.T) {
	v := make([]float64, 9)
	worst, worstLine := 0.0, 0.0
	for phase := 0.0; phase < 1; phase += 0.01 {
		for i := range v {
			v[i] = math.Sin(2 * math.Pi / 8 * (float64(i) - 4 - phase))
		}
		worst = max(worst, math.Abs(Crossing(v, 4)-phase))
		worstLine = max(worstLine, math.Abs(Crossing(v[4:6], 0)-phase))
	}
	if worst > 0.002 {
		t.Errorf("cubic: worst error %.4g samples, documented 0.002", worst)
	}
	if worstLine > 0.02 {
		t.Errorf("line: worst error %.4g samples, documented 0.02", worstLine)
	}
}

func TestCrossingSpecialCases(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		v    []float64
		i    int
		want float64
	}{
		{"line", []float64{-1, 3}, 0, 0.25},
		{"falling", []float64{3, -1}, 0, 0.75},
		{"zero at the left", []float64{5, 0, -1, -2}, 1, 0},
		{"zero at the right", []float64{5, 1, 0, -2}, 1, 1},
		{"both zero", []float64{1, 0, 0, -1}, 1, 0.5},
		{"no change of sign", []float64{1, 2}, 0, nan},
		{"missing neighbour", []float64{nan, -1, 1, 2}, 1, 0.5},
		{"missing end", []float64{-1, nan}, 0, nan},
		{"past the end", []float64{-1, 1}, 1, nan},
		{"before the start", []float64{-1, 1}, -1, nan},
	} {
		got := Crossing(c.v, c.i)
		if math.Abs(got-c.want) > 1e-12 || math.IsNaN(got) != math.IsNaN(c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

func BenchmarkDetector(b *testing.B) {
	x := make([]float64, 4800)
	for i := range x {
		x[i] = 5 * math.Sin(2*math.Pi*5*float64(i)/240)
	}
	b.ReportAllocs()
	for b.Loop() {
		var d Detector
		for _, v := range x {
			d.Push(v, 1)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(x)), "ns/sample")
}
