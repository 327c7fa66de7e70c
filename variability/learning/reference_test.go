package learning

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"
)

func readReference(t *testing.T, name string, into any) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, into); err != nil {
		t.Fatal(err)
	}
}

// pyReference is learning_py.json, made by learning_py.py beside it: NIST's
// certified values, intervals by scipy 1.10.1, τ² by statsmodels 0.13.5.
type pyReference struct {
	Sets []struct {
		Name           string
		X, Y, Coef, SD []float64
		RSS, RSD       float64
	}
	Profiles []struct {
		Name      string
		X, Y      []float64
		Low, High float64
	}
	Days []struct {
		Y, SE []float64
		Tau2  float64
	}
}

// rReference is learning_r.json, made by learning_r.R beside it with R 4.2.2,
// MASS 7.3-58.2 and nlme 3.1-162.
type rReference struct {
	Curves []struct {
		Name                      string
		X, Y, Coef, SE, Low, High []float64
		RSS                       float64
	}
	Lines []struct {
		Rho, Sigma, LogLik float64
		Coef, SE           []float64
	}
	Huber struct{ X, Y, Coef []float64 }
}

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol*math.Abs(want) }

// fromZero fits y = b (1 - exp(-C x)), which is no curve of practice but the
// model of two certified sets and of BOD: an exponential held at 0 where x is 0
// by a value there that weighs 10¹² times as much as the others.
func fromZero(x, y []float64) (b, c, rss, low, high float64) {
	x, y = append([]float64{0}, x...), append([]float64{0}, y...)
	p := data{x: x, y: y}.problem()
	p.root[0] = 1e6
	s := shapes(x, 0)[Exponential]
	v := newSolver(s, p, 0)
	nd := v.polish(v.best())
	profile := v.profile(0.001)
	profile.nu = float64(len(x) - 3) // the value at 0 is none, and one parameter is spent on it
	m := mixture{profile}
	lo, hi := m.kappaInterval(0.95, nd.u, func(s *shape, t float64) float64 { return s.kappa(t) }, true)
	span := s.clock.span
	return nd.b1 * level(nd.kappa) * p.scale, nd.kappa / span, (nd.rss - p.floor) * p.scale * p.scale,
		s.kappa(lo) / span, s.kappa(hi) / span
}

func TestNIST(t *testing.T) {
	var ref pyReference
	readReference(t, "learning_py.json", &ref)
	for _, set := range ref.Sets {
		var got []float64
		var rss, rsd float64
		// Certified values have 11 digits; rounding them is 5e-11 of a first
		// digit of 1.
		const tol = 5e-11
		switch set.Name {
		case "Misra1a", "BoxBOD":
			b, c, r, _, _ := fromZero(set.X, set.Y)
			got, rss = []float64{b, c}, r
			rsd = math.Sqrt(rss / float64(len(set.X)-2))
		case "DanWood":
			c := fitKind(t, set.X, set.Y, PowerToZero)
			got, rss, rsd = []float64{c.B.Value, -c.C.Value}, c.RSS, c.Scatter
		case "Norris":
			c := fitKind(t, set.X, set.Y, Line)
			got, rss, rsd = []float64{c.A.Value, c.B.Value}, c.RSS, c.Scatter
			// Student's interval is the certified standard deviation times
			// t(34), 0.975 quantile 2.032245 (table, 7 digits).
			if half := (c.B.High - c.B.Low) / 2; !near(half, 2.0322445*set.SD[1], 1e-6) {
				t.Errorf("Norris: half the interval of the slope %v, want %v", half, 2.0322445*set.SD[1])
			}
		default:
			t.Fatalf("%s: no such set", set.Name)
		}
		for i, want := range set.Coef {
			if !near(got[i], want, tol) {
				t.Errorf("%s: b%d %v, certified %v", set.Name, i+1, got[i], want)
			}
			t.Logf("%s: b%d to %.1f digits", set.Name, i+1, -math.Log10(math.Abs(got[i]/want-1)+1e-16))
		}
		if !near(rss, set.RSS, 1e-9) || !near(rsd, set.RSD, tol) {
			t.Errorf("%s: RSS %v, standard deviation %v, certified %v and %v", set.Name, rss, rsd, set.RSS, set.RSD)
		}
	}
}

func fitKind(t *testing.T, x, y []float64, k Kind) Curve {
	t.Helper()
	r, err := Fit(x, y, Options{Independent: true})
	if err != nil {
		t.Fatal(err)
	}
	c := r.Curve(k)
	if c.Absent != nil {
		t.Fatalf("no %v: %v", k, c.Absent.Why)
	}
	return c
}

// R's nls with the profile intervals of MASS, which are interpolated by splines
// through 6 points or so on each side: 1e-3 of the standard error.
func TestCurvesR(t *testing.T) {
	var ref rReference
	readReference(t, "learning_r.json", &ref)
	for _, want := range ref.Curves {
		if want.Name == "BOD" {
			b, c, rss, _, _ := fromZero(want.X, want.Y)
			if !near(b, want.Coef[0], 1e-5) || !near(c, want.Coef[1], 1e-5) || !near(rss, want.RSS, 1e-7) {
				t.Errorf("BOD: %v, %v, RSS %v, want %v, RSS %v", b, c, rss, want.Coef, want.RSS)
			}
			continue
		}
		kind := Exponential
		if want.Name == "noisy power" {
			kind = Power
		}
		c := fitKind(t, want.X, want.Y, kind)
		if !near(c.RSS, want.RSS, 1e-9) {
			t.Errorf("%s: RSS %v, want %v", want.Name, c.RSS, want.RSS)
		}
		for i, v := range []struct{ value, low, high float64 }{
			{c.A.Value, c.A.Low, c.A.High}, {c.B.Value, c.B.Low, c.B.High}, {c.C.Value, c.C.Low, c.C.High},
		} {
			// R stops at a relative offset of 1e-7, some 1e-6 of the errors.
			if math.Abs(v.value-want.Coef[i]) > 1e-5*want.SE[i] {
				t.Errorf("%s: coefficient %d %v, want %v", want.Name, i, v.value, want.Coef[i])
			}
			tol := 1e-3 * want.SE[i]
			if kind == Power {
				tol *= 10 // the bound lies 5 standard errors off
			}
			if math.Abs(v.low-want.Low[i]) > tol || math.Abs(v.high-want.High[i]) > tol {
				t.Errorf("%s: coefficient %d from %v to %v, want %v to %v", want.Name, i, v.low, v.high, want.Low[i], want.High[i])
			}
		}
	}
}

