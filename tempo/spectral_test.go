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

// TestLombScargle compares with least squares (and astropy) on 20 samples of a
// grid of 100 Hz, the other samples missing.
func TestLombScargle(t *testing.T) {
	g := load(t).LombScargle
	y := slices.Repeat([]float64{math.NaN()}, 202)
	for i, at := range g.T {
		y[int(math.Round(100*at))] = g.Y[i]
	}
	got := tempo.LombScargle(nil, y, 100, g.Hz)
	for i := range got {
		if !near(got[i], g.FloatingMean[i], 1e-12) {
			t.Errorf("%v Hz: %v, want %v", g.Hz[i], got[i], g.FloatingMean[i])
		}
	}
	// A missing sample more moves the middle, not the powers.
	for i, v := range tempo.LombScargle(nil, append(slices.Clone(y), math.NaN()), 100, g.Hz) {
		if !near(v, got[i], 1e-12) {
			t.Errorf("%v Hz with one more sample, missing: %v, want %v", g.Hz[i], v, got[i])
		}
	}
	// Peak on 0.5:0.001:10 Hz by astropy 5.2.1: 3.191 Hz, 0.9817841034.
	var hz []float64
	for k := range 9500 {
		hz = append(hz, 0.5+0.001*float64(k))
	}
	power := tempo.LombScargle(nil, y, 100, hz)
	best := slices.Index(power, slices.Max(power))
	if !near(hz[best], 3.191, 1e-9) || math.Abs(power[best]-0.9817841034) > 5e-11 {
		t.Errorf("peak %v at %v Hz", power[best], hz[best])
	}
}

func TestLombScargleSpecial(t *testing.T) {
	nan := math.NaN()
	sine := make([]float64, 5000)
	for i := range sine {
		sine[i] = 1e6 + math.Sin(2*math.Pi*5.5*float64(i)/240)
	}
	if got := tempo.LombScargle(nil, sine, 240, []float64{5.5})[0]; !near(got, 1, 1e-7) {
		t.Errorf("sine far from 0: %v, want 1", got)
	}
	for _, c := range []struct {
		y  []float64
		hz float64
	}{{sine, 0}, {sine, -1}, {sine, nan}, {sine, math.Inf(1)}, {nil, 5}, {[]float64{1, nan, 2, 3}, 5}, {make([]float64, 99), 5}} {
		if got := tempo.LombScargle(nil, c.y, 240, []float64{c.hz}); !math.IsNaN(got[0]) {
			t.Errorf("%d samples at %v Hz: %v, want NaN", len(c.y), c.hz, got)
		}
	}
	dst := make([]float64, 1)
	if got := tempo.LombScargle(dst, sine, 240, []float64{5}); &got[0] != &dst[0] {
		t.Error("dst not used")
	}
	// At half the sampling rate the sine of the grid vanishes: no more than 1.
	if got := tempo.LombScargle(nil, []float64{1, -1, 1, -1, 1, -1.5}, 2, []float64{1})[0]; !(got > 0.9 && got <= 1) {
		t.Errorf("half the sampling rate: %v", got)
	}
}

// take returns seconds of position across, in millimetres, of strokes at the
// rate of a cycle, 240 samples a second unless said, with noise of 0.4 mm.
func take(seconds, sampleHz float64, position func(t float64) float64, use string) []float64 {
	rng := estimate.Stream(1, use)
	y := make([]float64, int(seconds*sampleHz))
	for i := range y {
		y[i] = position(float64(i)/sampleHz) + 0.4*rng.NormFloat64()
	}
	return y
}

// through returns motion from one turn to the next of a pattern that repeats,
// at f cycles a second.
func through(f float64, turns ...float64) func(float64) float64 {
	return func(t float64) float64 {
		k, u := math.Modf(2 * t * f)
		a, b := turns[int(k)%len(turns)], turns[(int(k)+1)%len(turns)]
		return a + (b-a)*(1-math.Cos(math.Pi*u))/2
	}
}

