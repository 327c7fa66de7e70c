package variability_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

func TestSpreadReference(t *testing.T) {
	for _, p := range readReference(t).Pairs {
		for i, x := range [][]float64{p.A, p.B} {
			s := variability.SpreadOf(x, variability.Options{})
			if got := s.Robust.Value; !near(got, p.MAD[i], 1e-12) {
				t.Errorf("%s %d: robust scale %v, want %v", p.Name, i, got, p.MAD[i])
			}
			if p.Name == "sleep" { // values below zero
				if s.CV.Absent == nil || s.CV.Absent.Code != "not-positive" {
					t.Errorf("%s %d: coefficient of variation %+v", p.Name, i, s.CV)
				}
				continue
			}
			if got := s.CV.Value; !near(got, p.CV[i], 1e-12) {
				t.Errorf("%s %d: coefficient of variation %v, want %v", p.Name, i, got, p.CV[i])
			}
		}
	}
}

// measures are all spreads of values near zero, seen as lengths near 100 for
// CV and as angles for AxialSpread, on the scale of the values.
func measures(x []float64, o variability.Options) map[string]estimate.Value[float64] {
	s := variability.SpreadOf(x, o)
	lengths := variability.SpreadOf(each(x, func(v float64) float64 { return v + 100 }), o)
	angles := make([]circular.Angle, len(x))
	for i, v := range x {
		angles[i] = circular.Angle(v/100) + 89*circular.Degree // some beyond 90°
	}
	o.Noise /= 100
	a := variability.AxialSpread(angles, o)
	per := func(v estimate.Value[float64]) estimate.Value[float64] {
		v.Value, v.Low, v.High = 100*v.Value, 100*v.Low, 100*v.High
		return v
	}
	return map[string]estimate.Value[float64]{
		"SD":     s.SD,
		"Robust": s.Robust,
		"CV":     per(lengths.CV),
		"axial": per(estimate.Value[float64]{Value: float64(a.Value), Low: float64(a.Low), High: float64(a.High),
			Level: a.Level, N: a.N, Absent: a.Absent}),
	}
}

// Simulated takes with known spread. The share of intervals that hold it has a
// standard error of 0.01 here.
func TestSpreadCoverage(t *testing.T) {
	const takes, n = 400, 200
	for _, phi := range []float64{0, 0.5} {
		held := map[string]int{}
		for seed := range takes {
			for name, v := range measures(autoregression(n, phi, uint64(seed)), variability.Options{}) {
				if v.Low <= 1 && 1 <= v.High {
					held[name]++
				}
			}
		}
		for name, k := range held {
			if share := float64(k) / takes; share < 0.90 || share > 0.98 {
				t.Errorf("φ = %v, %s: %v of the intervals hold the truth", phi, name, share)
			}
		}
		if len(held) != 4 {
			t.Errorf("φ = %v: intervals of %d measures", phi, len(held))
		}
	}
}

// Intervals that took neighbours for independent would be too short.
func TestSpreadAutocorrelation(t *testing.T) {
	width := func(phi float64) float64 {
		var sum float64
		for seed := range 40 {
			v := variability.SpreadOf(autoregression(400, phi, uint64(seed)), variability.Options{}).SD
			sum += math.Log(v.High / v.Low)
		}
		return sum / 40
	}
	// To first order the variance of log s grows by (1+φ²)/(1-φ²), 2.92 at 0.7.
	if ratio := width(0.7) / width(0); !(ratio > 1.4 && ratio < 2) {
		t.Errorf("intervals at φ = 0.7 are %v times as wide as at 0, want about 1.7", ratio)
	}
}

func TestSpreadNoise(t *testing.T) {
	x := autoregression(300, 0, 1)
	for name, v := range measures(x, variability.Options{}) {
		less := measures(x, variability.Options{Noise: 0.6})[name]
		// CV takes the noise over the mean; 1e-3 is the mean's distance from 100.
		for _, c := range [][2]float64{{less.Value, v.Value}, {less.Low, v.Low}, {less.High, v.High}} {
			if want := math.Sqrt(c[1]*c[1] - 0.36); !near(c[0], want, 2e-3) {
				t.Errorf("%s: %v without noise, want %v", name, c[0], want)
			}
		}
		if v.Level != 0.95 || less.Level != 0.95 || v.N != 300 {
			t.Errorf("%s: level %v and %v, N %d", name, v.Level, less.Level, v.N)
		}
		// A noise within the interval: zero, up to something.
		within := measures(x, variability.Options{Noise: (v.Value + v.High) / 2})[name]
		if within.Value != 0 || within.Low != 0 || !(within.High > 0) {
			t.Errorf("%s: %+v with a noise within the interval", name, within)
		}
		beyond := measures(x, variability.Options{Noise: 1.1 * v.High})[name]
		if beyond.Absent == nil || beyond.Absent.Code != "noise" {
			t.Errorf("%s: %+v with a noise beyond the interval", name, beyond)
		}
		negative := measures(x, variability.Options{Noise: -1})[name]
		if negative != v {
			t.Errorf("%s: %+v with a negative noise, want %+v", name, negative, v)
		}
	}
}

