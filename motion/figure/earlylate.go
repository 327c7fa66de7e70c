package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/variability/robust"
)

// EarlyLate shows how quantities are distributed in the early and in the late
// part of a take: their values as dots, the middle half as a box with the
// median in it.
type EarlyLate struct {
	Pairs []Pair
	// Names are those of the two parts, such as "first" and "second" of two
	// takes; "early" and "late" where they are empty.
	Names [2]string
}

// Pair is one quantity in two parts of a take.
type Pair struct {
	Name, Unit  string
	Early, Late []float64
}

// maxDots is the number of dots in a row; of more values, so many are drawn
// that are evenly spaced in their order of size.
const maxDots = 150

func (f EarlyLate) draw(p paper) *sheet {
	var pairs []Pair
	for _, p := range f.Pairs {
		p.Early, p.Late = sorted(p.Early), sorted(p.Late)
		if len(p.Early)+len(p.Late) > 0 {
			pairs = append(pairs, p)
		}
	}
	if len(pairs) == 0 {
		return p.nothing("no stroke early or late.")
	}

	names := [2]string{"early", "late"}
	for i, name := range f.Names {
		if name != "" {
			names[i] = fit(name, p.width/4)
		}
	}
	k := p.key(dotEntry(names[0], early), dotEntry(names[1], late), entry{"middle half, and median", func(s *sheet, in vg.Rectangle) {
		s.box(in, (in.Min.X+in.Max.X)/2)
	}})
	const (
		rowHeight = 34
		block     = lineHeight + 2*rowHeight + tickRow + 10
	)
	room := max(textWidth(names[0]), textWidth(names[1])) + 8
	s := p.sheet(k.height() + vg.Length(len(pairs))*block + edge)
	s.key(k, s.Max.Y-edge/2)
	top := s.Max.Y - edge/2 - k.height()
	for _, pair := range pairs {
		s.text(edge, top-lineHeight+5, left, over, fit(inUnit(pair.Name, pair.Unit), p.width-2*edge))
		a := axes{
			in: rect(edge+room, top-lineHeight-2*rowHeight, p.width-edge, top-lineHeight),
			x:  bulk(pair.Early, pair.Late).padded(0.05),
			y:  interval{-1, 1}, // late in the lower half, early in the upper
		}
		for _, t := range a.ticksBelow() {
			s.StrokeLines(gridLine, []vg.Point{a.at(t.value, a.y.lo), a.at(t.value, a.y.hi)})
		}
		s.below(a, a.ticksBelow(), "")
		s.distribution(a, names[0], pair.Early, 0.5, early)
		s.distribution(a, names[1], pair.Late, -0.5, late)
		top -= block
	}
	return s
}

// distribution draws sorted values about y, which has half a unit on each side.
func (s *sheet) distribution(a axes, name string, values []float64, y float64, d dot) {
	s.text(a.in.Min.X-6, a.atY(y), right, middle, name)
	if len(values) == 0 {
		return
	}
	n := min(len(values), maxDots)
	var pts []vg.Point
	for k := range n {
		v := values[(2*k+1)*len(values)/(2*n)]
		pts = append(pts, a.at(a.x.clamp(v), y+0.6*(scatter(k)-0.5)))
	}
	s.dots(d, pts)
	clip := func(p float64) vg.Length {
		return a.atX(a.x.clamp(robust.Quantile(p, values)))
	}
	s.box(rect(clip(0.25), a.atY(y-0.36), clip(0.75), a.atY(y+0.36)), clip(0.5))
}

// box draws a box with a thick line at x in it.
func (s *sheet) box(in vg.Rectangle, x vg.Length) {
	c := corners(in)
	s.StrokeLines(stroke(black, 1.2), append(c, c[0]))
	s.StrokeLines(stroke(black, 3), []vg.Point{at(x, in.Min.Y), at(x, in.Max.Y)})
}

// scatter returns the k-th number of the golden-ratio sequence in [0, 1),
// which spreads dots evenly without chance.
func scatter(k int) float64 {
	_, f := math.Modf(float64(k+1) * (math.Sqrt(5) - 1) / 2)
	return f
}

// sorted returns the values that can be shown, in order.
func sorted(values []float64) []float64 {
	var out []float64
	for _, v := range values {
		if shown(v) {
			out = append(out, v)
		}
	}
	slices.Sort(out)
	return out
}
