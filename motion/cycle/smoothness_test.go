package cycle_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/cycle"
)

// TestSmoothnessReference holds both indices to testdata/reference/smoothness.py
// (numpy 1.24.2), whose formulas equal the authors' own code.
func TestSmoothnessReference(t *testing.T) {
	b, err := os.ReadFile("../../testdata/reference/smoothness.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Analytic map[string]float64
		Items    []struct {
			Name   string
			Hz     float64 `json:"sample_hz"`
			Speed  []float64
			Arc    float64 `json:"spectral_arc"`
			Jerk   float64 `json:"log_jerk"`
			Unused struct{}
		}
	}
	if err := json.Unmarshal(b, &ref); err != nil {
		t.Fatal(err)
	}
	if len(ref.Items) < 9 {
		t.Fatalf("%d items", len(ref.Items))
	}
	for _, c := range ref.Items {
		if got := cycle.SpectralArcLength(c.Speed, c.Hz, cycle.SpectralOptions{}); math.Abs(got-c.Arc) > 1e-9 {
			t.Errorf("%s at %g Hz: spectral arc length %.12f, want %.12f", c.Name, c.Hz, got, c.Arc)
		}
		if got := cycle.LogDimensionlessJerk([][]float64{c.Speed}, c.Hz); math.Abs(got-c.Jerk) > 1e-9 {
			t.Errorf("%s at %g Hz: log dimensionless jerk %.12f, want %.12f", c.Name, c.Hz, got, c.Jerk)
		}
	}
	// Closed form of the minimum-jerk movement: -ln(1024/5) and the arc of its
	// continuous spectrum up to where it falls to 0.05 (integrated with scipy
	// 1.10.1). The bins of the cut-off leave 0.5 per cent.
	last := ref.Items[4]
	if got := cycle.LogDimensionlessJerk([][]float64{last.Speed}, last.Hz); math.Abs(got/ref.Analytic["minimum_jerk_log_jerk"]-1) > 0.005 {
		t.Errorf("log dimensionless jerk of a minimum-jerk movement is %.4f", got)
	}
	if got := cycle.SpectralArcLength(last.Speed, last.Hz, cycle.SpectralOptions{}); math.Abs(got/ref.Analytic["minimum_jerk_spectral_arc"]-1) > 0.005 {
		t.Errorf("spectral arc length of a minimum-jerk movement is %.4f", got)
	}
}

// TestSmoothnessPublished holds the example of the authors' documentation:
// exp(-5t²) at 100 Hz gives -1.41403 and -5.81636.
func TestSmoothnessPublished(t *testing.T) {
	v := make([]float64, 200)
	for i := range v {
		x := -1 + 0.01*float64(i)
		v[i] = math.Exp(-5 * x * x)
	}
	if got := cycle.SpectralArcLength(v, 100, cycle.SpectralOptions{}); math.Abs(got+1.41403) > 5e-6 {
		t.Errorf("spectral arc length %.6f", got)
	}
	if got := cycle.LogDimensionlessJerk([][]float64{v}, 100); math.Abs(got+5.81636) > 5e-6 {
		t.Errorf("log dimensionless jerk %.6f", got)
	}
	// Neither has a unit: doubled speed and halved time base change nothing but
	// the cut-off, which goes along.
	twice := make([]float64, len(v))
	for i, x := range v {
		twice[i] = 2 * x
	}
	if a, b := cycle.LogDimensionlessJerk([][]float64{v}, 100), cycle.LogDimensionlessJerk([][]float64{twice}, 200); math.Abs(a-b) > 1e-12 {
		t.Errorf("log dimensionless jerk has a unit: %g and %g", a, b)
	}
	if a, b := cycle.SpectralArcLength(v, 100, cycle.SpectralOptions{}), cycle.SpectralArcLength(twice, 200, cycle.SpectralOptions{CutoffHz: 20}); math.Abs(a-b) > 1e-12 {
		t.Errorf("spectral arc length has a unit: %g and %g", a, b)
	}
}