func TestSpreadFewValues(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name   string
		x      []float64
		n      int
		absent string
		sd     float64
	}{
		{"none", nil, 0, "too-few", 0},
		{"one", []float64{1}, 0, "too-few", 0},
		{"one and missing", []float64{1, nan}, 0, "too-few", 0},
		{"two", []float64{1, nan, 2}, 2, "", math.Sqrt(0.5)},
		{"equal", []float64{0.1, 0.1, 0.1}, 3, "", 0},
	} {
		for name, v := range measures(tc.x, variability.Options{}) {
			if tc.absent != "" {
				if v.Absent == nil || v.Absent.Code != tc.absent {
					t.Errorf("%s, %s: %+v, want absent", tc.name, name, v)
				}
				continue
			}
			if v.Absent != nil || v.N != tc.n || !math.IsNaN(v.Low) || !math.IsNaN(v.High) || v.Level != 0 {
				t.Errorf("%s, %s: %+v, want %d values without an interval", tc.name, name, v, tc.n)
			}
			if name == "SD" && !near(v.Value, tc.sd, 1e-15) {
				t.Errorf("%s: %v, want %v", tc.name, v.Value, tc.sd)
			}
		}
	}
	// More than half of the values equal: a robust scale of 0.
	s := variability.SpreadOf([]float64{1, 1, 1, 1, 1, 2, 3}, variability.Options{})
	if v := s.Robust; !v.Known() || v.Value != 0 || !math.IsNaN(v.Low) || s.SD.Value == 0 {
		t.Errorf("robust scale %+v, want 0 without an interval", v)
	}
}

func TestSpreadEquivariance(t *testing.T) {
	x := autoregression(150, 0.3, 5)
	var o variability.Options
	s := variability.SpreadOf(x, o)
	scaled := variability.SpreadOf(each(x, func(v float64) float64 { return 3*v + 50 }), o)
	for _, c := range [][2]float64{
		{scaled.SD.Value, s.SD.Value}, {scaled.SD.Low, s.SD.Low}, {scaled.SD.High, s.SD.High},
		{scaled.Robust.Value, s.Robust.Value}, {scaled.Robust.Low, s.Robust.Low}, {scaled.Robust.High, s.Robust.High},
	} {
		if !near(c[0], 3*c[1], 1e-9) {
			t.Errorf("%v of values three times as large, want %v", c[0], 3*c[1])
		}
	}
	withGaps := append([]float64{math.NaN()}, x...)
	if got := variability.SpreadOf(withGaps, o); got.SD != s.SD || got.Robust != s.Robust {
		t.Error("a missing value makes a difference")
	}
	if want := (variability.Options{Level: 0.95, Draws: 999}); s.Options != want {
		t.Errorf("options %+v, want %+v", s.Options, want)
	}
	if none := variability.SpreadOf(x, variability.Options{Level: -1}); !none.SD.Known() || !math.IsNaN(none.SD.Low) {
		t.Errorf("%+v, want no interval", none.SD)
	}
}

func TestAxialSpread(t *testing.T) {
	angles := make([]circular.Angle, 0, 120)
	for _, v := range autoregression(120, 0.3, 2) {
		angles = append(angles, circular.Angle(v)*20*circular.Degree)
	}
	var o variability.Options
	got := variability.AxialSpread(angles, o)
	if want := circular.Axial(angles, circular.Options{}).SD; !near(float64(got.Value), float64(want), 1e-12) {
		t.Errorf("%v, circular.Axial has %v", got.Value, want)
	}
	// Axes turned together, and some turned over, scatter the same.
	turned := []circular.Angle{circular.Angle(math.NaN())}
	for i, a := range angles {
		turned = append(turned, a+77*circular.Degree+circular.Angle(i%3)*180*circular.Degree)
	}
	other := variability.AxialSpread(turned, o)
	for _, c := range [][2]circular.Angle{{other.Value, got.Value}, {other.Low, got.Low}, {other.High, got.High}} {
		if !near(float64(c[0]), float64(c[1]), 1e-9) {
			t.Errorf("turned: %v, want %v", c[0], c[1])
		}
	}
	if other.N != 120 {
		t.Errorf("N %d, want 120", other.N)
	}
	cross := variability.AxialSpread([]circular.Angle{0, 90 * circular.Degree}, o)
	if cross.Absent == nil || cross.Absent.Code != "no-direction" {
		t.Errorf("axes at right angles: %+v", cross)
	}
}