// TestSpectral runs over motions that tempt to a multiple of the rate, at frame
// rates from phone to laboratory. 60 takes have to give the rate within 1 %
// and the interval has to hold it in 51 of them (chance of fewer at 0.95: 1e-4
// for one case).
func TestSpectral(t *testing.T) {
	if testing.Short() {
		t.Skip("many takes, or long ones")
	}
	sine := func(f, amplitude float64) func(float64) float64 {
		return func(t float64) float64 { return amplitude * math.Sin(2*math.Pi*f*t) }
	}
	for name, position := range map[string]func(f float64) func(float64) float64{
		"sine": func(f float64) func(float64) float64 { return sine(f, 6) },
		"sharp": func(f float64) func(float64) float64 {
			return func(t float64) float64 { return 4 * math.Asin(math.Sin(2*math.Pi*f*t)) }
		},
		"harmonic": func(f float64) func(float64) float64 {
			return func(t float64) float64 { return sine(f, 6)(t) + sine(2*f, 4)(t+0.03) }
		},
		"two strings in turn": func(f float64) func(float64) float64 { return through(f, 2, -2, 12.5, -2) },
		"two cycles a string": func(f float64) func(float64) float64 { return through(f, 2, -2, 2, -2, 12.5, 8.5, 12.5, -2) },
		"unequal strokes":     func(f float64) func(float64) float64 { return through(f, 6, -6, 4, -4.5) },
		"moving hand": func(f float64) func(float64) float64 {
			return func(t float64) float64 { return sine(f, 6)(t) + 30*math.Sin(0.7*t) + t }
		},
	} {
		for _, hz := range []float64{30, 60, 240} {
			for _, f := range []float64{2.3, 5.5} {
				held, off := 0, 0
				const takes = 60
				for k := range takes {
					y := take(20, hz, position(f), name+strconv.Itoa(k))
					v := tempo.Spectral([][]float64{y}, hz, tempo.SpectralOptions{})
					if !v.Known() || math.Abs(v.Value.Hz()/f-1) > 0.01 {
						off++
					}
					if v.Low.Hz() <= f && f <= v.High.Hz() {
						held++
					}
				}
				if off > 0 || held < 51 {
					t.Errorf("%s, %v Hz at %v samples/s: %d of %d off, interval holds in %d", name, f, hz, off, takes, held)
				}
			}
		}
	}
}

// TestSpectralWander lets the phase walk at random, so that the true rate of
// the long run is not that of any one peak.
func TestSpectralWander(t *testing.T) {
	held := 0
	const takes = 200
	for k := range takes {
		rng := estimate.Stream(2, "wander"+strconv.Itoa(k))
		phase := 0.0
		y := make([]float64, 60*60)
		for i := range y {
			phase += 2*math.Pi*5.5/60 + 0.05*rng.NormFloat64()
			y[i] = 6*math.Sin(phase) + 0.4*rng.NormFloat64()
		}
		v := tempo.Spectral([][]float64{y}, 60, tempo.SpectralOptions{})
		if v.Low <= 11 && 11 <= v.High {
			held++
		}
	}
	if held < 176 || held > 198 { // 190 expected, sd 3
		t.Errorf("interval holds the rate in %d of %d takes", held, takes)
	}
}

// TestSpectralGaps hides a quarter of every cycle, as a hand does, or a third
// of the take.
func TestSpectralGaps(t *testing.T) {
	const f = 5.5
	for name, hidden := range map[string]func(t float64) bool{
		"same part of each cycle": func(t float64) bool { return math.Mod(t*f, 1) < 0.25 },
		"a third of the take":     func(t float64) bool { return t > 5 && t < 12 },
		"every other second":      func(t float64) bool { return math.Mod(t, 2) < 1 },
	} {
		for _, hz := range []float64{30, 60, 240} {
			y := take(20, hz, func(t float64) float64 { return 6 * math.Sin(2*math.Pi*f*t) }, name)
			for i := range y {
				if hidden(float64(i) / hz) {
					y[i] = math.NaN()
				}
			}
			v := tempo.Spectral([][]float64{y}, hz, tempo.SpectralOptions{})
			if !v.Known() || math.Abs(v.Value.Hz()/f-1) > 0.005 {
				t.Errorf("%s at %v samples/s: %+v, want %v Hz", name, hz, v, f)
			}
		}
	}
}

