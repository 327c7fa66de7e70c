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

// The lines of all figures.
var (
	axisLine      = stroke(dark, 1)
	gridLine      = stroke(faint, 1)
	settledLine   = stroke(blue, 1.5)
	searchingLine = stroke(vermillion, 0.8)
	unjudgedLine  = stroke(black, 1)
	hiddenLine    = stroke(black, 2.2)

	tipLine       = stroke(blue, 0.7)
	tipKey        = stroke(blue, 1) // the tip's line in the key
	downLine      = stroke(vermillion, 3)
	pathAxis      = stroke(vermillion, 2.2, 9, 4)
	planeLine     = stroke(black, 1.6)
	parallelLine  = stroke(black, 1.6, 2, 3)
	meanLine      = stroke(blue, 2.4)
	referenceLine = stroke(black, 1.6, 6, 3)

	fitted      = stroke(black, 1.6)            // a line through many points
	takeLine    = stroke(vermillion, 1.6, 6, 3) // what holds for the take
	whiskerLine = stroke(dark, 0.8)
	sampleLine  = stroke(dark, 1)
)

// The dots of all figures.
var (
	onePoint = dot{color: dark, radius: 2} // one of many over time
	oneDate  = dot{color: blue, radius: 3.4}
	hurt     = dot{color: vermillion, radius: 5, shape: cross}

	early = dot{color: vermillion, radius: 2.2, open: true}
	late  = dot{color: blue, radius: 2.2}

	afterUp   = dot{color: dark, radius: 2.4, open: true}
	afterDown = dot{color: vermillion, radius: 2.4}

	// groupDots tell groups apart, by shape as well as by colour; furtherDot is
	// that of all further groups.
	groupDots = []dot{
		{color: blue, radius: 4},
		{color: vermillion, radius: 4, open: true, shape: square},
		{color: black, radius: 4, shape: triangle},
		{color: blue, radius: 4, open: true, shape: wedge},
		{color: vermillion, radius: 4, shape: cross},
		{color: black, radius: 4, open: true},
	}
	furtherDot = dot{color: color.RGBA{120, 120, 120, 255}, radius: 2.5, shape: square}
)

// ramp is steps of lightness, from the first take to the last: of one hue.
var ramp = []color.RGBA{{170, 206, 228, 255}, {112, 172, 209, 255}, {56, 140, 191, 255}, {0, 114, 178, 255}, {0, 62, 100, 255}}
