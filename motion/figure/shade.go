package figure

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

// Span is a stretch of a take, in seconds.
type Span struct{ Start, End float64 }

// shade is how a stretch is drawn behind the data: filled, with a rule along
// its upper edge that a grey print keeps. Its zero value draws nothing.
type shade struct{ fill, rule color.Color }

var settledShade = shade{band, blue}

// shade draws stretches, all of them as one element and their rules as another.
func (s *sheet) shade(b shade, in ...vg.Rectangle) {
	if b == (shade{}) || len(in) == 0 {
		return
	}
	var area vg.Path
	var rules [][]vg.Point
	for _, r := range in {
		c := corners(r)
		area.Move(c[0])
		for _, pt := range c[1:] {
			area.Line(pt)
		}
		area.Close()
		rules = append(rules, []vg.Point{c[3], c[2]})
	}
	s.SetColor(b.fill)
	s.on.Fill(area)
	s.lines(stroke(b.rule, 2), rules)
}

// spans shades the part of each span that a shows; those less than a column apart
// look like one.
func (s *sheet) spans(a axes, spans []Span, b shade) {
	var all []vg.Rectangle
	for _, sp := range spans {
		from, to := max(sp.Start, a.x.lo), min(sp.End, a.x.hi)
		if !(from < to) {
			continue
		}
		in := rect(a.atX(from), a.in.Min.Y, a.atX(to), a.in.Max.Y)
		if n := len(all); n > 0 && all[n-1].Min.X <= in.Min.X && in.Min.X < all[n-1].Max.X+column {
			all[n-1].Max.X = max(all[n-1].Max.X, in.Max.X)
			continue
		}
		all = append(all, in)
	}
	s.shade(b, all...)
}