// TestSpectralColumns adds a column that moves twice a cycle, as height does.
func TestSpectralColumns(t *testing.T) {
	across := take(20, 120, func(t float64) float64 { return 5 * math.Sin(2*math.Pi*4*t) }, "across")
	out := take(20, 120, func(t float64) float64 { return 3 * math.Cos(2*math.Pi*8*t) }, "out")
	v := tempo.Spectral([][]float64{out, across}, 120, tempo.SpectralOptions{})
	if math.Abs(float64(v.Value)-8) > 0.02 {
		t.Errorf("both columns: %+v, want 8", v)
	}
	before := slices.Clone(out)
	if v := tempo.Spectral([][]float64{out}, 120, tempo.SpectralOptions{High: 10}); v.Known() && v.Value > 11 {
		t.Errorf("height alone, at most 10: %+v", v)
	}
	if !slices.EqualFunc(out, before, scalar.Same) {
		t.Error("the input was changed")
	}
}

// TestSpectralColumnGaps takes samples from one column that the other has, in a
// take long enough for many parts.
func TestSpectralColumnGaps(t *testing.T) {
	const f = 4.3
	sine := func(t float64) float64 { return 5 * math.Sin(2*math.Pi*f*t) }
	across, along := take(150, 60, sine, "across"), take(150, 60, sine, "along")
	for i := range along {
		if i%40 < 12 {
			along[i] = math.NaN()
		}
	}
	for _, columns := range [][][]float64{{across, along}, {along, across}, {along, along}} {
		v := tempo.Spectral(columns, 60, tempo.SpectralOptions{})
		if !(math.Abs(v.Value.Hz()/f-1) < 5e-4) || v.N != 26 {
			t.Errorf("%+v, want %v Hz from 26 parts", v, f)
		}
	}
}

func TestSpectralAbsent(t *testing.T) {
	nan := math.NaN()
	sine := func(f float64) func(float64) float64 {
		return func(t float64) float64 { return 6 * math.Sin(2*math.Pi*f*t) }
	}
	still := func(float64) float64 { return 0 }
	for _, c := range []struct {
		name string
		y    [][]float64
		hz   float64
		code string
	}{
		{"no columns", nil, 60, "too-short"},
		{"no samples", [][]float64{nil}, 60, "too-short"},
		{"three cycles", [][]float64{take(0.6, 60, sine(5), "a")}, 60, "too-short"},
		{"two samples a second", [][]float64{take(60, 2, sine(0.3), "b")}, 2, "too-few-samples"},
		{"noise", [][]float64{take(30, 60, still, "c")}, 60, "no-peak"},
		{"all missing", [][]float64{slices.Repeat([]float64{nan}, 900)}, 60, "too-short"},
		{"nothing moves", [][]float64{make([]float64, 900)}, 60, "no-peak"},
		{"sampling rate unknown", [][]float64{take(20, 60, sine(5), "d")}, nan, "too-few-samples"},
	} {
		v := tempo.Spectral(c.y, c.hz, tempo.SpectralOptions{})
		if v.Known() || v.Absent == nil || v.Absent.Code != c.code {
			t.Errorf("%s: %+v, want %s", c.name, v, c.code)
		}
	}
	v := tempo.Spectral([][]float64{take(2, 60, sine(5), "e")}, 60, tempo.SpectralOptions{})
	if math.Abs(float64(v.Value)-10) > 0.1 || !math.IsNaN(float64(v.Low)) || v.Level != 0 || v.N != 1 {
		t.Errorf("ten cycles: %+v, want 10 without an interval", v)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for columns of unequal length")
		}
	}()
	tempo.Spectral([][]float64{make([]float64, 9), make([]float64, 8)}, 60, tempo.SpectralOptions{})
}

func BenchmarkSpectral(b *testing.B) {
	y := take(600, 240, func(t float64) float64 { return 6 * math.Sin(2*math.Pi*5.5*t) }, "bench")
	b.ReportAllocs()
	for b.Loop() {
		tempo.Spectral([][]float64{y}, 240, tempo.SpectralOptions{})
	}
}

func BenchmarkLombScargle(b *testing.B) {
	y := take(600, 240, func(t float64) float64 { return 6 * math.Sin(2*math.Pi*5.5*t) }, "bench")
	dst, hz := make([]float64, 1), []float64{5.5}
	b.ReportAllocs()
	for b.Loop() {
		tempo.LombScargle(dst, y, 240, hz)
	}
}
