package figure_test

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/figure"
)

// TestBeside: figures that name each other's paths are of one scale, whichever of the
// two is drawn, at any width; without that they are not.
func TestBeside(t *testing.T) {
	small := paths
	large := paths
	large.Across, large.Out = nil, nil
	for i, x := range paths.Across {
		large.Across, large.Out = append(large.Across, 3*x+10), append(large.Out, 2*paths.Out[i]-4)
	}
	alone := [2]figure.Paths{small, large}
	small.Beside, large.Beside = []figure.Paths{large}, []figure.Paths{small, {}}
	sameScale(t, small, large, alone[0], alone[1])
}

// TestRatesBeside: the same of rates over time.
func TestRatesBeside(t *testing.T) {
	slow, quick := rate, rate
	quick.Rate, quick.Curve, quick.Typical = nil, figure.Curve{}, 0
	for _, v := range rate.Rate {
		quick.Rate = append(quick.Rate, 2*v)
	}
	alone := [2]figure.RateOverTime{slow, quick}
	slow.Beside, quick.Beside = []figure.RateOverTime{quick}, []figure.RateOverTime{slow, {}}
	sameScale(t, slow, quick, alone[0], alone[1])
}

// sameScale checks that the numbers beside the axes of a and b are the same and stand
// in the same places, and that those of the two without Beside do not.
func sameScale(t *testing.T, a, b, aloneA, aloneB figure.Figure) {
	t.Helper()
	type tick struct {
		text   string
		x0, x1 float64
	}
	scale := func(f figure.Figure, width int) (out []tick) {
		ls, _ := labels(t, figure.SVG(f, figure.Options{Width: width}))
		for _, l := range ls {
			if strings.Trim(l.text, "−0123456789.") == "" {
				out = append(out, tick{l.text, l.x0, l.x1})
			}
		}
		return out
	}
	for _, width := range widths {
		a, b := scale(a, width), scale(b, width)
		if !slices.Equal(a, b) || len(a) < 4 {
			t.Errorf("%d wide: the scales are %v and %v", width, a, b)
		}
		if slices.Equal(scale(aloneA, width), scale(aloneB, width)) {
			t.Errorf("%d wide: the scales are alike without being told", width)
		}
	}
}

// TestPartNames: two parts that have names of their own bear them, in the key and
// beside their rows, and a long name is shortened.
func TestPartNames(t *testing.T) {
	f := earlyLate
	f.Names = [2]string{"first", strings.Repeat("second ", 20)}
	for _, width := range widths {
		ls, _ := labels(t, figure.SVG(f, figure.Options{Width: width}))
		count := map[string]int{}
		for _, l := range ls {
			word, _, _ := strings.Cut(l.text, " ")
			count[word]++
			if l.x0 < 0 || l.x1 > float64(width) {
				t.Errorf("%d wide: %q leaves the figure", width, l.text)
			}
		}
		if n := 1 + len(f.Pairs); count["first"] != n || count["second"] != n || count["early"]+count["late"] > 0 {
			t.Errorf("%d wide: %v", width, count)
		}
	}
}

// TestLastTick: a take that ends on a tick shows its number, at any width.
func TestLastTick(t *testing.T) {
	for _, end := range []float64{10, 20, 100, 600} {
		f := figure.SpansOverTake{Take: figure.Span{End: end}, Strips: []figure.Strip{{Parts: []figure.Part{{Span: figure.Span{End: end}, Kind: "settled"}}}}}
		want := strconv.Itoa(int(end))
		for _, width := range widths {
			ls, _ := labels(t, figure.SVG(f, figure.Options{Width: width}))
			if !slices.ContainsFunc(ls, func(l label) bool { return l.text == want }) {
				t.Errorf("%d wide: the end at %s s bears no number", width, want)
			}
		}
	}
}

