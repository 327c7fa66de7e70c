package variability_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/plectrace/plectrace/variability"
)

// fromR is testdata/reference/ranks_R.json, made by ranks_R.R there.
type fromR struct {
	Spearman []struct {
		X, Y   []float64
		Rho, P float64
		TP     float64 `json:"t_p"`
	}
	Partial []struct {
		X, Y            []float64
		Z               [][]float64
		R, P, Low, High float64
		RankR           float64 `json:"rank_r"`
		RankP           float64 `json:"rank_p"`
	}
	Adjusted []struct{ P, Holm, BH []float64 }
	Repeats  []struct {
		Name          string
		Units         [][]float64
		DF            int
		SW, Low, High float64
		ICC           float64
		ICCLow        float64 `json:"icc_low"`
		ICCHigh       float64 `json:"icc_high"`
		Change        float64
	}
}

func readJSON[T any](t *testing.T, name string) (v T) {
	t.Helper()
	text, err := os.ReadFile("../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestRanksAgainstR(t *testing.T) {
	r := readJSON[fromR](t, "ranks_R.json")
	for i, c := range r.Spearman {
		got := variability.Spearman(c.X, c.Y, variability.Options{})
		if !near(got.R.Value, c.Rho, 1e-13) || got.R.N != len(c.X) || got.Exact != (len(c.X) <= 10) {
			t.Errorf("%d: %+v, want %v", i, got, c.Rho)
		}
		// R has the t approximation for ties, and the series of AS 89 from 10 pairs
		// on, which is not the t approximation that serves here from 11 on.
		want, tol := c.P, 1e-12
		switch n := len(c.X); {
		case n == 10:
			tol = 3e-4
		case n > 10:
			want = c.TP
		}
		if !near(got.P, want, tol) {
			t.Errorf("%d: P = %v, want %v", i, got.P, want)
		}
	}
	for i, c := range r.Partial {
		got, ranks := variability.PartialCorrelation(c.X, c.Y, c.Z, variability.Options{}), variability.PartialSpearman(c.X, c.Y, c.Z, variability.Options{})
		if !near(got.R.Value, c.R, 1e-12) || !near(got.P, c.P, 1e-10) || !near(got.R.Low, c.Low, 1e-12) || !near(got.R.High, c.High, 1e-12) {
			t.Errorf("partial %d: %+v, want %+v", i, got, c)
		}
		if !near(ranks.R.Value, c.RankR, 1e-12) || !near(ranks.P, c.RankP, 1e-10) {
			t.Errorf("partial ranks %d: %+v, want %v, %v", i, ranks, c.RankR, c.RankP)
		}
	}
	for i, c := range r.Adjusted {
		holm, bh := variability.Holm(nil, c.P), variability.BenjaminiHochberg(nil, c.P)
		for j := range c.P {
			if !near(holm[j], c.Holm[j], 1e-14) || !near(bh[j], c.BH[j], 1e-14) {
				t.Errorf("%d: p %v adjusted to %v and %v, want %v and %v", i, c.P[j], holm[j], bh[j], c.Holm[j], c.BH[j])
			}
		}
	}
	for _, c := range r.Repeats {
		got := variability.Repeatability(c.Units, variability.Options{})
		if got.DF != c.DF || got.Units != len(c.Units) || !near(got.Within.Value, c.SW, 1e-12) || !near(got.Within.Low, c.Low, 1e-9) || !near(got.Within.High, c.High, 1e-9) {
			t.Errorf("%s: %+v, want %+v", c.Name, got, c)
		}
		if !near(got.ICC.Value, c.ICC, 1e-12) || !near(got.ICC.Low, c.ICCLow, 1e-9) || !near(got.ICC.High, c.ICCHigh, 1e-9) || !near(got.SmallestChange, c.Change, 1e-9) {
			t.Errorf("%s: ICC %+v, smallest change %v; want %+v", c.Name, got.ICC, got.SmallestChange, c)
		}
	}
}

// TestAgreementDrawn holds the intervals against testdata/reference/agreement_scipy.json,
// made by agreement_scipy.py there from 4 million draws of the same distribution.
func TestAgreementDrawn(t *testing.T) {
	for _, c := range readJSON[struct {
		Tables []struct {
			Name      string
			Table     [][]float64
			Low, High float64
		}
	}](t, "agreement_scipy.json").Tables {
		got := variability.Agreement(c.Table, variability.Options{})
		if math.Abs(got.Low-c.Low) > 0.003 || math.Abs(got.High-c.High) > 0.003 { // errors of the draws, and of the quadrature
			t.Errorf("%s: %v to %v, drawn %v to %v", c.Name, got.Low, got.High, c.Low, c.High)
		}
	}
}

// ranksFromScipy is testdata/reference/ranks_scipy.json, made by ranks_scipy.py there.
type ranksFromScipy struct {
	Exact []struct {
		X, Y         []float64
		Rho          float64
		Hits, Orders float64
	}
}

func TestSpearmanExact(t *testing.T) {
	for i, c := range readJSON[ranksFromScipy](t, "ranks_scipy.json").Exact {
		got := variability.Spearman(c.X, c.Y, variability.Options{})
		if !near(got.R.Value, c.Rho, 1e-13) || !near(got.P, c.Hits/c.Orders, 1e-14) || !got.Exact {
			t.Errorf("%d: %+v, want %v, P %v", i, got, c.Rho, c.Hits/c.Orders)
		}
	}
	// Lower tails of D = Σ d²: how many of the n! orders have one of at most D,
	// counted by brute force. The distribution is symmetric, so P is twice that.
	for _, c := range []struct{ n, d, count, orders float64 }{
		{3, 0, 1, 6}, {4, 0, 1, 24}, {4, 2, 4, 24}, {4, 4, 5, 24}, {5, 0, 1, 120}, {5, 2, 5, 120}, {5, 4, 8, 120}, {5, 6, 14, 120},
		{6, 6, 21, 720}, {7, 2, 7, 5040}, {7, 6, 31, 5040}, {8, 4, 23, 40320}, {8, 8, 92, 40320},
	} {
		y := orderWith(int(c.n), c.d)
		x := make([]float64, len(y))
		for i := range x {
			x[i] = float64(i)
		}
		if got := variability.Spearman(x, y, variability.Options{}); !near(got.P, 2*c.count/c.orders, 1e-14) {
			t.Errorf("n = %v, D = %v: P = %v, want 2·%v/%v", c.n, c.d, got.P, c.count, c.orders)
		}
	}
}

// orderWith finds an order of 0 … n-1 with Σ d² = want, by swaps of neighbours,
// each of which adds 2.
func orderWith(n int, want float64) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = float64(i)
	}
	for i := 0; want > 0 && i+1 < n; i += 2 {
		y[i], y[i+1] = y[i+1], y[i]
		want -= 2
	}
	if want > 0 { // five values have two pairs for 4 only; a turn of three gives 6
		for i := range y {
			y[i] = float64(i)
		}
		y[0], y[1], y[2] = 1, 2, 0
	}
	return y
}

