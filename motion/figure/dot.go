package figure

import (
	"image/color"
	"slices"

	"gonum.org/v1/plot/vg"
)

// dot is how one thing among many is drawn: filled, or open.
type dot struct {
	color  color.Color
	radius vg.Length
	open   bool
	shape  shape
}

// shape is the corners of a dot, in radii from its middle. Its zero value is a
// diamond.
type shape []vg.Point

var (
	diamond = shape{{X: -1}, {Y: 1}, {X: 1}, {Y: -1}}
	square  = shape{{X: -0.85, Y: -0.85}, {X: -0.85, Y: 0.85}, {X: 0.85, Y: 0.85}, {X: 0.85, Y: -0.85}}
	wedge   = shape{{X: -1.05, Y: 0.7}, {Y: -1.1}, {X: 1.05, Y: 0.7}}
	cross   = shape{
		{X: -1, Y: -0.7}, {X: -0.3, Y: 0}, {X: -1, Y: 0.7}, {X: -0.7, Y: 1}, {X: 0, Y: 0.3}, {X: 0.7, Y: 1},
		{X: 1, Y: 0.7}, {X: 0.3, Y: 0}, {X: 1, Y: -0.7}, {X: 0.7, Y: -1}, {X: 0, Y: -0.3}, {X: -0.7, Y: -1},
	}
	triangle = shape{{X: -1.05, Y: -0.7}, {Y: 1.1}, {X: 1.05, Y: -0.7}}
)

// dots draws all points as one element.
func (s *sheet) dots(d dot, pts []vg.Point) {
	if len(pts) == 0 {
		return
	}
	outline := d.shape
	if outline == nil {
		outline = diamond
	}
	p := make(vg.Path, 0, (len(outline)+1)*len(pts))
	for _, c := range pts {
		for i, o := range outline {
			corner := at(c.X+d.radius*o.X, c.Y+d.radius*o.Y)
			if i == 0 {
				p.Move(corner)
			} else {
				p.Line(corner)
			}
		}
		p.Close()
	}
	s.SetColor(d.color)
	if d.open {
		s.SetLineStyle(stroke(d.color, 1.2))
		s.on.Stroke(p)
		return
	}
	s.on.Fill(p)
}

// dotColumn is the width, in units, of which at most two dots are drawn: about
// that of a dot.
const dotColumn = 2.5

// series draws y over x as dots, where x does not decrease: at most two in a
// narrow column. Values beyond the scale of y are drawn at its edge, as wedges
// that point outward.
func (s *sheet) series(a axes, x, y []float64, d dot) {
	width := dotColumn * a.x.size() / float64(a.in.Size().X)
	x, y = pairs(x, y) // dots have no gaps: a column counts across them
	var pts, above, below []vg.Point
	for _, i := range columns(nil, x, y, width) {
		switch p := a.at(x[i], a.y.clamp(y[i])); {
		case y[i] > a.y.hi:
			above = append(above, p)
		case y[i] < a.y.lo:
			below = append(below, p)
		default:
			pts = append(pts, p)
		}
	}
	s.dots(d, pts)
	s.wedges(d, above, 1)
	s.wedges(d, below, -1)
}

// whiskers draws, as one element, the interval of each point: from low to high
// at x, upright, as far as a shows it.
func (s *sheet) whiskers(a axes, x, low, high []float64) {
	var lines [][]vg.Point
	for i := range low {
		if shown(x[i]) && shown(low[i]) && shown(high[i]) {
			lines = append(lines, a.clip([]vg.Point{a.at(x[i], low[i]), a.at(x[i], high[i])})...)
		}
	}
	s.lines(whiskerLine, lines)
}

// wedges draws, as one element, wedges with their tips at tips that point up
// (dir 1) or down (dir -1).
func (s *sheet) wedges(d dot, tips []vg.Point, dir vg.Length) {
	if len(tips) == 0 {
		return
	}
	var p vg.Path
	for _, tip := range tips {
		p.Move(tip)
		p.Line(at(tip.X-3, tip.Y-6*dir))
		p.Line(at(tip.X+3, tip.Y-6*dir))
		p.Close()
	}
	s.SetColor(d.color)
	s.on.Fill(p)
}

// beyondEntry returns the entry that explains the wedges, if series draws any.
func beyondEntry(y []float64, scale interval, d dot) []entry {
	if !slices.ContainsFunc(y, func(v float64) bool { return shown(v) && !scale.contains(v) }) {
		return nil
	}
	return []entry{{"off the scale", func(s *sheet, in vg.Rectangle) {
		s.wedges(d, []vg.Point{at((in.Min.X+in.Max.X)/2, (in.Min.Y+in.Max.Y)/2+3)}, 1)
	}}}
}
