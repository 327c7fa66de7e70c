package variability_test

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// spreadReference is testdata/reference/spread.json, made by spread.py there
// with numpy 1.24.2 and scipy 1.10.1.
type spreadReference struct {
	EarlyLate []struct {
		X                          []float64
		N                          int
		Difference, Trimmed, Ratio [3]float64
		Statistic, P               float64
	} `json:"early_late"`
	Trend []struct {
		X        []float64
		Slope    [3]float64
		Alike, P float64
	}
}

func readSpread(t *testing.T) (r spreadReference) {
	t.Helper()
	b, err := os.ReadFile("../testdata/reference/spread.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func sameInterval(t *testing.T, what string, got estimate.Value[float64], want [3]float64) {
	t.Helper()
	if !near(got.Value, want[0], 1e-9) || !near(got.Low, want[1], 1e-9) || !near(got.High, want[2], 1e-9) {
		t.Errorf("%s: %+v, want %v", what, got, want)
	}
}

func TestTrendReference(t *testing.T) {
	for _, c := range readSpread(t).Trend {
		got := trend(t, series.Times(len(c.X), 1), c.X, variability.TrendOptions{})
		sameInterval(t, "slope", got.Slope, c.Slope)
		if !near(got.Alike, c.Alike, 1e-9) || !near(got.P, c.P, 1e-9) {
			t.Errorf("alike %v, P %v, want %v, %v", got.Alike, got.P, c.Alike, c.P)
		}
		span := float64(len(c.X) - 1)
		if !near(got.Change.Value, span*c.Slope[0], 1e-9) || !near(got.Change.Low, span*c.Slope[1], 1e-9) {
			t.Errorf("change %+v", got.Change)
		}
	}
}

// Independent values. Cloud seeding: Hollander and Wolfe (1973), 1262 cases of
// Theil's test, as R's help pages have it: 14 of 120 orders have C of -6 or
// less. The Nile: P of the normal test, slope and interval by R's trend 1.1.6
// and scipy, in checks of package robust; here only that they come through.
func TestTrendIndependent(t *testing.T) {
	for _, c := range []struct {
		name             string
		x                []float64
		slope, low, high float64
		level, p, least  float64
	}{
		{"cloud seeding", []float64{1.26, 1.27, 1.12, 1.16, 1.03}, -0.05625, -0.15, 0.04, 1 - 2./120, 28. / 120, 2. / 120},
		// All orders of 6 values, two of them equal: S of 14 is reached by the
		// two orders that rise and, to the other side, the two that fall, of 720;
		// S of 12 by moving one step, counted by hand: see below.
		{"two equal", []float64{1, 2, 3, 3, 4, 5}, 0.75, 0.5, 1, 1 - 2*6./720, 4. / 720, 4. / 720},
		{"all equal", []float64{2, 2, 2, 2, 2}, 0, math.NaN(), math.NaN(), 0, 1, 1},
	} {
		got := trend(t, series.Times(len(c.x), 1), c.x, variability.TrendOptions{Independent: true})
		if !near(got.Slope.Value, c.slope, 1e-12) || !near(got.P, c.p, 1e-12) || !near(got.Least, c.least, 1e-12) {
			t.Errorf("%s: %+v", c.name, got)
		}
		if !math.IsNaN(c.low) && c.name == "cloud seeding" && (!near(got.Slope.Low, c.low, 1e-12) || !near(got.Slope.High, c.high, 1e-12) || !near(got.Slope.Level, c.level, 1e-12)) {
			t.Errorf("%s: slope %+v, want %v to %v at %v", c.name, got.Slope, c.low, c.high, c.level)
		}
		if math.IsNaN(c.low) && !math.IsNaN(got.Slope.Low) {
			t.Errorf("%s: slope %+v, want no interval", c.name, got.Slope)
		}
	}
	// R's Nile by the normal distribution: more than 60 values.
	nile := readSpread(t).Trend[0].X
	got := trend(t, series.Times(100, 1), nile, variability.TrendOptions{Independent: true})
	if !near(got.P, 3.65826292e-5, 1e-12) || !near(got.Tau, -0.2807413347, 1e-9) || got.Alike != 1 {
		t.Errorf("Nile: %+v", got)
	}
	sameInterval(t, "Nile", got.Slope, [3]float64{-2.6, -3.627906976744186, -1.4285714285714286})
}

// A trend is found beside the likeness of neighbours, and an alternation of
// downs and ups does not hide it.
func TestTrendFinds(t *testing.T) {
	x := series.Spec{Phi: 0.3, Drift: 4, Alternate: 10}.Make(400, 3)
	for _, o := range []variability.TrendOptions{{}, {Cycles: true}} {
		got := trend(t, series.Times(400, 0.1), x, o)
		if got.P > 0.01 || !(got.Change.Low > 0) || math.Abs(got.Change.Value-4) > 1.5 {
			t.Errorf("%+v: %+v", o, got)
		}
		if want := 400; o.Cycles == (got.N == want) {
			t.Errorf("%+v: %d values", o, got.N)
		}
	}
}

func TestTrendSpecial(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		x      []float64
		o      variability.TrendOptions
		n      int
		slope  bool
		absent string
	}{
		{"none", nil, variability.TrendOptions{}, 0, false, "too-few"},
		{"one", []float64{1, nan}, variability.TrendOptions{}, 1, false, "too-few"},
		{"two", []float64{1, nan, 2}, variability.TrendOptions{}, 2, true, "too-few"},
		{"19 of a series", make([]float64, 19), variability.TrendOptions{}, 19, true, "too-few"},
		{"20 equal ones", make([]float64, 20), variability.TrendOptions{}, 20, true, ""},
		{"four takes", []float64{1, 2, 3, 4}, variability.TrendOptions{Independent: true}, 4, true, "too-few"},
	} {
		got := trend(t, series.Times(len(c.x), 1), c.x, c.o)
		if got.N != c.n || got.Slope.Known() != c.slope || (got.Absent != nil) != (c.absent != "") || got.Absent != nil && got.Absent.Code != c.absent {
			t.Errorf("%s: %+v", c.name, got)
		}
		if c.slope && !math.IsNaN(got.Slope.Low) {
			t.Errorf("%s: slope %+v, want no interval", c.name, got.Slope)
		}
	}
	// A straight line leaves nothing to measure the likeness on.
	line := trend(t, series.Times(30, 1), series.Times(30, 0.5), variability.TrendOptions{})
	if line.Slope.Value != 0.5 || line.P != line.Least || line.Tau != 1 || line.Least != 2./120 {
		t.Errorf("a line: %+v", line)
	}
	if _, err := variability.Trend([]float64{0, 0}, []float64{1, 2}, variability.TrendOptions{}); err == nil || !strings.Contains(err.Error(), "time 1") {
		t.Errorf("equal times: %v", err)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for slices of unequal length")
		}
	}()
	_, _ = variability.Trend([]float64{0}, nil, variability.TrendOptions{})
}
