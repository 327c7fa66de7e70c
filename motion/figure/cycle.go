package figure

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// MeanCycle shows the mean cycle of a run of strokes looking down the strings
// (or at the instrument's face), at equal scales, with the band of its interval;
// beside it the cycle of a reference motion with its margin.
type MeanCycle struct {
	Mean Loop
	// Reference is the cycle to hold it against, empty for none; its bounds are
	// the margin within which another still counts as the same motion.
	Reference Loop
	// Second names the second axis, "out" or "along".
	Second string
	Unit   string
	// HeightsKnown says that the string plane lies at zero of the second axis;
	// otherwise no plane is drawn.
	HeightsKnown bool
	// Strings are marks on the string plane; those beside the cycle are drawn.
	Strings []Mark
}

// Loop is a path over one cycle, closed by the place where it begins.
type Loop struct {
	// Across and Second are the places, in order of phase, from the turn before
	// the downstroke.
	Across, Second []float64
	// HalfAcross and HalfSecond are the half-widths of the interval of each, or
	// nil for no band.
	HalfAcross, HalfSecond []float64
	// Down is the number of places that belong to the downstroke; the arrow
	// stands in their middle. Zero means that it is not known.
	Down int
}

func (l Loop) check() {
	sameLength(len(l.Across), len(l.Second))
	if l.HalfAcross != nil || l.HalfSecond != nil {
		sameLength(len(l.Across), len(l.HalfAcross), len(l.HalfSecond))
	}
}

func (f MeanCycle) draw(p paper) *sheet {
	f.Mean.check()
	f.Reference.check()
	x, y := f.Mean.extent()
	if x.empty() {
		return p.nothing("there is no mean cycle.")
	}
	if rx, ry := f.Reference.extent(); !rx.empty() {
		x, y = x.with(rx.lo, rx.hi), y.with(ry.lo, ry.hi)
	}
	if f.HeightsKnown {
		y = y.with(0)
	}
	x, y = x.padded(0.12), y.padded(0.15)

	entries := []entry{f.Mean.entry("mean cycle", "its interval", meanLine, band)}
	if first, _ := pairs(f.Reference.Across, f.Reference.Second); len(first) > 0 {
		entries = append(entries, f.Reference.entry("reference", "its margin", referenceLine, noise))
	}
	from, to := f.downward()
	if from != to {
		entries = append(entries, entry{"downstroke", func(s *sheet, in vg.Rectangle) {
			y := (in.Min.Y + in.Max.Y) / 2
			s.arrow(at(in.Min.X, y), at(in.Max.X, y), meanLine)
		}})
	}
	if f.HeightsKnown {
		entries = append(entries, lineEntry("string plane", planeLine))
	}

	s, a, marks := p.planeLayout(p.key(entries...), x, y, 0, 130, 300)
	name := "out from the strings"
	switch {
	case f.Second != "out":
		name = f.Second
	case !f.HeightsKnown:
		name = "outward (zero not known)"
	}
	s.title(a.in, inUnit(name, f.Unit))
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), inUnit("across the strings (treble side right)", f.Unit))
	s.ribbon(a, f.Reference, noise)
	s.ribbon(a, f.Mean, band)
	var busy []vg.Point
	if f.HeightsKnown {
		line := []vg.Point{a.at(a.x.lo, 0), a.at(a.x.hi, 0)}
		s.StrokeLines(planeLine, line)
		busy = along([][]vg.Point{line})
	}
	busy = append(busy, s.loop(a, f.Reference, referenceLine)...)
	busy = append(busy, s.loop(a, f.Mean, meanLine)...)
	if from != to {
		s.head(a.at(from.X, from.Y), a.at(to.X, to.Y), blue)
	}
	s.marks(a, f.Strings, busy)
	return s
}

// downward returns the places between which the middle of the downstroke goes,
// equal if it is not known.
func (f MeanCycle) downward() (from, to Point) {
	to.X, to.Y = math.NaN(), math.NaN()
	if i := f.Mean.Down / 2; i >= 1 && i < len(f.Mean.Across) {
		j := i - max(1, f.Mean.Down/8)
		from, to = Point{f.Mean.Across[j], f.Mean.Second[j]}, Point{f.Mean.Across[i], f.Mean.Second[i]}
	}
	if !from.shown() || !to.shown() {
		return Point{}, Point{}
	}
	return from, to
}

