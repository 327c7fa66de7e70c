package figure

import (
	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/variability/robust"
)

// TurnScatter shows where the strokes turn, on each side of the strings: two
// panels of one scale, each about the middle of its own turns.
type TurnScatter struct {
	AfterUp, AfterDown Turns
	// Second names the second axis, such as "out" or "along".
	Second string
	Unit   string
}

// Turns are the places of turns: across the strings, and on a second axis, or
// nil where the view gives only one.
type Turns struct {
	Across, Second []float64
}

// maxSide is the largest side of a panel, in units.
const maxSide = 250

// maxTurns is the number of turns drawn on a side; of more, so many that are
// evenly spaced in time.
const maxTurns = 300

func (f TurnScatter) draw(p paper) *sheet {
	panels := []turnPanel{
		newTurnPanel("after upstrokes", f.AfterUp, afterUp),
		newTurnPanel("after downstrokes", f.AfterDown, afterDown),
	}
	reach := 0.0 // half the width of both panels: what the wider needs
	seen := 0
	for _, p := range panels {
		reach = max(reach, p.reach)
		seen += len(p.x)
	}
	if seen == 0 {
		return p.nothing("no turn was seen.")
	}
	planar := f.AfterUp.Second != nil || f.AfterDown.Second != nil
	reach = interval{-reach, reach}.padded(0.1).hi

	k := p.key(entry{"middle of the turns", func(s *sheet, in vg.Rectangle) {
		s.cross(at((in.Min.X+in.Max.X)/2, (in.Min.Y+in.Max.Y)/2))
	}})
	const gap = 28
	room := vg.Length(0) // for the labels beside a panel
	for i := range panels {
		p := &panels[i]
		p.axes.x = interval{p.middle.X - reach, p.middle.X + reach}
		p.axes.y = interval{p.middle.Y - reach, p.middle.Y + reach}
		if planar {
			p.marks = ticks(p.axes.y, 4)
			room = max(room, labelRoom(p.marks))
		}
	}
	side := min((p.width-2*edge-2*room-gap)/2, maxSide)
	height := side // of the panels, and the name of their second axis
	if planar {
		height += lineHeight
	}
	s, area := p.layout(k, room+(p.width-2*edge-2*room-gap-2*side)/2, 0, height)
	for i, p := range panels {
		x0 := area.Min.X + vg.Length(i)*(side+gap+room)
		a := p.axes
		a.in = rect(x0, area.Min.Y, x0+side, area.Min.Y+side)
		// A name that is wider than its panel begins in the gap before it.
		from := max(x0-room-gap/2, min(x0, s.Max.X-edge/2-slack*textWidth(p.name)))
		s.text(from, area.Max.Y+titleRise, left, over, fit(p.name, min(x0+side+gap/2, s.Max.X)-from-2))
		if planar {
			s.text(x0, a.in.Max.Y+titleRise, left, over, fit(inUnit(f.Second, f.Unit), side))
		}
		s.beside(a, p.marks)
		s.below(a, ticks(a.x, 4), fit(inUnit("across", f.Unit), side))
		p.draw(s, a, planar)
	}
	return s
}

// turnPanel is one side of the figure.
type turnPanel struct {
	name   string
	x, y   []float64 // the turns that can be shown
	dot    dot
	middle Point
	reach  float64 // from the middle to most of the turns
	axes   axes    // without its rectangle
	marks  []tick  // of the second axis
}

func newTurnPanel(name string, t Turns, d dot) turnPanel {
	p := turnPanel{name: name, dot: d}
	second := t.Second
	if second == nil {
		second = make([]float64, len(t.Across))
	}
	sameLength(len(t.Across), len(second))
	p.x, p.y = pairs(t.Across, second)
	if len(p.x) == 0 {
		return p
	}
	p.middle = Point{robust.Median(p.x), robust.Median(p.y)}
	x, y := bulk(p.x), bulk(p.y)
	p.reach = max(p.middle.X-x.lo, x.hi-p.middle.X, p.middle.Y-y.lo, y.hi-p.middle.Y)
	return p
}

// draw draws the turns; those of one axis alone are spread over the height.
func (p turnPanel) draw(s *sheet, a axes, planar bool) {
	n := min(len(p.x), maxTurns)
	var pts []vg.Point
	for k := range n {
		i := (2*k + 1) * len(p.x) / (2 * n)
		y := p.y[i]
		if !planar {
			y += 0.4 * a.y.size() * (2*scatter(k) - 1)
		}
		pts = append(pts, a.at(a.x.clamp(p.x[i]), a.y.clamp(y)))
	}
	s.dots(p.dot, pts)
	if n > 0 {
		s.cross(a.at(p.middle.X, p.middle.Y))
	}
}

// cross draws a cross with a white rim.
func (s *sheet) cross(c vg.Point) {
	arms := func(length vg.Length) [][]vg.Point {
		return [][]vg.Point{
			{at(c.X-length, c.Y), at(c.X+length, c.Y)},
			{at(c.X, c.Y-length), at(c.X, c.Y+length)},
		}
	}
	s.lines(stroke(white, 4.5), arms(6.5))
	s.lines(stroke(black, 2), arms(5))
}
