package estimate_test

import (
	"bufio"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/variability/estimate"
)

const reference = "../../testdata/reference/"

// golden is testdata/reference/estimate.json, made by estimate.py there.
type golden struct {
	Series []struct {
		Name    string
		X       []float64
		Block   float64
		LongRun float64 `json:"long_run"`
		DF      int
		Mean    float64
		Half95  float64
	}
	MedianRanks []struct {
		N     int
		Level float64
		K     int
		Exact float64
	} `json:"median_ranks"`
}

func load(t *testing.T) (g golden) {
	t.Helper()
	text, err := os.ReadFile(reference + "estimate.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	return g
}

func near(got, want, tol float64) bool { return scalar.EqualWithinAbsOrRel(got, want, tol, tol) }

func TestSeriesAgainstReference(t *testing.T) {
	for _, s := range load(t).Series {
		if got := estimate.BlockLength(s.X); !near(got, s.Block, 1e-10) {
			t.Errorf("%s: BlockLength = %v, want %v", s.Name, got, s.Block)
		}
		v, df := estimate.LongRun(s.X)
		if !near(v, s.LongRun, 1e-11) || df != s.DF {
			t.Errorf("%s: LongRun = %v, %d, want %v, %d", s.Name, v, df, s.LongRun, s.DF)
		}
		m := estimate.Mean(s.X, 0)
		if !near(m.Value, s.Mean, 1e-13) || !near(m.High-m.Value, s.Half95, 1e-9) || !near(m.Value-m.Low, s.Half95, 1e-9) {
			t.Errorf("%s: Mean = %+v, want %v ± %v", s.Name, m, s.Mean, s.Half95)
		}
	}
}

// TestMedianRanks checks the ranks and the exact level with scipy's binomial.
func TestMedianRanks(t *testing.T) {
	for _, c := range load(t).MedianRanks {
		xs := make([]float64, c.N)
		for i := range xs {
			xs[i] = float64((i*7919)%c.N + 1) // 1 … n shuffled: a value is its rank
		}
		v := estimate.MedianInterval(xs, c.Level)
		if v.Value != float64(c.N+1)/2 || v.N != c.N {
			t.Errorf("n=%d: median %v of %d", c.N, v.Value, v.N)
		}
		if c.K == 0 {
			if !math.IsNaN(v.Low) || !math.IsNaN(v.High) || v.Level != 0 {
				t.Errorf("n=%d level %v: %+v, want no interval", c.N, c.Level, v)
			}
			continue
		}
		if v.Low != float64(c.K) || v.High != float64(c.N+1-c.K) || !near(v.Level, c.Exact, 1e-12) {
			t.Errorf("n=%d level %v: ranks %v to %v at %v, want %d to %d at %v",
				c.N, c.Level, v.Low, v.High, v.Level, c.K, c.N+1-c.K, c.Exact)
		}
	}
}

// TestMeanCertified checks means with the certified ones of the NIST StRD
// univariate sets.
func TestMeanCertified(t *testing.T) {
	for name, want := range map[string]float64{
		"Lew": -177.435000000000, "Lottery": 518.958715596330, "Mavro": 2.00185600000000, "Michelso": 299.852400000000,
	} {
		f, err := os.Open(reference + "nist/" + name + ".dat")
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		var xs []float64
		s := bufio.NewScanner(f)
		for data := false; s.Scan(); {
			line := strings.TrimSpace(s.Text())
			if x, err := strconv.ParseFloat(line, 64); err == nil && data {
				xs = append(xs, x)
			}
			data = data || line == "Data: Y"
		}
		if got := estimate.Mean(xs, 0).Value; !near(got, want, 1e-13) {
			t.Errorf("%s: mean %.15g, want %.15g", name, got, want)
		}
	}
}

// autoregressive returns n values of x(t) = rho x(t-1) + noise, about 0.
func autoregressive(n int, rho float64, use string) []float64 {
	rng := estimate.Stream(1, use)
	xs := make([]float64, n)
	x := rng.NormFloat64() / math.Sqrt(1-rho*rho)
	for i := range xs {
		xs[i] = x
		x = rho*x + rng.NormFloat64()
	}
	return xs
}

// TestBlockLengthTheory compares with the best block for an AR(1) series,
// (3/2 n (2ρ/(1-ρ²))²)^(1/3), from G = 2ρ/(1-ρ)² γ(0) and g = (1+ρ)/(1-ρ) γ(0)
// (closed form). The rule is an estimate; the median over 101 series of 4000
// is held to 15 %.
func TestBlockLengthTheory(t *testing.T) {
	const n = 4000
	for _, rho := range []float64{0.3, 0.5, 0.7} {
		var got []float64
		for k := range 101 {
			got = append(got, estimate.BlockLength(autoregressive(n, rho, "theory"+strconv.Itoa(k))))
		}
		slices.Sort(got)
		ratio := 2 * rho / (1 - rho*rho)
		if want := math.Cbrt(1.5 * n * ratio * ratio); math.Abs(got[50]/want-1) > 0.15 {
			t.Errorf("ρ=%v: median block %v, want %v within 15 %%", rho, got[50], want)
		}
	}
}

// TestCoverage counts how often intervals hold the truth 0. 2000 series give a
// standard error of 0.005.
func TestCoverage(t *testing.T) {
	mean := func(xs []float64) estimate.Value[float64] { return estimate.Mean(xs, 0.95) }
	median := func(xs []float64) estimate.Value[float64] { return estimate.SeriesMedian(xs, 0.95) }
	for _, c := range []struct {
		name        string
		of          func([]float64) estimate.Value[float64]
		n           int
		rho         float64
		least, most float64
	}{
		{"mean, white", mean, 30, 0, 0.935, 0.965},
		{"mean, alternating", mean, 100, -0.6, 0.935, 0.975},
		{"mean, alike", mean, 100, 0.5, 0.925, 0.965},
		{"mean, very alike", mean, 400, 0.8, 0.915, 0.965},
		{"median, white", median, 50, 0, 0.93, 0.98},
		{"median, alike", median, 100, 0.5, 0.92, 0.97},
		{"median, very alike", median, 400, 0.8, 0.91, 0.97},
	} {
		held := 0
		const series = 2000
		for k := range series {
			if v := c.of(autoregressive(c.n, c.rho, c.name+strconv.Itoa(k))); v.Low <= 0 && 0 <= v.High {
				held++
			}
		}
		got := float64(held) / series
		t.Logf("%s, n = %d, ρ %v: %.1f %%", c.name, c.n, c.rho, 100*got)
		if got < c.least || got > c.most {
			t.Errorf("%s: interval holds the truth in %v of cases, want %v to %v", c.name, got, c.least, c.most)
		}
	}
}

func TestSmallAndMissing(t *testing.T) {
	nan := math.NaN()
	for _, f := range []func([]float64, float64) estimate.Value[float64]{estimate.Mean, estimate.MedianInterval, estimate.SeriesMedian} {
		for _, xs := range [][]float64{nil, {}, {nan, nan}} {
			if v := f(xs, 0); v.Known() || v.Absent == nil || v.Absent.Code != "no-observations" {
				t.Errorf("%v: %+v, want absent", xs, v)
			}
		}
		for _, xs := range [][]float64{{4}, {nan, 4, nan}} {
			if v := f(xs, 0); v.Value != 4 || v.N != 1 || !math.IsNaN(v.Low) || !math.IsNaN(v.High) || v.Level != 0 {
				t.Errorf("%v: %+v, want 4 without an interval", xs, v)
			}
		}
		xs := []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8}
		for _, level := range []float64{-1, 1, 2, nan} {
			if v := f(xs, level); !math.IsNaN(v.Low) || v.Level != 0 || v.N != 12 {
				t.Errorf("level %v: %+v, want no interval", level, v)
			}
		}
		with := []float64{3, nan, 1, 4, 1, 5, 9, nan, 2, 6, 5, 3, 5, 8, nan}
		before := slices.Clone(with)
		if diff := cmp.Diff(f(xs, 0), f(with, 0)); diff != "" {
			t.Errorf("missing values change the estimate (-without +with):\n%s", diff)
		}
		if !slices.EqualFunc(with, before, scalar.Same) {
			t.Error("the input was changed")
		}
	}
	for _, c := range []struct {
		xs   []float64
		want float64
	}{
		{nil, 1}, {[]float64{1, 2, 3}, 1}, {make([]float64, 50), 1}, {slices.Repeat([]float64{0.1}, 50), 1},
		{[]float64{nan}, nan}, {append(make([]float64, 20), nan), nan},
	} {
		if got := estimate.BlockLength(c.xs); !scalar.Same(got, c.want) {
			t.Errorf("BlockLength(%v) = %v, want %v", c.xs, got, c.want)
		}
	}
}

