package learning_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
)

// series returns values at x = 1 … n of a curve, f at 0 … 1, plus normal scatter
// of standard deviation sd whose neighbours correlate by rho.
func series(n int, sd, rho float64, seed uint64, f func(x, u float64) float64) (x, y []float64) {
	rng := estimate.Stream(seed, "learning test")
	e := rng.NormFloat64()
	for i := range n {
		if i > 0 {
			e = rho*e + math.Sqrt(1-rho*rho)*rng.NormFloat64()
		}
		x = append(x, float64(i+1))
		y = append(y, f(float64(i+1), float64(i)/float64(n-1))+sd*e)
	}
	return x, y
}

func mustFit(t testing.TB, x, y []float64, o learning.Options) learning.Result {
	t.Helper()
	r, err := learning.Fit(x, y, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func close(got, want, rel float64) bool {
	return got == want || math.Abs(got-want) <= rel*math.Max(math.Abs(want), 1e-300)
}

// Curves without scatter come back, rising and falling, at any scale of x and y.
func TestExact(t *testing.T) {
	for _, scale := range []float64{1e-9, 1, 1e9} {
		for _, sign := range []float64{1, -1} {
			for _, o := range []learning.Options{{}, {Independent: true}} {
				x, y := series(12, 0, 0, 1, func(x, _ float64) float64 { return scale * (2 + sign*8*math.Exp(-0.35*(x-1))) })
				r := mustFit(t, x, y, o)
				c := r.Curve(learning.Exponential)
				// Closed form; the half-life ln 2/0.35 is 1.9804205159.
				if !close(c.A.Value, 2*scale, 1e-7) || !close(c.B.Value, sign*8*scale, 1e-7) || !close(c.C.Value, 0.35, 1e-7) {
					t.Errorf("scale %v: %v, %v, %v", scale, c.A.Value, c.B.Value, c.C.Value)
				}
				if r.Best != learning.Exponential || r.Verdict != learning.Reached || !close(r.Half.Value, 1+1.9804205159, 1e-7) {
					t.Errorf("scale %v: %v, %v, half at %v", scale, r.Best, r.Verdict, r.Half.Value)
				}

				x, y = series(12, 0, 0, 1, func(x, _ float64) float64 { return scale * (3 + sign*7*math.Pow(x, -0.6)) })
				c = mustFit(t, x, y, o).Curve(learning.Power)
				if !close(c.A.Value, 3*scale, 1e-6) || !close(c.B.Value, sign*7*scale, 1e-6) || !close(c.C.Value, 0.6, 1e-6) {
					t.Errorf("scale %v: power %v, %v, %v", scale, c.A.Value, c.B.Value, c.C.Value)
				}
			}
		}
	}
}

// log-log power law of practice with noise; slope, intercept by scipy 1.10.1
// linregress on the logarithms. AIC and AICc of the noisy exponential by
// n ln(RSS/n) + 2k, k = 4.
func TestLogLog(t *testing.T) {
	y := []float64{10.105, 7.543, 6.661, 5.937, 5.73, 5.414, 5.133, 5.095, 4.813, 4.773, 4.631, 4.626}
	x, _ := series(12, 0, 0, 1, func(x, _ float64) float64 { return 0 })
	c := mustFit(t, x, y, learning.Options{Log: true, Independent: true}).Curve(learning.Logarithm)
	if !close(c.B.Value, -0.3078420986388201, 1e-12) || !close(c.A.Value, 2.2551203882133057, 1e-12) {
		t.Errorf("exponent %v, intercept %v", c.B.Value, c.A.Value)
	}
	// Student's t for 10 degrees of freedom, 0.975: 2.2281389 (table).
	if half := (c.B.High - c.B.Low) / 2; !close(half, 2.2281389*0.012460604567183875, 1e-6) {
		t.Errorf("half the interval of the exponent %v", half)
	}
	noisy := []float64{10.21, 7.488, 6.053, 4.58, 4.103, 3.44, 2.89, 2.86, 2.366, 2.373, 2.182, 2.27}
	c = mustFit(t, x, noisy, learning.Options{Independent: true}).Curve(learning.Exponential)
	if !close(c.AICc, -36.8141027862334, 1e-9) || c.K != 4 {
		t.Errorf("AICc %v with %d parameters", c.AICc, c.K)
	}
}

func TestVerdicts(t *testing.T) {
	exponential := func(amp, k float64) func(x, u float64) float64 {
		return func(_, u float64) float64 { return 10 + amp*(1-math.Exp(-k*u)) }
	}
	line := func(slope float64) func(x, u float64) float64 {
		return func(_, u float64) float64 { return 10 + slope*u }
	}
	for _, tc := range []struct {
		name string
		n    int
		f    func(x, u float64) float64
		want learning.Verdict
	}{
		{"three takes on a line", 3, line(1e6), learning.TooFew},
		{"five takes on a line", 5, line(1e6), learning.TooFew},
		{"constant", 20, line(0), learning.NoChange},
		{"line", 20, line(20), learning.Trend},
		{"hardly bent", 20, exponential(80, 0.3), learning.Trend},
		{"a power law at 8 values", 8, func(x, _ float64) float64 { return 10 + 400*(1-math.Pow(x, -0.7)) }, learning.StillChanging},
		{"a logarithm", 40, func(x, _ float64) float64 { return 10 + 20*math.Log(x) }, learning.StillChanging},
		{"more and more", 20, func(x, _ float64) float64 { return x * x }, learning.StillChanging},
		{"half-way", 40, exponential(100, 1.4), learning.Levelling},
		{"level", 40, exponential(40, 5), learning.Reached},
	} {
		for _, sign := range []float64{1, -1} {
			x, y := series(tc.n, 1, 0, 7, tc.f)
			for i := range y {
				y[i] *= sign
			}
			r := mustFit(t, x, y, learning.Options{})
			if r.Verdict != tc.want {
				t.Errorf("%s: %v, want %v: %s", tc.name, r.Verdict, tc.want, r.Sentence)
			}
			seen := r.Verdict >= learning.Levelling
			if r.Plateau.Known() != seen || r.Expected.Known() != seen || r.Done.Known() != seen || r.Half.Known() != seen {
				t.Errorf("%s: %v with level %+v", tc.name, r.Verdict, r.Plateau)
			}
			if strings.Contains(r.Sentence, "more and more") != (tc.name == "more and more") {
				t.Errorf("%s: %s", tc.name, r.Sentence)
			}
			if strings.Contains(r.Sentence, "faster") || !strings.HasSuffix(r.Sentence, ".") {
				t.Errorf("%s: %s", tc.name, r.Sentence)
			}
		}
	}
}

// Whatever comes in, nothing panics, and what is given is a number or absent.
func TestOdd(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name string
		x, y []float64
		want learning.Verdict
	}{
		{"nothing", nil, nil, learning.TooFew},
		{"all missing", []float64{1, 2}, []float64{nan, nan}, learning.TooFew},
		{"one", []float64{1}, []float64{5}, learning.TooFew},
		{"two", []float64{1, 2}, []float64{5, 6}, learning.TooFew},
		{"one place", []float64{3, 3, 3, 3, 3, 3, 3}, []float64{1, 2, 3, 4, 3, 2, 1}, learning.TooFew},
		{"two places", []float64{3, 3, 3, 3, 4, 4, 4}, []float64{1, 2, 3, 4, 3, 2, 1}, learning.TooFew},
		{"equal values", []float64{1, 2, 3, 4, 5, 6, 7}, []float64{4, 4, 4, 4, 4, 4, 4}, learning.NoChange},
		{"zeros", []float64{1, 2, 3, 4, 5, 6, 7}, make([]float64, 7), learning.NoChange},
		{"exact line", []float64{1, 2, 3, 4, 5, 6, 7}, []float64{1, 2, 3, 4, 5, 6, 7}, learning.Trend},
		{"a step", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, []float64{9, 1, 1.1, 0.9, 1, 1.1, 1, 0.9, 1, 1}, learning.VerdictUnknown},
		{"huge x", []float64{1e300, 2e300, 3e300, 4e300, 5e300, 6e300}, []float64{1, 2, 2, 3, 3, 5}, learning.VerdictUnknown},
		{"huge y", []float64{1, 2, 3, 4, 5, 6}, []float64{-1e308, 1e308, 1e308, 1e307, 0, 1}, learning.VerdictUnknown},
		{"close x", []float64{1, 1 + 1e-15, 1 + 2e-15, 1 + 3e-15, 2, 3, 4}, []float64{1, 2, 2, 3, 3, 5, 4}, learning.VerdictUnknown},
		{"negative x", []float64{-5, -4, -3, -2, -1, 0, 1}, []float64{1, 2, 2, 3, 3, 5, 4}, learning.VerdictUnknown},
		{"accelerating", []float64{1, 2, 3, 4, 5, 6, 7, 8}, []float64{1, 2, 4, 8, 16, 32, 64, 128}, learning.VerdictUnknown},
		{"alternating", []float64{1, 2, 3, 4, 5, 6, 7, 8}, []float64{1, 2, 1, 2, 1, 2, 1, 2}, learning.NoChange},
	} {
		for _, o := range []learning.Options{{}, {Independent: true}, {Robust: true}, {Prior: 3}, {Level: -1}, {Reach: -1}, {Level: 0.99}} {
			r, err := learning.Fit(tc.x, tc.y, o)
			if err != nil {
				t.Errorf("%s: %v", tc.name, err)
				continue
			}
			if tc.want != learning.VerdictUnknown && r.Verdict != tc.want {
				t.Errorf("%s, %+v: %v, want %v: %s", tc.name, o, r.Verdict, tc.want, r.Sentence)
			}
			if r.Verdict == learning.VerdictUnknown || r.Sentence == "" || len(r.Curves) != 6 {
				t.Errorf("%s: %v, %q, %d curves", tc.name, r.Verdict, r.Sentence, len(r.Curves))
			}
			for _, v := range []estimate.Value[float64]{r.Plateau, r.Expected, r.Done, r.Half, r.NinetyFive, r.Change, r.Likeness} {
				wellFormed(t, tc.name, v)
			}
			for _, c := range r.Curves {
				for _, v := range []estimate.Value[float64]{c.A, c.B, c.C, c.Start, c.Change} {
					wellFormed(t, tc.name+", "+c.Kind.String(), v)
				}
				if v := c.At(r.First); (c.Absent != nil) != math.IsNaN(v) {
					t.Errorf("%s: %v at the first x is %v", tc.name, c.Kind, v)
				}
				if v := c.Band(r.Last); c.Absent == nil {
					wellFormed(t, tc.name, v)
				}
			}
		}
	}
}

func wellFormed(t *testing.T, name string, v estimate.Value[float64]) {
	t.Helper()
	switch {
	case v.Absent != nil:
		if v.Absent.Code == "" || v.Absent.What == "" || v.Absent.Why == "" {
			t.Errorf("%s: absent for no reason: %+v", name, v.Absent)
		}
	case !v.Known() || math.IsNaN(v.Value):
		t.Errorf("%s: neither there nor absent: %+v", name, v)
	case v.Level > 0 && (math.IsNaN(v.Low) || math.IsNaN(v.High)):
		t.Errorf("%s: no bounds at level %v: %+v", name, v.Level, v)
	case v.Level > 0 && !(v.Low <= v.High):
		t.Errorf("%s: bounds in the wrong order: %+v", name, v)
	}
}

func TestErrors(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for _, tc := range []struct {
		x, y []float64
		o    learning.Options
		want string
	}{
		{[]float64{1, inf}, []float64{1, 2}, learning.Options{}, "x[1]"},
		{[]float64{1, 2}, []float64{-inf, 2}, learning.Options{}, "y[0]"},
		{[]float64{1.5e308, -1e308}, []float64{1, 2}, learning.Options{}, "range"},
		{[]float64{1, 2}, []float64{1, 0}, learning.Options{Log: true}, "y[1]"},
		{[]float64{1, 2}, []float64{1, 2}, learning.Options{Errors: []float64{1, 0}}, "Errors[1]"},
		{[]float64{1, 2}, []float64{1, 2}, learning.Options{Errors: []float64{1, nan}}, "Errors[1]"},
		{[]float64{1, 2}, []float64{1, 2}, learning.Options{Prior: -1}, "Prior"},
	} {
		if _, err := learning.Fit(tc.x, tc.y, tc.o); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%v, %v: error %v, want one that names %s", tc.x, tc.y, err, tc.want)
		}
	}
	// A missing value needs no error.
	if _, err := learning.Fit([]float64{1, 2}, []float64{nan, 2}, learning.Options{Errors: []float64{0, 1}}); err != nil {
		t.Error(err)
	}
	for _, f := range []func(){
		func() { learning.Fit([]float64{1}, nil, learning.Options{}) },
		func() { learning.Fit([]float64{1}, []float64{1}, learning.Options{Errors: []float64{}}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Error("slices of unequal length did not panic")
				}
			}()
			f()
		}()
	}
}

