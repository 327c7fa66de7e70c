package circular_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/circular"
)

// fromR is testdata/reference/circular_R.json, made by circular_R.R there.
type fromR struct {
	P    []float64
	Sets []struct {
		Name      string
		Deg       []float64
		Mu        float64 `json:"mu_deg"`
		VMean     float64 `json:"v_mean"`
		VP        float64 `json:"v_p"`
		Watson    float64
		Range     float64    `json:"range_deg"`
		Kappa     float64    `json:"kappa_bias"`
		Quantiles []*float64 `json:"quantile_deg"`
	}
	Groups []struct {
		Name string
		Deg  [][]float64
		F    float64 `json:"concentration_f"`
		P    float64 `json:"concentration_p"`
		Mean float64 `json:"watson_williams_f"`
	}
	Pairs []struct {
		Name   string
		A, B   []float64
		RhoT   float64 `json:"rho_t"`
		Sine   float64
		SineP  float64 `json:"sine_p"`
		Linear float64
	}
}

// fromScipy is testdata/reference/circular_scipy.json, made by circular_scipy.py.
type fromScipy struct {
	V []struct {
		V float64
		N int
		P float64
	}
	Moments []struct {
		Name             string
		Axes             bool
		Deg              []float64
		Rho2, Dispersion float64
		KappaSmall       float64 `json:"kappa_small"`
	}
}

func read[T any](t *testing.T, name string) (v T) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestAgainstR(t *testing.T) {
	r := read[fromR](t, "circular_R.json")
	for _, s := range r.Sets {
		angles := degrees(s.Deg...)
		n := float64(len(angles))
		v := circular.VTest(angles, circular.Angle(s.Mu)*circular.Degree, circular.Options{})
		if !near(v.Statistic, s.VMean*math.Sqrt(2*n), 1e-12) {
			t.Errorf("%s: u = %v, want %v", s.Name, v.Statistic, s.VMean*math.Sqrt(2*n))
		}
		// R has an expansion in 1/n, which ends below 0 at 27.2 and is set to 0.
		if !near(v.P, s.VP, 3e-4) {
			t.Errorf("%s: V test P = %v, R's expansion %v", s.Name, v.P, s.VP)
		}
		u := circular.WatsonU2(angles, circular.Options{}).Statistic
		if u = (u - 0.1/n + 0.1/(n*n)) * (1 + 0.8/n); !near(u, s.Watson, 1e-11) { // R prints the modified one
			t.Errorf("%s: modified U² = %v, want %v", s.Name, u, s.Watson)
		}
		if a := circular.ShortestArc(angles, 1, circular.Options{}); !near(a.Width.Degrees(), s.Range, 1e-10) || a.N != len(s.Deg) {
			t.Errorf("%s: range %v°, want %v°", s.Name, a.Width.Degrees(), s.Range)
		}
		// R corrects the approximation of Best and Fisher to κ, good to 0.6 % (more
		// where 2/(nκ) is large beside κ).
		if k := circular.Directional(angles, circular.Options{}).KappaSmall; !scalar.EqualWithinAbsOrRel(k, s.Kappa, 0.01, 0.0065) {
			t.Errorf("%s: κ corrected %v, R's approximation %v", s.Name, k, s.Kappa)
		}
		for i, want := range s.Quantiles {
			if want == nil { // an even number, of which R takes another median
				continue
			}
			q := circular.Quantile(angles, r.P[i], circular.Options{})
			if !q.Known() || !alike(q.Value.Degrees(), *want, 360, 1e-9) {
				t.Errorf("%s: quantile %v is %v°, want %v°", s.Name, r.P[i], q.Value.Degrees(), *want)
			}
		}
	}
	for _, g := range r.Groups {
		var groups [][]circular.Angle
		for _, d := range g.Deg {
			groups = append(groups, degrees(d...))
		}
		c := circular.EqualConcentration(groups, circular.Options{})
		if !near(c.Statistic, g.F, 1e-10) || !near(c.P, g.P, 1e-10) {
			t.Errorf("%s: concentration F %v, P %v; want %v, %v", g.Name, c.Statistic, c.P, g.F, g.P)
		}
		// R has another κ in the factor 1 + 3/8κ.
		w := circular.WatsonWilliams(groups, circular.Options{})
		if !scalar.EqualWithinRel(w.Statistic, g.Mean, 0.015) {
			t.Errorf("%s: Watson-Williams F %v, R %v", g.Name, w.Statistic, g.Mean)
		}
	}
	for _, p := range r.Pairs {
		a, b := degrees(p.A...), degrees(p.B...)
		o := circular.Options{Draws: 9999}
		if got := circular.CorrelationT(a, b, o); !near(got.Statistic, p.RhoT, 1e-11) {
			t.Errorf("%s: ρ = %v, want %v", p.Name, got.Statistic, p.RhoT)
		}
		got := circular.CorrelationSine(a, b, o)
		if !near(got.Statistic, p.Sine, 1e-11) {
			t.Errorf("%s: r = %v, want %v", p.Name, got.Statistic, p.Sine)
		}
		// R compares with a normal distribution, good to a few per cent at n = 21.
		if !near(got.P, p.SineP, 0.03) {
			t.Errorf("%s: P of r = %v, normal %v", p.Name, got.P, p.SineP)
		}
		if got := circular.CorrelationLinear(a, p.B, o); !near(got.Statistic, p.Linear, 1e-11) {
			t.Errorf("%s: R² = %v, want %v", p.Name, got.Statistic, p.Linear)
		}
	}
}

