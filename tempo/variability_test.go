package tempo_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/tempo"
	"github.com/plectrace/plectrace/variability/estimate"
)

// timing is testdata/reference/tempo_timing.json, made by tempo_timing.py there.
type timing struct {
	Split []struct {
		Intervals    []float64
		Clock, Motor float64
	}
	NPVI []struct {
		Durations []float64
		Value     float64
	}
	Wilson []struct {
		K, N      int
		Low, High float64
	}
	Chance []struct{ Share, Chance float64 }
}

func loadTiming(t *testing.T) (g timing) {
	t.Helper()
	text, err := os.ReadFile("../testdata/reference/tempo_timing.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

// TestWingKristofferson holds the split against numpy: one list that keeps to
// the model, one with a negative clock variance, one with a negative motor
// variance.
func TestWingKristofferson(t *testing.T) {
	var flagged int
	for _, c := range loadTiming(t).Split {
		clock, motor := tempo.WingKristofferson(c.Intervals, false)
		for _, p := range []struct {
			what string
			got  estimate.Value[float64]
			want float64
		}{{"clock", clock, c.Clock}, {"motor", motor, c.Motor}} {
			switch {
			case p.want < 0:
				flagged++
				if p.got.Known() || p.got.Absent == nil || p.got.Absent.Code != "negative" || !strings.Contains(p.got.Absent.Why, fmt.Sprintf("%.4g s²", p.want)) {
					t.Errorf("%s: %+v, want it absent for %.4g", p.what, p.got, p.want)
				}
			case !near(p.got.Value, p.want, 1e-12) || p.got.N != len(c.Intervals):
				t.Errorf("%s: %+v, want %v", p.what, p.got, p.want)
			}
		}
	}
	if flagged != 2 {
		t.Errorf("%d of the lists are against the model, want 2", flagged)
	}
}

// TestWingKristoffersonModel splits long simulated takes of known variances; the
// tolerance is three standard errors of so many strokes.
func TestWingKristoffersonModel(t *testing.T) {
	const n, clock, motor = 40_000, 0.003, 0.002
	for _, c := range []struct {
		name        string
		uneven      float64
		alternating bool
	}{{"even", 0, false}, {"even, alternating", 0, true}, {"down and up differ", 0.1, true}} {
		turns := hand{clock: clock / 0.1, jitter: motor / 0.1, uneven: c.uneven}.turns(estimate.Stream(1, c.name), n, nil)
		d := make([]float64, n)
		for i := range d {
			d[i] = turns[i+1] - turns[i]
			if i%400 == 399 {
				d[i] = math.NaN()
			}
		}
		gotClock, gotMotor := tempo.WingKristofferson(d, c.alternating)
		if math.Abs(math.Sqrt(gotClock.Value)/clock-1) > 0.03 || math.Abs(math.Sqrt(gotMotor.Value)/motor-1) > 0.03 {
			t.Errorf("%s: clock %.3g, motor %.3g", c.name, math.Sqrt(gotClock.Value), math.Sqrt(gotMotor.Value))
		}
	}
	for _, short := range [][]float64{nil, {math.NaN()}, {0.1, 0.1, 0.1}} {
		a, b := tempo.WingKristofferson(short, true)
		if a.Absent == nil || b.Absent == nil || a.Absent.Code != "too-short" || b.Absent.Code != "too-short" {
			t.Errorf("%v: %+v, %+v", short, a, b)
		}
	}
}

// TestNPVI holds the index against numpy; 2:1 and 3:1 alternation are 66.7 and
// 100 by the formula of Grabe and Low (2002).
func TestNPVI(t *testing.T) {
	for _, c := range loadTiming(t).NPVI {
		if got := tempo.NPVI(c.Durations); !near(got, c.Value, 1e-12) {
			t.Errorf("%v: %v, want %v", c.Durations, got, c.Value)
		}
	}
	nan := math.NaN()
	for _, c := range []struct {
		d    []float64
		want float64
	}{
		{nil, nan}, {[]float64{1}, nan}, {[]float64{1, nan, 3}, nan}, {[]float64{0, 0}, nan}, {[]float64{1, math.Inf(1)}, nan},
		{[]float64{2, 1, nan, 5, 5}, 100. / 3},
	} {
		if got := tempo.NPVI(c.d); !near(got, c.want, 1e-12) {
			t.Errorf("%v: %v, want %v", c.d, got, c.want)
		}
	}
}

func ExampleWingKristofferson() {
	ms := []float64{405, 398, 412, 401, 407, 395, 404, 399, 391, 402, 396, 408, 400, 411, 403, 406, 394, 397, 409, 402}
	for i := range ms {
		ms[i] /= 1000
	}
	clock, motor := tempo.WingKristofferson(ms, false)
	fmt.Printf("clock %.2f ms, motor %.2f ms\n", 1000*math.Sqrt(clock.Value), 1000*math.Sqrt(motor.Value))
	// Output:
	// clock 3.92 ms, motor 2.91 ms
}

func ExampleNPVI() {
	fmt.Printf("%.1f\n", tempo.NPVI([]float64{2, 1, 2, 1, 2, 1}))
	fmt.Printf("%.1f\n", tempo.NPVI([]float64{0.120, 0.133, 0.118, 0.141, 0.125, 0.160, 0.110}))
	// Output:
	// 66.7
	// 18.9
}