func TestBlockDraw(t *testing.T) {
	rng := estimate.Stream(5, "draw")
	starts := make([]int, 10)
	for range 3000 {
		got := estimate.BlockDraw(nil, 10, 4, rng)
		for i, at := range got {
			if i%4 != 0 && at != (got[i-1]+1)%10 {
				t.Fatalf("%v: index %d does not follow its neighbour", got, i)
			}
		}
		starts[got[0]]++
	}
	for at, n := range starts { // 300 expected, sd 16.4
		if n < 230 || n > 370 {
			t.Errorf("blocks start %d times at %d, want about 300", n, at)
		}
	}
	if got := estimate.BlockDraw(nil, 6, 99, rng); got[5] != (got[0]+5)%6 {
		t.Errorf("one block of all: %v is no rotation", got)
	}
	if got := estimate.BlockDraw([]int{}, 0, 3, rng); len(got) != 0 {
		t.Errorf("no observations: %v", got)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for a dst of the wrong length")
		}
	}()
	estimate.BlockDraw(make([]int, 3), 4, 1, rng)
}

func TestBootstrap(t *testing.T) {
	xs := autoregressive(400, 0.5, "bootstrap")
	mean := func(index []int) float64 {
		var s float64
		for _, i := range index {
			s += xs[i]
		}
		return s / float64(len(index))
	}
	block := int(math.Ceil(estimate.BlockLength(xs)))
	v := estimate.Bootstrap(len(xs), block, mean, estimate.BootstrapOptions{Seed: 1, Use: "mean"})
	// The standard error of the mean of this AR(1) series is 2/√400 = 0.1, so
	// that the interval is 0.39 wide; its own scatter is about a tenth.
	if width := v.High - v.Low; width < 0.28 || width > 0.50 {
		t.Errorf("interval of width %v, want about 0.39", width)
	}
	if v.Level != 0.95 || v.N != 400 || !(v.Low < v.Value && v.Value < v.High) {
		t.Errorf("%+v", v)
	}
	if again := estimate.Bootstrap(len(xs), block, mean, estimate.BootstrapOptions{Seed: 1, Use: "mean"}); again != v {
		t.Errorf("second run %+v, first %+v", again, v)
	}
	if other := estimate.Bootstrap(len(xs), block, mean, estimate.BootstrapOptions{Seed: 1, Use: "other"}); other.Low == v.Low {
		t.Error("two uses of a seed share their numbers")
	}
	few := estimate.Bootstrap(100, 9, func([]int) float64 { return 1 }, estimate.BootstrapOptions{})
	if few.Value != 1 || !math.IsNaN(few.Low) || few.Level != 0 {
		t.Errorf("11 blocks: %+v, want no interval", few)
	}
	if none := estimate.Bootstrap(0, 1, mean, estimate.BootstrapOptions{}); none.Absent == nil {
		t.Error("no observations: not absent")
	}
	nan := func([]int) float64 { return math.NaN() }
	if v := estimate.Bootstrap(50, 1, nan, estimate.BootstrapOptions{}); v.Absent == nil {
		t.Error("NaN: not absent")
	}
	calls := 0
	frail := func([]int) float64 { // defined on the data, not on most draws
		if calls++; calls > 1 && calls%3 != 0 {
			return math.NaN()
		}
		return 2
	}
	if v := estimate.Bootstrap(50, 1, frail, estimate.BootstrapOptions{}); v.Value != 2 || v.Level != 0 {
		t.Errorf("undefined draws: %+v, want no interval", v)
	}
}