func TestAgainstScipy(t *testing.T) {
	r := read[fromScipy](t, "circular_scipy.json")
	for _, c := range r.V {
		// Mirrored pairs, and one angle at 0 if n is odd, add up to V along 0.
		angles := make([]circular.Angle, 0, c.N)
		rest := c.V
		if c.N%2 == 1 {
			angles = append(angles, 0)
			rest--
		}
		at := circular.Angle(math.Acos(rest / float64(c.N-c.N%2)))
		for len(angles) < c.N {
			angles = append(angles, at, -at)
		}
		got := circular.VTest(angles, 0, circular.Options{})
		if !near(got.P, c.P, 1e-12) { // rounding of both sums
			t.Errorf("V = %v of %d: P = %v, want %v", c.V, c.N, got.P, c.P)
		}
	}
	for _, c := range r.Moments {
		summarize := circular.Directional
		if c.Axes {
			summarize = circular.Axial
		}
		s := summarize(degrees(c.Deg...), circular.Options{})
		if !near(s.Rho2, c.Rho2, 1e-13) || !near(s.Dispersion, c.Dispersion, 1e-13) || !near(s.KappaSmall, c.KappaSmall, 1e-10) {
			t.Errorf("%s: %v, %v, %v; want %+v", c.Name, s.Rho2, s.Dispersion, s.KappaSmall, c)
		}
	}
}

