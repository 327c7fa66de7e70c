package figure_test

import (
	"bytes"
	"maps"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/estimate"
)

// wild returns figures of data as no take should have them.
func wild() map[string]figure.Figure {
	nan, inf := math.NaN(), math.Inf(1)
	odd := []float64{nan, 1, inf, 2, -inf, 3, nan, 1e300, -1e300, 4}
	up := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	big := []float64{1e11, -1e11, 1e11, -1e11, 0, 0, 1, 2, 3, 4}
	one := []float64{5}
	flat := make([]float64, 10)
	far := []float64{1e9, 1e9 + 1, 1e9 + 2, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9}
	strokes := []figure.Stroke{{Start: 0, End: 4, Settled: true}, {Start: 4, End: nan, EndHidden: true}, {Start: nan, End: inf}, {Start: 9, End: 3}}
	arrows := []figure.Arrow{{"treble side", nan, 1}, {"outward", inf, inf}, {"none", 0, 0}, {"up", 0, 1}}
	wide := estimate.Value[float64]{Value: 0.4, Low: -inf, High: nan, Level: 0.95, N: 3}
	stretches := func(from, to []float64) (out []figure.Part) {
		for i := range from {
			out = append(out, figure.Part{Span: figure.Span{Start: from[i], End: to[i]}, Kind: string(rune('a' + i))})
		}
		return out
	}
	on := func(days []float64) (out []time.Time) {
		for _, d := range days {
			switch {
			case math.Abs(d) < 1e6:
				out = append(out, time.Unix(int64(d*86400), 0))
			default:
				out = append(out, time.Time{})
			}
		}
		return out
	}
	out := map[string]figure.Figure{}
	for name, y := range map[string][]float64{"odd": odd, "big": big, "flat": flat, "far": far} {
		for when, x := range map[string][]float64{"": up, " at odd times": odd, " at one time": flat} {
			at := name + when
			out["paths of "+at] = figure.Paths{x, y, "mm", degree(nan, nan, nan), true, []figure.Mark{{"a", figure.Point{nan, 0}}, {"b", figure.Point{1, 1}}, {"c", figure.Point{1, 1}}}, []figure.Paths{{Across: y, Out: odd}, {}}}
			out["strokes of "+at] = figure.StrokesOverTime{T: x, Across: y, Unit: "mm", Strokes: strokes}
			out["rate of "+at] = figure.RateOverTime{x, y, []figure.Span{{Start: nan, End: 2}, {Start: 1, End: inf}}, inf, nil, figure.Curve{X: x, Y: y, Low: odd, High: y}, nil}
			out["angle of "+at] = figure.AngleOverTime{T: x, Angle: y, Low: y, High: odd, Settled: []figure.Span{{Start: -inf, End: 2}}}
			out["early of "+at] = figure.EarlyLate{Pairs: []figure.Pair{{"x", "s", x, y}, {"y", "", y, nil}, {"z", "", nil, nil}}}
			out["picture of "+at] = figure.Picture{X: x, Y: y, Arrows: arrows, DownFrom: figure.Point{nan, 1}, PerMM: 1e-300, Marks: []figure.Mark{{"m", figure.Point{inf, 1}}}}
			out["cycle of "+at] = figure.MeanCycle{Mean: figure.Loop{x, y, odd, y, 5}, Reference: figure.Loop{Across: y, Second: x, Down: 99}, Second: "out", HeightsKnown: true}
			out["drive of "+at] = figure.DriveOverTime{T: x, Shares: []figure.Share{{Name: "wrist", Value: wide, Strokes: y}, {Name: "elbow", Strokes: odd}}}
			out["spans of "+at] = figure.SpansOverTake{Take: figure.Span{Start: nan, End: inf}, Strips: []figure.Strip{{Parts: stretches(x, y), Numbered: true}, {}}}
			out["rate against scatter of "+at] = figure.RateAgainstScatter{Dates: on(x), Rate: x, Scatter: y}
			out["dates of "+at] = figure.OverDates{Dates: on(x), Value: y, Low: odd, High: y, Trend: figure.Curve{X: x, Y: y, Low: y, High: odd}, Pain: on(odd), Level: wide}
			out["cohort of "+at] = figure.CohortScatter{Groups: slices.Repeat([]figure.Players{{X: x, Y: y, YLow: odd, YHigh: y}}, 9), Fitted: figure.Curve{X: x, Y: y, Low: odd, High: y}}
			out["samples of "+at] = figure.SamplesOverTime{Columns: append(slices.Repeat([]figure.Samples{{T: x, Y: y}}, 9), figure.Samples{T: x, Y: y, Line: true})}
			out["turns of "+at] = figure.TurnScatter{figure.Turns{x, y}, figure.Turns{y, nil}, "out", "mm"}
		}
	}
	out["one sample"] = figure.Paths{Across: one, Out: one}
	out["one stroke"] = figure.StrokesOverTime{T: one, Across: one, Strokes: []figure.Stroke{{Start: 5, End: 5}}}
	out["one rate"] = figure.RateOverTime{T: one, Rate: one}
	out["one angle"] = figure.AngleOverTime{T: one, Angle: one}
	out["one carry"] = figure.CarryOverTime{T: one, Carry: one}
	out["one value"] = figure.EarlyLate{Pairs: []figure.Pair{{"x", "", one, nil}}}
	out["one place"] = figure.Picture{X: one, Y: one}
	out["one share"] = figure.Shares{Shares: []figure.Share{{Value: wide}}}
	out["one place of a cycle"] = figure.MeanCycle{Mean: figure.Loop{Across: one, Second: one}}
	out["one date"] = figure.OverDates{Dates: on(one), Value: one}
	out["no date"] = figure.OverDates{Dates: []time.Time{{}, time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(1, 1, 2, 0, 0, 0, 0, time.UTC)}, Value: []float64{1, 2, 3}}
	out["one take"] = figure.RateAgainstScatter{Dates: on(one), Rate: one, Scatter: one}
	out["one player"] = figure.CohortScatter{Groups: []figure.Players{{X: one, Y: one}}}
	out["one recorded"] = figure.SamplesOverTime{Columns: []figure.Samples{{T: one, Y: one}, {T: one, Y: one, Line: true}}}
	out["one turn"] = figure.TurnScatter{AfterUp: figure.Turns{one, nil}}
	out["all strokes at once"] = figure.StrokesOverTime{T: one, Across: one, Strokes: slices.Repeat([]figure.Stroke{{Start: 5, End: 5}}, 300)}
	return out
}

