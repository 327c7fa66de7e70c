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

func (s *sheet) shade(b shade, in vg.Rectangle) {
	if b == (shade{}) {
		return
	}
	s.FillPolygon(b.fill, corners(in))
	s.StrokeLines(stroke(b.rule, 2), []vg.Point{at(in.Min.X, in.Max.Y), at(in.Max.X, in.Max.Y)})
}

// spans shades the part of each span that a shows.
func (s *sheet) spans(a axes, spans []Span, b shade) {
	for _, sp := range spans {
		from, to := max(sp.Start, a.x.lo), min(sp.End, a.x.hi)
		if from < to {
			s.shade(b, rect(a.atX(from), a.in.Min.Y, a.atX(to), a.in.Max.Y))
		}
	}
}
