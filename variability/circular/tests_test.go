package circular_test

import (
	"math"
	"testing"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/internal/series"
)

// sample is n directions about 0, of concentration 3.
func sample(n int, seed uint64) []circular.Angle {
	return vonMises(n, 3, estimate.Stream(seed, "sample"))
}

func turned(a []circular.Angle, by circular.Angle) []circular.Angle {
	out := make([]circular.Angle, len(a))
	for i, v := range a {
		out[i] = v + by
	}
	return out
}

// What axes give is what directions of
// twice the angle give, and half a turn more on any axis changes nothing.
func TestAxesAreDoubled(t *testing.T) {
	a, b, c := sample(30, 1), sample(40, 2), sample(30, 3)
	y := series.Spec{}.Make(30, 4)
	half := func(a []circular.Angle) []circular.Angle {
		out := make([]circular.Angle, len(a))
		for i, v := range a {
			out[i] = v/2 + circular.Angle(i%3)*180*circular.Degree
		}
		return out
	}
	on, off := circular.Options{Draws: 99, Axes: true}, circular.Options{Draws: 99}
	on.Seed, off.Seed = 1, 1
	for _, tc := range []struct {
		name string
		test func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test
	}{
		{"MeanTest", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.MeanTest(a, mu, o)
		}},
		{"VTest", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.VTest(a, mu, o)
		}},
		{"WatsonU2", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.WatsonU2(a, o)
		}},
		{"WatsonWilliams", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.WatsonWilliams([][]circular.Angle{a, b, c}, o)
		}},
		{"EqualConcentration", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.EqualConcentration([][]circular.Angle{a, b, c}, o)
		}},
		{"EqualMeans", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.EqualMeans([][]circular.Angle{a, b}, o)
		}},
		{"CorrelationT", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.CorrelationT(a, c, o)
		}},
		{"CorrelationSine", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.CorrelationSine(a, c, o)
		}},
		{"CorrelationLinear", func(a, b, c []circular.Angle, mu circular.Angle, o circular.Options) circular.Test {
			return circular.CorrelationLinear(a, y, o)
		}},
	} {
		for _, inTime := range []bool{false, true} {
			on.Series, off.Series = inTime, inTime
			got := tc.test(half(a), half(b), half(c), 0.1, on)
			want := tc.test(a, b, c, 0.2, off)
			if (got.Absent != nil) != (want.Absent != nil) || !near(got.Statistic, want.Statistic, 1e-9) || !near(got.P, want.P, 1e-9) || got.N != want.N {
				t.Errorf("%s, series %t: axes %+v, directions %+v", tc.name, inTime, got, want)
			}
			if got.Absent == nil && (got.Options.Axes != true || got.Options.Level != 0.95) {
				t.Errorf("%s: options %+v are not those used", tc.name, got.Options)
			}
		}
	}
	got, want := circular.MeanDifference(half(a), half(b), on), circular.MeanDifference(a, b, off)
	if !near(float64(2*got.Value), float64(want.Value), 1e-12) || !near(float64(2*got.High), float64(want.High), 1e-12) || got.N != 70 {
		t.Errorf("difference of axes %+v, of directions %+v", got, want)
	}
	q, r := circular.Quantile(half(a), 0.3, on), circular.Quantile(a, 0.3, off)
	if !near(float64(2*q.Value), float64(r.Value), 1e-12) {
		t.Errorf("quantile of axes %v, of directions %v", q.Value, r.Value)
	}
	if s, u := circular.ShortestArc(half(a), 0.5, on), circular.ShortestArc(a, 0.5, off); !near(float64(2*s.Width), float64(u.Width), 1e-12) {
		t.Errorf("arc of axes %v, of directions %v", s.Width, u.Width)
	}
}

