package figure_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/figure"
)

// A figure for a slide: 800 units wide, at three pixels a unit.
func ExamplePNG() {
	data := figure.PNG(figure.RateOverTime{
		T:       []float64{0.1, 0.3, 0.5, 0.7},
		Rate:    []float64{10.8, 11.1, 11.0, 11.0},
		Settled: []figure.Span{{Start: 0.2, End: 0.8}},
	}, figure.Options{Width: 800, PixelsPerUnit: 3})
	img, err := png.Decode(bytes.NewReader(data)) // or os.WriteFile("rate.png", data, 0o666)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(img.Bounds().Dx(), "pixels wide")
	// Output: 2400 pixels wide
}

// A figure for a page of a telephone's width.
func ExampleSVG() {
	svg := figure.SVG(figure.CarryOverTime{T: []float64{0.1, 0.2, 0.3}, Carry: []float64{0.42, 0.4, 0.44}}, figure.Options{Width: 343})
	fmt.Println(strings.Contains(string(svg), `viewBox="0 0 343 `))
	// Output: true
}

func decoded(t *testing.T, f figure.Figure, o figure.Options) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(figure.PNG(f, o)))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// TestPNGSize holds the size of an image against that of the SVG.
func TestPNGSize(t *testing.T) {
	size := regexp.MustCompile(`width="(\d+)" height="(\d+)"`)
	for _, c := range []struct{ given, scale float64 }{{0, 2}, {1, 1}, {1.5, 1.5}, {3, 3}, {99, 8}, {1e-9, 0.5}, {-1, 2}, {math.NaN(), 2}} {
		o := figure.Options{Width: 343, PixelsPerUnit: c.given}
		m := size.FindSubmatch(figure.SVG(meanCycle, o))
		b := decoded(t, meanCycle, o).Bounds()
		for i, got := range []int{b.Dx(), b.Dy()} {
			units, _ := strconv.ParseFloat(string(m[i+1]), 64)
			if math.Abs(float64(got)-units*c.scale) > 1 {
				t.Errorf("%v pixels a unit: %d pixels for %v units, want %v a unit", c.given, got, units, c.scale)
			}
		}
	}
	if a, b := figure.PNG(paths, figure.Options{}), figure.PNG(paths, figure.Options{}); !bytes.Equal(a, b) {
		t.Error("two calls differ")
	}
}

var (
	shapes    = regexp.MustCompile(`(?s)<path d="([^"]*)"\s+style="([^"]*)"`)
	places    = regexp.MustCompile(`[ML](-?[\d.]+),(-?[\d.]+)`)
	strokeRGB = regexp.MustCompile(`stroke:#([0-9A-Fa-f]{6})`)
	fillRGB   = regexp.MustCompile(`fill:#([0-9A-Fa-f]{6})`)
)

// TestPNGDrawsTheSame takes the corners of all shapes from the SVG and looks for
// their ink in the image: where a shape that is not white has a corner, the image
// is not white, and where a text stands it has ink; and it has the SVG's colours
// and is mostly white elsewhere.
func TestPNGDrawsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("draws every figure four times")
	}
	for name, f := range all() {
		for _, width := range []int{343, 800} {
			o := figure.Options{Width: width, PixelsPerUnit: 2}
			svg := figure.SVG(f, o)
			img := decoded(t, f, o)
			if name == "empty" {
				continue // has no shape; its text is looked for below
			}
			corners, inked := 0, 0
			colours := map[color.RGBA]bool{}
			for _, m := range shapes.FindAllSubmatch(svg, -1) {
				rgb, ok := shapeColour(m[2])
				if !ok || rgb == (color.RGBA{255, 255, 255, 255}) {
					continue
				}
				colours[rgb] = true
				for _, p := range places.FindAllSubmatch(m[1], -1) {
					x, _ := strconv.ParseFloat(string(p[1]), 64)
					y, _ := strconv.ParseFloat(string(p[2]), 64)
					corners++
					if darkest(img, 2*x, float64(img.Bounds().Dy())-2*y, 2) < 0.97 {
						inked++
					}
				}
			}
			// A few corners lie under the white behind a name.
			if corners < 4 || float64(inked) < 0.97*float64(corners) {
				t.Errorf("%s, %d wide: of %d corners %d have ink", name, width, corners, inked)
			}
			seen := map[color.RGBA]bool{}
			white, all := 0, 0
			for y := range img.Bounds().Dy() {
				for x := range img.Bounds().Dx() {
					c := color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)
					seen[c] = true
					if all++; c == (color.RGBA{255, 255, 255, 255}) {
						white++
					}
				}
			}
			for c := range colours {
				if !near(seen, c) {
					t.Errorf("%s, %d wide: the image has nothing of the colour %v", name, width, c)
				}
			}
			if share := float64(white) / float64(all); share < 0.2 || share > 0.995 {
				t.Errorf("%s, %d wide: %.1f %% of the image is white", name, width, 100*share)
			}
		}
	}
	for name, f := range all() {
		o := figure.Options{PixelsPerUnit: 2}
		img := decoded(t, f, o)
		ls, _ := labels(t, figure.SVG(f, o))
		for _, l := range ls {
			ink := 0
			for y := 2 * l.y0; y < 2*l.y1; y++ {
				for x := 2 * l.x0; x < 2*l.x1; x++ {
					if darkest(img, x, y, 0) < 0.5 {
						ink++
					}
				}
			}
			if ink < 10 {
				t.Errorf("%s: %q has %d dark pixels", name, l.text, ink)
			}
		}
	}
}

// shapeColour is the colour that a shape is drawn in.
func shapeColour(style []byte) (color.RGBA, bool) {
	m := strokeRGB.FindSubmatch(style)
	if m == nil {
		if m = fillRGB.FindSubmatch(style); m == nil {
			return color.RGBA{0, 0, 0, 255}, !bytes.Contains(style, []byte("fill:none")) // SVG's own default
		}
	}
	v, err := strconv.ParseUint(string(m[1]), 16, 32)
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}, err == nil
}

// darkest is the least luma, of 0 to 1, within reach pixels of a place.
func darkest(img image.Image, x, y float64, reach int) float64 {
	least := 1.0
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			p := image.Pt(int(x)+dx, int(y)+dy)
			if p.In(img.Bounds()) {
				least = min(least, float64(color.GrayModel.Convert(img.At(p.X, p.Y)).(color.Gray).Y)/255)
			}
		}
	}
	return least
}

// near reports whether a colour is among those seen, within the rounding of thin
// lines.
func near(seen map[color.RGBA]bool, c color.RGBA) bool {
	for s := range seen {
		d := max(math.Abs(float64(s.R)-float64(c.R)), math.Abs(float64(s.G)-float64(c.G)), math.Abs(float64(s.B)-float64(c.B)))
		if d <= 40 {
			return true
		}
	}
	return false
}
