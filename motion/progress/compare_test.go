package progress

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/motion/simulate"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
)

// with gives a take a further measure.
func (t Take) with(name string, x, half float64) Take {
	s := *t.Summary
	s.Values = append([]estimate.Value[float64](nil), s.Values...)
	_, at := row(name)
	s.Values[at] = estimate.Value[float64]{Value: x, Low: x - half, High: x + half, Level: 0.95, N: 100}
	t.Summary = &s
	return t
}

// threeADay returns repeats of a measure, three takes on each of some days, that
// differ by about step within a day and by about apart from day to day.
func threeADay(t *testing.T, name string, days int, x, step, apart float64) *Repeats {
	t.Helper()
	var takes []Take
	for i := range 3 * days {
		day := i / 3
		takes = append(takes, madeTake(name, 40+day, x+step*float64(i%3-1)+apart*float64((day*7)%5-2), step/10))
	}
	r, err := Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func mustCompare(t *testing.T, a, b Take, o CompareOptions) Comparison {
	t.Helper()
	c, err := Compare(a, b, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func changeOf(t *testing.T, c Comparison, name string) Change {
	t.Helper()
	ch, ok := c.Of(name)
	if !ok {
		t.Fatalf("no measure %q", name)
	}
	return ch
}

// TestCompareScales: the change on every scale, and its interval within the
// takes, which is the square root of the sum of squares (Zou and Donner 2008).
func TestCompareScales(t *testing.T) {
	for _, c := range []struct {
		name                                 string
		first, firstHalf, second, secondHalf float64
		change, low, high                    float64
	}{
		{"rise", 1, 0.3, 3, 0.4, 2, 1.5, 2.5},
		{"settled_share", 0.5, 0.03, 0.4, 0.04, -0.1, -0.15, -0.05},
		{"path_angle_deg", 88, 3, -89, 4, 3, -2, 8},
		{"path_angle_deg", -40, 3, 50, 4, 90, 85, 95}, // half of a half turn is positive
		{"path_angle_deg", 50, 3, -41, 4, 89, 84, 94},
		{"length", 10, 1, 20, 2, math.Log(2), math.Log(2) - math.Hypot(math.Log(20.0/18), math.Log(1.1)), math.Log(2) + math.Hypot(math.Log(1.1), math.Log(10.0/9))},
	} {
		a, b := madeTake(c.name, 0, c.first, c.firstHalf), madeTake(c.name, 1, c.second, c.secondHalf)
		ch := changeOf(t, mustCompare(t, a, b, CompareOptions{}), c.name)
		near(t, c.name+" change", ch.Change.Value, c.change, 1e-12)
		near(t, c.name+" low", ch.Change.Low, c.low, 1e-12)
		near(t, c.name+" high", ch.Change.High, c.high, 1e-12)
		near(t, c.name+" first", ch.First.Value, c.first, 1e-12)
		near(t, c.name+" second", ch.Second.Value, c.second, 1e-12)
		if ch.Beyond != BeyondUnknown || ch.Alone != BeyondUnknown || ch.Player.Known() || ch.P == ch.P || ch.Way != 0 {
			t.Errorf("%s: a verdict on the player without repeats: %+v", c.name, ch)
		}
	}
	// An interval that reaches down to zero has no logarithm; zero itself has no factor.
	a, b := madeTake("length", 0, 1, 1), madeTake("length", 0, 2, 0.1)
	if ch := changeOf(t, mustCompare(t, a, b, CompareOptions{}), "length"); !ch.Change.Known() || ch.Change.Level != 0 || !strings.Contains(ch.Text, "too short for an interval") {
		t.Errorf("%+v", ch)
	}
	a = madeTake("length", 0, 0, 0)
	if ch := changeOf(t, mustCompare(t, a, b, CompareOptions{}), "length"); ch.Change.Known() || ch.Change.Absent.Code != "zero" {
		t.Errorf("%+v", ch.Change)
	}
}

func TestCompareVerdicts(t *testing.T) {
	day := func(name string, on int, x float64) Take { return madeTake(name, on, x, 0.01) }
	oneDay := threeADay(t, "rise", 2, 1, 0.5, 1)    // within 0.5, df 4: 2.776 √2 0.5 = 1.96
	manyDays := threeADay(t, "rise", 10, 1, 0.5, 1) // days ± 1.4
	for _, c := range []struct {
		name          string
		repeats       *Repeats
		first, second Take
		alone, beyond Beyond
		text          string
	}{
		{"no repeats", nil, day("rise", 0, 1), day("rise", 0, 9), BeyondUnknown, BeyondUnknown, "whether the player does cannot be said"},
		{"one day, small", oneDay, day("rise", 0, 1), day("rise", 0, 2.9), BeyondNothing, BeyondNothing, "within what takes of P01 differ by themselves, up to 1.96 mm on one day"},
		{"one day, large", oneDay, day("rise", 0, 1), day("rise", 0, 3.1), BeyondRepeats, BeyondRepeats, "more than takes of P01 differ by themselves, 1.96 mm"},
		{"two days, days not known", oneDay, day("rise", 0, 1), day("rise", 9, 3.1), BeyondDay, BeyondDay, "These are of two days"},
		{"two days, small", oneDay, day("rise", 0, 1), day("rise", 9, 2), BeyondNothing, BeyondNothing, "within"},
		{"two days, days known", manyDays, day("rise", 0, 1), day("rise", 9, 3.1), BeyondNothing, BeyondNothing, "within"},
		{"two days, days known, large", manyDays, day("rise", 0, 1), day("rise", 9, 12), BeyondRepeats, BeyondRepeats, "more than"},
		{"strokes scatter by more", oneDay, madeTake("rise", 0, 1, 5), madeTake("rise", 0, 4, 5), BeyondNothing, BeyondNothing, "own strokes scatter by more"},
		{"the repeats know nothing of it", threeADay(t, "skew_deg", 2, 1, 1, 1), day("rise", 0, 1), day("rise", 0, 9), BeyondUnknown, BeyondUnknown, "the repeats do not tell"},
	} {
		ch := changeOf(t, mustCompare(t, c.first, c.second, CompareOptions{Repeats: c.repeats}), "rise")
		if ch.Alone != c.alone || ch.Beyond != c.beyond || !strings.Contains(ch.Text, c.text) {
			t.Errorf("%s: %v, %v, %q; want %v, %v, %q", c.name, ch.Alone, ch.Beyond, ch.Text, c.alone, c.beyond, c.text)
		}
	}
}

// TestCompareMany: what one measure by itself would tell, forty do not.
func TestCompareMany(t *testing.T) {
	a, b := madeTake("rise", 0, 1, 0.01), madeTake("rise", 0, 3.1, 0.01)
	all := threeADay(t, "rise", 2, 1, 0.5, 0)
	others := []string{"curvature", "height_after_down", "height_after_up", "carry"}
	for _, name := range others {
		a, b = a.with(name, 1, 0.01), b.with(name, 1.1, 0.01)
		m, at := row(name)
		r := threeADay(t, name, 2, 1, 0.5, 0)
		all.Measures[at] = r.Measures[at]
		if all.Measures[at].Name != m.Name {
			t.Fatal(name)
		}
	}
	c := mustCompare(t, a, b, CompareOptions{Repeats: all})
	ch := changeOf(t, c, "rise")
	near(t, "Holm of the least of 5", ch.Adjusted, 5*ch.P, 1e-12)
	if ch.Alone != BeyondRepeats || ch.Beyond != BeyondNothing || !strings.Contains(ch.Text, "may be chance") || ch.Way != 0 {
		t.Errorf("among 5: %+v", ch)
	}
	// Named beforehand it stands by itself.
	c = mustCompare(t, a, b, CompareOptions{Repeats: all, Primary: []string{"rise"}})
	ch = changeOf(t, c, "rise")
	if ch.Beyond != BeyondRepeats || !ch.Primary || ch.Adjusted != ch.P {
		t.Errorf("primary: %+v", ch)
	}
	if text := strings.Join(c.Notes, " "); !strings.Contains(text, "Of 4 measures not named beforehand about 0.2 would go beyond by chance") {
		t.Errorf("%q", text)
	}
}

// TestCompareWay: only a change that is told has a direction, as practice aims.
func TestCompareWay(t *testing.T) {
	for _, c := range []struct {
		name          string
		first, second float64
		way           int
	}{
		{"settled_share", 0.2, 0.9, 1},
		{"settled_share", 0.9, 0.2, -1},
		{"settled_share", 0.5, 0.51, 0},
		{"length_scatter", 1, 0.2, 1},
		{"length_scatter", 0.2, 1, -1},
		{"rise", 1, 9, 0},
	} {
		r := threeADay(t, c.name, 2, 0.5, 0.02, 0)
		ch := changeOf(t, mustCompare(t, madeTake(c.name, 0, c.first, 0.001), madeTake(c.name, 0, c.second, 0.001), CompareOptions{Repeats: r}), c.name)
		if ch.Way != c.way {
			t.Errorf("%s %v to %v: way %d, want %d: %s", c.name, c.first, c.second, ch.Way, c.way, ch.Text)
		}
		if strings.Contains(ch.Text, "practice aims") != (c.way != 0) {
			t.Errorf("%q", ch.Text)
		}
	}
}

func TestCompareMargin(t *testing.T) {
	r := threeADay(t, "rise", 5, 1, 0.1, 0) // 1.812 √2 0.1 = 0.26 at 0.90
	for _, c := range []struct {
		repeats *Repeats
		second  float64
		day     int
		margin  float64
		want    cycle.Answer
		why     string
	}{
		{r, 1.1, 0, 0.5, cycle.Inside, "within the margin of 0.5 mm"},
		{r, 1.1, 0, 0.3, cycle.CannotSay, "too near the margin"},
		{r, 1.1, 0, 0.2, cycle.CannotSay, "known to within 0.256 mm only"},
		{r, 2, 0, 0.5, cycle.Outside, "beyond the margin"},
		{nil, 1, 0, 0.5, cycle.CannotSay, "cannot be said"},
		{threeADay(t, "rise", 2, 1, 0.1, 0), 1, 9, 0.5, cycle.CannotSay, "three days or more"},
	} {
		ch := changeOf(t, mustCompare(t, madeTake("rise", 0, 1, 0.01), madeTake("rise", c.day, c.second, 0.01),
			CompareOptions{Repeats: c.repeats, Margins: map[string]float64{"rise": c.margin}}), "rise")
		if ch.Answer != c.want || !strings.Contains(ch.Text, c.why) {
			t.Errorf("to %v, margin %v: %v, %q; want %v, %q", c.second, c.margin, ch.Answer, ch.Text, c.want, c.why)
		}
	}
}

func TestCompareWarnings(t *testing.T) {
	a, b := madeTake("rise", 5, 1, 0.1), madeTake("rise", 2, 2, 0.1)
	c := mustCompare(t, a, b, CompareOptions{})
	if !c.Swapped || c.First[0].Summary != b.Summary || changeOf(t, c, "rise").Change.Value != -1 {
		t.Errorf("not put in order: %+v", c.First)
	}
	b.Summary.Digest, b.Summary.Version, b.Summary.Flags, b.Comfort = "e", "w", []string{"lost", "pace"}, ComfortPain
	c = mustCompare(t, a, b, CompareOptions{})
	text := strings.Join(c.Warnings, "\n")
	for _, want := range []string{"different versions", "different options", "lost and pace", "wrong order"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %q", want, text)
		}
	}
	if !strings.Contains(c.Warnings[0], "pain") || c.Warnings[1] != StopRest()[0] {
		t.Errorf("pain does not come first: %q", text)
	}
	if c.Compared != 0 || changeOf(t, c, "rise").Change.Absent.Code != "options" {
		t.Errorf("%d compared in spite of different options", c.Compared)
	}
	if c = mustCompare(t, a, b, CompareOptions{AllowDifferentOptions: true}); c.Compared != 1 {
		t.Errorf("%d compared", c.Compared)
	}

	r := threeADay(t, "rise", 3, 1, 0.5, 1)
	a, b = madeTake("rise", 0, 1, 0.1), madeTake("rise", 0, 9, 0.1)
	b.Player = "P02"
	if c = mustCompare(t, a, b, CompareOptions{Repeats: r}); !strings.Contains(c.Warnings[0], "two players") || changeOf(t, c, "rise").Alone != BeyondUnknown {
		t.Errorf("two players: %q", c.Warnings)
	}
	a.Player, b.Player = "P02", "P02"
	if c = mustCompare(t, a, b, CompareOptions{Repeats: r}); !strings.Contains(c.Warnings[0], "repeats are those of P01") {
		t.Errorf("repeats of another: %q", c.Warnings)
	}
	a.Player, b.Player = "P01", "P01"
	r.from = append(r.from, a.Summary)
	if c = mustCompare(t, a, b, CompareOptions{Repeats: r}); len(c.Warnings) != 1 || !strings.Contains(c.Warnings[0], "hides itself") {
		t.Errorf("among the repeats: %q", c.Warnings)
	}
	r.Digest = "several"
	if c = mustCompare(t, a, b, CompareOptions{Repeats: r}); !strings.Contains(c.Warnings[0], "other options") {
		t.Errorf("options of the repeats: %q", c.Warnings)
	}
}

// TestCompareDays: means of three takes a side bear smaller changes.
func TestCompareDays(t *testing.T) {
	side := func(day int, xs ...float64) (takes []Take) {
		for _, x := range xs {
			takes = append(takes, madeTake("length", day, x, 0.3))
		}
		return takes
	}
	r := threeADay(t, "length", 5, 10, 0.5, 0.01)
	c, err := CompareDays(side(0, 8, 10, 12.5), side(1, 10, 10), CompareOptions{Repeats: r})
	if err != nil {
		t.Fatal(err)
	}
	ch := changeOf(t, c, "length")
	near(t, "geometric mean", ch.First.Value, 10, 1e-12)
	if ch.Takes != [2]int{3, 2} || ch.First.N != 300 {
		t.Errorf("%+v", ch)
	}
	rep, _ := r.Of("length")
	near(t, "smallest", ch.Smallest.Value, rep.Smallest(3, 2, true).Value, 1e-12)
	if one := rep.Smallest(1, 1, true); !(ch.Smallest.Value < one.Value) {
		t.Errorf("means of takes bear no smaller change: %v and %v", ch.Smallest.Value, one.Value)
	}
	if c.Motion != nil {
		t.Error("a mean cycle of several takes")
	}
}

func TestCompareErrors(t *testing.T) {
	a, b := madeTake("rise", 0, 1, 0.1), madeTake("rise", 1, 1, 0.1)
	other := madeTake("rise", 0, 1, 0.1)
	other.Player = "P02"
	for _, c := range []struct {
		first, second []Take
		o             CompareOptions
		want          string
	}{
		{nil, []Take{b}, CompareOptions{}, "has no take"},
		{[]Take{a, b}, []Take{b}, CompareOptions{}, "of two days"},
		{[]Take{a, other}, []Take{b}, CompareOptions{}, "of one player"},
		{[]Take{{File: "x.csv"}}, []Take{b}, CompareOptions{}, "x.csv is not reviewed"},
		{[]Take{a}, []Take{b}, CompareOptions{Primary: []string{"speed"}}, `no measure "speed"`},
		{[]Take{a}, []Take{b}, CompareOptions{Margins: map[string]float64{"rise": 0}}, "margin of 0"},
		{[]Take{a}, []Take{b}, CompareOptions{Margins: map[string]float64{"speed": 1}}, `no measure "speed"`},
		{[]Take{a}, []Take{b}, CompareOptions{Level: 2}, "level of 2"},
	} {
		if _, err := CompareDays(c.first, c.second, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

func TestBeyondText(t *testing.T) {
	for b := BeyondUnknown; b <= BeyondRepeats; b++ {
		text, _ := b.MarshalText()
		var back Beyond
		if err := back.UnmarshalText(text); err != nil || back != b || strings.HasPrefix(b.String(), "Beyond(") {
			t.Errorf("%v: %q, %v", b, text, err)
		}
	}
	var b Beyond
	if b.UnmarshalText([]byte("further")) == nil || Beyond(9).String() != "Beyond(9)" {
		t.Error("an unknown text is taken")
	}
}

// TestCompareWhole runs over a real pair of summaries: every measure of the
// table is either compared or says why not.
func TestCompareWhole(t *testing.T) {
	a := madeTake("rise", 0, 1, 0.1)
	b := a
	s := *a.Summary
	b.Summary = &s
	b.Date = a.Date.Add(26 * time.Hour)
	for i := range review.Measures() {
		x := 0.4 + 0.01*float64(i)
		a.Summary.Values[i] = estimate.Value[float64]{Value: x, Low: x - 0.1, High: x + 0.1, Level: 0.95, N: 50}
	}
	c := mustCompare(t, a, b, CompareOptions{})
	if c.Compared != len(review.Measures()) || len(c.Changes) != c.Compared {
		t.Errorf("%d of %d compared", c.Compared, len(review.Measures()))
	}
	for _, ch := range c.Changes {
		if ch.Change.Value != 0 || ch.Text == "" || strings.Contains(ch.Text, "unit") {
			t.Errorf("%s: %v, %q", ch.Name, ch.Change.Value, ch.Text)
		}
	}
}

// TestCompareFilmed: two made takes that differ by 8 degrees of path angle, and
// two that do not differ.
func TestCompareFilmed(t *testing.T) {
	if testing.Short() {
		t.Skip("slow")
	}
	take := func(seed uint64, angle circular.Angle) Take {
		_, r := filmed(t, simulate.Options{Seed: seed, Duration: 12, PathAngle: angle, Curvature: 0.02})
		return Take{Player: "P01", Date: time.Date(2024, 3, 5, 18, int(seed), 0, 0, time.UTC), Summary: r.Summary()}
	}
	const degree = circular.Degree
	base := take(1, 20*degree)
	var repeats []Take
	for seed := uint64(2); seed < 5; seed++ {
		repeats = append(repeats, take(seed, (19+circular.Angle(seed)/3)*degree))
	}
	all, err := Repeatability(repeats, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		other  Take
		beyond Beyond
		motion cycle.Answer
	}{
		{take(7, 28*degree), BeyondRepeats, cycle.Outside},
		{take(8, 20*degree), BeyondNothing, cycle.Inside},
	} {
		cmp := mustCompare(t, base, c.other, CompareOptions{Repeats: &all, Primary: []string{"picture_angle_deg"}})
		ch := changeOf(t, cmp, "picture_angle_deg")
		if ch.Beyond != c.beyond || cmp.Motion == nil || cmp.Motion.Answer != c.motion {
			t.Errorf("%s %+v", ch.Text, cmp.Motion)
		}
		if cmp.Compared < 20 {
			t.Errorf("%d measures compared", cmp.Compared)
		}
		t.Log(ch.Text)
		for _, text := range cmp.Notes {
			t.Log(text)
		}
		for _, k := range cmp.Motion.Components {
			t.Logf("%s %.3f (%.3f to %.3f) %v", k.Name, k.Difference.Value, k.Difference.Low, k.Difference.High, k.Answer)
		}
	}
}