// half returns the half-widths at place i, zero where there are none.
func (l Loop) half(i int) (x, y float64) {
	if l.HalfAcross == nil || !shown(l.HalfAcross[i]) || !shown(l.HalfSecond[i]) {
		return 0, 0
	}
	return math.Abs(l.HalfAcross[i]), math.Abs(l.HalfSecond[i])
}

// extent returns what the loop with its band takes.
func (l Loop) extent() (x, y interval) {
	x, y = none, none
	runs(l.Across, l.Second, func(from, to int) {
		for i := from; i < to; i++ {
			hx, hy := l.half(i)
			x, y = x.with(l.Across[i]-hx, l.Across[i]+hx), y.with(l.Second[i]-hy, l.Second[i]+hy)
		}
	})
	return x, y
}

// entry is the loop's entry in the key, with its band if it has one.
func (l Loop) entry(text, banded string, style draw.LineStyle, fill color.Color) entry {
	wide := false
	for i := range l.Across {
		hx, hy := l.half(i)
		wide = wide || hx > 0 || hy > 0
	}
	if wide {
		text += ", with " + banded
	}
	return entry{text, func(s *sheet, in vg.Rectangle) {
		if wide {
			s.FillPolygon(fill, corners(in))
		}
		y := (in.Min.Y + in.Max.Y) / 2
		s.StrokeLines(style, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
	}}
}

// maxLoop is the number of places of a loop that are drawn; of more, so many
// that are evenly spaced.
const maxLoop = 90

// places calls do for each place that is drawn and the one after it, which of
// the last is the first.
func (l Loop) places(do func(i, next int)) {
	n := len(l.Across)
	m := min(n, maxLoop)
	ok := func(i int) bool { return shown(l.Across[i]) && shown(l.Second[i]) }
	for k := range m {
		i, next := k*n/m, (k+1)*n/m%n
		if ok(i) && ok(next) {
			do(i, next)
		}
	}
}

// loop draws a loop, broken where a place is missing, and returns points along it.
func (s *sheet) loop(a axes, l Loop, style draw.LineStyle) []vg.Point {
	var lines [][]vg.Point
	last := -1
	l.places(func(i, next int) {
		if i != last {
			lines = append(lines, []vg.Point{a.at(l.Across[i], l.Second[i])})
		}
		k := len(lines) - 1
		lines[k] = append(lines[k], a.at(l.Across[next], l.Second[next]))
		last = next
	})
	s.lines(style, lines)
	return along(lines)
}

// ribbon draws the band of a loop: what an ellipse of its half-widths covers that
// goes along it.
func (s *sheet) ribbon(a axes, l Loop, fill color.Color) {
	if l.HalfAcross == nil {
		return
	}
	perX, perY := float64(a.in.Size().X)/a.x.size(), float64(a.in.Size().Y)/a.y.size()
	var p vg.Path
	l.places(func(i, next int) {
		var pts []vg.Point
		for _, j := range []int{i, next} {
			c := a.at(l.Across[j], l.Second[j])
			hx, hy := l.half(j)
			if !(hx > 0) && !(hy > 0) {
				return
			}
			for k := range 16 {
				sin, cos := math.Sincos(math.Pi * float64(k) / 8)
				pts = append(pts, at(c.X+vg.Length(hx*perX*cos), c.Y+vg.Length(hy*perY*sin)))
			}
		}
		for k, pt := range hull(pts) {
			if k == 0 {
				p.Move(pt)
			} else {
				p.Line(pt)
			}
		}
		p.Close()
	})
	if len(p) > 0 {
		s.SetColor(fill)
		s.on.Fill(p)
	}
}

// hull returns the corners of the convex hull of points, counter-clockwise
// (Andrew 1979, monotone chains). It sorts them.
func hull(pts []vg.Point) []vg.Point {
	slices.SortFunc(pts, func(a, b vg.Point) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return pts
	}
	var out []vg.Point
	chain := func(p vg.Point, base int) {
		for n := len(out); n >= base+2; n = len(out) {
			a, b := out[n-2], out[n-1]
			if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) > 0 {
				break
			}
			out = out[:n-1]
		}
		out = append(out, p)
	}
	for _, p := range pts {
		chain(p, 0)
	}
	base := len(out) - 1
	for _, p := range slices.Backward(pts[:len(pts)-1]) {
		chain(p, base)
	}
	return out[:len(out)-1]
}