// TestWild checks that odd data neither hang nor panic, nor reach the drawing.
func TestWild(t *testing.T) {
	all := wild()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		svg := figure.SVG(all[name], figure.Options{})
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Errorf("%s: draws at no number", name)
		}
		values, _ := split(svg)
		for _, v := range values {
			if math.Abs(v) > 1e13 {
				t.Errorf("%s: holds the number %v", name, v)
				break
			}
		}
	}
}

// TestNothing checks that a figure without data says so.
func TestNothing(t *testing.T) {
	nan := []float64{math.NaN(), math.NaN()}
	for i, f := range []figure.Figure{
		figure.Paths{}, figure.StrokesOverTime{}, figure.RateOverTime{}, figure.AngleOverTime{}, figure.CarryOverTime{}, figure.EarlyLate{}, figure.Picture{}, figure.TurnScatter{},
		figure.MeanCycle{}, figure.DriveOverTime{}, figure.Shares{}, figure.SpansOverTake{}, figure.RateAgainstScatter{}, figure.OverDates{}, figure.CohortScatter{}, figure.SamplesOverTime{},
		figure.MeanCycle{Mean: figure.Loop{Across: nan, Second: nan}},
		figure.DriveOverTime{T: []float64{0, 1}, Shares: []figure.Share{{Name: "wrist", Strokes: nan}}},
		figure.Shares{Shares: []figure.Share{{Name: "wrist"}}},
		figure.SpansOverTake{Take: figure.Span{End: 9}, Strips: []figure.Strip{{Name: "program"}}},
		figure.RateAgainstScatter{Dates: make([]time.Time, 2), Rate: []float64{1, 2}, Scatter: nan},
		figure.OverDates{Dates: make([]time.Time, 2), Value: []float64{1, 2}},
		figure.CohortScatter{Groups: []figure.Players{{X: nan, Y: nan}}},
		figure.SamplesOverTime{Columns: []figure.Samples{{T: nan, Y: []float64{1, 2}}, {T: nan, Y: nan, Line: true}}},
		figure.Paths{Across: nan, Out: nan},
		figure.StrokesOverTime{T: []float64{0, 1}, Across: nan, Strokes: []figure.Stroke{{Start: 0, End: 1}}},
		figure.StrokesOverTime{T: []float64{0, 1}, Across: []float64{0, 1}},
		figure.RateOverTime{T: []float64{0, 1}, Rate: nan},
		figure.AngleOverTime{T: []float64{0, 1}, Angle: nan},
		figure.EarlyLate{Pairs: []figure.Pair{{"x", "", nan, nan}}},
		figure.Picture{X: nan, Y: nan},
		figure.TurnScatter{AfterUp: figure.Turns{nan, nan}},
	} {
		if svg := figure.SVG(f, figure.Options{}); !bytes.Contains(svg, []byte("Nothing to show: ")) {
			t.Errorf("figure %d (%T) does not say that there is nothing to show", i, f)
		}
	}
}

