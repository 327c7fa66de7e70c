package circular_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// golden is testdata/reference/circular.json, made by circular.py there.
type golden struct {
	Sets []struct {
		Name            string
		Axial           bool
		Deg             []float64
		Mean            float64 `json:"mean_deg"`
		R               float64
		SD              float64 `json:"sd_deg"`
		Half            float64 `json:"half95_deg"`
		Kappa, Rayleigh float64
		Median          float64  `json:"median_deg"`
		Published       *float64 `json:"published_median_deg"`
	}
	A1 []struct{ Kappa, A1 float64 }
}

func load(t *testing.T) (g golden) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/circular.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

func degrees(deg ...float64) []circular.Angle {
	out := make([]circular.Angle, len(deg))
	for i, d := range deg {
		out[i] = circular.Angle(d) * circular.Degree
	}
	return out
}

func near(got, want, tol float64) bool {
	return scalar.Same(got, want) || scalar.EqualWithinAbsOrRel(got, want, tol, tol)
}

// alike reports whether two angles in degrees are the same modulo period.
func alike(got, want, period, tol float64) bool {
	return math.Abs(math.Remainder(got-want, period)) <= tol
}

func TestAgainstReference(t *testing.T) {
	for _, c := range load(t).Sets {
		summarize, median, period := circular.Directional, circular.Median, 360.0
		if c.Axial {
			summarize, median, period = circular.Axial, circular.MedianAxis, 180.0
		}
		angles := degrees(c.Deg...)
		s := summarize(angles, circular.Options{})
		if !alike(s.Mean.Value.Degrees(), c.Mean, period, 1e-10) || !near(s.R, c.R, 1e-13) || !near(s.Variance, 1-c.R, 1e-13) ||
			!near(s.SD.Degrees(), c.SD, 1e-11) || !near(s.Kappa, c.Kappa, 1e-10) || s.N != len(c.Deg) {
			t.Errorf("%s: got %+v, want %+v", c.Name, s, c)
		}
		if !scalar.EqualWithinRel(s.RayleighP, c.Rayleigh, 1e-9) {
			t.Errorf("%s: Rayleigh P = %v, want %v", c.Name, s.RayleighP, c.Rayleigh)
		}
		low, high := (s.Mean.Value - s.Mean.Low).Degrees(), (s.Mean.High - s.Mean.Value).Degrees()
		if !near(low, c.Half, 1e-8) || !near(high, c.Half, 1e-8) || s.Mean.Level != 0.95 {
			t.Errorf("%s: interval -%v +%v, want ±%v", c.Name, low, high, c.Half)
		}
		m := median(angles)
		if !m.Known() || !alike(m.Value.Degrees(), c.Median, period, 0.011) { // reference on a grid of 0.01°
			t.Errorf("%s: median %+v, want %v°", c.Name, m, c.Median)
		}
		if c.Published != nil && !alike(m.Value.Degrees(), *c.Published, period, 0.5) {
			t.Errorf("%s: median %v°, published %v°", c.Name, m.Value.Degrees(), *c.Published)
		}
	}
}

// TestPublished holds the figures printed in books, to their last digit.
func TestPublished(t *testing.T) {
	trees := circular.Directional(degrees(45, 55, 81, 96, 110, 117, 132, 154), circular.Options{})
	seven := circular.Median(degrees(55, 81, 96, 110, 117, 132, 154))
	ten := circular.Directional([]circular.Angle{ // CircStat vectors, Berens (2009) J Stat Softw 31(10)
		1.80044838, 2.02938314, 1.03534016, 4.84225057, 1.54256458, 5.19290675, 2.18474784, 4.77054777, 1.51736933, 0.72727580,
	}, circular.Options{})
	roulette := circular.Directional(degrees(43, 45, 52, 61, 75, 88, 88, 279, 357), circular.Options{})
	for _, c := range []struct {
		source         string
		got, want, tol float64
	}{
		{"Zar 2010, ex. 26.4, mean", trees.Mean.Value.Degrees(), 99, 0.5},
		{"Zar 2010, ex. 26.4, r", trees.R, 0.82522, 5e-6},
		{"Zar 2010, ex. 26.4, s0", trees.SD.Degrees(), 36, 0.5},
		{"Zar 2010, ex. 26.6, lower limit", trees.Mean.Low.Degrees(), 68, 0.5},
		{"Zar 2010, ex. 26.6, upper limit", trees.Mean.High.Degrees(), 130, 0.5},
		{"Zar 2010, ex. 27.1, 0.001 < P < 0.002", trees.RayleighP, 0.0015, 0.0005},
		{"Zar 2010, 26.6, median of seven", seven.Value.Degrees(), 110, 0.5},
		{"Mardia & Jupp 2000, ex. 2.1, mean", roulette.Mean.Value.Degrees(), 51, 0.1},
		{"Mardia & Jupp 2000, ex. 2.1, R", roulette.R, 0.711, 5e-4},
		{"Mardia & Jupp 2000, ex. 2.1, V", roulette.Variance, 0.289, 5e-4},
		{"CircStat vectors, mean", ten.Mean.Value.Radians(), 1.35173983, 1e-5},
		{"CircStat vectors, V", ten.Variance, 0.65842, 1e-5},
		{"CircStat vectors, v", ten.SD.Radians(), 1.4657, 5e-5},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: got %v, want %v ± %v", c.source, c.got, c.want, c.tol)
		}
	}
}