// TestResample draws the same samples as Bootstrap.
func TestResample(t *testing.T) {
	xs := autoregressive(300, 0.5, "resample")
	mean := func(index []int) (m float64) {
		for _, i := range index {
			m += xs[i] / float64(len(index))
		}
		return m
	}
	o := estimate.BootstrapOptions{Seed: 4, Use: "mean", Draws: 200}
	want := estimate.Bootstrap(len(xs), 7, mean, o)
	got := estimate.Resample(want.Value, len(xs), 7, func(rng *rand.Rand) float64 {
		return mean(estimate.BlockDraw(nil, len(xs), 7, rng))
	}, o)
	if got != want || want.Level != 0.95 {
		t.Errorf("%+v, want %+v", got, want)
	}
	if v := estimate.Resample(math.NaN(), 300, 1, func(*rand.Rand) float64 { return 1 }, o); v.Absent == nil {
		t.Error("NaN: not absent")
	}
}

func TestAs(t *testing.T) {
	type seconds float64
	v := estimate.Value[float64]{Value: 2, Low: 1, High: 3, Level: 0.95, N: 7}
	want := estimate.Value[seconds]{Value: 2, Low: 1, High: 3, Level: 0.95, N: 7}
	if got := estimate.As[seconds](v); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	gone := estimate.Missing[float64]("code", "what", "why")
	if got := estimate.As[seconds](gone); got.Known() || got.Absent != gone.Absent {
		t.Errorf("absence lost: %+v", got)
	}
	if (estimate.Value[seconds]{}).Known() {
		t.Error("the zero value is known")
	}
}

func BenchmarkMean(b *testing.B) {
	xs := autoregressive(6600, 0.5, "bench")
	b.ReportAllocs()
	for b.Loop() {
		estimate.Mean(xs, 0)
	}
}

func BenchmarkPrewhitened(b *testing.B) {
	xs := autoregressive(1000, 0.5, "benchmark")
	b.ReportAllocs()
	for b.Loop() {
		estimate.Prewhitened(xs, estimate.Lag1(0, xs), 0)
	}
}

func BenchmarkSeriesMedian(b *testing.B) {
	xs := autoregressive(6600, 0.5, "bench")
	b.ReportAllocs()
	for b.Loop() {
		estimate.SeriesMedian(xs, 0)
	}
}

func BenchmarkBlockLength(b *testing.B) {
	xs := autoregressive(6600, 0.5, "bench")
	b.ReportAllocs()
	for b.Loop() {
		estimate.BlockLength(xs)
	}
}

func BenchmarkBlockDraw(b *testing.B) {
	rng := estimate.Stream(1, "bench")
	dst := make([]int, 6600)
	b.ReportAllocs()
	for b.Loop() {
		estimate.BlockDraw(dst, len(dst), 12, rng)
	}
}