// The order of the input, missing values, and the units of x and y change
// nothing but those units.
func TestInvariance(t *testing.T) {
	x, y := series(30, 1, 0.3, 3, func(_, u float64) float64 { return 40 * (1 - math.Exp(-4*u)) })
	want := mustFit(t, x, y, learning.Options{})
	if !want.Plateau.Known() {
		t.Fatalf("no level: %s", want.Sentence)
	}
	var rx, ry []float64
	for i := range x {
		rx = append(rx, 1e6*x[len(x)-1-i], math.NaN(), 7)
		ry = append(ry, 5e8-1e-3*y[len(x)-1-i], 3, math.NaN())
	}
	before := slices.Clone(ry)
	got := mustFit(t, rx, ry, learning.Options{})
	if got.Missing != 60 || got.N != 30 || !slices.EqualFunc(ry, before, func(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }) {
		t.Errorf("%d values, %d missing, or the input was changed", got.N, got.Missing)
	}
	// 5e8 before a scatter of 1e-3 leaves 4 to 5 digits of it.
	const tol = 1e-3
	if got.Verdict != want.Verdict || !close(got.P, want.P, 0.05) ||
		!close(5e8-got.Plateau.Value, 1e-3*want.Plateau.Value, tol) || !close(5e8-got.Plateau.High, 1e-3*want.Plateau.Low, tol) ||
		!close(got.Half.High, 1e6*want.Half.High, tol) || !close(got.Done.Low, want.Done.Low, tol) {
		t.Errorf("got %v %+v %+v\nwant %v %+v %+v", got.Verdict, got.Plateau, got.Half, want.Verdict, want.Plateau, want.Half)
	}
}

