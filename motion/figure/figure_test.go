package figure

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the figures under testdata")

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]\d+)?`)

// split returns the numbers of an SVG, and what stands between them.
func split(t *testing.T, svg []byte) (values []float64, rest []string) {
	t.Helper()
	for _, n := range numbers.FindAll(svg, -1) {
		v, err := strconv.ParseFloat(string(n), 64)
		if err != nil {
			t.Fatal(err)
		}
		values = append(values, v)
	}
	return values, numbers.Split(string(svg), -1)
}

// TestGolden compares each figure with the one kept, its numbers within a
// step and a half of their rounding (a tenth): another machine's rounding of
// a product may fall on the other side.
func TestGolden(t *testing.T) {
	for name, f := range figures() {
		t.Run(name, func(t *testing.T) {
			golden := filepath.Join("testdata", name+".svg")
			got := SVG(f, Options{})
			if *update {
				if err := os.WriteFile(golden, got, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			want = bytes.ReplaceAll(want, []byte("\r\n"), []byte("\n"))
			gotValues, gotRest := split(t, got)
			wantValues, wantRest := split(t, want)
			if diff := cmp.Diff(wantRest, gotRest); diff != "" {
				t.Fatalf("not as in %s (-want +got); if that is meant, look at the new one and run with -update:\n%s", golden, diff)
			}
			for i, v := range gotValues {
				if math.Abs(v-wantValues[i]) > 0.15 {
					t.Fatalf("number %d is %v, in %s it is %v", i, v, golden, wantValues[i])
				}
			}
		})
	}
}

// TestPlain checks that a figure is one well-formed svg element of shapes and
// texts, scales, has short numbers, and is the same each time.
func TestPlain(t *testing.T) {
	for name, f := range figures() {
		svg := SVG(f, Options{})
		if again := SVG(f, Options{}); !bytes.Equal(svg, again) {
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
	size := regexp.MustCompile(`viewBox="0 0 480 ([\d.]+)"`).FindSubmatch(svg)
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
		text := string(m[3])
		y += height // the sheet's origin is at its lower edge
		out = append(out, label{text, x, y - ascent, x + 1.1*float64(textWidth(text)), y + 3})
	}
	return out, height
}

// TestLabels checks that no two texts overlap, and that all lie on the sheet.
func TestLabels(t *testing.T) {
	all := figures()
	for name, f := range wild() {
		all["wild "+name] = f
	}
	for name, f := range all {
		ls, height := labels(t, SVG(f, Options{}))
		if len(ls) == 0 {
			t.Errorf("%s has no text", name)
		}
		for i, a := range ls {
			if a.x0 < 0 || a.x1 > 480+4 || a.y0 < 0 || a.y1 > height {
				t.Errorf("%s: %q runs off the sheet: %.1f to %.1f, %.1f to %.1f", name, a.text, a.x0, a.x1, a.y0, a.y1)
			}
			for _, b := range ls[:i] {
				if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
					t.Errorf("%s: %q and %q overlap", name, b.text, a.text)
				}
			}
		}
	}
}

// wild returns figures of data as no take should have them.
func wild() map[string]Figure {
	nan, inf := math.NaN(), math.Inf(1)
	odd := []float64{nan, 1, inf, 2, -inf, 3, nan, 1e300, -1e300, 4}
	up := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	big := []float64{1e11, -1e11, 1e11, -1e11, 0, 0, 1, 2, 3, 4}
	one := []float64{5}
	flat := make([]float64, 10)
	far := []float64{1e9, 1e9 + 1, 1e9 + 2, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9}
	strokes := []Stroke{{Start: 0, End: 4, Settled: true}, {Start: 4, End: nan, EndHidden: true}, {Start: nan, End: inf}, {Start: 9, End: 3}}
	arrows := []Arrow{{"treble side", nan, 1}, {"outward", inf, inf}, {"none", 0, 0}, {"up", 0, 1}}
	out := map[string]Figure{}
	for name, y := range map[string][]float64{"odd": odd, "big": big, "flat": flat, "far": far} {
		for when, x := range map[string][]float64{"": up, " at odd times": odd, " at one time": flat} {
			at := name + when
			out["paths of "+at] = Paths{x, y, "mm", degree(nan, nan, nan), true, []Mark{{"a", Point{nan, 0}}, {"b", Point{1, 1}}, {"c", Point{1, 1}}}}
			out["strokes of "+at] = StrokesOverTime{x, y, "mm", strokes}
			out["rate of "+at] = RateOverTime{x, y, []Span{{nan, 2}, {1, inf}}, inf}
			out["angle of "+at] = AngleOverTime{x, y, y, odd, []Span{{-inf, 2}}, 0}
			out["early of "+at] = EarlyLate{[]Pair{{"x", "s", x, y}, {"y", "", y, nil}, {"z", "", nil, nil}}}
			out["picture of "+at] = Picture{X: x, Y: y, Arrows: arrows, DownFrom: Point{nan, 1}, PerMM: 1e-300, Marks: []Mark{{"m", Point{inf, 1}}}}
			out["turns of "+at] = TurnScatter{Turns{x, y}, Turns{y, nil}, "out", "mm"}
		}
	}
	out["one sample"] = Paths{Across: one, Out: one}
	out["one stroke"] = StrokesOverTime{one, one, "", []Stroke{{Start: 5, End: 5}}}
	out["one rate"] = RateOverTime{T: one, Rate: one}
	out["one angle"] = AngleOverTime{T: one, Angle: one}
	out["one carry"] = CarryOverTime{T: one, Carry: one}
	out["one value"] = EarlyLate{[]Pair{{"x", "", one, nil}}}
	out["one place"] = Picture{X: one, Y: one}
	out["one turn"] = TurnScatter{AfterUp: Turns{one, nil}}
	out["all strokes at once"] = StrokesOverTime{one, one, "", slices.Repeat([]Stroke{{Start: 5, End: 5}}, 300)}
	return out
}

// TestWild checks that odd data neither hang nor panic, nor reach the drawing.
func TestWild(t *testing.T) {
	all := wild()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		svg := SVG(all[name], Options{})
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Errorf("%s: draws at no number", name)
		}
		values, _ := split(t, svg)
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
	for i, f := range []Figure{
		Paths{}, StrokesOverTime{}, RateOverTime{}, AngleOverTime{}, CarryOverTime{}, EarlyLate{}, Picture{}, TurnScatter{},
		Paths{Across: nan, Out: nan},
		StrokesOverTime{T: []float64{0, 1}, Across: nan, Strokes: []Stroke{{Start: 0, End: 1}}},
		StrokesOverTime{T: []float64{0, 1}, Across: []float64{0, 1}},
		RateOverTime{T: []float64{0, 1}, Rate: nan},
		AngleOverTime{T: []float64{0, 1}, Angle: nan},
		EarlyLate{[]Pair{{"x", "", nan, nan}}},
		Picture{X: nan, Y: nan},
		TurnScatter{AfterUp: Turns{nan, nan}},
	} {
		if svg := SVG(f, Options{}); !bytes.Contains(svg, []byte("Nothing to show: ")) {
			t.Errorf("figure %d (%T) does not say that there is nothing to show", i, f)
		}
	}
}

func TestUnequalLengths(t *testing.T) {
	a, b := []float64{1, 2}, []float64{1}
	for i, f := range []Figure{
		Paths{Across: a, Out: b},
		StrokesOverTime{T: a, Across: b},
		RateOverTime{T: a, Rate: b},
		AngleOverTime{T: a, Angle: b},
		CarryOverTime{T: a, Carry: b},
		AngleOverTime{T: a, Angle: a, Low: a},
		AngleOverTime{T: a, Angle: a, Low: b, High: a},
		Picture{X: a, Y: b},
		TurnScatter{AfterUp: Turns{a, b}},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("figure %d (%T): no panic", i, f)
				}
			}()
			SVG(f, Options{})
		}()
	}
}

// TestInputsUnchanged draws everything and looks whether the columns, which
// several figures share, are as they were.
func TestInputsUnchanged(t *testing.T) {
	for _, f := range figures() {
		SVG(f, Options{})
	}
	x := []float64{3, 1, math.NaN(), 2}
	was := slices.Clone(x)
	for _, f := range []Figure{
		Paths{Across: x, Out: x}, RateOverTime{T: x, Rate: x}, AngleOverTime{T: x, Angle: x, Low: x, High: x, BandOver: 1e-9},
		EarlyLate{[]Pair{{"x", "", x, x}}}, Picture{X: x, Y: x}, TurnScatter{AfterUp: Turns{x, x}},
		StrokesOverTime{x, x, "", []Stroke{{Start: 1, End: 2}}},
	} {
		SVG(f, Options{})
		if !slices.EqualFunc(x, was, func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }) {
			t.Fatalf("%T changed its input to %v", f, x)
		}
	}
}

// TestEqualScales checks that a millimetre is as long across as outward.
func TestEqualScales(t *testing.T) {
	for _, a := range []axes{
		{in: rect(0, 0, 400, 100), x: interval{-3, 3}, y: interval{0, 1}},
		{in: rect(10, 20, 110, 320), x: interval{5, 6}, y: interval{-1, 9}},
		{in: rect(0, 0, 100, 100), x: interval{1e9, 1e9 + 5}, y: interval{0, 5}, flip: true},
	} {
		e := a.equal()
		perX := float64(e.in.Size().X) / e.x.size()
		perY := float64(e.in.Size().Y) / e.y.size()
		if math.Abs(perX-perY) > 1e-6*perX { // differences of numbers near 1e9 keep 7 digits
			t.Errorf("%v: %v units across and %v outward", a, perX, perY)
		}
		if e.x.lo > a.x.lo || e.x.hi < a.x.hi || e.y.lo > a.y.lo || e.y.hi < a.y.hi {
			t.Errorf("%v: no longer holds its data: %v, %v", a, e.x, e.y)
		}
	}
}

// TestSigns checks which way up a film is shown, and its arrows with it.
func TestSigns(t *testing.T) {
	film := axes{in: rect(0, 0, 100, 100), x: interval{0, 100}, y: interval{0, 100}, flip: true}
	if got, want := film.at(20, 30), (vg.Point{X: 20, Y: 70}); got != want {
		t.Errorf("y downward: (20, 30) is drawn at %v, want %v", got, want)
	}
	if d, ok := film.direction(Arrow{"outward", 0, -5}); !ok || d != (vg.Point{X: 0, Y: 1}) {
		t.Errorf("y downward: an arrow to lesser y points to %v, want up", d)
	}
	film.flip = false
	if d, ok := film.direction(Arrow{"outward", 0, 5}); !ok || d != (vg.Point{X: 0, Y: 1}) {
		t.Errorf("y upward: an arrow to greater y points to %v, want up", d)
	}
}

// TestSixteenths holds the second reading of the rate against common practice:
// sixteenths at 165 BPM are 11 notes a second, at 200 BPM 13 1/3.
func TestSixteenths(t *testing.T) {
	for _, c := range []struct{ bpm, rate float64 }{{165, 11}, {200, 40.0 / 3}} {
		if got := sixteenths(c.rate); math.Abs(got-c.bpm) > 1e-9 {
			t.Errorf("%v notes a second read %v BPM, want %v", c.rate, got, c.bpm)
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
	if svg := SVG((RateOverTime{T: x, Rate: y}), Options{}); bytes.Contains(svg, []byte(beyond)) {
		t.Error("values off the scale where there are none")
	}
	y[150] = 400
	for _, f := range []Figure{RateOverTime{T: x, Rate: y}, AngleOverTime{T: x, Angle: y}} {
		svg := SVG(f, Options{})
		if !bytes.Contains(svg, []byte(beyond)) {
			t.Errorf("%T: the key does not say that a value is off the scale", f)
		}
		if bytes.Contains(svg, []byte(">400<")) {
			t.Errorf("%T: the scale reaches to the odd value", f)
		}
	}
}

// TestBandOver checks when a band takes the place of the points.
func TestBandOver(t *testing.T) {
	x := []float64{1, 2, 3}
	for _, c := range []struct {
		half, over float64
		want       bool
	}{
		{0.5, 0, false}, {1.5, 0, true}, {1.5, 2, false}, {0.5, 0.2, true}, {90, -1, false}, {math.NaN(), 0, false},
	} {
		f := AngleOverTime{T: x, Angle: x, Low: bounds(x, -c.half), High: bounds(x, c.half), BandOver: c.over}
		if got := f.wide(); got != c.want {
			t.Errorf("half-width %v, BandOver %v: band %t, want %t", c.half, c.over, got, c.want)
		}
	}
}