func TestUnequalLengths(t *testing.T) {
	a, b := []float64{1, 2}, []float64{1}
	for i, f := range []figure.Figure{
		figure.Paths{Across: a, Out: b},
		figure.StrokesOverTime{T: a, Across: b},
		figure.RateOverTime{T: a, Rate: b},
		figure.AngleOverTime{T: a, Angle: b},
		figure.CarryOverTime{T: a, Carry: b},
		figure.AngleOverTime{T: a, Angle: a, Low: a},
		figure.AngleOverTime{T: a, Angle: a, Low: b, High: a},
		figure.Picture{X: a, Y: b},
		figure.TurnScatter{AfterUp: figure.Turns{Across: a, Second: b}},
		figure.RateOverTime{T: a, Rate: a, Curve: figure.Curve{X: a, Y: b}},
		figure.RateOverTime{T: a, Rate: a, Curve: figure.Curve{X: a, Y: a, Low: a}},
		figure.MeanCycle{Mean: figure.Loop{Across: a, Second: b}},
		figure.MeanCycle{Mean: figure.Loop{Across: a, Second: a}, Reference: figure.Loop{Across: a, Second: a, HalfAcross: a}},
		figure.DriveOverTime{T: a, Shares: []figure.Share{{Strokes: b}}},
		figure.RateAgainstScatter{Dates: make([]time.Time, 1), Rate: a, Scatter: a},
		figure.OverDates{Dates: make([]time.Time, 1), Value: a},
		figure.OverDates{Dates: make([]time.Time, 2), Value: a, Low: a},
		figure.OverDates{Dates: make([]time.Time, 2), Value: a, Trend: figure.Curve{X: a, Y: b}},
		figure.CohortScatter{Groups: []figure.Players{{X: a, Y: b}}},
		figure.SamplesOverTime{Columns: []figure.Samples{{T: a, Y: b}}},
		figure.CohortScatter{Groups: []figure.Players{{X: a, Y: a, YLow: a}}},
		figure.CohortScatter{Groups: []figure.Players{{X: a, Y: a, Names: []string{"a"}}}},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("figure %d (%T): no panic", i, f)
				}
			}()
			figure.SVG(f, figure.Options{})
		}()
	}
}

// TestInputsUnchanged draws everything and looks whether the columns, which
// several figures share, are as they were.
func TestInputsUnchanged(t *testing.T) {
	for _, f := range all() {
		figure.SVG(f, figure.Options{})
	}
	x := []float64{3, 1, math.NaN(), 2}
	was := slices.Clone(x)
	for _, f := range []figure.Figure{
		figure.Paths{Across: x, Out: x}, figure.RateOverTime{T: x, Rate: x}, figure.AngleOverTime{T: x, Angle: x, Low: x, High: x, BandOver: 1e-9},
		figure.EarlyLate{Pairs: []figure.Pair{{Name: "x", Early: x, Late: x}}}, figure.Picture{X: x, Y: x}, figure.TurnScatter{AfterUp: figure.Turns{x, x}},
		figure.StrokesOverTime{T: x, Across: x, Strokes: []figure.Stroke{{Start: 1, End: 2}}},
		figure.RateOverTime{T: x, Rate: x, Curve: figure.Curve{X: x, Y: x, Low: x, High: x}},
		figure.MeanCycle{Mean: figure.Loop{Across: x, Second: x, HalfAcross: x, HalfSecond: x}},
		figure.DriveOverTime{T: x, Shares: []figure.Share{{Strokes: x}}},
		figure.RateAgainstScatter{Dates: make([]time.Time, 4), Rate: x, Scatter: x},
		figure.OverDates{Dates: slices.Repeat([]time.Time{time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)}, 4), Value: x, Low: x, High: x, Trend: figure.Curve{X: x, Y: x}},
		figure.CohortScatter{Groups: []figure.Players{{X: x, Y: x, XLow: x, XHigh: x, YLow: x, YHigh: x}}, Fitted: figure.Curve{X: x, Y: x}},
	} {
		figure.SVG(f, figure.Options{})
		if !slices.EqualFunc(x, was, func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }) {
			t.Fatalf("%T changed its input to %v", f, x)
		}
	}
}

// TestBeyond checks that one odd value neither flattens the rest nor is lost.
func TestBeyond(t *testing.T) {
	x, y := make([]float64, 300), make([]float64, 300)
	for i := range x {
		x[i], y[i] = float64(i), 11+float64(i%7)/10
	}
	const beyond = "off the scale"
	if svg := figure.SVG((figure.RateOverTime{T: x, Rate: y}), figure.Options{}); bytes.Contains(svg, []byte(beyond)) {
		t.Error("values off the scale where there are none")
	}
	y[150] = 400
	for _, f := range []figure.Figure{figure.RateOverTime{T: x, Rate: y}, figure.AngleOverTime{T: x, Angle: y}} {
		svg := figure.SVG(f, figure.Options{})
		if !bytes.Contains(svg, []byte(beyond)) {
			t.Errorf("%T: the key does not say that a value is off the scale", f)
		}
		if bytes.Contains(svg, []byte(">400<")) {
			t.Errorf("%T: the scale reaches to the odd value", f)
		}
	}
}