// The same profile searched by scipy to the last digits. The tolerance is what
// 40 nodes leave, in lengths of the interval.
func TestProfileScipy(t *testing.T) {
	var ref pyReference
	readReference(t, "learning_py.json", &ref)
	for i, kind := range []Kind{Exponential, Power} {
		want := ref.Profiles[i]
		c := fitKind(t, want.X, want.Y, kind)
		if tol := 5e-5 * (want.High - want.Low); math.Abs(c.A.Low-want.Low) > tol || math.Abs(c.A.High-want.High) > tol {
			t.Errorf("%v: level from %v to %v, want %v to %v", kind, c.A.Low, c.A.High, want.Low, want.High)
		}
	}
	bod := ref.Profiles[2]
	_, _, _, low, high := fromZero(bod.X, bod.Y)
	// The upper bound, 1.81, is past 4 ln 2/2, where a curve is over by the
	// third place on the x axis.
	if !near(low, bod.Low, 5e-5) || !math.IsInf(high, 1) || bod.High < 2*math.Ln2 {
		t.Errorf("BOD: rate from %v to %v, want %v to infinity", low, high, bod.Low)
	}
}

// A line under autocorrelated errors of known ρ, by generalised least squares
// and restricted likelihood of nlme.
func TestLinesR(t *testing.T) {
	var ref rReference
	readReference(t, "learning_r.json", &ref)
	x, y := ref.Curves[0].X, ref.Curves[0].Y
	p := data{x: x, y: y}.problem()
	s := shapes(x, 0)[Line]
	n := len(x)
	var first float64
	for i, want := range ref.Lines {
		nd := newSolver(s, p, want.Rho).at(0)
		sigma := math.Sqrt(nd.rss / float64(n-2))
		slope := nd.b1 * p.scale / s.clock.span
		se := sigma * math.Sqrt(nd.v11) * p.scale / s.clock.span
		if !near(slope, want.Coef[1], 1e-10) || !near(se, want.SE[1], 1e-10) || !near(sigma*p.scale, want.Sigma, 1e-10) {
			t.Errorf("ρ %v: slope %v ± %v, σ %v, want %v ± %v, %v", want.Rho, slope, se, sigma*p.scale, want.Coef[1], want.SE[1], want.Sigma)
		}
		start := nd.b0*p.scale + p.mid - slope*x[0]
		if !near(start, want.Coef[0], 1e-10) {
			t.Errorf("ρ %v: intercept %v, want %v", want.Rho, start, want.Coef[0])
		}
		log := -(float64(n-2)*math.Log(nd.rss) + float64(n-1)*math.Log(1-want.Rho*want.Rho) + logDet(n, 2, want.Rho)) / 2
		if i == 0 {
			first = log
		}
		// Likelihoods agree up to what does not depend on ρ.
		if got, want := log-first, want.LogLik-ref.Lines[0].LogLik; math.Abs(got-want) > 1e-9 {
			t.Errorf("ρ %v: restricted likelihood %v over that of 0, want %v", ref.Lines[i].Rho, got, want)
		}
	}
}

// Huber's estimate by R's MASS, by least squares with weights instead of
// pseudo-values. R writes Φ⁻¹(3/4) as 0.6745 and stops at 1e-10.
func TestHuberR(t *testing.T) {
	var ref rReference
	readReference(t, "learning_r.json", &ref)
	h := ref.Huber
	p := data{x: h.X, y: h.Y}.problem()
	list := map[Kind]*shape{Line: shapes(h.X, 0)[Line]}
	far := p.pullIn(list)
	if !slices.Equal(far, []int{5, 14}) {
		t.Errorf("values %v lie far off, want 5 and 14", far)
	}
	nd := newSolver(list[Line], p, 0).at(0)
	slope := nd.b1 * p.scale / list[Line].clock.span
	start := nd.b0*p.scale + p.mid - slope*h.X[0]
	if !near(slope, h.Coef[1], 1e-5) || !near(start, h.Coef[0], 1e-4) {
		t.Errorf("line %v + %v x, want %v", start, slope, h.Coef)
	}
	if !(p.factor > 1 && p.factor < 2) {
		t.Errorf("standard errors times %v", p.factor)
	}
}

// Paule and Mandel's variance by statsmodels, which stops at 1e-5 of it.
func TestWeighStatsmodels(t *testing.T) {
	var ref pyReference
	readReference(t, "learning_py.json", &ref)
	for _, d := range ref.Days {
		x := make([]float64, len(d.Y))
		for i := range x {
			x[i] = float64(i)
		}
		p := data{x: x, y: d.Y}.problem()
		tau := p.weigh(d.SE, map[Kind]*shape{Constant: shapes(x, 0)[Constant]})
		if !near(tau*tau, d.Tau2, 1e-4) {
			t.Errorf("variance between days %v, want %v", tau*tau, d.Tau2)
		}
	}
}
