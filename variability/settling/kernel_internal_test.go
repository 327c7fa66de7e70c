package settling

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"
)

// reference is testdata/reference/settling.json, made by settling.py there by
// enumeration of all paths and of all breaks.
type reference struct {
	Chains []struct {
		Name            string
		Start           [2]float64
		Move            [2][2]float64
		Emit            [][2]float64
		Loglik, Logprob float64
		Posterior       []float64
		Path            []bool
	}
	Breaks []struct {
		Name   string
		Y      []float64
		Minlen int
		Best   []struct {
			At       []int
			RSS, BIC float64
		}
	}
}

func readReference(t *testing.T) (r reference) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/reference/settling.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// near reports |got-want| ≤ 1e-12 max(1, |want|): closed forms.
func near(got, want float64) bool { return math.Abs(got-want) <= 1e-12*max(1, math.Abs(want)) }

func TestChain(t *testing.T) {
	for _, tt := range readReference(t).Chains {
		t.Run(tt.Name, func(t *testing.T) {
			c := chain{tt.Start, tt.Move}
			p, ll := c.smooth(nil, tt.Emit)
			if !near(ll, tt.Loglik) {
				t.Errorf("log-likelihood %v, want %v", ll, tt.Loglik)
			}
			for i := range p {
				if !near(p[i], tt.Posterior[i]) {
					t.Errorf("posterior %d: %v, want %v", i, p[i], tt.Posterior[i])
				}
			}
			path, lp := c.decode(nil, tt.Emit)
			if d := cmp.Diff(tt.Path, path); d != "" {
				t.Errorf("path (-want +got):\n%s", d)
			}
			if !near(lp, tt.Logprob) {
				t.Errorf("log-probability of the path %v, want %v", lp, tt.Logprob)
			}
		})
	}
}

// TestChainPublished holds the printed digits of the worked examples.
func TestChainPublished(t *testing.T) {
	round := func(v, unit float64) float64 { return math.Round(v/unit) * unit }
	r := readReference(t)
	umbrella, fever := r.Chains[0], r.Chains[1]
	c := chain{umbrella.Start, umbrella.Move}
	// Forward-backward algorithm, the encyclopaedia's example after Russell &
	// Norvig: smoothed 0.6469 before the first day, then these (from memory).
	p, _ := c.smooth(nil, append([][2]float64{{}}, umbrella.Emit...))
	for i, want := range []float64{0.6469, 0.8673, 0.8204, 0.3075, 0.8204, 0.8673} {
		if got := round(p[i], 1e-4); math.Abs(got-want) > 1e-9 {
			t.Errorf("umbrella, day %d: %.4f, want %.4f", i, got, want)
		}
	}
	// Viterbi algorithm, the encyclopaedia's example: 0.01512 (from memory).
	c = chain{fever.Start, fever.Move}
	if _, lp := c.decode(nil, fever.Emit); math.Abs(math.Exp(lp)-0.01512) > 1e-9 {
		t.Errorf("fever: %v, want 0.01512", math.Exp(lp))
	}
}

func TestChainEdges(t *testing.T) {
	c := sticky(10)
	if p, ll := c.smooth(nil, nil); len(p) != 0 || ll != 0 {
		t.Errorf("nothing observed: %v %v", p, ll)
	}
	if path, lp := c.decode(nil, nil); len(path) != 0 || lp != 0 {
		t.Errorf("nothing observed: %v %v", path, lp)
	}
	// Densities far below the smallest float64 must not underflow.
	emit := [][2]float64{{-2000, -2001}, {-3000, -2990}}
	p, ll := c.smooth(nil, emit)
	if math.IsNaN(p[0]) || !(p[1] > 0.99) || math.IsInf(ll, 0) {
		t.Errorf("tiny densities: %v %v", p, ll)
	}
	// What cannot change stays what it was.
	c = chain{[2]float64{0, 1}, [2][2]float64{{1, 0}, {0, 1}}}
	if p, _ := c.smooth(nil, [][2]float64{{0, -1}, {0, -1}}); p[0] != 1 || p[1] != 1 {
		t.Errorf("no moves: %v, want 1 1", p)
	}
}

// column puts y in the first feature of a take with one stroke a second.
func column(y []float64) *columns {
	c := &columns{rate: 1, parts: []run{{0, len(y)}}}
	for i, v := range y {
		c.x = append(c.x, [features]float64{v, math.NaN(), math.NaN()})
		c.start, c.end = append(c.start, float64(i)), append(c.end, float64(i+1))
	}
	c.up = make([]bool, len(y))
	return c
}

// TestBreaks: cuts one by one against the best of all ways to place them.
// Conventions agree: the difference of BICs is that of R strucchange 1.5-3,
// 48.1581 for the break of the Nile at 28 (1898).
func TestBreaks(t *testing.T) {
	for _, tt := range readReference(t).Breaks {
		t.Run(tt.Name, func(t *testing.T) {
			var s sums
			y := column(tt.Y).x
			s.set(y, make([]bool, len(y)))
			allowed := func(r run) bool { return r.len() >= tt.Minlen }
			all := run{0, len(y)}
			if got := s.rss(all, 0); math.Abs(got-tt.Best[0].RSS) > 1e-9*tt.Best[0].RSS {
				t.Errorf("no break: RSS %v, want %v", got, tt.Best[0].RSS)
			}
			c := s.best(all, [features]float64{1}, allowed)
			if c.at != tt.Best[1].At[0] || math.Abs(c.gain-(tt.Best[0].RSS-tt.Best[1].RSS)) > 1e-9*tt.Best[0].RSS {
				t.Errorf("one break: %+v, want %+v", c, tt.Best[1])
			}
			// The break of the lowest BIC, whole method.
			want := tt.Best[0]
			for _, b := range tt.Best {
				if b.BIC < want.BIC {
					want = b
				}
			}
			unit := math.Sqrt(want.RSS / float64(len(y))) // so that leastSD is nothing
			scaled := slices.Clone(tt.Y)
			for i := range scaled {
				scaled[i] /= unit
			}
			cols := column(scaled)
			m := &model{settled: [features]float64{1, 1, 1}}
			ft := newFitter(cols, m, make([]float64, len(y)), make([]float64, len(y)), 1)
			cs := ft.fit(all)
			var at []int
			for _, r := range ft.plateaus(&cs, float64(tt.Minlen)) {
				if r.lo > 0 {
					at = append(at, r.lo)
				}
			}
			if d := cmp.Diff(want.At, at); d != "" {
				t.Errorf("plateaus (-want +got):\n%s", d)
			}
		})
	}
}

