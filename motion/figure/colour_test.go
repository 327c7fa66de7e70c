package figure

import (
	"image/color"
	"math"
	"reflect"
	"slices"
	"testing"

	"gonum.org/v1/plot/vg/draw"
)

// visions are the severest forms of the three deficiencies, as matrices on linear
// RGB: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, A physiologically-based
// model for simulation of color vision deficiency, IEEE Trans. Vis. Comput. Graph.
// 15 (2009) 1291-1298, severity 1.0, as copies of the authors' table have them.
var visions = map[string][3][3]float64{
	"full":   {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// linear returns the linear light of a colour (IEC 61966-2-1, sRGB).
func linear(c color.Color) [3]float64 {
	r, g, b, _ := c.RGBA()
	var out [3]float64
	for i, v := range []uint32{r, g, b} {
		switch x := float64(v) / 0xffff; {
		case x <= 0.04045:
			out[i] = x / 12.92
		default:
			out[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return out
}

func times(m [3][3]float64, v [3]float64) (out [3]float64) {
	for i, row := range m {
		for j, x := range row {
			out[i] += x * v[j]
		}
	}
	return out
}

// toXYZ is that of sRGB, whose white is D65 (IEC 61966-2-1).
var toXYZ = [3][3]float64{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}

// lab returns the CIELAB coordinates (CIE 15:2004) of linear light.
func lab(v [3]float64) [3]float64 {
	for i := range v {
		v[i] = min(max(v[i], 0), 1)
	}
	xyz, white := times(toXYZ, v), times(toXYZ, [3]float64{1, 1, 1})
	var f [3]float64
	for i := range f {
		if t := xyz[i] / white[i]; t > 216.0/24389 {
			f[i] = math.Cbrt(t)
		} else {
			f[i] = (24389.0/27*t + 16) / 116
		}
	}
	return [3]float64{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

// apart is the distance of two colours in CIELAB (1976) as a vision has it.
func apart(vision [3][3]float64, a, b color.Color) float64 {
	p, q := lab(times(vision, linear(a))), lab(times(vision, linear(b)))
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// TestLab holds the conversions against values of the standards: the greatest
// chroma of sRGB red, and a grey.
func TestLab(t *testing.T) {
	for _, c := range []struct {
		in   color.RGBA
		want [3]float64 // published for sRGB and D65, from memory, to 0.1
	}{
		{color.RGBA{255, 255, 255, 255}, [3]float64{100, 0, 0}},
		{color.RGBA{255, 0, 0, 255}, [3]float64{53.2, 80.1, 67.2}},
		{color.RGBA{0, 0, 255, 255}, [3]float64{32.3, 79.2, -107.9}},
		{color.RGBA{119, 119, 119, 255}, [3]float64{50.0, 0, 0}},
	} {
		got := lab(linear(c.in))
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 0.1 {
				t.Errorf("%v is %.1f in CIELAB, want %.1f", c.in, got, c.want)
				break
			}
		}
	}
	for name, m := range visions { // greys stay grey
		for _, row := range m {
			if math.Abs(row[0]+row[1]+row[2]-1) > 2e-6 {
				t.Errorf("%s: a row adds up to %v", name, row[0]+row[1]+row[2])
			}
		}
	}
}

// jnd is the least difference in CIELAB that is just noticed, 2.3 (M. Mahy, L. Van
// Eycken and A. Oosterlinck, Color Res. Appl. 19 (1994) 105-121).
const jnd = 2.3

// What lies side by side must differ by these.
const (
	leastMarks = 8 * jnd // lines and dots, which are small
	leastAreas = 3 * jnd // areas, which touch
	leastGrey  = 8       // of lightness L*, for those that no shape tells apart
)

// TestToldApart holds all that a reader must tell apart, as drawn, in every
// vision; and in grey, by lightness unless shape, width or dashes do it.
func TestToldApart(t *testing.T) {
	type pair struct {
		what string
		a, b any // draw.LineStyle or dot
	}
	pairs := []pair{
		{"settled and searching", settledLine, searchingLine},
		{"tip and axis of the path", tipLine, pathAxis},
		{"tip and string plane", tipLine, planeLine},
		{"axis of the path and string plane", pathAxis, planeLine},
		{"tip and first downstroke", tipLine, downLine},
		{"mean cycle and reference", meanLine, referenceLine},
		{"mean cycle and string plane", meanLine, planeLine},
		{"rate over time and the take's", fitted, takeLine},
		{"early and late", early, late},
		{"samples as a line and as dots", sampleLine, sampleDot(0)},
		{"a date and pain", oneDate, hurt},
		{"first and last take", dot{color: ramp[0]}, dot{color: ramp[len(ramp)-1]}},
		{"upstrokes' and downstrokes' turns", afterUp, afterDown},
	}
	for _, p := range pairs {
		a, shapeA := look(p.a)
		b, shapeB := look(p.b)
		shaped := !reflect.DeepEqual(shapeA, shapeB)
		for name, m := range visions {
			if d := apart(m, a, b); d < leastMarks {
				t.Errorf("%s, %s vision: %.1f apart, want %.1f", p.what, name, d, leastMarks)
			}
		}
		grey := math.Abs(lab(linear(a))[0] - lab(linear(b))[0])
		if !shaped && grey < leastGrey {
			t.Errorf("%s in grey: lightness differs by %.1f, want %d, and nothing else does", p.what, grey, leastGrey)
		}
	}
}

// TestGroups checks that each group has a shape of its own: six of them share three
// colours.
func TestGroups(t *testing.T) {
	all := append(slices.Clone(groupDots), furtherDot)
	for i, a := range all {
		for _, b := range all[:i] {
			_, shapeA := look(a)
			_, shapeB := look(b)
			if reflect.DeepEqual(shapeA, shapeB) && math.Abs(float64(a.radius-b.radius)) < 1 {
				t.Errorf("groups drawn as %+v and %+v have one shape", a, b)
			}
		}
		for name, m := range visions {
			if d := apart(m, a.color, white); d < leastMarks {
				t.Errorf("%+v on white, %s vision: %.1f apart, want %.1f", a, name, d, leastMarks)
			}
		}
	}
}

// look returns the colour of a style, and all else that shows of it.
func look(style any) (color.Color, any) {
	switch v := style.(type) {
	case draw.LineStyle:
		return v.Color, [2]any{v.Width, v.Dashes}
	case dot:
		return v.color, [2]any{v.open, v.shape}
	}
	panic("neither a line nor a dot")
}

// TestAreas holds the areas that touch, and what is drawn on them.
func TestAreas(t *testing.T) {
	for _, p := range []struct {
		what string
		a, b color.Color
	}{
		{"interval on white", noise, white},
		{"interval on settled", noise, band},
		{"settled on white", band, white},
		{"share on white", barFill, white},
	} {
		for name, m := range visions {
			if d := apart(m, p.a, p.b); d < leastAreas {
				t.Errorf("%s, %s vision: %.1f apart, want %.1f", p.what, name, d, leastAreas)
			}
		}
	}
	for _, back := range []color.Color{white, band, noise, barFill, picture} {
		for _, front := range []color.Color{black, dark, blue, vermillion} {
			for name, m := range visions {
				if d := apart(m, front, back); d < leastMarks {
					t.Errorf("%v on %v, %s vision: %.1f apart, want %.1f", front, back, name, d, leastMarks)
				}
			}
		}
	}
}

// TestContrast holds the contrast of texts on all that lies behind them at the
// 4.5:1 of WCAG 2.1, 1.4.3: (L1 + 0.05)/(L2 + 0.05) of relative luminances.
func TestContrast(t *testing.T) {
	luminance := func(c color.Color) float64 { return times(toXYZ, linear(c))[1] }
	for _, back := range []color.Color{white, band, noise, picture} {
		if r := (luminance(back) + 0.05) / (luminance(dark) + 0.05); r < 4.5 {
			t.Errorf("text on %v has a contrast of %.2f to 1", back, r)
		}
	}
}