// MeanTest is the interval turned round: on its edge P is 1 - Level.
func TestMeanTestIsTheInterval(t *testing.T) {
	drift := angled(series.Spec{Phi: 0.5}.Make(200, 1), 20*circular.Degree)
	for _, tc := range []struct {
		name   string
		angles []circular.Angle
		o      circular.Options
	}{
		{"R below 0.9", sample(12, 1), circular.Options{}},
		{"R above 0.9", turned(vonMises(10, 20, estimate.Stream(1, "")), 3), circular.Options{Level: 0.8}},
		{"n above 25", sample(60, 1), circular.Options{Level: 0.99}},
		{"series of axes", drift, circular.Options{Series: true, Axes: true}},
	} {
		summary := circular.Directional
		if tc.o.Axes {
			summary = circular.Axial
		}
		mean := summary(tc.angles, tc.o).Mean
		for _, edge := range []circular.Angle{mean.Low, mean.High} {
			if p := circular.MeanTest(tc.angles, edge, tc.o).P; !near(p, 1-mean.Level, 1e-9) {
				t.Errorf("%s: P = %v on the edge of the interval at %v", tc.name, p, mean.Level)
			}
		}
		at, opposite := circular.MeanTest(tc.angles, mean.Value, tc.o), circular.MeanTest(tc.angles, mean.Value+math.Pi/2.1, tc.o)
		if !near(at.P, 1, 1e-6) || !(opposite.P < 1e-3) || !(opposite.Statistic < 0) {
			t.Errorf("%s: at the mean %+v, far above it %+v", tc.name, at, opposite)
		}
	}
}

// With two series the F of EqualMeans is the square of the t of MeanDifference.
func TestEqualMeansIsTheDifference(t *testing.T) {
	o := circular.Options{Series: true}
	a := angled(series.Spec{Phi: 0.6}.Make(80, 1), 5*circular.Degree)
	b := turned(angled(series.Spec{Phi: 0.3}.Make(50, 2), 3*circular.Degree), 0.02)
	p := circular.EqualMeans([][]circular.Angle{a, b}, o).P
	o.Level = 1 - p
	d := circular.MeanDifference(a, b, o)
	// Y has 2(1 - cos) of the difference for its square.
	if edge := math.Min(math.Abs(float64(d.Low)), math.Abs(float64(d.High))); edge > 1e-4 {
		t.Errorf("at level 1 - P = %v the difference is %v to %v, with no edge at 0", o.Level, d.Low, d.High)
	}
}

// All 924 deals of six and six, counted with the statistic from its definition.
func TestEqualMeansExact(t *testing.T) {
	a, b := sample(6, 5), turned(sample(6, 6), 0.7)
	all := append(append([]circular.Angle(nil), a...), b...)
	y := func(pick int) float64 {
		var side [2][]circular.Angle
		for i, v := range all {
			side[pick>>i&1] = append(side[pick>>i&1], v)
		}
		var w, x, y float64
		for _, g := range side {
			s := circular.Directional(g, circular.Options{})
			n := float64(len(g))
			weight := n * (n - 1) / (n * s.Dispersion)
			w += weight
			x += weight * math.Cos(float64(s.Mean.Value))
			y += weight * math.Sin(float64(s.Mean.Value))
		}
		return 2 * (w - math.Hypot(x, y))
	}
	const own = 0b111111000000
	hits, ways := 0.0, 0.0
	for pick := range 1 << 12 {
		ones := 0
		for i := range 12 {
			ones += pick >> i & 1
		}
		if ones == 6 {
			ways++
			if y(pick) >= y(own)*(1-1e-9) {
				hits++
			}
		}
	}
	got := circular.EqualMeans([][]circular.Angle{a, b}, circular.Options{})
	if !near(got.Statistic, y(own), 1e-10) || !near(got.P, hits/ways, 1e-15) || !near(got.Least, 1/ways, 1e-15) {
		t.Errorf("%+v, want Y %v, P %v of %v", got, y(own), hits/ways, ways)
	}
	drawn := circular.EqualMeans([][]circular.Angle{a, b}, circular.Options{Draws: 800})
	if drawn.P == got.P || !near(drawn.P, got.P, 0.04) || drawn.Least != 1./801 {
		t.Errorf("drawn %+v, exact P %v", drawn, got.P)
	}
}

// P is never below what the deals allow, however far apart the groups are.
func TestLeast(t *testing.T) {
	far := [][]circular.Angle{sample(6, 1), turned(sample(6, 2), 3)}
	if got := circular.EqualMeans(far, circular.Options{Draws: 999}); got.P < 1./924 {
		t.Errorf("P = %v of 924 deals", got.P)
	}
	x := sample(5, 1)
	got := circular.CorrelationSine(x, x, circular.Options{})
	if !near(got.Statistic, 1, 1e-12) || got.Least != 1./120 || got.P < 1./120 {
		t.Errorf("five equal pairs: %+v", got)
	}
}

