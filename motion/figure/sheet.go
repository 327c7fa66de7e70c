package figure

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strings"
	"sync"
	"unicode"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

const (
	sheetWidth = 480 // of every figure, in units of its view box
	textSize   = 14
	lineHeight = 18
	edge       = 8 // free on all sides
)

// face is the font that texts are measured in. The SVG names it first, and
// then families of the same widths, and then any sans-serif.
var face = sync.OnceValue(func() font.Face {
	fonts := font.NewCache(liberation.Collection())
	return fonts.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans"}, textSize)
})

// sheet is a figure under construction; y grows upward from its lower edge.
type sheet struct {
	draw.Canvas
	svg *vgsvg.Canvas
}

func newSheet(height vg.Length) *sheet {
	height = vg.Length(math.Ceil(float64(height)))
	svg := vgsvg.NewWith(vgsvg.UseWH(sheetWidth, height))
	s := &sheet{draw.New(svg), svg}
	s.FillPolygon(white, corners(s.Rectangle))
	return s
}

// bytes returns the svg element. In place of the writer's preamble, of a size
// in points, it has a view box that scales; and the font stands once.
func (s *sheet) bytes() []byte {
	var b bytes.Buffer
	if _, err := s.svg.WriteTo(&b); err != nil {
		panic("figure: " + err.Error()) // a buffer takes all
	}
	_, body, _ := bytes.Cut(b.Bytes(), []byte("xlink\">\n"))
	const style = "font-family:Liberation Sans;font-variant:normal;font-weight:normal;font-style:normal;"
	body = bytes.ReplaceAll(body, []byte(style), nil)
	w, h := s.svg.Size()
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" font-family="Liberation Sans, Arial, Helvetica, sans-serif">`+"\n",
		w.Points(), h.Points(), w.Points(), h.Points())
	return append([]byte(head), bytes.TrimRight(body, "\n")...)
}

// nothing returns the figure that stands where there are no data.
func nothing(why string) []byte {
	s := newSheet(3 * lineHeight)
	s.text(sheetWidth/2, 1.5*lineHeight, center, middle, "Nothing to show: "+why)
	return s.bytes()
}

// at returns a point of the sheet, rounded to a tenth of a unit.
func at(x, y vg.Length) vg.Point {
	return vg.Point{X: vg.Length(math.Round(float64(x)*10) / 10), Y: vg.Length(math.Round(float64(y)*10) / 10)}
}

// rect returns the rectangle between two corners.
func rect(x0, y0, x1, y1 vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x0, Y: y0}, Max: vg.Point{X: x1, Y: y1}}
}

// corners returns the corners of r.
func corners(r vg.Rectangle) []vg.Point {
	return []vg.Point{at(r.Min.X, r.Min.Y), at(r.Max.X, r.Min.Y), at(r.Max.X, r.Max.Y), at(r.Min.X, r.Max.Y)}
}

// align says which part of a text lies at its point: 0 the left or lower end,
// 1 the right or upper end.
type align float64

const (
	left, center, right = align(0), align(0.5), align(1)
	under, middle, over = align(1), align(0.5), align(0)
)

const ascent = 0.72 * textSize // of capitals and digits

// text writes one line of text at (x, y).
func (s *sheet) text(x, y vg.Length, h, v align, text string) {
	s.colored(x, y, h, v, text, dark)
}

func (s *sheet) colored(x, y vg.Length, h, v align, text string, c color.Color) {
	if text = printable(text); text == "" {
		return
	}
	s.SetColor(c)
	x -= vg.Length(h) * textWidth(text)
	y -= vg.Length(v) * ascent
	s.svg.FillString(face(), at(x, y), text)
}

// textWidth returns the width of a text as printed.
func textWidth(text string) vg.Length {
	f := face()
	return f.Width(printable(text))
}

// printable returns text without what cannot be shown on one line.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, text)
}