// One bad day moves the level by a tenth of the scatter of days, not by all.
func TestRobust(t *testing.T) {
	x, y := series(30, 1, 0, 5, func(_, u float64) float64 { return 20 * (1 - math.Exp(-4*u)) })
	clean := mustFit(t, x, y, learning.Options{Robust: true})
	bad := slices.Clone(y)
	bad[25] -= 30
	plain := mustFit(t, x, bad, learning.Options{})
	pulled := mustFit(t, x, bad, learning.Options{Robust: true})
	a := func(r learning.Result) float64 { return r.Curve(learning.Exponential).A.Value }
	if math.Abs(a(pulled)-a(clean)) > 0.5 || math.Abs(a(plain)-a(clean)) < 1.5 {
		t.Errorf("level %v, with a bad day %v, robust %v", a(clean), a(plain), a(pulled))
	}
	if !slices.Equal(pulled.Outliers, []int{25}) || plain.Outliers != nil {
		t.Errorf("outliers %v and %v, want 25 and none", pulled.Outliers, plain.Outliers)
	}
	if notes := strings.Join(plain.Notes, " "); !strings.Contains(notes, "Options.Robust") {
		t.Errorf("no note of the bad day: %s", notes)
	}
}

// A value with a large error bears little, and a scatter of days beyond the
// errors is found.
func TestStandardErrors(t *testing.T) {
	x, y := series(30, 1, 0, 6, func(_, u float64) float64 { return 20 * (1 - math.Exp(-4*u)) })
	se := make([]float64, len(y))
	for i := range se {
		se[i] = 0.2
	}
	r := mustFit(t, x, y, learning.Options{Errors: se})
	if !(r.Between > 0.6 && r.Between < 1.4) {
		t.Errorf("days scatter by %v beyond 0.2, want about 1", r.Between)
	}
	same := mustFit(t, x, y, learning.Options{})
	if !close(r.Plateau.Low, same.Plateau.Low, 1e-9) {
		t.Errorf("equal errors changed the level from %v to %v", same.Plateau.Low, r.Plateau.Low)
	}
	y[29] -= 30
	se[29] = 300
	if got := mustFit(t, x, y, learning.Options{Errors: se}).Curve(learning.Exponential).A.Value; math.Abs(got-same.Plateau.Value) > 0.5 {
		t.Errorf("level %v with a value that says nothing, %v before", got, same.Plateau.Value)
	}
}

