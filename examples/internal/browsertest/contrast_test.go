package browsertest

import (
	"math"
	"strings"
	"testing"
)

var white, black = colour{255, 255, 255, 1}, colour{0, 0, 0, 1}

func TestContrastRatio(t *testing.T) {
	for _, c := range []struct {
		a, b      colour
		want, off float64
		source    string
	}{
		{white, black, 21, 1e-12, "WCAG 2.2, contrast ratio: from 1 to 21"},
		{white, white, 1, 1e-12, "the same"},
		{colour{0x76, 0x76, 0x76, 1}, white, 4.54, 0.005, "the palest grey on white that passes, as general tables of contrast print it"},
		{white, colour{255, 255, 0, 1}, 1.07, 0.005, "yellow on white, the same tables"},
		{colour{255, 129, 0, 1}, colour{100, 0, 58, 1}, 5.235369975583679, 0.001, "example of the npm package contrast-ratio-checker"},
	} {
		for _, got := range []float64{contrastRatio(c.a, c.b), contrastRatio(c.b, c.a)} {
			if math.Abs(got-c.want) > c.off {
				t.Errorf("%s on %s: %.6f, want %.6f (%s)", c.a, c.b, got, c.want, c.source)
			}
		}
	}
}

// TestLuminance holds it against the example of the npm package
// contrast-ratio-checker, which has the threshold of WCAG 2.0, 0.03928: no colour of
// 8 bits lies between that and 0.04045.
func TestLuminance(t *testing.T) {
	if got, want := (colour{255, 129, 0, 1}).luminance(), 0.36960513804637335; math.Abs(got-want) > 1e-9 {
		t.Errorf("%.12f, want %.12f", got, want)
	}
}

func TestFlatten(t *testing.T) {
	for _, c := range []struct {
		layers []colour
		want   string
	}{
		{[]colour{white}, "#ffffff"},
		{[]colour{{0, 0, 0, 0.5}, white}, "#808080"},
		{[]colour{{0, 0, 0, 0.5}, {255, 0, 0, 0.5}, white}, "#804040"},
		{[]colour{{0, 80, 140, 1}, white}, "#00508c"},
	} {
		if got := flatten(c.layers).String(); got != c.want {
			t.Errorf("%v: %s, want %s", c.layers, got, c.want)
		}
	}
}

func TestJudge(t *testing.T) {
	grey := colour{0x8a, 0x8a, 0x8a, 1} // 3.45 to 1 on white, by the formula
	for _, c := range []struct {
		name string
		l    lettering
		want string // part of what is said, "" for nothing
	}{
		{"small", lettering{Size: 16, Colour: grey}, "3.45 to 1"},
		{"large", lettering{Size: 24, Colour: grey}, ""},
		{"nearly large", lettering{Size: 23.9, Colour: grey}, "4.5 are the least"},
		{"bold", lettering{Size: 18.67, Bold: true, Colour: grey}, ""},
		{"not bold enough", lettering{Size: 18.67, Colour: grey}, "4.5 are the least"},
		{"see-through", lettering{Size: 16, Colour: colour{0, 0, 0, 0.4}}, "#999999 on #ffffff"},
		{"unclear", lettering{Size: 16, Colour: black, Unclear: "it is woven"}, "it is woven"},
	} {
		c.l.Layers = []colour{white}
		got := c.l.judge()
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