// TestReliabilityPublished holds figures that were printed.
func TestReliabilityPublished(t *testing.T) {
	none := variability.Options{}
	// Shrout & Fleiss (1979), table 2: six targets, four judges.
	judges := [][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}
	one, two := variability.Repeatability(judges, none), variability.Agreement(judges, none)
	pefr := readJSON[fromR](t, "ranks_R.json").Repeats[0].Units
	// Bland & Altman (1986), two readings with a large and with a small meter.
	large := [][]float64{{494, 490}, {395, 397}, {516, 512}, {434, 401}, {476, 470}, {557, 611}, {413, 415}, {442, 431}, {650, 638},
		{433, 429}, {417, 420}, {656, 633}, {267, 275}, {478, 492}, {178, 165}, {423, 372}, {427, 421}}
	small := [][]float64{{512, 525}, {430, 415}, {520, 508}, {428, 444}, {500, 500}, {600, 625}, {364, 460}, {380, 390}, {658, 642},
		{445, 432}, {432, 420}, {626, 605}, {260, 227}, {477, 467}, {259, 268}, {350, 370}, {451, 443}}
	for _, c := range []struct {
		source         string
		got, want, tol float64
	}{
		{"Shrout & Fleiss 1979, ICC(1,1)", one.ICC.Value, 0.17, 0.005},
		{"Shrout & Fleiss 1979, ICC(2,1)", two.Value, 0.29, 0.005},
		{"R psych 2.2.9, ICC1", one.ICC.Value, 0.165741768405475, 1e-12},
		{"R psych 2.2.9, ICC1, lower limit", one.ICC.Low, -0.132932324874751, 1e-9},
		{"R psych 2.2.9, ICC1, upper limit", one.ICC.High, 0.722560062328121, 1e-9},
		{"R psych 2.2.9, ICC2", two.Value, 0.289763779527559, 1e-12},
		{"Bland & Altman 1996, residual mean square", math.Pow(variability.Repeatability(pefr, none).Within.Value, 2), 460.52, 0.005},
		{"Bland & Altman 1996, within-subject SD", variability.Repeatability(pefr, none).Within.Value, 21.5, 0.05},
		// They took twice the SD of the differences, not 1.96 times it, and rounded that
		// to one decimal first.
		{"Bland & Altman 1986, coefficient, large meter (from memory)", variability.Repeatability(large, none).Coefficient * 2 / 1.96, 43.2, 0.11},
		{"Bland & Altman 1986, coefficient, small meter (from memory)", variability.Repeatability(small, none).Coefficient * 2 / 1.96, 56.4, 0.11},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: got %v, want %v ± %v", c.source, c.got, c.want, c.tol)
		}
	}
}
