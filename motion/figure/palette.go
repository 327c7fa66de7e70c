package figure

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Okabe & Ito (2008), "Color universal design: how to make figures and
// presentations that are friendly to colorblind people".
var (
	black      = color.RGBA{0, 0, 0, 255}
	blue       = color.RGBA{0, 114, 178, 255}
	vermillion = color.RGBA{213, 94, 0, 255}
)

var (
	white   = color.RGBA{255, 255, 255, 255}
	dark    = color.RGBA{70, 70, 70, 255}    // axes and their text
	faint   = color.RGBA{225, 225, 225, 255} // grid
	band    = color.RGBA{214, 230, 241, 255} // blue at a sixth: settled spans
	noise   = color.RGBA{200, 200, 200, 255} // what measurement alone gives
	barFill = color.RGBA{128, 185, 217, 255} // blue at a half
	picture = color.RGBA{243, 243, 243, 255} // the film's frame
)

// stroke returns the style of a line.
func stroke(c color.Color, width vg.Length, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: width, Dashes: dashes}
}

var (
	axisLine      = stroke(dark, 1)
	gridLine      = stroke(faint, 1)
	settledLine   = stroke(blue, 1.5)
	searchingLine = stroke(vermillion, 0.8)
	unjudgedLine  = stroke(black, 1)
	fitted        = stroke(black, 1.6) // a line through many points
)