func TestSmoothnessSpecialCases(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, v := range [][]float64{nil, {}, {1}, {0, 0, 0, 0}, {1, nan, 1, 2}, {1, inf, 1, 2}} {
		if got := cycle.SpectralArcLength(v, 100, cycle.SpectralOptions{}); got == got {
			t.Errorf("spectral arc length of %v is %g", v, got)
		}
		if got := cycle.LogDimensionlessJerk([][]float64{v}, 100); got == got {
			t.Errorf("log dimensionless jerk of %v is %g", v, got)
		}
	}
	if got := cycle.LogDimensionlessJerk([][]float64{{1, 2, 3, 4}}, 100); got == got {
		t.Errorf("log dimensionless jerk of a straight line is %g", got)
	}
	if got := cycle.LogDimensionlessJerk(nil, 100); got == got {
		t.Errorf("log dimensionless jerk of no column is %g", got)
	}
	for _, hz := range []float64{0, -1, nan} {
		if got := cycle.LogDimensionlessJerk([][]float64{{0, 1, 0, 1}}, hz); got == got {
			t.Errorf("log dimensionless jerk at %g Hz is %g", hz, got)
		}
	}
}

func TestSmooth(t *testing.T) {
	base := maker{seed: 1, hz: 240, rate: 3, strokes: 240, length: 12, jitter: 0.02, scatter: 0.1, noise: 0.005}
	run := func(f func(m *maker), o cycle.SmoothOptions) cycle.Smoothness {
		t.Helper()
		m := base
		f(&m)
		p, _ := m.make()
		mo, err := motion.Analyze(p, motion.Options{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := cycle.Smooth(p, mo, mo.Strokes, o)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := run(func(*maker) {}, cycle.SmoothOptions{})
	if !s.SpectralArc.Known() || !s.LogJerk.Known() || s.SpectralArc.N < 12 || s.LogJerk.Level != 0.95 {
		t.Fatalf("%+v", s)
	}
	if !strings.Contains(strings.Join(s.Notes, " "), "low-passed at") {
		t.Errorf("the filter is not named: %q", s.Notes)
	}
	// A stretch of strokes is the same at another rate and length.
	o := run(func(m *maker) { m.rate, m.length, m.scatter, m.noise = 2.5, 24, 0.2, 0.01 }, cycle.SmoothOptions{CutoffHz: s.Options.CutoffHz * 2.5 / 3})
	if d := o.LogJerk.Value - s.LogJerk.Value; math.Abs(d) > 0.05 {
		t.Errorf("log dimensionless jerk changes by %.3f with rate and length", d)
	}
	// Nor does it know of the sample rate.
	o = run(func(m *maker) { m.hz = 480; m.noise = 0.002 }, cycle.SmoothOptions{CutoffHz: s.Options.CutoffHz})
	if d := o.LogJerk.Value - s.LogJerk.Value; math.Abs(d) > 0.05 {
		t.Errorf("log dimensionless jerk changes by %.3f with the sample rate", d)
	}
	// Over more strokes both indices fall.
	if o := run(func(*maker) {}, cycle.SmoothOptions{Strokes: 24}); !(o.LogJerk.Value < s.LogJerk.Value && o.SpectralArc.Value < s.SpectralArc.Value) {
		t.Errorf("over 24 strokes: %g and %g, over 16: %g and %g", o.SpectralArc.Value, o.LogJerk.Value, s.SpectralArc.Value, s.LogJerk.Value)
	}
	for _, c := range []struct {
		name    string
		f       func(m *maker)
		o       cycle.SmoothOptions
		arc     string
		jerk    string
		because string
	}{
		{"strokes beyond the cut-off", func(m *maker) { m.rate = 12 }, cycle.SmoothOptions{}, "cut-off", "", ""},
		{"noise", func(m *maker) { m.noise = 0.5 }, cycle.SmoothOptions{CutoffHz: -1}, "", "noise", ""},
		{"few strokes", func(m *maker) { m.strokes = 12 }, cycle.SmoothOptions{}, "too few", "too few", ""},
		{"gaps", func(m *maker) { m.lose = hiding(1) }, cycle.SmoothOptions{}, "gaps", "gaps", ""},
	} {
		s := run(c.f, c.o)
		code := func(known bool, a interface{ Known() bool }) bool { return known == a.Known() }
		if !code(c.arc == "", s.SpectralArc) || c.arc != "" && s.SpectralArc.Absent.Code != c.arc {
			t.Errorf("%s: spectral arc length %+v", c.name, s.SpectralArc)
		}
		if !code(c.jerk == "", s.LogJerk) || c.jerk != "" && s.LogJerk.Absent.Code != c.jerk {
			t.Errorf("%s: log dimensionless jerk %+v", c.name, s.LogJerk)
		}
	}
}
