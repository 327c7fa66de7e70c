package figure

import (
	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/robust"
)

// Paths shows the tip's path looking down the strings, at equal scales: across
// the strings from left to right (the treble side on the right), out from the
// instrument upward; with its principal axis, and the string plane it is
// measured against.
type Paths struct {
	// Across and Out are the tip's places, in order of time.
	Across, Out []float64
	Unit        string
	// Angle is the path angle, drawn as an axis through the middle of the
	// path, with an arrow where a downstroke ends; if absent, it is not drawn.
	Angle estimate.Value[circular.Angle]
	// HeightsKnown says that the string plane lies at out = 0. If it is not
	// set, a line parallel to it stands at the middle of the path.
	HeightsKnown bool
	// Strings are marks on the string plane, such as the strings; those
	// beside the path are drawn.
	Strings []Mark
	// Beside are paths that other figures show: the scale has room for them too,
	// so that figures which name each other are of one scale. They are not drawn.
	Beside []Paths
}

func (f Paths) draw(p paper) *sheet {
	x, y := f.extent()
	if x.empty() {
		return p.nothing("the tip's heights are not known.")
	}
	for _, b := range f.Beside {
		if bx, by := b.extent(); !bx.empty() {
			x, y = x.with(bx.lo, bx.hi), y.with(by.lo, by.hi)
		}
	}
	xs, ys := pairs(f.Across, f.Out)
	middle := Point{robust.MedianInPlace(xs), robust.MedianInPlace(ys)}
	plane := middle.Y
	planeText := "parallel to the string plane"
	if f.HeightsKnown {
		plane, planeText = 0, "string plane"
	}
	x, y = x.padded(0.12), y.padded(0.12)

	planeStyle := planeLine
	if !f.HeightsKnown {
		planeStyle = parallelLine
	}
	angled := f.Angle.Known() && shown(f.Angle.Value.Degrees())
	tipText := "tip"
	if len(f.Across) > maxPath {
		tipText = "tip, parts of the take"
	}
	entries := []entry{lineEntry(tipText, tipKey), lineEntry(planeText, planeStyle)}
	if angled {
		entries = append(entries, lineEntry("axis of the path, "+degrees(f.Angle), pathAxis))
	}

	s, a, marks := p.planeLayout(p.key(entries...), x, y, 0, 130, 300)
	out := inUnit("out from the strings", f.Unit)
	if !f.HeightsKnown {
		out = inUnit("outward", f.Unit) + " (zero not known)"
	}
	s.title(a.in, out)
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), inUnit("across the strings (treble side right)", f.Unit))
	busy := s.path(a, f.Across, f.Out, tipLine)
	line := []vg.Point{a.at(a.x.lo, plane), a.at(a.x.hi, plane)}
	s.StrokeLines(planeStyle, line)
	busy = append(busy, along([][]vg.Point{line})...)
	if angled {
		busy = append(busy, s.axis(a, middle, f.Angle.Value.Radians(), pathAxis)...)
	}
	s.marks(a, f.Strings, busy)
	return s
}

// extent returns what the path takes, with the string plane where it is known.
func (f Paths) extent() (x, y interval) {
	sameLength(len(f.Across), len(f.Out))
	xs, ys := pairs(f.Across, f.Out)
	x, y = bulk(xs), bulk(ys)
	if f.HeightsKnown && !y.empty() {
		y = y.with(0)
	}
	return x, y
}

// degrees writes an angle with its interval.
func degrees(v estimate.Value[circular.Angle]) string {
	text := number(v.Value.Degrees(), 1) + "°"
	if low, high := v.Low.Degrees(), v.High.Degrees(); shown(low) && shown(high) {
		text += " (" + number(low, 1) + "° to " + number(high, 1) + "°)"
	}
	return text
}
