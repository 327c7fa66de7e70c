package progress

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/floats/scalar"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/estimate"
)

// reference is testdata/reference/progress.json, made by progress.R there with R
// 4.2.2 and nlme 3.1-162.
type reference struct {
	Repeats struct {
		X           []float64
		PerDay      int       `json:"per_day"`
		MeanSquares []float64 `json:"mean_squares"`
		DF          []float64
		Interval    [2]float64
		REMLBetween float64 `json:"reml_between"`
		REMLWithin  float64 `json:"reml_within"`
		SameDay     float64 `json:"smallest_same_day"`
		TwoDays     float64 `json:"smallest_two_days"`
		DFTwoDays   float64 `json:"df_two_days"`
	}
	Nested struct {
		MeanSquare float64 `json:"mean_square_days"`
		DF         float64 `json:"df_days"`
	}
	Kappa []struct {
		Table                           [][]float64
		Agreed, Chance, Kappa, Variance float64
	}
}

func readReference(t *testing.T) (r reference) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/reference/progress.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !scalar.EqualWithinAbsOrRel(got, want, tolerance, tolerance) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// TestRepeatReference holds the standard deviations of days and takes against
// R. The tolerance is that of twelve digits printed; of nlme, that of its
// iterations.
func TestRepeatReference(t *testing.T) {
	ref := readReference(t).Repeats
	var takes []Take
	for i, x := range ref.X {
		takes = append(takes, madeTake("rise", i/ref.PerDay, x, 0.1))
	}
	all, err := Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, ok := all.Of("rise")
	if !ok || all.Takes != 12 || all.Days != 4 || len(all.LeftOut) != 0 {
		t.Fatalf("%+v", all)
	}
	near(t, "within", r.Within.Value*r.Within.Value, ref.MeanSquares[1], 1e-10)
	near(t, "days", r.days, ref.MeanSquares[0], 1e-10)
	near(t, "df within", float64(r.WithinDF), ref.DF[1], 0)
	near(t, "df days", float64(r.daysDF), ref.DF[0], 0)
	near(t, "low", r.Within.Low, ref.Interval[0], 1e-9)
	near(t, "high", r.Within.High, ref.Interval[1], 1e-9)
	near(t, "within, REML", r.Within.Value, ref.REMLWithin, 1e-5)
	near(t, "between, REML", r.Between.Value, ref.REMLBetween, 1e-5)
	near(t, "same day", r.Smallest(1, 1, false).Value, ref.SameDay, 1e-9)
	near(t, "two days", r.Smallest(1, 1, true).Value, ref.TwoDays, 1e-9)
	if _, df, _ := r.errorOf(1, 1, true); !scalar.EqualWithinAbs(df, ref.DFTwoDays, 1e-9) {
		t.Errorf("df of two days %v, want %v", df, ref.DFTwoDays)
	}
	if b := r.Between; !(b.Low < b.Value && b.Value < b.High) || b.N != 4 {
		t.Errorf("between %+v", b)
	}

	// In two set-ups the days are held against those of their own.
	for i := range takes {
		if i >= 6 {
			takes[i].Summary.Setup = "B"
		}
	}
	all, err = Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, _ = all.Of("rise")
	nested := readReference(t).Nested
	near(t, "days in two set-ups", r.days, nested.MeanSquare, 1e-10)
	near(t, "their df", float64(r.daysDF), nested.DF, 0)
	near(t, "within in two set-ups", r.Within.Value*r.Within.Value, ref.MeanSquares[1], 1e-10)
}

// TestBlandAltman: the peak flow data of Bland and Altman (1986), Lancet i,
// 307-310, two readings of 17 people by one meter: standard deviation of the
// differences 21.6 and coefficient of repeatability 43.2 l/min as printed (twice
// that), 15.3 within people (Bland and Altman 1999). The data are from memory.
func TestBlandAltman(t *testing.T) {
	first := []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	second := []float64{490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421}
	var takes []Take
	for i := range first {
		takes = append(takes, madeTake("rise", i, first[i], 1), madeTake("rise", i, second[i], 1))
	}
	all, err := Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, _ := all.Of("rise")
	near(t, "within", r.Within.Value, 15.3, 0.005)
	near(t, "coefficient", 2*math.Sqrt2*r.Within.Value, 43.2, 0.005)
	// With t of 17 degrees of freedom, 2.110, in place of 1.96 or 2.
	near(t, "smallest", r.Smallest(1, 1, false).Value, 2.110*math.Sqrt2*15.3067, 0.01)
	near(t, "smallest of means of 2", r.Smallest(2, 2, false).Value, 2.110*15.3067, 0.01)
}