// With Log, changes are ratios and levels are in the unit of the values.
func TestLog(t *testing.T) {
	x, y := series(30, 0.01, 0, 8, func(_, u float64) float64 { return 0.7 * (1 - math.Exp(-5*u)) })
	for i := range y {
		y[i] = 4 * math.Exp(y[i])
	}
	r := mustFit(t, x, y, learning.Options{Log: true})
	if want := 4 * math.Exp(0.7); !(r.Plateau.Low < want && want < r.Plateau.High) {
		t.Errorf("level %+v, want %v", r.Plateau, want)
	}
	if want := math.Exp(0.7 * (1 - math.Exp(-5))); !(r.Change.Low < want && want < r.Change.High) {
		t.Errorf("ratio %+v, want %v", r.Change, want)
	}
	c := r.Curve(r.Best)
	if got := c.At(r.First); !close(got, c.Start.Value, 1e-9) {
		t.Errorf("curve begins at %v, not %v", got, c.Start.Value)
	}
	if b := c.Band(15); !(b.Low < b.Value && b.Value < b.High) || !close(b.Value, c.At(15), 1e-9) {
		t.Errorf("band %+v about %v", b, c.At(15))
	}
	if b := c.Band(31); b.Absent == nil || !math.IsNaN(c.At(31)) {
		t.Errorf("the curve goes on beyond the values: %+v", b)
	}
}

