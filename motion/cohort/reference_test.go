package cohort

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/plectrace/plectrace/variability/estimate"
)

// TestReference holds the estimates against base R (testdata/reference/cohort.R).
// Tolerances are those of fifteen printed digits and sums of forty products.
func TestReference(t *testing.T) {
	data, err := os.ReadFile("../../testdata/reference/cohort.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref struct {
		Early, Baseline, Late [][]float64
		Partial, Ranks, Slope float64
		AlphaEarly            float64 `json:"alpha_early"`
		AlphaBaseline         float64 `json:"alpha_baseline"`
		ICC                   float64
		ICCLow                float64 `json:"icc_low"`
		ICCHigh               float64 `json:"icc_high"`
		Within                float64 `json:"sd_within"`
		Between               float64 `json:"sd_between"`
	}
	if err := json.Unmarshal(data, &ref); err != nil {
		t.Fatal(err)
	}
	n := len(ref.Early[0])
	list := make([]subject, n)
	for i := range list {
		pick := func(days [][]float64) []float64 { return []float64{days[0][i], days[1][i]} }
		list[i] = subject{"", string(rune('a' + i)), pick(ref.Early), pick(ref.Baseline), pick(ref.Late)}
	}
	of, g := groups(list)
	var a Association
	a.estimate(list, of, g, 0.95, false)

	var s Group
	s.variance([][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}, 0.95)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"partial correlation as measured", a.Observed.Value, ref.Partial},
		{"of ranks", a.Rank.Value, ref.Ranks},
		{"slope", a.Slope.Value, ref.Slope},
		{"reliability of the predictor", a.PredictorReliability.Value, ref.AlphaEarly},
		{"reliability of the baseline", a.BaselineReliability.Value, ref.AlphaBaseline},
		{"ICC", s.ICC.Value, ref.ICC},
		{"ICC, low", s.ICC.Low, ref.ICCLow},
		{"ICC, high", s.ICC.High, ref.ICCHigh},
		{"within", s.Within, ref.Within},
		{"between", s.Between, ref.Between},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-11) {
			t.Errorf("%s: %.15g, want %.15g", c.name, c.got, c.want)
		}
	}
	// Shrout & Fleiss (1979), table 4, print .17.
	if math.Round(100*s.ICC.Value) != 17 {
		t.Errorf("ICC(1,1) of the published ratings is %.4f, want .17", s.ICC.Value)
	}
}

// TestGivenOneDay: with one day in a window nothing tells its error.
func TestGivenOneDay(t *testing.T) {
	w := world{players: 30, reliability: 0.9, days: 1}
	list := w.subjects(estimate.Stream(5, "one day"), false)
	of, g := groups(list)
	var a Association
	a.estimate(list, of, g, 0.95, false)
	if a.Slope.Known() || a.Slope.Absent.Code != "repeats" || a.P == a.P {
		t.Errorf("slope %+v, p %v from windows of one day", a.Slope, a.P)
	}
	if !a.Observed.Known() {
		t.Errorf("as measured: %+v", a.Observed.Absent)
	}
}

// TestDegenerate: what does not vary has no association, and nothing panics.
func TestDegenerate(t *testing.T) {
	for name, make := range map[string]func(i int) subject{
		"equal": func(int) subject {
			return subject{early: []float64{1, 1}, baseline: []float64{2, 2}, late: []float64{3, 3}}
		},
		"no error": func(i int) subject {
			x := float64(i * i % 7)
			return subject{early: []float64{x, x}, baseline: []float64{x, x}, late: []float64{x, x}}
		},
		"equal players": func(i int) subject {
			x := float64(i % 2)
			return subject{early: []float64{x, 1 - x}, baseline: []float64{x, 1 - x}, late: []float64{x, 1 - x}}
		},
	} {
		var list []subject
		for i := range 20 {
			s := make(i)
			s.group = string(rune('a' + i))
			list = append(list, s)
		}
		of, g := groups(list)
		var a Association
		a.estimate(list, of, g, 0.95, true)
		if a.Slope.Known() || a.P == a.P {
			t.Errorf("%s: slope %+v, p %g", name, a.Slope, a.P)
		}
		for _, q := range a.quantities() {
			if v := q.value; v.Known() && (math.IsNaN(v.Value) || math.IsInf(v.Value, 0)) {
				t.Errorf("%s: %s is %g", name, q.name, v.Value)
			}
		}
	}
}

// TestCalibrationGroup: intervals of the ICC and of the median over players hold the
// truth as often as they say, with players alone and in classes.
func TestCalibrationGroup(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	n, seed := studies(300)
	for _, c := range []struct {
		players, takes, class int
		icc                   float64
		uneven                bool
	}{
		{12, 4, 0, 0.3, false}, {40, 3, 0, 0.7, false}, {40, 5, 0, 0.5, true}, {120, 3, 6, 0.5, false},
	} {
		rng := estimate.Stream(seed, "group")
		icc, centre, given := 0, 0, 0
		for range n {
			s := &Study{plan: Plan{}.WithDefaults(), cluster: -1, names: map[string]int{"": 0}, byPlayer: map[string]int{}}
			if c.class > 0 {
				s.cluster = 0
			}
			m := table[places["spectral_arc_length"]] // a difference
			s.names["mm"], s.names["end-on"] = 1, 2
			class := 0.0
			for p := range c.players {
				pl := player{code: string(rune('a' + p))}
				if c.class > 0 {
					pl.group = string(rune('a' + p/c.class))
					if p%c.class == 0 {
						class = rng.NormFloat64()
					}
				}
				x := math.Sqrt(c.icc) * (0.6*class + 0.8*rng.NormFloat64())
				if c.class == 0 {
					x = math.Sqrt(c.icc) * rng.NormFloat64()
				}
				takes := c.takes
				if c.uneven {
					takes = 1 + rng.IntN(2*c.takes)
				}
				for range takes {
					k := kept{setup: 0, view: 2, unit: 1, values: make([]float64, len(table))}
					for i := range k.values {
						k.values[i] = math.NaN()
					}
					k.values[places[m.Name]] = x + math.Sqrt(1-c.icc)*rng.NormFloat64()
					pl.takes = append(pl.takes, k)
				}
				s.players = append(s.players, pl)
			}
			got := s.group(m)
			if got.Centre.Low == got.Centre.Low {
				given++
				if !outside(got.Centre, 0) {
					centre++
				}
			}
			if got.ICC.Low == got.ICC.Low && !outside(got.ICC, c.icc) {
				icc++
			}
		}
		t.Logf("%+v: ICC covers %s, median given %s covers %s", c, share(icc, n), share(given, n), share(centre, given))
		if c.class == 0 && !within(icc, n, 0.93, 0.97) {
			t.Errorf("%+v: the interval of the ICC covers in %s", c, share(icc, n))
		}
		if !within(centre, given, 0.93, 0.98) || given < n*9/10 {
			t.Errorf("%+v: the interval of the median is given in %s and covers in %s", c, share(given, n), share(centre, given))
		}
	}
}