// TestRepeatAxis: lines near a right angle are near each other.
func TestRepeatAxis(t *testing.T) {
	var takes []Take
	for i, x := range []float64{88, 90, -88, -89, 89, -87} {
		takes = append(takes, madeTake("path_angle_deg", i/3, x, 1))
	}
	all, err := Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, _ := all.Of("path_angle_deg")
	// 88 90 92 and 91 89 93 about 90 and 91: (4+0+4 + 0+4+4)/4.
	near(t, "within", r.Within.Value, 2, 1e-3) // the axial mean is not the arithmetic one

	// Lines that point every way have no mean to differ from.
	takes = nil
	for _, x := range []float64{0, 60, -60} {
		takes = append(takes, madeTake("path_angle_deg", 0, x, 1))
	}
	all, err = Repeatability(takes, RepeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if r, _ = all.Of("path_angle_deg"); r.Within.Known() || r.Within.Absent.Code != "spread out" {
		t.Errorf("every way: %+v", r.Within)
	}
}

func TestRepeatRefused(t *testing.T) {
	day := func(days ...int) (takes []Take) {
		for i, d := range days {
			takes = append(takes, madeTake("rise", d, 1+0.1*float64(i*i%7), 0.1))
		}
		return takes
	}
	each := func(takes []Take, f func(i int, t *Take)) []Take {
		for i := range takes {
			f(i, &takes[i])
		}
		return takes
	}
	for _, c := range []struct {
		name            string
		takes           []Take
		within, between string // codes
	}{
		{"none", nil, "no repeats", "few days"},
		{"one a day", day(0, 1, 2), "no repeats", "no repeats"},
		{"two of one day", day(0, 0), "few repeats", "few days"},
		{"two of two days", day(0, 0, 1, 1), "", "few days"},
		{"three of three days", day(0, 0, 0, 1, 1, 1, 2, 2, 2), "", ""},
		{"all the same", each(day(0, 0, 0), func(_ int, t *Take) { *t = madeTake("rise", 0, 1, 0.1) }), "no difference", "few days"},
		// Three times 0.1, added up and divided by three, is not 0.1.
		{"all the same, on three days", each(day(0, 0, 0, 1, 1, 1, 2, 2, 2), func(i int, t *Take) { *t = madeTake("rise", i/3, 0.1, 0.1) }), "no difference", "no difference"},
		{"one a day, all the same", each(day(0, 1, 2), func(i int, t *Take) { *t = madeTake("rise", i, 0.1, 0.1) }), "no repeats", "no difference"},
		{"set-up not named", each(day(0, 0, 0), func(_ int, t *Take) { t.Summary.Setup = "" }), "no repeats", "few days"},
		{"set-up named in the list", each(day(0, 0, 0), func(_ int, t *Take) { t.Summary.Setup, t.Setup = "", "A" }), "", "few days"},
		{"three set-ups", each(day(0, 0, 0), func(i int, t *Take) { t.Summary.Setup = string(rune('A' + i)) }), "no repeats", "few days"},
		{"two options", each(day(0, 0), func(i int, t *Take) { t.Summary.Digest = string(rune('a' + i)) }), "no repeats", "few days"},
		{"pixels of two set-ups", each(day(0, 0, 0, 1, 1), func(i int, t *Take) {
			t.Summary.Unit, t.Summary.Setup = "px", map[bool]string{true: "A", false: "B"}[i < 3]
		}), "", "few days"},
		{"days that rise", each(day(0, 0, 1, 1, 2, 2, 3, 3, 4, 4), func(i int, t *Take) {
			*t = madeTake("rise", i/2, float64(i/2)+0.1*float64(i%2), 0.1)
		}), "", "trend"},
	} {
		all, err := Repeatability(c.takes, RepeatOptions{})
		if err != nil {
			t.Fatal(err)
		}
		r, _ := all.Of("rise")
		code := func(v estimate.Value[float64]) string {
			if v.Absent == nil {
				return ""
			}
			return v.Absent.Code
		}
		if w, b := code(r.Within), code(r.Between); w != c.within || b != c.between {
			t.Errorf("%s: %q and %q, want %q and %q", c.name, w, b, c.within, c.between)
		}
		for _, days := range []bool{false, true} {
			wanted := []string{c.within, c.between}[btoi(days)]
			if v := r.Smallest(1, 1, days); v.Known() != (wanted == "") && !(days && c.name == "one a day") {
				t.Errorf("%s: smallest change known %v though %q", c.name, v.Known(), wanted)
			}
		}
		if v := r.Smallest(0, 1, false); v.Known() {
			t.Errorf("%s: a smallest change of no take", c.name)
		}
	}
	// One take a day tells days and takes together.
	all, _ := Repeatability(day(0, 1, 2, 3), RepeatOptions{})
	r, _ := all.Of("rise")
	if v := r.Smallest(1, 1, true); !v.Known() || !(v.Value > 0) {
		t.Errorf("one a day: %+v", v)
	}
	if v := (Repeat{}).Smallest(1, 1, false); v.Known() {
		t.Errorf("nothing known: %+v", v)
	}
}

func TestRepeatabilityErrors(t *testing.T) {
	ok := madeTake("rise", 0, 1, 0.1)
	other := ok
	other.Player = "P02"
	short := madeTake("rise", 0, 1, 0.1)
	short.Summary.Values = short.Summary.Values[1:]
	for _, c := range []struct {
		takes []Take
		o     RepeatOptions
		want  string
	}{
		{[]Take{{Player: "P01", File: "a.csv"}}, RepeatOptions{}, "a.csv is not reviewed"},
		{[]Take{ok, other}, RepeatOptions{}, "two players"},
		{[]Take{short}, RepeatOptions{}, "review it again"},
		{[]Take{ok}, RepeatOptions{Level: 95}, "between 0 and 1"},
	} {
		if _, err := Repeatability(c.takes, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
	undated := madeTake("rise", 0, 1, 0.1)
	undated.Date = time.Time{}
	r, err := Repeatability([]Take{ok, ok, undated}, RepeatOptions{})
	if err != nil || len(r.LeftOut) != 2 || r.Takes != 1 {
		t.Errorf("%+v, %v", r.LeftOut, err)
	}
}

// TestUnlike: what may be compared with what.
func TestUnlike(t *testing.T) {
	take := func(setup string, v trajectory.View, unit string) Take {
		a := madeTake("rise", 0, 1, 0.1)
		a.Summary.Setup, a.Summary.View, a.Summary.Unit = setup, v, unit
		return a
	}
	const endOn, front, oblique = trajectory.EndOn, trajectory.Front, trajectory.Oblique
	for _, c := range []struct {
		measure string
		a, b    Take
		want    string
	}{
		{"rise", take("A", endOn, "mm"), take("A", endOn, "mm"), ""},
		{"rise", take("A", endOn, "mm"), take("B", endOn, "mm"), "setup"},
		{"rise", take("A", endOn, "mm"), take("", endOn, "mm"), "setup"},
		{"rise", take("A", endOn, "mm"), take("A", front, "mm"), "view"},
		{"rise", take("A", endOn, "mm"), take("A", endOn, "px"), "unit"},
		{"length", take("", endOn, "mm"), take("", endOn, "mm"), ""},
		{"length", take("A", endOn, "px"), take("A", endOn, "px"), ""},
		{"length", take("A", endOn, "px"), take("B", endOn, "px"), "setup"},
		{"length", take("A", endOn, "mm"), take("A", front, "mm"), "view"},
		{"length", take("", oblique, "mm"), take("", oblique, "mm"), "setup"},
		{"length", take("A", oblique, "mm"), take("A", oblique, "mm"), ""},
		{"notes_per_second", take("", endOn, "mm"), take("B", front, "px"), ""},
	} {
		m, _ := row(c.measure)
		got := ""
		if a := unlike(m, c.a, c.b, false); a != nil {
			got = a.Code
			if a.Why == "" || a.What != m.Title {
				t.Errorf("%s: %+v", c.measure, a)
			}
		}
		if got != c.want {
			t.Errorf("%s of %+v and %+v: %q, want %q", c.measure, c.a.Summary, c.b.Summary, got, c.want)
		}
	}
	a, b := take("A", endOn, "mm"), take("A", endOn, "mm")
	b.Summary.Digest = "e"
	m, _ := row("rise")
	if unlike(m, a, b, false) == nil || unlike(m, a, b, true) != nil {
		t.Error("different options")
	}
	if m.Scale != review.Difference {
		t.Errorf("rise has scale %v", m.Scale)
	}
}
