package variability_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/floats"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

func earlyLate(t *testing.T, times, x []float64, o variability.EarlyLateOptions) variability.Change {
	t.Helper()
	c, err := variability.EarlyLate(times, x, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestEarlyLateWindows(t *testing.T) {
	nan := math.NaN()
	times := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	late := []float64{0, 7, 7.5, 8, 8.2, 8.4, 8.6, 8.8, 9} // most strokes near the end
	x := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	for _, tc := range []struct {
		name         string
		times, x     []float64
		o            variability.EarlyLateOptions
		n1, n2       int
		to1, from2   float64
		mean1, mean2 float64
	}{
		{"thirds of the time", times, x, variability.EarlyLateOptions{}, 3, 3, 2, 7, 2, 9},
		{"halves do not overlap", times, x, variability.EarlyLateOptions{Share: 0.5}, 5, 5, 4, 5, 3, 8},
		{"halves of an odd number", times[:9], x[:9], variability.EarlyLateOptions{Share: 0.5}, 4, 4, 3, 5, 2.5, 7.5},
		{"halves of an odd number, by count", times[:9], x[:9], variability.EarlyLateOptions{Share: 0.5, ByCount: true}, 4, 4, 3, 5, 2.5, 7.5},
		{"thirds of nine, by count", times[:9], x[:9], variability.EarlyLateOptions{ByCount: true}, 3, 3, 2, 6, 2, 8},
		{"uneven, by time", late, x[:9], variability.EarlyLateOptions{}, 1, 8, 0, 7, 1, 5.5},
		{"uneven, by count", late, x[:9], variability.EarlyLateOptions{ByCount: true}, 3, 3, 7.5, 8.6, 2, 8},
		{"missing at both ends", times, []float64{nan, 2, 3, 4, 5, 6, 7, 8, 9, nan}, variability.EarlyLateOptions{}, 2, 2, 2, 7, 2.5, 8.5},
		{"missing, by count", times, []float64{nan, 2, 3, 4, 5, 6, 7, 8, 9, nan}, variability.EarlyLateOptions{ByCount: true, Share: 0.25}, 2, 2, 2, 7, 2.5, 8.5},
		{"cycles", times, x, variability.EarlyLateOptions{Cycles: true}, 2, 2, 2.5, 6.5, 2.5, 8.5},
		{"cycles, one without its upstroke", times, []float64{1, 2, 3, nan, 5, 6, 7, 8, 9, 10}, variability.EarlyLateOptions{Cycles: true, Share: 0.5}, 1, 2, 0.5, 6.5, 1.5, 8.5},
		{"cycles, odd number", times[:9], x[:9], variability.EarlyLateOptions{Cycles: true, Share: 0.5}, 2, 2, 2.5, 4.5, 2.5, 6.5},
		{"of 2.5 s", times, x, variability.EarlyLateOptions{Seconds: 2.5}, 3, 3, 2, 7, 2, 9},
		{"of 4 values", times, x, variability.EarlyLateOptions{Count: 4}, 4, 4, 3, 6, 2.5, 8.5},
		{"of 4 values, cycles", times, x, variability.EarlyLateOptions{Count: 4, Cycles: true}, 2, 2, 2.5, 6.5, 2.5, 8.5},
		{"of 4 values, one missing", times, []float64{1, nan, 3, 4, 5, 6, 7, 8, 9, 10}, variability.EarlyLateOptions{Count: 4}, 4, 4, 4, 6, 3.25, 8.5},
		{"a tail of 2 s", times, x, variability.EarlyLateOptions{Tail: 2, Seconds: 2.5}, 3, 3, 2, 5, 2, 7},
		{"a tail of 2 s, by count", times, x, variability.EarlyLateOptions{Tail: 2, Count: 3}, 3, 3, 2, 5, 2, 7},
		{"a tail of 2 s, thirds", times, x, variability.EarlyLateOptions{Tail: 2}, 3, 3, 2, 5, 2, 7},
		{"a tail of all", times, x, variability.EarlyLateOptions{Tail: 9.5}, 0, 0, nan, nan, nan, nan},
		{"none", nil, nil, variability.EarlyLateOptions{}, 0, 0, nan, nan, nan, nan},
		{"one, by time", times[:1], x[:1], variability.EarlyLateOptions{}, 0, 0, nan, nan, nan, nan},
		{"all missing", times[:2], []float64{nan, nan}, variability.EarlyLateOptions{}, 0, 0, nan, nan, nan, nan},
	} {
		if tc.o.Tail == 0 {
			tc.o.Tail = -1
		}
		c := earlyLate(t, tc.times, tc.x, tc.o)
		if c.Early.N != tc.n1 || c.Late.N != tc.n2 {
			t.Errorf("%s: %d and %d values, want %d and %d", tc.name, c.Early.N, c.Late.N, tc.n1, tc.n2)
			continue
		}
		if !near(c.Early.To, tc.to1, 1e-12) || !near(c.Late.From, tc.from2, 1e-12) ||
			!near(c.Early.Mean, tc.mean1, 1e-12) || !near(c.Late.Mean, tc.mean2, 1e-12) {
			t.Errorf("%s: %+v and %+v", tc.name, c.Early, c.Late)
		}
	}
}

// The toy data of variability.json, laid end to end: too few for a comparison,
// and described all the same.
func TestEarlyLateRefused(t *testing.T) {
	toy := readReference(t).Pairs[0]
	x := append(append([]float64{}, toy.A...), toy.B...)
	c := earlyLate(t, series.Times(16, 0.2), x, variability.EarlyLateOptions{Share: 0.5, ByCount: true, Tail: -1})
	if !near(c.Early.SD/c.Early.Mean, toy.CV[0], 1e-12) || !near(c.Late.SD/c.Late.Mean, toy.CV[1], 1e-12) ||
		!near(c.Early.Robust, toy.MAD[0], 1e-12) || !near(c.Late.Robust, toy.MAD[1], 1e-12) {
		t.Errorf("%+v and %+v", c.Early, c.Late)
	}
	refused(t, c, "too-few", "too short for that: a part of it holds 8 values, and a comparison needs 15")
	c = earlyLate(t, series.Times(90, 0.1), autoregression(90, 0, 1), variability.EarlyLateOptions{Cycles: true})
	refused(t, c, "too-few", "13 cycles")
	c = earlyLate(t, series.Times(300, 0.1), autoregression(300, 0, 1), variability.EarlyLateOptions{Seconds: 1})
	refused(t, c, "too-few", "holds 10 values, and a comparison needs 15; ask for longer parts")
	c = earlyLate(t, series.Times(300, 0.1), autoregression(300, 0, 1), variability.EarlyLateOptions{Seconds: 15})
	refused(t, c, "overlap", "two parts of 15 s do not fit")
	c = earlyLate(t, series.Times(300, 0.1), autoregression(300, 0, 1), variability.EarlyLateOptions{Count: 148})
	refused(t, c, "overlap", "two parts of 148 values do not fit")
	if c.Early.N != 0 || c.Late.N != 0 {
		t.Errorf("windows that overlap: %+v and %+v", c.Early, c.Late)
	}
	// A third of 100 values is worth too little for a standardised difference
	// when everything wanders.
	c = earlyLate(t, series.Times(100, 0.1), autoregression(100, 0.95, 1), variability.EarlyLateOptions{})
	for name, v := range map[string]estimate.Value[float64]{"G": c.G, "Delta": c.Delta} {
		if v.Absent == nil || v.Absent.Code != "too-alike" {
			t.Errorf("%s of values that wander: %+v", name, v)
		}
	}
	if !c.Difference.Known() || !(c.Early.Effective < 4 || c.Late.Effective < 4) {
		t.Errorf("values that wander: %+v", c)
	}
}

// refused checks that all comparisons are absent for one reason.
func refused(t *testing.T, c variability.Change, code, why string) {
	t.Helper()
	for name, absent := range map[string]*estimate.Absence{
		"Difference": c.Difference.Absent, "Trimmed": c.Trimmed.Absent, "Ratio": c.Ratio.Absent, "RobustRatio": c.RobustRatio.Absent,
		"G": c.G.Absent, "Delta": c.Delta.Absent, "Scatter": c.Scatter.Absent,
	} {
		if absent == nil || absent.Code != code || absent.What == "" || !strings.Contains(absent.Why, why) {
			t.Errorf("%s: %+v, want %s, %q", name, absent, code, why)
		}
	}
}

// The end of a take is left out, a second of it or a tenth of a short take.
func TestEarlyLateTail(t *testing.T) {
	for _, c := range []struct {
		seconds, tail, want float64
	}{{30, 0, 1}, {10, 0, 1}, {4, 0, 0.4}, {30, -1, 0}, {30, 3, 3}} {
		n := int(10*c.seconds) + 1
		got := earlyLate(t, series.Times(n, 0.1), autoregression(n, 0, 1), variability.EarlyLateOptions{Tail: c.tail})
		if !near(got.Tail, c.want, 1e-9) || got.Options.Tail != got.Tail || got.Late.To > c.seconds-c.want+1e-9 {
			t.Errorf("%v s, tail %v: %v left out, late until %v", c.seconds, c.tail, got.Tail, got.Late.To)
		}
	}
}

// Changes of span within a window are named.
func TestEarlyLateWarning(t *testing.T) {
	x := autoregression(301, 0, 1)
	for _, c := range []struct {
		name        string
		changes     []float64
		early, late int
		says        string
	}{
		{"none given", nil, 0, 0, ""},
		{"in the middle and at the ends", []float64{0, 15, 29.9}, 0, 0, ""},
		{"early", []float64{3.24}, 1, 0, "The early part holds a change of span at 3.2 s: what differs"},
		{"both", []float64{24, 3.2, 2.1}, 2, 1, "The early part holds changes of span at 2.1 and 3.2 s, and the late part holds a change of span at 24.0 s:"},
	} {
		got := earlyLate(t, series.Times(301, 0.1), x, variability.EarlyLateOptions{Changes: c.changes})
		if len(got.Early.Changes) != c.early || len(got.Late.Changes) != c.late || !strings.HasPrefix(got.Warning, c.says) || (c.says == "") != (got.Warning == "") {
			t.Errorf("%s: %v and %v, %q", c.name, got.Early.Changes, got.Late.Changes, got.Warning)
		}
		if !got.Difference.Known() {
			t.Errorf("%s: %+v", c.name, got.Difference)
		}
	}
}

// Formulas spelled out a second time, in numpy and scipy.
func TestEarlyLateReference(t *testing.T) {
	for _, c := range readSpread(t).EarlyLate {
		got := earlyLate(t, series.Times(len(c.X), 0.1), c.X, variability.EarlyLateOptions{Count: c.N, Tail: -1})
		sameInterval(t, "difference", got.Difference, c.Difference)
		sameInterval(t, "trimmed", got.Trimmed, c.Trimmed)
		sameInterval(t, "ratio", got.Ratio, c.Ratio)
		if !near(got.Scatter.Statistic, c.Statistic, 1e-9) || !near(got.Scatter.P, c.P, 1e-9) {
			t.Errorf("test %+v, want %v, P %v", got.Scatter, c.Statistic, c.P)
		}
	}
}

// The parts agree with the functions that measure them.
func TestEarlyLateParts(t *testing.T) {
	const n = 240
	x := autoregression(n, 0.3, 4)
	for i := range x {
		x[i] *= 2 - float64(i)/n
		x[i] += float64(i) / n
	}
	early, late := x[:80], x[160:]
	c := earlyLate(t, series.Times(n, 0.1), x, variability.EarlyLateOptions{ByCount: true, Tail: -1})
	for _, p := range []struct {
		name      string
		v         estimate.Value[float64]
		want, tol float64
	}{
		{"Difference", c.Difference, floats.Sum(late)/80 - floats.Sum(early)/80, 1e-12},
		{"Ratio", c.Ratio, c.Late.SD / c.Early.SD, 1e-12},
		{"G", c.G, variability.HedgesG(early, late), 1e-12},
		{"Delta", c.Delta, variability.CliffDelta(early, late), 1e-12},
	} {
		if !near(p.v.Value, p.want, p.tol) || p.v.N != 160 || p.v.Level != 0.95 {
			t.Errorf("%s: %+v, want %v of 160 values", p.name, p.v, p.want)
		}
		if !(p.v.Low < p.v.Value && p.v.Value < p.v.High) {
			t.Errorf("%s: %+v", p.name, p.v)
		}
	}
	if c.Scatter.N != 160 || c.Scatter.P < c.Scatter.Least || !(c.Scatter.Statistic > 0) {
		t.Errorf("Scatter %+v", c.Scatter)
	}
	if again := earlyLate(t, series.Times(n, 0.1), x, variability.EarlyLateOptions{ByCount: true, Tail: -1}); !cmp.Equal(again, c) {
		t.Error(cmp.Diff(again, c))
	}
	// Backward, early is late.
	back := make([]float64, n)
	for i, v := range x {
		back[n-1-i] = v
	}
	b := earlyLate(t, series.Times(n, 0.1), back, variability.EarlyLateOptions{ByCount: true, Tail: -1})
	if !near(b.Ratio.Value, 1/c.Ratio.Value, 1e-9) || !near(b.Delta.Value, -c.Delta.Value, 1e-12) ||
		!near(b.Delta.Low, -c.Delta.High, 1e-9) || !near(b.G.Low, -c.G.High, 1e-9) || !near(b.Difference.Low, -c.Difference.High, 1e-9) {
		t.Errorf("forward %+v, backward %+v", c, b)
	}
}

// A player who slows down: by time, the late window holds fewer strokes, and
// what is found does not depend on which window is the longer one.
func TestEarlyLateUneven(t *testing.T) {
	const n = 400
	x := autoregression(n, 0, 6)
	times, back, behind := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range times {
		x[i] *= 1 + float64(i)/n
		times[i] = float64(i) + float64(i*i)/n/2
	}
	for i := range times {
		back[i], behind[i] = times[n-1]-times[n-1-i], x[n-1-i]
	}
	slower := earlyLate(t, times, x, variability.EarlyLateOptions{Tail: -1})
	faster := earlyLate(t, back, behind, variability.EarlyLateOptions{Tail: -1})
	if slower.Early.N <= slower.Late.N+20 || faster.Early.N != slower.Late.N {
		t.Fatalf("%d and %d values, backward %d and %d", slower.Early.N, slower.Late.N, faster.Early.N, faster.Late.N)
	}
	v, w := slower.Ratio, faster.Ratio
	if !near(v.Value, slower.Late.SD/slower.Early.SD, 1e-12) || !near(w.Value, 1/v.Value, 1e-12) {
		t.Errorf("ratio %+v, backward %+v", v, w)
	}
	if !near(w.Low, 1/v.High, 1e-9) || !near(w.High, 1/v.Low, 1e-9) {
		t.Errorf("ratio %+v, backward %+v", v, w)
	}
}

// A player who gets steadier, measured with noise: late scatter is half the
// early one.
func TestEarlyLateNoise(t *testing.T) {
	const n = 3000
	x, noise := autoregression(n, 0.3, 1), autoregression(n, 0, 2)
	for i := range x {
		if i > n/2 {
			x[i] /= 2
		}
		x[i] += noise[i]
	}
	times := series.Times(n, 0.1)
	raw := earlyLate(t, times, x, variability.EarlyLateOptions{})
	clean := earlyLate(t, times, x, variability.EarlyLateOptions{Options: variability.Options{Noise: 1}})
	if want := math.Sqrt(1.25 / 2); !near(raw.Ratio.Value, want, 0.05) || !(raw.Ratio.Low < want && want < raw.Ratio.High) {
		t.Errorf("with its noise %+v, want %v", raw.Ratio, want)
	}
	if !near(clean.Ratio.Value, 0.5, 0.1) || !(clean.Ratio.Low < 0.5 && 0.5 < clean.Ratio.High) {
		t.Errorf("without noise %+v, want 0.5", clean.Ratio)
	}
	if clean.Scatter != raw.Scatter || clean.Scatter.P > 0.001 {
		t.Errorf("tests %+v and %+v", clean.Scatter, raw.Scatter)
	}
	if c := earlyLate(t, times, x, variability.EarlyLateOptions{Options: variability.Options{Noise: 2}}); c.Ratio.Absent == nil || c.Ratio.Absent.Code != "noise" {
		t.Errorf("with more noise than scatter: %+v", c.Ratio)
	}
}

// Down and up differ by 4, ten times the scatter: over strokes that hides that
// the cycles become steadier.
func TestEarlyLateCycles(t *testing.T) {
	const n = 1200
	x := autoregression(n, 0, 3)
	for i := range x {
		if i > n/2 {
			x[i] /= 2
		}
		x[i] = 0.4*x[i] + float64(4*(i%2))
	}
	strokes := earlyLate(t, series.Times(n, 0.1), x, variability.EarlyLateOptions{})
	cycles := earlyLate(t, series.Times(n, 0.1), x, variability.EarlyLateOptions{Cycles: true})
	if v := strokes.Ratio; v.Absent == nil && v.Value < 0.9 {
		t.Errorf("strokes: %+v, want near 1 or nothing", v)
	}
	if v := cycles.Ratio; !near(v.Value, 0.5, 0.08) || !(v.Low < 0.5 && 0.5 < v.High) {
		t.Errorf("cycles: %+v, want 0.5", v)
	}
}

func TestEarlyLateConstant(t *testing.T) {
	x := make([]float64, 90)
	for i := range x {
		x[i] = 7
	}
	c := earlyLate(t, series.Times(90, 0.1), x, variability.EarlyLateOptions{})
	for name, absent := range map[string]*estimate.Absence{"Ratio": c.Ratio.Absent, "G": c.G.Absent, "Scatter": c.Scatter.Absent} {
		if absent == nil || absent.Code != "undefined" {
			t.Errorf("%s: %+v", name, absent)
		}
	}
	if v := c.Difference; !v.Known() || v.Value != 0 || !math.IsNaN(v.Low) {
		t.Errorf("Difference %+v, want 0 without an interval", v)
	}
	// Apart altogether: no interval for δ.
	x = autoregression(300, 0, 1)
	for i := 150; i < 300; i++ {
		x[i] += 100
	}
	c = earlyLate(t, series.Times(300, 0.1), x, variability.EarlyLateOptions{})
	if v := c.Delta; v.Value != 1 || !math.IsNaN(v.Low) || !math.IsNaN(v.High) || v.Level != 0 {
		t.Errorf("Delta %+v, want 1 without an interval", v)
	}
	c = earlyLate(t, series.Times(300, 0.1), x, variability.EarlyLateOptions{Options: variability.Options{Level: -1}})
	for name, v := range map[string]estimate.Value[float64]{"Difference": c.Difference, "Ratio": c.Ratio, "G": c.G} {
		if !v.Known() || !math.IsNaN(v.Low) {
			t.Errorf("%s: %+v, want no interval", name, v)
		}
	}
}

func TestEarlyLateErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	x := []float64{1, 2, 3}
	for _, tc := range []struct {
		name     string
		times, x []float64
		share    float64
		says     string
	}{
		{"time missing", []float64{0, nan, 2}, x, 0, "time 1 is NaN"},
		{"time infinite", []float64{0, 1, inf}, x, 0, "time 2 is +Inf"},
		{"time repeated", []float64{0, 1, 1}, x, 0, "time 2, 1 s, is not after the one before, 1 s"},
		{"time backward", []float64{0, 1, 0.5}, x, 0, "time 2, 0.5 s"},
		{"value infinite", []float64{0, 1, 2}, []float64{1, -inf, 2}, 0, "value 1 is -Inf"},
		{"share negative", []float64{0, 1, 2}, x, -0.1, "share -0.1"},
		{"share above a half", []float64{0, 1, 2}, x, 0.6, "share 0.6"},
		{"share missing", []float64{0, 1, 2}, x, nan, "share NaN"},
	} {
		_, err := variability.EarlyLate(tc.times, tc.x, variability.EarlyLateOptions{Share: tc.share})
		if err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: %v, want an error with %q", tc.name, err, tc.says)
		}
	}
	for _, o := range []variability.EarlyLateOptions{{Share: 0.3, Seconds: 2}, {Seconds: 2, Count: 4}, {Share: 0.3, Count: 4}} {
		if _, err := variability.EarlyLate([]float64{0, 1, 2}, x, o); err == nil || !strings.Contains(err.Error(), "give one") {
			t.Errorf("%+v: %v", o, err)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for slices of unequal length")
		}
	}()
	_, _ = variability.EarlyLate([]float64{0, 1}, x, variability.EarlyLateOptions{})
}
