package figure

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/plectrace/plectrace/variability/circular"
)

// Point is a place in the plane that is shown.
type Point struct{ X, Y float64 }

func (p Point) shown() bool { return shown(p.X) && shown(p.Y) }

// Mark is a point with a name.
type Mark struct {
	Name string
	Point
}

// maxPath is the number of samples of a path that are drawn; of more, as many
// in stretches evenly spaced over the take.
const (
	maxPath   = 3000
	stretches = 12
)

// path draws a path in the plane: all of it, or stretches of it if it has more
// samples than can be told apart. It returns points along what it drew.
func (s *sheet) path(a axes, x, y []float64, style draw.LineStyle) []vg.Point {
	n, parts := len(x), 1
	if n > maxPath {
		n, parts = maxPath/stretches, stretches
	}
	var lines [][]vg.Point
	for k := range parts {
		start := 0
		if parts > 1 {
			start = k * (len(x) - n) / (parts - 1)
		}
		px, py := x[start:start+n], y[start:start+n]
		runs(px, py, func(from, to int) {
			var line []vg.Point
			for i := from; i < to; i++ {
				line = append(line, a.at(px[i], py[i]))
			}
			lines = append(lines, a.clip(line)...)
		})
	}
	s.lines(style, lines)
	return along(lines)
}

// along returns points along lines, a few units from one to the next.
func along(lines [][]vg.Point) []vg.Point {
	const every = 4
	var out []vg.Point
	for _, l := range lines {
		for i, p := range l {
			if i > 0 {
				d := p.Sub(l[i-1])
				n := int(math.Hypot(float64(d.X), float64(d.Y)) / every)
				for k := range n {
					out = append(out, l[i-1].Add(d.Scale(vg.Length(k+1)/vg.Length(n+1))))
				}
			}
			out = append(out, p)
		}
	}
	return out
}

// rims returns points on and about dots, by which a name keeps clear of whole dots.
func rims(dots []vg.Point, radius vg.Length) []vg.Point {
	var out []vg.Point
	for _, p := range dots {
		for k := range 8 {
			sin, cos := math.Sincos(math.Pi * float64(k) / 4)
			out = append(out, p, at(p.X+radius*vg.Length(cos), p.Y+radius*vg.Length(sin)))
		}
	}
	return out
}

// axis draws a line through p with an arrow at its right end, or its upper one,
// and returns points along it.
func (s *sheet) axis(a axes, p Point, angle float64, style draw.LineStyle) []vg.Point {
	sin, cos := math.Sincos(circular.Angle(angle).Axial().Radians())
	m := a.at(p.X, p.Y)
	long := a.in.Size().X + a.in.Size().Y
	inner := axes{in: rect(a.in.Min.X+6, a.in.Min.Y+6, a.in.Max.X-6, a.in.Max.Y-6)}
	parts := inner.clip([]vg.Point{
		{X: m.X - long*vg.Length(cos), Y: m.Y - long*vg.Length(sin)},
		{X: m.X + long*vg.Length(cos), Y: m.Y + long*vg.Length(sin)},
	})
	for _, l := range parts {
		s.arrow(l[0], l[len(l)-1], style)
	}
	return along(parts)
}

// arrow draws a line with a head at its end.
func (s *sheet) arrow(from, to vg.Point, style draw.LineStyle) {
	base := s.head(from, to, style.Color)
	s.StrokeLines(style, []vg.Point{at(from.X, from.Y), at(base.X, base.Y)})
}

// head draws the head of an arrow that ends at to, and returns the middle of
// its base.
func (s *sheet) head(from, to vg.Point, c color.Color) (base vg.Point) {
	const length = 11
	d := to.Sub(from)
	d = d.Scale(length / vg.Length(math.Max(1e-3, math.Hypot(float64(d.X), float64(d.Y)))))
	base = to.Sub(d)
	s.FillPolygon(c, []vg.Point{
		at(to.X, to.Y),
		at(base.X-d.Y*0.45, base.Y+d.X*0.45),
		at(base.X+d.Y*0.45, base.Y-d.X*0.45),
	})
	return base
}

// marks draws the marks that a shows, each with its name.
func (s *sheet) marks(a axes, marks []Mark, busy []vg.Point) {
	var tags []tag
	var squares []vg.Point
	for _, m := range marks {
		if a.x.contains(m.X) && a.y.contains(m.Y) {
			p := a.at(m.X, m.Y)
			s.square(p)
			squares = append(squares, p)
			tags = append(tags, tag{m.Name, p})
		}
	}
	s.tags(a.in, tags, busy, rims(squares, squareHalf))
}

// maxTag is the greatest width of a name beside a point, in units.
const maxTag = 160

// tag is a name beside a point.
type tag struct {
	name string
	at   vg.Point
}

// tags writes names within a rectangle, each on the side of its point where the
// fewest busy points are, which are those of lines, and further away with a line to it
// where that is clearer. One for which there is no room beside the others is left out,
// and so is one that would hide a point of dots.
func (s *sheet) tags(in vg.Rectangle, tags []tag, busy, dots []vg.Point) {
	var taken []vg.Rectangle
	for _, t := range tags {
		name, p := fit(t.name, min(in.Size().X-8, maxTag)), t.at
		w := slack * textWidth(name)
		const (
			off  = squareHalf + 4
			half = ascent / 2
			far  = 26
		)
		var best vg.Rectangle
		least := math.MaxInt
		for _, c := range []vg.Point{ // lower left corners of the name
			{X: p.X - w/2, Y: p.Y - off - ascent}, // below the point
			{X: p.X - w/2, Y: p.Y + off},          // above
			{X: p.X + off, Y: p.Y - half},         // right
			{X: p.X - off - w, Y: p.Y - half},     // left
			{X: p.X - w/2, Y: p.Y - off - far - ascent},
			{X: p.X - w/2, Y: p.Y + off + far},
			{X: p.X - w/2, Y: p.Y - off - 2*far - ascent},
			{X: p.X - w/2, Y: p.Y + off + 2*far},
		} {
			c.X = min(max(c.X, in.Min.X+2), in.Max.X-w-2)
			box := rect(c.X-2, c.Y-3, c.X+w+2, c.Y+ascent+2)
			hidden := slices.ContainsFunc(taken, func(o vg.Rectangle) bool { return overlap(o, box) })
			if hidden || box.Min.Y < in.Min.Y || box.Max.Y > in.Max.Y || within(box, dots) > 0 {
				continue
			}
			if n := within(box, busy); n < least {
				best, least = box, n
			}
		}
		if least == math.MaxInt || name == "" {
			continue
		}
		if least > 0 {
			s.FillPolygon(white, corners(best))
		}
		taken = append(taken, best)
		if end := min(max(p.Y, best.Min.Y), best.Max.Y); math.Abs(float64(end-p.Y)) > off+3 {
			s.lines(axisLine, [][]vg.Point{{p, at(p.X, end)}})
		}
		s.text(best.Min.X+2, best.Min.Y+3, left, over, name)
	}
}

// within counts the points in a rectangle.
func within(r vg.Rectangle, pts []vg.Point) int {
	n := 0
	for _, p := range pts {
		if r.Min.X <= p.X && p.X <= r.Max.X && r.Min.Y <= p.Y && p.Y <= r.Max.Y {
			n++
		}
	}
	return n
}

func overlap(a, b vg.Rectangle) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

const squareHalf = 3.5

// square draws the square of a mark.
func (s *sheet) square(p vg.Point) {
	s.FillPolygon(black, corners(rect(p.X-squareHalf, p.Y-squareHalf, p.X+squareHalf, p.Y+squareHalf)))
}