func TestText(t *testing.T) {
	for k := learning.KindUnknown; k <= learning.Power; k++ {
		var back learning.Kind
		b, err := json.Marshal(k)
		if err != nil || json.Unmarshal(b, &back) != nil || back != k {
			t.Errorf("%v became %s, then %v", k, b, back)
		}
	}
	for v := learning.VerdictUnknown; v <= learning.Reached; v++ {
		var back learning.Verdict
		b, err := json.Marshal(v)
		if err != nil || json.Unmarshal(b, &back) != nil || back != v {
			t.Errorf("%v became %s, then %v", v, b, back)
		}
	}
	var k learning.Kind
	var v learning.Verdict
	if k.UnmarshalText([]byte("parabola")) == nil || v.UnmarshalText([]byte("fine")) == nil {
		t.Error("unknown names are accepted")
	}
	if learning.Kind(99).String() != "" || learning.Verdict(-1).String() != "" {
		t.Error("unknown numbers have names")
	}
	if c := (learning.Result{}).Curve(learning.Power); c.Band(1).Absent == nil || !math.IsNaN(c.At(1)) {
		t.Error("a curve that is none has values")
	}
}

func BenchmarkFit(b *testing.B) {
	for _, n := range []int{12, 100} {
		x, y := series(n, 1, 0.3, 1, func(_, u float64) float64 { return 20 * (1 - math.Exp(-4*u)) })
		for _, o := range []learning.Options{{}, {Independent: true}} {
			b.Run(map[bool]string{false: "likeness", true: "independent"}[o.Independent]+map[int]string{12: "12", 100: "100"}[n], func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := learning.Fit(x, y, o); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
