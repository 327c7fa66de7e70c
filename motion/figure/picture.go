package figure

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Picture shows the tip's path as the film shows it, with the signs that must
// be right before any finding is read: which way the treble side lies and
// which way is outward, the first downstroke, and how long a millimetre is.
type Picture struct {
	// X and Y are the tip's places in the source's own coordinates, in order
	// of time.
	X, Y []float64
	Unit string
	// YUp says that Y grows upward; in most films it grows downward.
	YUp bool
	// Arrows are the directions to check, such as the treble side; one
	// without a direction is left out.
	Arrows []Arrow
	// Marks are the marks on the string plane.
	Marks []Mark
	// DownFrom and DownTo are the ends of the first downstroke; it is not
	// drawn if they are equal.
	DownFrom, DownTo Point
	// PerMM is the number of units in a millimetre, 0 if that is not known.
	PerMM float64
}

// Arrow is a named direction in the source's own coordinates, of any length.
type Arrow struct {
	Name string
	X, Y float64
}

const (
	signColumn = 124 // beside the picture
	signHeight = 74  // an arrow with its name
)

func (f Picture) draw(p paper) *sheet {
	sameLength(len(f.X), len(f.Y))
	xs, ys := pairs(f.X, f.Y)
	x, y := bulk(xs), bulk(ys)
	if x.empty() {
		return p.nothing("the tip was never seen.")
	}
	for _, m := range f.Marks {
		x, y = x.with(m.X), y.with(m.Y)
	}
	x, y = x.padded(0.12), y.padded(0.12)

	tipText := "tip"
	if len(f.X) > maxPath {
		tipText = "tip, parts of the take"
	}
	entries := []entry{lineEntry(tipText, tipKey)}
	first := f.DownFrom != f.DownTo && f.DownFrom.shown() && f.DownTo.shown()
	if first {
		entries = append(entries, entry{"first downstroke", func(s *sheet, in vg.Rectangle) {
			y := (in.Min.Y + in.Max.Y) / 2
			s.arrow(at(in.Min.X, y), at(in.Max.X, y), downLine)
		}})
	}
	if len(f.Marks) > 0 {
		entries = append(entries, entry{"mark", func(s *sheet, in vg.Rectangle) {
			s.square(at((in.Min.X+in.Max.X)/2, (in.Min.Y+in.Max.Y)/2))
		}})
	}

	signs := vg.Length(len(f.Arrows))*signHeight + 40
	s, a, marks := p.planeLayout(p.key(entries...), x, y, signColumn, max(signs, 160), max(signs, 340))
	a.flip = !f.YUp

	s.FillPolygon(picture, corners(a.in))
	s.title(a.in, inUnit("y in the film", f.Unit))
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), inUnit("x in the film", f.Unit))
	busy := s.path(a, f.X, f.Y, tipLine)
	if first {
		from, to := a.at(f.DownFrom.X, f.DownFrom.Y), a.at(f.DownTo.X, f.DownTo.Y)
		s.StrokeLines(stroke(white, 7), []vg.Point{from, to}) // a rim that sets it off from the path
		s.arrow(from, to, downLine)
		busy = append(busy, from, to)
	}
	s.marks(a, f.Marks, busy)

	// The signs, each in a box of its own, turned as in the film.
	mid := p.width - edge - vg.Length(signColumn-12)/2
	top := a.in.Max.Y
	for _, arrow := range f.Arrows {
		d, ok := a.direction(arrow)
		if !ok {
			continue
		}
		c := at(mid, top-24)
		const reach = 22
		s.arrow(at(c.X-reach*d.X, c.Y-reach*d.Y), at(c.X+reach*d.X, c.Y+reach*d.Y), stroke(black, 3))
		s.text(mid, top-50, center, under, fit(arrow.Name, signColumn-12))
		top -= signHeight
	}
	s.scaleBar(a, mid, f.PerMM)
	return s
}

// direction returns the unit vector of an arrow on the sheet, and whether it
// has one.
func (a axes) direction(arrow Arrow) (d vg.Point, ok bool) {
	x, y := arrow.X, arrow.Y
	if a.flip {
		y = -y
	}
	size := math.Hypot(x, y)
	if !(size > 0) || !shown(size) {
		return vg.Point{}, false
	}
	return vg.Point{X: vg.Length(x / size), Y: vg.Length(y / size)}, true
}

// scaleBar draws, at the lower end of the column of signs, how long a round
// number of millimetres is, or says that this is not known.
func (s *sheet) scaleBar(a axes, mid vg.Length, perMM float64) {
	y := a.in.Min.Y + 6
	pointsPerMM := perMM * float64(a.in.Size().X) / a.x.size()
	mm := roundStep(0.6 * signColumn / pointsPerMM)
	if !(perMM > 0) || !shown(perMM) || !shown(mm) {
		s.text(mid, y, center, over, "scale not known")
		return
	}
	half := vg.Length(mm*pointsPerMM) / 2
	s.lines(stroke(black, 2), [][]vg.Point{
		{at(mid-half, y), at(mid+half, y)},
		{at(mid-half, y-4), at(mid-half, y+4)},
		{at(mid+half, y-4), at(mid+half, y+4)},
	})
	s.text(mid, y+9, center, over, number(mm, decimals(mm))+" mm")
}
