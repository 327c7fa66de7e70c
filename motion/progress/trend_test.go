package progress

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/learning"
)

func follow(t *testing.T, takes []Take, o Options) Progress {
	t.Helper()
	p, err := OfPlayer(takes, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func only(t *testing.T, p Progress, name string) Series {
	t.Helper()
	s := p.Of(name)
	if len(s) != 1 {
		t.Fatalf("%d series of %s", len(s), name)
	}
	return s[0]
}

// TestSeries: takes of a day are put together, trends are told per week on the
// scale of the measure, and small numbers of days are refused.
func TestSeries(t *testing.T) {
	var takes []Take
	for d := range 8 {
		for k := range 3 {
			u := float64(d)
			takes = append(takes, played(7*d, map[string]float64{
				"notes_per_second":  6 * math.Pow(1.05, u) * []float64{0.98, 1, 1 / 0.98}[k],
				"settled_share":     0.3 + 0.04*u,
				"picture_angle_deg": []float64{86, 88, 90, -88, -86, -84, -82, -80}[d],
				"rise":              []float64{3, 5, 2, 6, 4, 3, 5, 4}[d],
			}))
		}
	}
	slices.Reverse(takes)
	p := follow(t, takes, Options{Primary: []string{"settled_share"}})
	if p.Takes != 24 || p.Days != 8 || len(p.Notes) != 0 || len(p.LeftOut) != 0 || p.Player != "P01" || daysBetween(p.First, p.Last) != 49 {
		t.Errorf("%d takes, %d days, %v to %v, notes %q, left out %q", p.Takes, p.Days, p.First, p.Last, p.Notes, p.LeftOut)
	}
	rate := only(t, p, "notes_per_second")
	if len(rate.Days) != 8 || rate.Days[0].Takes != 3 || math.Abs(rate.Days[0].Value-6) > 1e-9 {
		t.Errorf("days of the rate: %+v", rate.Days)
	}
	if math.Abs(rate.PerWeek.Value-0.05) > 1e-9 || math.Abs(rate.Change.Value-(math.Pow(1.05, 7)-1)) > 1e-9 || !strings.Contains(rate.Text, "rises by 5 % a week") {
		t.Errorf("rate: %v a week, %v in all: %s", rate.PerWeek.Value, rate.Change.Value, rate.Text)
	}
	// Three takes a day of -0.02, 0 and 0.02 in logarithms, nearly.
	if w, ok := p.Repeats.Of("notes_per_second"); !ok || w.WithinDF != 16 || math.Abs(w.Within.Value-0.0202) > 1e-4 {
		t.Errorf("takes of a day: %+v", w)
	}
	share := only(t, p, "settled_share")
	// The least P of eight values is 2/8!.
	if math.Abs(share.PerWeek.Value-0.04) > 1e-9 || math.Abs(share.Trend.P-2.0/40320) > 1e-12 || !share.Primary || share.Adjusted != share.Trend.P ||
		!strings.Contains(share.Text, "the way practice aims at") {
		t.Errorf("share: %+v, p %v, adjusted %v: %s", share.PerWeek, share.Trend.P, share.Adjusted, share.Text)
	}
	if angle := only(t, p, "picture_angle_deg"); math.Abs(angle.PerWeek.Value-2) > 1e-6 || angle.Setup != "bench" || math.Abs(angle.Change.Value-14) > 1e-6 {
		t.Errorf("angle: %+v", angle.PerWeek)
	}
	rise := only(t, p, "rise")
	if rise.Unit != "mm" || !strings.Contains(rise.Text, "No trend can be told") || rise.Adjusted < rise.Trend.P {
		t.Errorf("rise: p %v, adjusted %v: %s", rise.Trend.P, rise.Adjusted, rise.Text)
	}
	if none := only(t, p, "carry"); none.Absent == nil || none.PerWeek.Known() || none.Adjusted == none.Adjusted || !strings.Contains(none.Text, "not followed") {
		t.Errorf("carry: %+v: %s", none.Absent, none.Text)
	}
	if rate.Curve == nil || rate.Curve.Verdict == learning.TooFew || !rate.Curve.Options.Log {
		t.Errorf("learning curve of the rate: %+v", rate.Curve)
	}

	few := follow(t, takes[:12], Options{})
	if s := only(t, few, "notes_per_second"); s.Trend.Absent == nil || s.PerWeek.Level != 0 || s.Adjusted == s.Adjusted || !strings.Contains(s.Text, "film on further days") {
		t.Errorf("four days: %+v: %s", s.Trend.Absent, s.Text)
	}
	if s := only(t, follow(t, takes[:3], Options{}), "notes_per_second"); !strings.Contains(s.Text, "the only day") {
		t.Errorf("one day: %s", s.Text)
	}
	if p := follow(t, nil, Options{}); p.Takes != 0 || only(t, p, "rise").Absent == nil || len(p.Weeks) != 0 {
		t.Errorf("no takes: %+v", p)
	}
}

// TestAllMeasuresFollowed: whatever the table holds is followed.
func TestAllMeasuresFollowed(t *testing.T) {
	values := map[string]float64{}
	for _, m := range review.Measures() {
		values[m.Name] = 0.5
	}
	p := follow(t, []Take{played(0, values), played(1, values)}, Options{})
	for _, m := range review.Measures() {
		if s := only(t, p, m.Name); s.Absent != nil || len(s.Days) != 2 || s.Text == "" {
			t.Errorf("%s: %+v", m.Name, s)
		}
	}
}

// TestSeriesApart: what may not be compared is followed apart, and said.
func TestSeriesApart(t *testing.T) {
	var takes []Take
	for d := range 12 {
		x := played(d, map[string]float64{"notes_per_second": 6, "picture_angle_deg": 10, "length": 9})
		if d%2 == 1 {
			x.Summary.Setup, x.Summary.Unit = "window", "px"
		}
		takes = append(takes, x)
	}
	p := follow(t, takes, Options{})
	if got := []int{len(p.Of("notes_per_second")), len(p.Of("picture_angle_deg")), len(p.Of("length"))}; !slices.Equal(got, []int{1, 2, 2}) {
		t.Errorf("series of rate, angle, length: %v", got)
	}
	if s := p.Of("picture_angle_deg"); s[0].Setup != "bench" || s[1].Setup != "window" || len(s[1].Days) != 6 || !strings.Contains(s[1].Text, "set-up window") {
		t.Errorf("angle: %+v", s)
	}
	for i := range takes {
		takes[i].Summary.Setup = ""
	}
	if s := only(t, follow(t, takes, Options{}), "picture_angle_deg"); s.Absent == nil || !strings.Contains(s.Text, "name the setup") {
		t.Errorf("no set-up named: %s", s.Text)
	}
	for i := range takes {
		takes[i].Setup = "by the list" // stands for the one in the settings
		if i > 5 {
			takes[i].Summary.Digest = "other"
		}
	}
	p = follow(t, takes, Options{})
	if len(p.Of("notes_per_second")) != 2 || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "different sets of options") {
		t.Errorf("two sets of options: %d series, notes %q", len(p.Of("notes_per_second")), p.Notes)
	}
	if p = follow(t, takes, Options{AllowDifferentOptions: true}); len(p.Of("notes_per_second")) != 1 || len(p.Notes) != 0 {
		t.Errorf("allowed: %d series, notes %q", len(p.Of("notes_per_second")), p.Notes)
	}
}

// TestProgressSays: pain first, then what must be looked at; nothing is dropped
// without a word.
func TestProgressSays(t *testing.T) {
	a, b, c := played(0, nil), played(1, nil), played(2, nil)
	b.Comfort, b.Take = ComfortPain, "2"
	c.Summary.Version, c.Summary.Flags = "other", []string{"question"}
	undated, bare := played(3, nil), Take{Player: "P01", File: "x.csv"}
	undated.Date = time.Time{}
	p := follow(t, []Take{a, b, c, undated, bare, a}, Options{})
	if len(p.Notes) != 3 || !strings.HasPrefix(p.Notes[0], "Pain was noted at P01, 2024-03-05, take 2. Stop, rest, and see a clinician") ||
		!strings.Contains(p.Notes[1], "versions") || !strings.Contains(p.Notes[2], "2024-03-06") {
		t.Errorf("notes %q", p.Notes)
	}
	if len(p.LeftOut) != 3 {
		t.Errorf("left out %q", p.LeftOut)
	}
	zero := played(0, map[string]float64{"duration_scatter": 0})
	if s := only(t, follow(t, []Take{zero}, Options{}), "duration_scatter"); s.Absent == nil || s.Absent.Code != "zero" {
		t.Errorf("a scatter of nothing: %+v", s.Absent)
	}
}

func TestProgressErrors(t *testing.T) {
	a, b := played(0, nil), played(1, nil)
	b.Player = "P02"
	short := played(0, nil)
	short.Summary.Values = short.Summary.Values[:3]
	for name, c := range map[string]struct {
		takes []Take
		o     Options
	}{
		"two players":           {[]Take{a, b}, Options{}},
		"an old summary":        {[]Take{short}, Options{}},
		"no such primary":       {[]Take{a}, Options{Primary: []string{"speed"}}},
		"no such rate":          {[]Take{a}, Options{Rate: "speed"}},
		"a rate that is none":   {[]Take{a}, Options{Rate: "rise"}},
		"a scatter that is one": {[]Take{a}, Options{Scatter: []string{"skew_deg"}}},
		"a share that is none":  {[]Take{a}, Options{SettledShare: "length"}},
	} {
		if _, err := OfPlayer(c.takes, c.o); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestSeriesEveryWay: lines that point every way have no mean of their day, and are
// left out with a note.
func TestSeriesEveryWay(t *testing.T) {
	var takes []Take
	for _, x := range []float64{0, 60, -60} {
		takes = append(takes, played(0, map[string]float64{"picture_angle_deg": x}))
	}
	p := follow(t, takes, Options{})
	if s := only(t, p, "picture_angle_deg"); s.Absent == nil || s.Absent.Code != "spread out" || s.Takes != 0 || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "3 takes left out") {
		t.Errorf("one day: %+v; %q", s.Absent, p.Notes)
	}
	takes = append(takes, played(1, map[string]float64{"picture_angle_deg": 10}))
	if s := only(t, follow(t, takes, Options{}), "picture_angle_deg"); s.Absent != nil || len(s.Days) != 1 || s.Takes != 1 {
		t.Errorf("a second day: %+v", s)
	}
}

// TestOrder: what came first, and what stands in the way of saying so.
func TestOrder(t *testing.T) {
	line := func(by float64) func(float64) float64 { return func(u float64) float64 { return by * u } }
	late := func(by float64) func(float64) float64 { return func(u float64) float64 { return by * u * u * u } }
	early := func(by float64) func(float64) float64 {
		return func(u float64) float64 { return by * (1 - (1-u)*(1-u)*(1-u)) }
	}
	for _, c := range []struct {
		name          string
		days          int
		rate, scatter func(float64) float64
		want          Order
		says          string
	}{
		{"rate first", 20, early(0.6), late(-1.5), RateFirst, "The rate rose before the scatter fell"},
		{"evenness first", 20, late(0.6), early(-1.5), EvennessFirst, "The scatter fell before the rate rose"},
		{"few days", 6, line(0.6), line(-1.5), OrderUnknown, "it needs 8 days that have both, and there are 6"},
		{"faster and less even", 20, line(0.6), line(1.5), OrderUnknown, "the rate rose while the playing became less even"},
		{"slower and more even", 20, line(-0.6), line(-1.5), OrderUnknown, "the rate fell while the playing became more even"},
		{"slower and less even", 20, line(-0.6), line(1.5), OrderUnknown, "the rate fell and the scatter rose"},
		{"rate stays", 20, still, line(-1.5), OrderUnknown, "the rate does not change"},
		{"scatter stays", 20, line(0.6), still, OrderUnknown, "the scatter does not change"},
	} {
		rng := estimate.Stream(8, c.name)
		p := follow(t, evenings(rng, c.days, 3, 0, c.rate, c.scatter), Options{Seed: 5})
		r := p.Orders[0]
		if r.Order != c.want || !strings.Contains(r.Sentence, c.says) || len(r.Days) != c.days {
			t.Errorf("%s: %v, %d days: %s", c.name, r.Order, len(r.Days), r.Sentence)
		}
		if (c.want != OrderUnknown) != (r.RateMiddle.Known() && r.Ahead.Level > 0) {
			t.Errorf("%s: %+v, ahead %+v", c.name, r.RateMiddle, r.Ahead)
		}
		if c.want == RateFirst && !(r.RateMiddle.Value < r.EvennessMiddle.Value && r.Ahead.Value > 0) {
			t.Errorf("%s: middles %v and %v, ahead %v", c.name, r.RateMiddle.Value, r.EvennessMiddle.Value, r.Ahead.Value)
		}
		if r.Rate != "notes_per_second" || r.Scatter != "duration_scatter" || len(p.Orders) != 2 || len(p.Orders[1].Days) != 0 {
			t.Errorf("%s: %+v", c.name, p.Orders)
		}
	}
	// Without any noise the way is exact, and no interval can be had.
	p := follow(t, func() (takes []Take) {
		for d := range 10 {
			takes = append(takes, played(d, map[string]float64{"notes_per_second": math.Exp(float64(d) / 20), "duration_scatter": math.Exp(-float64(d)/20) / math.Exp(float64(d)/20)}))
		}
		return takes
	}(), Options{})
	if r := p.Orders[0]; r.Order == RateFirst || r.Order == EvennessFirst || r.WithinDays.Known() || !(r.P != r.P) {
		t.Errorf("one take a day, both in step: %v, %+v", r.Order, r.WithinDays)
	}
}

// TestWithinDays: the faster takes of a day are the less even ones, while from
// day to day rate and evenness rise together.
func TestWithinDays(t *testing.T) {
	var takes []Take
	for d := range 6 {
		for k := range 3 {
			rate := 6 + 0.4*float64(d) + 0.1*float64(k)
			takes = append(takes, played(d, map[string]float64{"notes_per_second": rate, "path_angle_scatter_deg": 3 - 0.4*float64(d) + 0.1*float64(k)}))
		}
	}
	r := follow(t, takes, Options{Scatter: []string{"path_angle_scatter_deg"}}).Orders[0]
	if r.WithinDays.Value != 1 || r.WithinDays.N != 18 || r.P > 0.01 || r.P < r.Least || r.WithinDays.Level != 0 {
		t.Errorf("within days: %+v, p %v, least %v", r.WithinDays, r.P, r.Least)
	}
	// Two takes on one day: P cannot be below 1.
	if r := follow(t, takes[:2], Options{Scatter: []string{"path_angle_scatter_deg"}}).Orders[0]; r.P != 1 || r.Least != 1 {
		t.Errorf("two takes: p %v, least %v", r.P, r.Least)
	}
}

func TestOrderText(t *testing.T) {
	for o := OrderUnknown; o <= Together; o++ {
		b, _ := o.MarshalText()
		var back Order
		if err := back.UnmarshalText(b); err != nil || back != o {
			t.Errorf("%v reads back as %v: %v", o, back, err)
		}
	}
	var o Order
	if o.UnmarshalText([]byte("both")) == nil || Order(9).String() != "Order(9)" {
		t.Error("an unknown order is taken")
	}
}

// TestWeeks: takes of a calendar week are added up by the time played.
func TestWeeks(t *testing.T) {
	// The 4th of March 2024 is a Monday.
	var takes []Take
	for i, day := range []int{0, 2, 6, 7, 21} {
		x := played(day, map[string]float64{"settled_share": 0.2 + 0.1*float64(i), "settled_notes_per_second": 6 + float64(i)})
		x.Summary.Seconds = 30 + 30*float64(i)
		x.Summary.Motion = &cycle.Reference{Cycles: 20 + 10*i, Rate: 8}
		takes = append(takes, x)
	}
	takes[1].Comfort = ComfortPain
	w := follow(t, takes, Options{}).Weeks
	if len(w) != 3 || w[0].Takes != 3 || w[0].Days != 3 || w[0].Pain != 1 || w[1].Takes != 1 || w[2].Takes != 1 {
		t.Fatalf("weeks %+v", w)
	}
	if got := fmt.Sprintf("%s %s %s", w[0].Monday.Format(time.DateOnly), w[1].Monday.Format(time.DateOnly), w[2].Monday.Format(time.DateOnly)); got != "2024-03-04 2024-03-11 2024-03-25" {
		t.Errorf("Mondays %s", got)
	}
	// (0.2·30 + 0.3·60 + 0.4·90)/180
	if s := w[0].SettledShare; math.Abs(s.Value-1.0/3) > 1e-12 || !(s.Low < s.Value && s.Value < s.High) || s.Low < 0 || w[0].Minutes != 3 {
		t.Errorf("settled share %+v over %v minutes", s, w[0].Minutes)
	}
	if w[1].SettledShare.Level != 0 || w[1].SettledShare.Value != 0.5 {
		t.Errorf("one take: %+v", w[1].SettledShare)
	}
	if w[0].SettledRate.Value != 7 || w[0].Longest != 10 {
		t.Errorf("rate %v, longest %v", w[0].SettledRate.Value, w[0].Longest)
	}
	none := follow(t, []Take{played(0, nil)}, Options{}).Weeks[0]
	if none.SettledShare.Absent == nil || none.SettledRate.Absent == nil || none.Longest == none.Longest {
		t.Errorf("a take without spans: %+v", none)
	}
}

// TestPooledShareCoverage: the interval of a week's share, over takes that differ
// and last between 20 and 60 s.
func TestPooledShareCoverage(t *testing.T) {
	draws, seed := simulated(t, 400)
	rng := estimate.Stream(seed, "pooled share")
	for _, k := range []int{3, 5, 10} {
		held := 0
		for range draws {
			x, w := make([]float64, k), make([]float64, k)
			for i := range x {
				x[i], w[i] = 0.5+0.1*rng.NormFloat64(), 20+40*rng.Float64()
			}
			if v := pooledShare(x, w); v.Low <= 0.5 && 0.5 <= v.High {
				held++
			}
		}
		if *calibrate > 0 {
			t.Logf("%2d takes: %4.1f %%", k, pct(held, draws))
		}
		if draws-held > atMost(draws, 0.07) {
			t.Errorf("%d takes: %d of %d intervals hold the share", k, held, draws)
		}
	}
}

func BenchmarkOfPlayer(b *testing.B) {
	takes := evenings(estimate.Stream(1, "benchmark"), 30, 3, 0, still, still)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := OfPlayer(takes, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestShareLevel: what a share tends to is a share, however wide its interval.
func TestShareLevel(t *testing.T) {
	var takes []Take
	for d := range 14 {
		wave := 0.03 * math.Sin(2.7*float64(d))
		takes = append(takes, played(7*d, map[string]float64{"settled_share": min(1, 0.97-0.6*math.Exp(-float64(d)/5)+wave)}))
	}
	s := only(t, follow(t, takes, Options{Primary: []string{"settled_share"}}), "settled_share")
	if s.Curve == nil || !s.Curve.Plateau.Known() {
		t.Fatalf("no level: %s", s.Text)
	}
	if v := s.Curve.Plateau; v.Low < 0 || v.High != 1 || v.Value > 1 || !(v.Low < v.Value) {
		t.Errorf("the level is %v, %v to %v: %s", v.Value, v.Low, v.High, s.Text)
	}
}

// TestShareBeyond: a level that lies beyond the whole with all of its interval is not
// told as the whole.
func TestShareBeyond(t *testing.T) {
	for _, c := range []struct {
		v, low, high float64
		want         [3]float64 // nothing where the first is NaN
	}{
		{0.8, 0.7, 0.9, [3]float64{0.8, 0.7, 0.9}},
		{0.98, 0.9, 1.2, [3]float64{0.98, 0.9, 1}},
		{1.1, 0.9, 1.2, [3]float64{1, 0.9, 1}},
		{1.1, 1.05, 1.2, [3]float64{math.NaN()}},
		{-0.2, -0.3, -0.1, [3]float64{math.NaN()}},
	} {
		got := withinWhole(estimate.Value[float64]{Value: c.v, Low: c.low, High: c.high, Level: 0.95, N: 14})
		if known := c.want[0] == c.want[0]; got.Known() != known || known && [3]float64{got.Value, got.Low, got.High} != c.want {
			t.Errorf("%+v becomes %+v", c, got)
		}
	}
}
