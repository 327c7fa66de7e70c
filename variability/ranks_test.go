package variability_test

import (
	"math"
	"slices"
	"testing"

	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// What holds of every correlation, whatever the numbers.
func TestCorrelationFacts(t *testing.T) {
	none := variability.Options{}
	x, y, z := series.Spec{}.Make(30, 1), series.Spec{}.Make(30, 2), series.Spec{}.Make(30, 3)
	up := func(v float64) float64 { return math.Exp(3 * v) }
	want := variability.Spearman(x, y, none)
	if got := variability.Spearman(each(x, up), y, none); got != want {
		t.Errorf("ranks after an exponential: %+v, want %+v", got, want)
	}
	if got := variability.Spearman(y, x, none); !near(got.R.Value, want.R.Value, 1e-14) || !near(got.P, want.P, 1e-12) {
		t.Errorf("turned round: %+v, want %+v", got, want)
	}
	if got := variability.PartialSpearman(x, y, nil, none); !near(got.R.Value, want.R.Value, 1e-14) || !near(got.P, want.P, 1e-12) {
		t.Errorf("nothing held constant: %+v, want %+v", got, want)
	}
	// The formula of the partial correlation of three: Fisher (1924).
	r := func(a, b []float64) float64 { return variability.PartialCorrelation(a, b, nil, none).R.Value }
	formula := (r(x, y) - r(x, z)*r(y, z)) / math.Sqrt((1-r(x, z)*r(x, z))*(1-r(y, z)*r(y, z)))
	if got := variability.PartialCorrelation(x, y, [][]float64{z}, none); !near(got.R.Value, formula, 1e-12) {
		t.Errorf("partial %v, by the formula %v", got.R.Value, formula)
	}
	// A column twice, or a constant one, holds nothing more constant.
	once := variability.PartialCorrelation(x, y, [][]float64{z}, none)
	twice := variability.PartialCorrelation(x, y, [][]float64{z, each(z, func(v float64) float64 { return 4 - 3*v }), make([]float64, 30)}, none)
	if !near(once.R.Value, twice.R.Value, 1e-12) || !near(once.P, twice.P, 1e-12) {
		t.Errorf("column given twice: %+v, want %+v", twice, once)
	}
	// A missing value takes its row along.
	nan := math.NaN()
	x2, y2, z2 := slices.Clone(x), slices.Clone(y), slices.Clone(z)
	x2[3], y2[5], z2[7] = nan, nan, math.Inf(1)
	rows := func(v []float64) []float64 { return slices.Concat(v[:3], v[4:5], v[6:7], v[8:]) }
	got, less := variability.PartialCorrelation(x2, y2, [][]float64{z2}, none), variability.PartialCorrelation(rows(x), rows(y), [][]float64{rows(z)}, none)
	if got.R.N != 27 || !near(got.R.Value, less.R.Value, 1e-14) || !near(got.R.High, less.R.High, 1e-12) {
		t.Errorf("with three rows missing: %+v, want %+v", got, less)
	}
	if got := variability.Spearman(x2, y2, none); got.R.N != 28 {
		t.Errorf("with two rows missing: %+v", got)
	}
	if !math.IsNaN(x2[3]) || !math.IsInf(z2[7], 1) || x2[7] != x[7] {
		t.Error("an input was changed")
	}
	if got := variability.Spearman(x, x, none); got.R.Value != 1 || got.P != 0 || !math.IsNaN(got.R.Low) || got.R.Level != 0 {
		t.Errorf("x with itself: %+v", got)
	}
	if off := variability.Spearman(x, y, variability.Options{Level: -1}); off.R.Level != 0 || !math.IsNaN(off.R.High) || off.P != want.P {
		t.Errorf("no interval wanted: %+v", off)
	}
}

func TestRanksRefused(t *testing.T) {
	none := variability.Options{}
	nan := math.NaN()
	x, y, flat := []float64{1, 2, 4, 3, 5}, []float64{2, 1, 3, 5, 4}, []float64{7, 7, 7, 7, 7}
	for _, c := range []struct {
		name string
		got  estimate.Value[float64]
		code string
	}{
		{"two pairs", variability.Spearman(x[:2], y[:2], none).R, "too-few"},
		{"no pairs", variability.Spearman(nil, nil, none).R, "too-few"},
		{"one constant", variability.Spearman(x, flat, none).R, "undefined"},
		{"the other constant", variability.PartialCorrelation(flat, x, nil, none).R, "undefined"},
		{"x given", variability.PartialCorrelation(x, y, [][]float64{x}, none).R, "undefined"},
		{"three given of five", variability.PartialCorrelation(x, y, [][]float64{{1, 0, 0, 0, 0}, {0, 1, 0, 0, 0}, {0, 0, 1, 0, 0}}, none).R, "too-few"},
		{"halves of two", variability.SplitHalf(x[:2], y[:2], none), "too-few"},
		{"mirrored halves", variability.SplitHalf(x, each(x, func(v float64) float64 { return -v }), none), "undefined"},
		{"one value each", variability.Repeatability([][]float64{{1}, {2, nan}, {}}, none).Within, "too-few"},
		{"one unit", variability.Repeatability([][]float64{{1, 2}}, none).ICC, "too-few"},
		{"nothing", variability.Repeatability(nil, none).ICC, "too-few"},
		{"one whole row", variability.Agreement([][]float64{{1, 2}, {3, nan}}, none), "too-few"},
		{"one column", variability.Agreement([][]float64{{1}, {2}}, none), "too-few"},
		{"no rows", variability.Agreement(nil, none), "too-few"},
		{"all equal", variability.Agreement([][]float64{{1, 1}, {1, 1}}, none), "undefined"},
	} {
		if c.got.Absent == nil || c.got.Absent.Code != c.code || c.got.Absent.What == "" || c.got.Absent.Why == "" {
			t.Errorf("%s: %+v, want %q", c.name, c.got, c.code)
		}
	}
	if p := variability.Spearman(x, flat, none).P; !math.IsNaN(p) {
		t.Errorf("P = %v of no correlation", p)
	}
	same := variability.Repeatability([][]float64{{1, 1}, {2, 2}}, none)
	if same.Within.Value != 0 || same.Within.Level != 0 || same.ICC.Value != 1 || same.ICC.Level != 0 || same.SmallestChange != 0 {
		t.Errorf("repeats that agree: %+v", same)
	}
}

// Moving and scaling all values moves what has a unit and nothing else.
func TestRepeatabilityScale(t *testing.T) {
	units := [][]float64{{1, 3, 2}, {5, 4, math.NaN()}, {9, 7, 8}, {2, 2}}
	moved := make([][]float64, len(units))
	for i, u := range units {
		moved[i] = each(u, func(v float64) float64 { return 10*v + 1e6 })
	}
	a, b := variability.Repeatability(units, variability.Options{}), variability.Repeatability(moved, variability.Options{})
	if !near(b.Within.Low, 10*a.Within.Low, 1e-7) || !near(b.SmallestChange, 10*a.SmallestChange, 1e-7) || !near(b.ICC.Value, a.ICC.Value, 1e-9) || b.DF != a.DF || b.DF != 6 {
		t.Errorf("moved and scaled %+v, want of %+v", b, a)
	}
	if !(a.SmallestChange > a.Coefficient) {
		t.Errorf("6 degrees of freedom: smallest change %v, coefficient %v", a.SmallestChange, a.Coefficient)
	}
	table := [][]float64{{1, 3, 2}, {5, 4, 6}, {9, 7, 8}, {2, 2, 5}}
	other := make([][]float64, len(table))
	for i, row := range table {
		other[i] = each(row, func(v float64) float64 { return 5 - 2*v })
	}
	x, y := variability.Agreement(table, variability.Options{}), variability.Agreement(other, variability.Options{})
	if !near(x.Value, y.Value, 1e-12) || !near(x.High, y.High, 1e-9) {
		t.Errorf("agreement %+v, scaled %+v", x, y)
	}
}

func BenchmarkSpearman(b *testing.B) {
	for _, n := range []int{10, 1000} {
		x, y := series.Spec{}.Make(n, 1), series.Spec{}.Make(n, 2)
		b.Run(map[bool]string{true: "exact", false: "1000"}[n == 10], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				variability.Spearman(x, y, variability.Options{})
			}
		})
	}
}