// Exact facts of the three measures of association.
func TestAssociationFacts(t *testing.T) {
	a := sample(40, 1)
	o := circular.Options{Draws: 199}
	minus := make([]circular.Angle, len(a))
	y := make([]float64, len(a))
	for i, v := range a {
		minus[i] = 2 - v
		y[i] = 3 + 2*math.Cos(float64(v)-1)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"T of a and a+2", circular.CorrelationT(a, turned(a, 2), o).Statistic, 1},
		{"T of a and 2-a", circular.CorrelationT(a, minus, o).Statistic, -1},
		{"sine of a and a+2", circular.CorrelationSine(a, turned(a, 2), o).Statistic, 1},
		{"sine of a and 2-a", circular.CorrelationSine(a, minus, o).Statistic, -1},
		{"linear, a cosine of a", circular.CorrelationLinear(a, y, o).Statistic, 1},
		{"P of that", circular.CorrelationLinear(a, y, o).P, 1. / 200},
	} {
		if !near(c.got, c.want, 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	nan := circular.Angle(math.NaN())
	b := sample(40, 2)
	b[3], a[7] = nan, nan
	if got := circular.CorrelationT(a, b, o); got.N != 38 || math.IsNaN(got.Statistic) {
		t.Errorf("two pairs with a missing angle: %+v", got)
	}
}

// Counts 1 with no width are the angles themselves, and doubled counts double n.
func TestGroupedIsDirectional(t *testing.T) {
	a := sample(30, 1)
	counts := make([]float64, len(a))
	for i := range counts {
		counts[i] = 1
	}
	got, want := circular.Grouped(a, counts, 0, circular.Options{Series: true}), circular.Directional(a, circular.Options{})
	if !near(float64(got.Mean.High), float64(want.Mean.High), 1e-12) || !near(got.R, want.R, 1e-14) || !near(got.RayleighP, want.RayleighP, 1e-12) {
		t.Errorf("%+v, want %+v", got, want)
	}
	counts[0], counts[1], counts[2] = 0, -1, math.NaN()
	if got, want := circular.Grouped(a, counts, 0, circular.Options{}), circular.Directional(a[3:], circular.Options{}); got.N != 27 || !near(got.R, want.R, 1e-14) {
		t.Errorf("without three: %+v, want %+v", got, want)
	}
	// Round 20,000 angles to groups of 40°: the correction brings back R to 1 %.
	many := vonMises(20000, 2, estimate.Stream(1, "rounded"))
	mids, in := make([]circular.Angle, 9), make([]float64, 9)
	for i := range mids {
		mids[i] = circular.Angle(i*40) * circular.Degree
	}
	for _, v := range many {
		in[(int(math.Round(v.Degrees()/40))+9)%9]++
	}
	fine := circular.Directional(many, circular.Options{})
	rough := circular.Grouped(mids, in, 40*circular.Degree, circular.Options{})
	if !near(rough.R, fine.R, 0.005) || !near(rough.Rho2, fine.Rho2, 0.015) || !near(rough.Dispersion, fine.Dispersion, 0.02) {
		t.Errorf("rounded: R %v, ρ₂ %v, δ %v; want %v, %v, %v", rough.R, rough.Rho2, rough.Dispersion, fine.R, fine.Rho2, fine.Dispersion)
	}
	if s := circular.Grouped(mids, in, math.Pi, circular.Options{}); s.Mean.Absent == nil || !math.IsNaN(s.R) {
		t.Errorf("groups of half a circle: %+v", s)
	}
}

func TestArcs(t *testing.T) {
	a := degrees(350, 10, 355, 5, 180, 0)
	arc := circular.ShortestArc(a, 0.8, circular.Options{})
	if !near(arc.Width.Degrees(), 20, 1e-10) || !alike(arc.From.Degrees(), 350, 360, 1e-10) || arc.N != 5 {
		t.Errorf("five of six: %+v", arc)
	}
	if arc := circular.ShortestArc(degrees(30), 1, circular.Options{}); arc.Width != 0 || arc.N != 1 {
		t.Errorf("one angle: %+v", arc)
	}
	if q := circular.Quantile(degrees(170, 175, 180, -175, -160), 1, circular.Options{}); !near(q.Value.Degrees(), -160, 1e-10) {
		t.Errorf("the largest across 180° is %v°", q.Value.Degrees())
	}
	for _, share := range []float64{0, -1, 1.1, math.NaN()} {
		if circular.ShortestArc(a, share, circular.Options{}).Absent == nil {
			t.Errorf("an arc with a share of %v", share)
		}
	}
	if circular.Quantile(a, 1.5, circular.Options{}).Absent == nil || circular.Quantile(nil, 0.5, circular.Options{}).Absent == nil {
		t.Error("a quantile of nothing, or beyond all")
	}
}

// What cannot be had is absent with a reason, and P is NaN.
func TestRefused(t *testing.T) {
	none, inTime := circular.Options{}, circular.Options{Series: true}
	ten, cancel := sample(10, 1), degrees(0, 90, 180, 270)
	wide := [][]circular.Angle{vonMises(30, 0.4, estimate.Stream(1, "wide")), vonMises(30, 0.4, estimate.Stream(2, "wide"))}
	blocks := circular.Options{Block: 5}
	same := make([]circular.Angle, 20)
	for _, c := range []struct {
		name string
		got  circular.Test
		code string
	}{
		{"mean of one", circular.MeanTest(ten[:1], 0, none), "too-few"},
		{"mean of none there", circular.MeanTest(cancel, 0, none), "no-direction"},
		{"mean against NaN", circular.MeanTest(ten, circular.Angle(math.NaN()), none), "no-direction"},
		{"mean of a short series", circular.MeanTest(ten, 0, inTime), "too-few"},
		{"V of nothing", circular.VTest(nil, 0, none), "no-observations"},
		{"V of a short series", circular.VTest(ten, 0, inTime), "too-few"},
		{"U² of seven", circular.WatsonU2(ten[:7], none), "too-few"},
		{"U² of a series", circular.WatsonU2(ten, inTime), "series"},
		{"one group", circular.EqualMeans([][]circular.Angle{ten}, none), "too-few"},
		{"a group of one", circular.WatsonWilliams([][]circular.Angle{ten, ten[:1]}, none), "too-few"},
		{"a series", circular.WatsonWilliams([][]circular.Angle{ten, ten}, inTime), "series"},
		{"wide groups", circular.WatsonWilliams(wide, none), "low-concentration"},
		{"groups that cancel", circular.EqualMeans([][]circular.Angle{ten, cancel}, none), "no-direction"},
		{"ten blocks", circular.EqualMeans([][]circular.Angle{sample(25, 1), sample(25, 2)}, blocks), "few-blocks"},
		{"seven blocks in one", circular.EqualConcentration([][]circular.Angle{sample(39, 1), sample(99, 2)}, blocks), "few-blocks"},
		{"three angles", circular.EqualMeans([][]circular.Angle{ten, ten[:3]}, none), "few-blocks"},
		{"equal angles", circular.EqualConcentration([][]circular.Angle{same, same}, none), "undefined"},
		{"four pairs", circular.CorrelationT(ten[:4], ten[:4], none), "too-few"},
		{"one is constant", circular.CorrelationT(same, sample(20, 1), none), "undefined"},
		{"one is constant", circular.CorrelationSine(same, sample(20, 1), none), "undefined"},
		{"one is constant", circular.CorrelationLinear(sample(20, 1), make([]float64, 20), none), "undefined"},
		{"the direction is constant", circular.CorrelationLinear(same, series.Spec{}.Make(20, 1), none), "undefined"},
		{"four blocks", circular.CorrelationSine(sample(20, 1), sample(20, 2), blocks), "few-blocks"},
	} {
		if c.got.Absent == nil || c.got.Absent.Code != c.code || !math.IsNaN(c.got.P) || c.got.Absent.What == "" || c.got.Absent.Why == "" {
			t.Errorf("%s: %+v, %+v; want %q", c.name, c.got, c.got.Absent, c.code)
		}
	}
	if d := circular.MeanDifference(ten, ten[:1], none); d.Absent == nil {
		t.Errorf("a difference from one angle: %+v", d)
	}
	// A doubt does not stop the test.
	unequal := [][]circular.Angle{vonMises(40, 3, estimate.Stream(1, "")), vonMises(40, 60, estimate.Stream(2, ""))}
	if w := circular.WatsonWilliams(unequal, none); w.Doubt == nil || w.Doubt.Code != "unequal-concentration" || !(w.P > 0) {
		t.Errorf("unequal groups: %+v", w)
	}
}

func BenchmarkEqualMeans(b *testing.B) {
	groups := [][]circular.Angle{spread(1000), turned(spread(1500), 0.01)}
	for _, o := range []circular.Options{{Series: true, Axes: true}, {Block: 20, Axes: true}} {
		name := "series"
		if o.Block > 0 {
			name = "blocks"
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				circular.EqualMeans(groups, o)
			}
		})
	}
}

func BenchmarkCorrelationT(b *testing.B) {
	x, y := spread(1000), turned(spread(1000), 1)
	b.ReportAllocs()
	for b.Loop() {
		circular.CorrelationT(x, y, circular.Options{Block: 5})
	}
}