func TestA1(t *testing.T) {
	for _, c := range load(t).A1 {
		if got := circular.A1(c.Kappa); !scalar.EqualWithinRel(got, c.A1, 1e-14) {
			t.Errorf("A1(%v) = %.17g, want %.17g", c.Kappa, got, c.A1)
		}
		// The root is as ill-conditioned as 1 - A1 is small.
		if got := circular.A1Inverse(c.A1); !scalar.EqualWithinRel(got, c.Kappa, 1e-12+4e-16*c.Kappa) {
			t.Errorf("A1Inverse(%v) = %v, want %v", c.A1, got, c.Kappa)
		}
	}
	inf, nan := math.Inf(1), math.NaN()
	for _, c := range []struct{ got, want float64 }{
		{circular.A1(0), 0}, {circular.A1(inf), 1}, {circular.A1(-1), nan}, {circular.A1(nan), nan},
		{circular.A1Inverse(0), 0}, {circular.A1Inverse(1), inf}, {circular.A1Inverse(-0.1), nan},
		{circular.A1Inverse(1.1), nan}, {circular.A1Inverse(nan), nan},
	} {
		if !scalar.Same(c.got, c.want) {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
}

// TestAxialIdentities holds facts of axes (exact).
func TestAxialIdentities(t *testing.T) {
	// Axes at right angles cancel.
	s := circular.Axial(degrees(0, 90), circular.Options{})
	if s.Mean.Known() || s.Mean.Absent == nil || s.Mean.Absent.Code != "no-direction" || s.R > 1e-15 {
		t.Errorf("0° and 90°: %+v, want no mean", s)
	}
	if m := circular.MedianAxis(degrees(0, 90)); m.Known() {
		t.Errorf("0° and 90°: median %v", m.Value.Degrees())
	}
	// 170° and 10° are ±10° about 0°.
	s = circular.Axial(degrees(170, 10), circular.Options{})
	if !alike(s.Mean.Value.Degrees(), 0, 180, 1e-12) || !near(s.R, math.Cos(math.Pi/9), 1e-15) {
		t.Errorf("170° and 10°: mean %v°, R %v", s.Mean.Value.Degrees(), s.R)
	}
	// Half a turn more on any of them changes nothing.
	a := degrees(12, 15, -3, 8, 20, 11, 9)
	b := slices.Clone(a)
	b[1] += 180 * circular.Degree
	b[4] -= 540 * circular.Degree
	x, y := circular.Axial(a, circular.Options{}), circular.Axial(b, circular.Options{})
	if !near(float64(x.Mean.Value), float64(y.Mean.Value), 1e-12) || !near(x.R, y.R, 1e-12) {
		t.Errorf("half turns added: %+v, want %+v", y, x)
	}
	if p, q := circular.MedianAxis(a), circular.MedianAxis(b); !near(float64(p.Value), float64(q.Value), 1e-12) {
		t.Errorf("half turns added: median %v, want %v", q.Value, p.Value)
	}
	// Ranges: (-90°, 90°] for an axis, (-180°, 180°] for a direction.
	if got := circular.Axial(degrees(90, 90), circular.Options{}).Mean.Value.Degrees(); !near(got, 90, 1e-12) {
		t.Errorf("axis of 90° is %v", got)
	}
	if got := circular.Median(degrees(180, 180, 180)).Value.Degrees(); !near(got, 180, 1e-12) {
		t.Errorf("median of 180° is %v", got)
	}
}

func TestSpecial(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, deg := range [][]float64{nil, {nan, inf}} {
		s := circular.Directional(degrees(deg...), circular.Options{})
		if s.N != 0 || s.Mean.Absent == nil || s.Mean.Absent.Code != "no-observations" || !math.IsNaN(s.R) || !math.IsNaN(s.Kappa) {
			t.Errorf("%v: %+v, want nothing", deg, s)
		}
		if circular.Median(degrees(deg...)).Absent == nil {
			t.Errorf("%v has a median", deg)
		}
	}
	one := circular.Directional(degrees(30, nan), circular.Options{})
	if one.N != 1 || !near(one.Mean.Value.Degrees(), 30, 1e-12) || !math.IsNaN(float64(one.Mean.Low)) || one.Mean.Level != 0 {
		t.Errorf("one angle: %+v", one)
	}
	if s := circular.Directional(degrees(10, 130, 250), circular.Options{}); s.Mean.Known() || s.RayleighP < 0.9 {
		t.Errorf("three spread evenly: %+v, want no mean", s)
	}
	if circular.Median(degrees(10, 130, 250)).Known() {
		t.Error("three spread evenly have a median")
	}
	if m := circular.Median(degrees(350, 20)); !near(m.Value.Degrees(), 5, 1e-10) {
		t.Errorf("median of 350° and 20° is %v°", m.Value.Degrees())
	}
	off := circular.Directional(degrees(1, 2, 3, 4, 5, 6), circular.Options{Level: -1})
	if !math.IsNaN(float64(off.Mean.Low)) || off.Mean.Level != 0 {
		t.Errorf("no interval wanted: %+v", off.Mean)
	}
	wide := circular.Directional(degrees(0, 100, 200, 290, 10), circular.Options{}) // too little direction to bound it
	if !wide.Mean.Known() || !math.IsNaN(float64(wide.Mean.Low)) {
		t.Errorf("hardly any direction: %+v, want no interval", wide.Mean)
	}
}

// TestCoverage counts how often the interval holds the true mean axis 0, of
// axes with 6° of scatter in 2000 series: independent ones, and ones that
// drift (AR(1), 0.7), for which only the interval for a series is meant.
func TestCoverage(t *testing.T) {
	for _, c := range []struct {
		n           int
		rho         float64
		series      bool
		least, most float64
	}{
		{12, 0, false, 0.90, 0.97},
		{60, 0, false, 0.93, 0.97},
		{60, 0, true, 0.93, 0.97},
		{200, 0.7, true, 0.91, 0.97},
		{200, 0.7, false, 0.50, 0.70}, // why there is an interval for series
	} {
		held := 0
		const runs = 2000
		for k := range runs {
			rng := estimate.Stream(uint64(c.n), "coverage"+strconv.Itoa(k))
			x := rng.NormFloat64() / math.Sqrt(1-c.rho*c.rho)
			angles := make([]circular.Angle, c.n)
			for i := range angles {
				angles[i] = circular.Angle(6*x*math.Sqrt(1-c.rho*c.rho)) * circular.Degree
				x = c.rho*x + rng.NormFloat64()
			}
			if m := circular.Axial(angles, circular.Options{Series: c.series}).Mean; m.Low <= 0 && 0 <= m.High {
				held++
			}
		}
		if got := float64(held) / runs; got < c.least || got > c.most {
			t.Errorf("n=%d, ρ=%v, series %t: held in %v, want %v to %v", c.n, c.rho, c.series, got, c.least, c.most)
		}
	}
}

func TestAxialOfAngle(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{
		{0, 0}, {90, 90}, {-90, 90}, {91, -89}, {180, 0}, {-100, 80}, {450, 90}, {math.NaN(), math.NaN()}, {math.Inf(1), math.NaN()},
	} {
		if got := (circular.Angle(c.in) * circular.Degree).Axial().Degrees(); !near(got, c.want, 1e-12) {
			t.Errorf("axis of %v° is %v°, want %v°", c.in, got, c.want)
		}
	}
}

func BenchmarkAxial(b *testing.B) {
	angles := spread(6600)
	b.ReportAllocs()
	for b.Loop() {
		circular.Axial(angles, circular.Options{})
	}
}

func BenchmarkMedianAxis(b *testing.B) {
	angles := spread(6600)
	b.ReportAllocs()
	for b.Loop() {
		circular.MedianAxis(angles)
	}
}

func spread(n int) []circular.Angle {
	rng := estimate.Stream(1, "bench")
	angles := make([]circular.Angle, n)
	for i := range angles {
		angles[i] = circular.Angle(20+5*rng.NormFloat64()) * circular.Degree
	}
	return angles
}
