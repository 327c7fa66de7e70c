package figure

import (
	"math"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const (
	textSize   = 14
	lineHeight = 18
	edge       = 8 // free on all sides
)

// face is the font that texts are measured in. The SVG names it first, and
// then families of the same widths, and then any sans-serif. It is taken from where
// gonum/plot takes its fonts, but without the eleven others, which make a program
// 5 MB larger.
var face = sync.OnceValue(func() font.Face {
	sans, err := opentype.Parse(liberationsansregular.TTF)
	if err != nil {
		panic("figure: " + err.Error()) // it is part of the program
	}
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	return font.NewCache(font.Collection{{Font: f, Face: sans}}).Lookup(f, textSize)
})

// paper is what a figure is drawn on, before its height is known.
type paper struct {
	width vg.Length
	// canvas makes what takes the drawing.
	canvas func(width, height vg.Length) vg.CanvasSizer
}

// sheet is a figure under construction; y grows upward from its lower edge.
type sheet struct {
	draw.Canvas
	on vg.CanvasSizer
}

func (p paper) sheet(height vg.Length) *sheet {
	on := p.canvas(p.width, vg.Length(math.Ceil(float64(height))))
	s := &sheet{draw.New(on), on}
	s.FillPolygon(white, corners(s.Rectangle))
	return s
}

// nothing returns the figure that stands where there are no data.
func (p paper) nothing(why string) *sheet {
	s := p.sheet(3 * lineHeight)
	s.text(p.width/2, 1.5*lineHeight, center, middle, "Nothing to show: "+why)
	return s
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
	if text = printable(text); text == "" {
		return
	}
	s.SetColor(dark)
	x -= vg.Length(h) * textWidth(text)
	y -= vg.Length(v) * ascent
	s.on.FillString(face(), at(x, y), text)
}

// textWidth returns the width of a text as printed.
func textWidth(text string) vg.Length {
	f := face()
	return f.Width(printable(text))
}

// slack is by how much a font that stands in for the one measured may be wider.
const slack = 1.1

// fit returns text, cut short with an ellipsis if it is wider than width.
func fit(text string, width vg.Length) string {
	text = printable(text)
	if slack*textWidth(text) <= width {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		if short := strings.TrimRight(string(runes[:n]), " ,;") + "…"; slack*textWidth(short) <= width {
			return short
		}
	}
	return ""
}

// wrap breaks text into lines of at most width between its words.
func wrap(text string, width vg.Length) []string {
	var lines []string
	for _, word := range strings.Fields(printable(text)) {
		if n := len(lines); n > 0 && slack*textWidth(lines[n-1]+" "+word) <= width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, fit(word, width))
	}
	return lines
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