// TestWhole: an axis of per cent does not reach beyond the whole, or below nothing,
// unless values do.
func TestWhole(t *testing.T) {
	days := []time.Time{time.Date(2025, 3, 3, 0, 0, 0, 0, time.UTC), time.Date(2025, 3, 10, 0, 0, 0, 0, time.UTC)}
	for _, c := range []struct {
		values []float64
		unit   string
		beyond bool
	}{
		{[]float64{100, 100}, "%", false}, {[]float64{60, 100}, "%", false}, {[]float64{0, 0}, "%", false}, {[]float64{0, 90}, "%", false},
		{[]float64{80, 130}, "%", true}, {[]float64{-40, 20}, "%", true}, {[]float64{100, 100}, "ms", true},
	} {
		ls, _ := labels(t, figure.SVG(figure.OverDates{Dates: days, Value: c.values, Unit: c.unit}, figure.Options{}))
		beyond := false
		for _, l := range ls {
			v, err := strconv.ParseFloat(strings.Replace(l.text, "−", "-", 1), 64)
			beyond = beyond || err == nil && (v < 0 || v > 100)
		}
		if beyond != c.beyond {
			t.Errorf("%v %s: numbers beyond 0 to 100 are %t, want %t", c.values, c.unit, beyond, c.beyond)
		}
	}
}

// TestDatesClear: the dates of the first and the last take lie on no take and not on
// the way, where there is room.
func TestDatesClear(t *testing.T) {
	f := figure.RateAgainstScatter{Name: "scatter", Unit: "degrees"}
	for k, p := range [][2]float64{{6.4, 9.3}, {6.9, 5.1}, {7.6, 4.6}, {7.7, 3.5}, {7.8, 2.9}, {8.3, 3.3}, {8.1, 3}, {8.2, 2.6}, {8.32, 2.6}, {8.36, 3.5}} {
		f.Dates = append(f.Dates, time.Date(2026, 1, 12+7*k, 0, 0, 0, 0, time.UTC))
		f.Rate, f.Scatter = append(f.Rate, p[0]), append(f.Scatter, p[1])
	}
	for _, width := range widths {
		svg := figure.SVG(f, figure.Options{Width: width})
		ls, height := labels(t, svg)
		var takes [][]byte // the path of the most closed shapes
		for _, m := range shapes.FindAllSubmatch(svg, -1) {
			if parts := bytes.SplitAfter(m[1], []byte("Z")); len(parts) > len(takes) {
				takes = parts
			}
		}
		if takes = takes[:len(takes)-1]; len(takes) != len(f.Rate) {
			t.Fatalf("%d wide: %d takes are drawn, want %d", width, len(takes), len(f.Rate))
		}
		var ink, middles [][2]float64
		for k, take := range takes {
			var middle [2]float64
			for _, m := range places.FindAllSubmatch(take, -1) {
				x, _ := strconv.ParseFloat(string(m[1]), 64)
				y, _ := strconv.ParseFloat(string(m[2]), 64)
				ink = append(ink, [2]float64{x, height - y})
				middle[0], middle[1] = middle[0]+x/4, middle[1]+(height-y)/4
			}
			if middles = append(middles, middle); k == 0 {
				continue
			}
			for i, from := 0, middles[k-1]; i < 100; i++ {
				share := float64(i) / 100
				ink = append(ink, [2]float64{from[0] + share*(middle[0]-from[0]), from[1] + share*(middle[1]-from[1])})
			}
		}
		dates := 0
		for _, l := range ls {
			if !strings.HasPrefix(l.text, "2026-") {
				continue
			}
			dates++
			if slices.ContainsFunc(ink, func(p [2]float64) bool { return l.x0 < p[0] && p[0] < l.x1 && l.y0 < p[1] && p[1] < l.y1 }) {
				t.Errorf("%d wide: %s lies on a take or the way", width, l.text)
			}
		}
		if dates != 2 {
			t.Errorf("%d wide: %d dates", width, dates)
		}
	}
}