// TestNotPlateaus: what moves smoothly or wanders has none.
func TestNotPlateaus(t *testing.T) {
	for name, next := range map[string]func(i int, rng *rand.Rand, before float64) float64{
		"still":  func(i int, rng *rand.Rand, _ float64) float64 { return rng.NormFloat64() },
		"line":   func(i int, rng *rand.Rand, _ float64) float64 { return float64(i)/20 + rng.NormFloat64() },
		"arc":    func(i int, rng *rand.Rand, _ float64) float64 { return 5*math.Sin(float64(i)/50) + rng.NormFloat64() },
		"wander": func(i int, rng *rand.Rand, v float64) float64 { return 0.9*v + rng.NormFloat64() },
	} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(3, 4))
			found := 0
			for range 100 {
				y := make([]float64, 150)
				for i := 1; i < len(y); i++ {
					y[i] = next(i, rng, y[i-1])
				}
				c := column(y)
				ft := newFitter(c, &model{settled: [features]float64{1, 1, 1}}, make([]float64, 150), make([]float64, 150), 1)
				cs := ft.fit(run{0, 150})
				if ft.plateaus(&cs, 10) != nil {
					found++
				}
			}
			if found > 5 {
				t.Errorf("plateaus in %d of 100", found)
			}
		})
	}
}

// TestInnovation compares the closed form with the Kalman filter run until
// its variance settles.
func TestInnovation(t *testing.T) {
	for _, tt := range []struct{ phi, signal, noise float64 }{
		{0.9, 1, 0.5}, {0.5, 2, 0.1}, {0.95, 0.1, 1}, {0.3, 1, 0}, {0.7, 1, 3},
	} {
		q, p := tt.signal*(1-tt.phi*tt.phi), tt.signal
		for range 10_000 {
			p = tt.phi*tt.phi*p*tt.noise/(p+tt.noise) + q
		}
		g := [3]float64{tt.signal + tt.noise, tt.phi * tt.signal, tt.phi * tt.phi * tt.signal}
		if got, want := innovation(g), p+tt.noise; !near(got, want) {
			t.Errorf("%+v: %v, want %v", tt, got, want)
		}
	}
	if got := innovation([3]float64{2, -0.3, 0.1}); got != 2 {
		t.Errorf("nothing carried over: %v, want 2", got)
	}
}

// TestPoly compares all degrees with gonum's least squares by QR.
func TestPoly(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	x, y := make([]float64, 40), make([]float64, 40)
	for i := range x {
		x[i] = 3*float64(i)/40 + 0.05*rng.Float64() - 1
		y[i] = 1 + x[i] - 2*x[i]*x[i]*x[i] + rng.NormFloat64()
	}
	p := fitPoly(x, y)
	for degree := range maxDegree + 1 {
		a := mat.NewDense(len(x), degree+1, nil)
		for i, v := range x {
			for k := range degree + 1 {
				a.Set(i, k, math.Pow(v, float64(k)))
			}
		}
		var qr mat.QR
		qr.Factorize(a)
		var coef, fit mat.VecDense
		if err := qr.SolveVecTo(&coef, false, mat.NewVecDense(len(y), y)); err != nil {
			t.Fatal(err)
		}
		fit.MulVec(a, &coef)
		rss := 0.0
		for i := range y {
			rss += (y[i] - fit.AtVec(i)) * (y[i] - fit.AtVec(i))
			if got := p.at(x[i], degree); math.Abs(got-fit.AtVec(i)) > 1e-10 {
				t.Fatalf("degree %d at %v: %v, want %v", degree, x[i], got, fit.AtVec(i))
			}
		}
		if math.Abs(p.rss[degree]-rss) > 1e-10*rss {
			t.Errorf("degree %d: RSS %v, want %v", degree, p.rss[degree], rss)
		}
	}
	// Two different times determine no more than a line.
	p = fitPoly([]float64{0, 0, 1, 1}, []float64{1, 3, 5, 7})
	if !near(p.rss[1], 4) || p.rss[3] != p.rss[1] || !near(p.at(0.5, 3), 4) {
		t.Errorf("two times: %+v", p)
	}
}

func TestRollingMedian(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for _, n := range []int{0, 1, 2, 6, 7, 8, 50} {
		xs := make([]float64, n)
		for i := range xs {
			xs[i] = math.Round(4 * rng.NormFloat64()) // with ties
		}
		got := make([]float64, n)
		rollingMedian(got, xs, nil, 7)
		w := min(7, n)
		for i := range xs {
			lo := min(max(i-w/2, 0), n-w)
			s := slices.Sorted(slices.Values(xs[lo : lo+w]))
			if want := (s[(w-1)/2] + s[w/2]) / 2; got[i] != want {
				t.Errorf("n %d at %d: %v, want %v", n, i, got[i], want)
			}
		}
	}
}
