package figure_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/variability/estimate"
)

// widths are those that figures must look right at: the narrowest there is, a
// telephone, a README, a screen, a slide.
var widths = []int{320, 343, 480, 608, 800}

// all returns the figures of the Examples and their variants.
func all() map[string]figure.Figure {
	out := variants()
	maps.Copy(out, drawn)
	return out
}

// TestPlain checks that a figure is one well-formed svg element of shapes and
// texts, scales, has short numbers, and is the same each time.
func TestPlain(t *testing.T) {
	for name, f := range all() {
		svg := figure.SVG(f, figure.Options{})
		if again := figure.SVG(f, figure.Options{}); !bytes.Equal(svg, again) {
			t.Errorf("%s: two calls differ", name)
		}
		if !bytes.HasPrefix(svg, []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 480 `)) {
			t.Errorf("%s: starts with %.80q", name, svg)
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Errorf("%s: draws at no number", name)
		}
		for _, n := range numbers.FindAllString(string(svg), -1) {
			digits := strings.TrimLeft(strings.ReplaceAll(n, ".", ""), "-0")
			if len(digits) > 6 {
				t.Fatalf("%s: the number %s has more than 6 digits", name, n)
			}
		}
		allowed := []string{"svg", "g", "path", "text"}
		d := xml.NewDecoder(bytes.NewReader(svg))
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if e, ok := token.(xml.StartElement); ok && !slices.Contains(allowed, e.Name.Local) {
				t.Errorf("%s: holds the element %s", name, e.Name.Local)
			}
		}
	}
}

// TestWidths checks what Options.Width asks for: less than 320 is 320, and a
// figure is never so high that it fills a telephone twice.
func TestWidths(t *testing.T) {
	size := regexp.MustCompile(`viewBox="0 0 (\d+) (\d+)"`)
	for name, f := range all() {
		for width, want := range map[int]int{0: 480, -5: 320, 100: 320, 320: 320, 343: 343, 800: 800} {
			m := size.FindSubmatch(figure.SVG(f, figure.Options{Width: width}))
			if got, _ := strconv.Atoi(string(m[1])); got != want {
				t.Errorf("%s: width %d gives %d units, want %d", name, width, got, want)
			}
			if high, _ := strconv.Atoi(string(m[2])); high > 520 {
				t.Errorf("%s, %d units wide, is %d high", name, width, high)
			}
		}
	}
}

// label is a text of a figure with the box it takes; y grows downward.
type label struct {
	text           string
	x0, y0, x1, y1 float64
}

var textElement = regexp.MustCompile(`<text x="([^"]+)" y="([^"]+)"[^>]*>([^<]*)</text>`)

// labels lists the texts of a figure. Their widths are those of the font that
// is named first, and a tenth more for a wider one in its place.
func labels(t *testing.T, svg []byte) (out []label, height float64) {
	t.Helper()
	size := regexp.MustCompile(`viewBox="0 0 \d+ ([\d.]+)"`).FindSubmatch(svg)
	height, err := strconv.ParseFloat(string(size[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range textElement.FindAllSubmatch(svg, -1) {
		x, errX := strconv.ParseFloat(string(m[1]), 64)
		y, errY := strconv.ParseFloat(string(m[2]), 64)
		if errX != nil || errY != nil {
			t.Fatalf("text at %q, %q", m[1], m[2])
		}
		text := html.UnescapeString(string(m[3]))
		y += height // the sheet's origin is at its lower edge
		out = append(out, label{text, x, y - figure.Ascent, x + figure.Slack*figure.TextWidth(text), y + 3})
	}
	return out, height
}

// TestLabels checks that no two texts overlap, and that all lie on the sheet, at
// every width.
func TestLabels(t *testing.T) {
	figures := all()
	for name, f := range wild() {
		figures["wild "+name] = f
	}
	for name, f := range wordy() {
		figures["wordy "+name] = f
	}
	seeds := 40
	if testing.Short() {
		seeds = 4
	}
	for seed := range seeds {
		for name, f := range ofAnySize(rand.New(rand.NewPCG(uint64(seed), 1))) {
			figures[fmt.Sprint("size ", seed, " ", name)] = f
		}
	}
	for name, f := range figures {
		for _, width := range widths {
			ls, height := labels(t, figure.SVG(f, figure.Options{Width: width}))
			if len(ls) == 0 {
				t.Errorf("%s, %d wide, has no text", name, width)
			}
			for i, a := range ls {
				if a.x0 < 0 || a.x1 > float64(width) || a.y0 < 0 || a.y1 > height {
					t.Errorf("%s, %d wide: %q runs off the sheet: %.1f to %.1f, %.1f to %.1f", name, width, a.text, a.x0, a.x1, a.y0, a.y1)
				}
				for _, b := range ls[:i] {
					if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
						t.Errorf("%s, %d wide: %q and %q overlap", name, width, b.text, a.text)
					}
				}
			}
		}
	}
}

// ofAnySize returns figures whose values are of a size at random, so that ticks fall
// anywhere.
func ofAnySize(rng *rand.Rand) map[string]figure.Figure {
	column := func() []float64 {
		size, middle := math.Pow(10, 6*rng.Float64()-3), math.Pow(10, 6*rng.Float64()-3)*(2*rng.Float64()-1)
		out := make([]float64, 30)
		for i := range out {
			out[i] = middle + size*rng.Float64()
		}
		return out
	}
	x, y := column(), column()
	t := slices.Sorted(slices.Values(column()))
	var on []time.Time
	for _, v := range t {
		on = append(on, time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(v*1e13)))
	}
	share := figure.Share{Name: "wrist", Value: estimate.Value[float64]{Value: y[0], Low: y[1], High: y[2], Level: 0.95, N: 9}, Strokes: y}
	turns := figure.Turns{Across: x, Second: y}
	return map[string]figure.Figure{
		"paths":        figure.Paths{Across: x, Out: y, Unit: "mm", HeightsKnown: true},
		"picture":      figure.Picture{X: x, Y: y, Unit: "px", PerMM: math.Abs(x[0]), Arrows: []figure.Arrow{{Name: "up", Y: 1}}},
		"cycle":        figure.MeanCycle{Mean: figure.Loop{Across: x, Second: y}, Second: "out", Unit: "mm"},
		"turns":        figure.TurnScatter{AfterUp: turns, AfterDown: figure.Turns{Across: y, Second: x}, Second: "out", Unit: "mm"},
		"strokes":      figure.StrokesOverTime{T: t, Across: x, Unit: "mm", Strokes: []figure.Stroke{{Start: t[0], End: t[29]}}},
		"rate":         figure.RateOverTime{T: t, Rate: x, Typical: y[0]},
		"angle":        figure.AngleOverTime{T: t, Angle: x},
		"drive":        figure.DriveOverTime{T: t, Shares: []figure.Share{share, share}},
		"shares":       figure.Shares{Shares: []figure.Share{share, share}},
		"spans":        figure.SpansOverTake{Take: figure.Span{Start: t[0], End: t[29]}, Strips: []figure.Strip{{Name: "spans", Parts: []figure.Part{{Span: figure.Span{Start: t[3], End: t[9]}}}}}},
		"early-late":   figure.EarlyLate{Pairs: []figure.Pair{{Name: "length", Unit: "mm", Early: x, Late: x}, {Name: "angle", Early: y, Late: y}}},
		"rate-scatter": figure.RateAgainstScatter{Dates: on, Rate: x, Scatter: y, Name: "scatter", Unit: "ms"},
		"dates":        figure.OverDates{Name: "length", Unit: "mm", Dates: on, Value: x, Trend: figure.Curve{X: t, Y: x}},
		"cohort":       figure.CohortScatter{Groups: []figure.Players{{X: x, Y: y}}, XName: "early", YName: "late"},
	}
}

// wordy returns figures whose names and units are longer than any sheet.
func wordy() map[string]figure.Figure {
	const name = "scatter of the path angle about the middle of its own settled span, in that set-up and view"
	const unit = "per cent of the length of a stroke of the same take"
	long := strings.Repeat("unbreakable", 12)
	x, y := []float64{0, 1, 2, 3}, []float64{2, 3, 1, 4}
	on := []time.Time{time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2025, 2, 1, 0, 0, 0, 0, time.UTC), {}, time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC)}
	half := estimate.Value[float64]{Value: 0.5, Low: -0.4, High: 1.3, Level: 0.95, N: 9}
	share := figure.Share{Name: name, Value: half, Strokes: y}
	loop := figure.Loop{Across: x, Second: y, HalfAcross: x, HalfSecond: y, Down: 2}
	names := []string{name, long, "", "d"}
	marks := []figure.Mark{{Name: name, Point: figure.Point{X: 1, Y: 2}}, {Name: long, Point: figure.Point{X: 2, Y: 1}}, {Name: "<&>", Point: figure.Point{X: 3, Y: 4}}}
	return map[string]figure.Figure{
		"paths":        figure.Paths{Across: x, Out: y, Unit: unit, Angle: degree(-12.34, -123.45, 123.45), Strings: marks},
		"picture":      figure.Picture{X: x, Y: y, Unit: unit, Marks: marks, Arrows: []figure.Arrow{{Name: name, X: 1}, {Name: long, Y: 1}}},
		"cycle":        figure.MeanCycle{Mean: loop, Reference: loop, Second: name, Unit: unit, Strings: marks},
		"turns":        figure.TurnScatter{AfterUp: figure.Turns{Across: x, Second: y}, Second: name, Unit: unit},
		"strokes":      figure.StrokesOverTime{T: x, Across: y, Unit: unit, Strokes: []figure.Stroke{{Start: 0, End: 1}}},
		"drive":        figure.DriveOverTime{T: x, Shares: []figure.Share{share, share}},
		"shares":       figure.Shares{Shares: []figure.Share{share, {Name: long}}},
		"spans":        figure.SpansOverTake{Strips: []figure.Strip{{Name: name, Parts: []figure.Part{{Span: figure.Span{End: 1}, Kind: name}, {Span: figure.Span{End: 1}, Kind: long}}}}},
		"early":        figure.EarlyLate{Pairs: []figure.Pair{{Name: name, Unit: unit, Early: x, Late: y}}},
		"rate-scatter": figure.RateAgainstScatter{Dates: on, Rate: x, Scatter: y, Name: name, Unit: unit},
		"dates":        figure.OverDates{Name: name, Unit: unit, Dates: on, Value: y, Trend: figure.Curve{X: x, Y: y}, Pain: on},
		"cohort": figure.CohortScatter{
			Groups: []figure.Players{{Name: name, X: x, Y: y, Names: names}, {Name: long, X: y, Y: x, Names: names}},
			XName:  name, XUnit: unit, YName: name, YUnit: unit, Labelled: true,
		},
	}
}
