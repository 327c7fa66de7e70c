package figure

import (
	"image/color"
	"slices"

	"gonum.org/v1/plot/vg"
)

// dot is how one thing among many is drawn: a filled diamond, or an open one.
type dot struct {
	color  color.Color
	radius vg.Length
	open   bool
}

// dots draws all points as one element.
func (s *sheet) dots(d dot, pts []vg.Point) {
	if len(pts) == 0 {
		return
	}
	p := make(vg.Path, 0, 5*len(pts))
	for _, c := range pts {
		p.Move(at(c.X-d.radius, c.Y))
		p.Line(at(c.X, c.Y+d.radius))
		p.Line(at(c.X+d.radius, c.Y))
		p.Line(at(c.X, c.Y-d.radius))
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

// series draws y over x as dots, where x does not decrease: at most two in a
// narrow column. Values beyond the scale of y are drawn at its edge, as wedges
// that point outward.
func (s *sheet) series(a axes, x, y []float64, d dot) {
	width := column * a.x.size() / float64(a.in.Size().X)
	var kept []int
	runs(x, y, func(from, to int) {
		kept = columns(kept, x[from:to], y[from:to], width, from)
	})
	var pts, above, below []vg.Point
	for _, i := range kept {
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