// TestPublishedTests holds figures printed in books, to their last digit.
func TestPublishedTests(t *testing.T) {
	none := circular.Options{}
	const right = 90 * circular.Degree
	zar := degrees(66, 75, 86, 88, 88, 93, 97, 101, 118, 130)
	v := circular.VTest(zar, right, none)
	if m := circular.MeanTest(zar, right, none); !(m.P > 0.05) {
		t.Errorf("Zar 2010, ex. 27.3: %+v, want not rejected", m)
	}
	seven := [][]circular.Angle{
		degrees(94, 65, 45, 52, 38, 47, 73, 82, 90, 40, 87), degrees(77, 70, 61, 45, 50, 35, 48, 65, 36)}
	eight := [][]circular.Angle{
		degrees(135, 145, 125, 140, 165, 170), degrees(150, 130, 175, 190, 180, 220), degrees(140, 165, 185, 180, 125, 175, 140)}
	w7, w8 := circular.WatsonWilliams(seven, none), circular.WatsonWilliams(eight, none)
	mids := make([]circular.Angle, 12)
	for i := range mids {
		mids[i] = circular.Angle(15+30*i) * circular.Degree
	}
	counts := []float64{0, 6, 9, 13, 15, 22, 17, 12, 8, 3, 0, 0}
	rough, fine := circular.Grouped(mids, counts, 0, none), circular.Grouped(mids, counts, 30*circular.Degree, none)
	wind := [][]circular.Angle{
		degrees(356, 97, 211, 232, 343, 292, 157, 302, 335, 302, 324, 85, 324, 340, 157, 238, 254, 146, 232, 122, 329),
		degrees(119, 162, 221, 259, 270, 29, 97, 292, 40, 313, 94, 45, 47, 108, 221, 270, 119, 248, 270, 45, 23)}
	many := circular.Options{Draws: 9999}
	winds := circular.CorrelationT(wind[0], wind[1], many)
	for _, c := range []struct {
		source         string
		got, want, tol float64
	}{
		{"Zar 2010, ex. 27.2, u", v.Statistic, 4.248, 1e-3},
		{"Zar 2010, ex. 27.2, V", v.Statistic * math.Sqrt(5), 9.498, 1e-3},
		{"Zar 2010, ex. 27.2, P < 0.0005", v.P, 0.00025, 0.00025},
		{"Zar 2010, ex. 27.7, F (from R = 10.3172, 8.7323, 18.9672)", w7.Statistic, 1.6128, 5e-5},
		{"Zar 2010, ex. 27.7, degrees of freedom", w7.DF[1], 18, 0},
		{"Zar 2010, ex. 27.7, P", w7.P, 0.220275, 5e-6},
		{"Zar 2010, ex. 27.8, F", w8.Statistic, 1.864782, 5e-6},
		{"Zar 2010, ex. 27.8, P by the exact root of κ", w8.P, 0.1870768, 5e-7},
		{"Zar 2010, ex. 27.8, P, CircStat vectors, approximate κ", w8.P, 0.1870637, 5e-5},
		{"Zar 2010, ex. 26.3, n", float64(rough.N), 105, 0},
		{"Zar 2010, ex. 26.3, r", rough.R, 0.55064, 5e-6},
		{"Zar 2010, ex. 26.3, mean", rough.Mean.Value.Degrees(), 162, 0.5},
		{"Zar 2010, ex. 26.5, s0", rough.SD.Degrees(), 63, 0.5},
		{"Zar 2010, 26.7, corrected r, c = 1.0115151599", fine.R, 0.5569757, 5e-8},
		{"Zar 2010, 26.7, corrected s0", fine.SD.Degrees(), 61.987, 5e-4},
		{"Fisher 1993, ex. 6.8, ρ", winds.Statistic, 0.191, 5e-4},
		{"Fisher 1993, ex. 6.8, P of a randomisation, near 0.01", winds.P, 0.01, 0.01},
		{"Jammalamadaka & SenGupta 2001, ex. 8.1", circular.CorrelationSine(wind[0], wind[1], many).Statistic, 0.2704648, 1e-7},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: got %v, want %v ± %v", c.source, c.got, c.want, c.tol)
		}
	}
	if w8.Doubt != nil || w7.Doubt != nil {
		t.Errorf("doubts about Zar's examples: %+v, %+v", w7.Doubt, w8.Doubt)
	}
	// Upper points of the modified U²: Stephens (1970), as R circular's
	// watson.test has them, to three decimals. By the limiting distribution itself
	// P of 0.267 is 0.0103: the table's last digits are not of it.
	for _, c := range []struct{ x, p float64 }{{0.152, 0.10}, {0.187, 0.05}, {0.221, 0.025}, {0.267, 0.01}} {
		if got := circular.WatsonP(c.x); !near(got, c.p, 0.03*c.p) {
			t.Errorf("P of a modified U² of %v is %v, want %v", c.x, got, c.p)
		}
	}
}
