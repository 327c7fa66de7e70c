package figure

import "gonum.org/v1/plot/vg"

// CohortScatter shows a study of many players: what their early takes show
// against what they gain later, a point for each player, groups told apart by
// shape.
type CohortScatter struct {
	Groups []Players
	// XName and YName say what is shown, such as "early scatter of the path
	// angle" and "gain in settled share".
	XName, XUnit, YName, YUnit string
	// Fitted is a line through the players; it may be empty.
	Fitted Curve
	// Labelled writes the players' names beside their points, where there is
	// room: a name hides no point.
	Labelled bool
}

// Players are those of one group, an entry of each column for a player.
type Players struct {
	// Name is that of the group. One group without a name has no entry in the
	// key.
	Name string
	// Names are those of the players, or nil.
	Names []string
	X, Y  []float64
	// The bounds of the intervals of X and Y, or nil.
	XLow, XHigh, YLow, YHigh []float64
}

func (p Players) check() {
	sameLength(len(p.X), len(p.Y))
	for _, c := range [][]float64{p.XLow, p.XHigh, p.YLow, p.YHigh} {
		if c != nil {
			sameLength(len(p.X), len(c))
		}
	}
	if p.Names != nil {
		sameLength(len(p.X), len(p.Names))
	}
	if (p.XLow == nil) != (p.XHigh == nil) || (p.YLow == nil) != (p.YHigh == nil) {
		panic("figure: one bound without the other")
	}
}

func (f CohortScatter) draw(p paper) *sheet {
	f.Fitted.check()
	x, y := none, none // of all players: none of them stands off the scale
	for _, g := range f.Groups {
		g.check()
		xs, ys := pairs(g.X, g.Y)
		x, y = x.with(xs...), y.with(ys...)
	}
	if x.empty() {
		return p.nothing("no point has both values.")
	}
	whiskers := false
	for _, g := range f.Groups {
		x = x.with(Curve{X: g.X, Y: g.X, Low: g.XLow, High: g.XHigh}.within(x)...)
		y = y.with(Curve{X: g.X, Y: g.Y, Low: g.YLow, High: g.YHigh}.within(y)...)
		whiskers = whiskers || g.XLow != nil || g.YLow != nil
	}
	y = y.with(f.Fitted.within(y)...)
	x, y = x.padded(0.06), y.padded(0.1)

	var entries []entry
	for i, g := range f.Groups {
		switch name := g.Name; {
		case i == len(groupDots) && len(f.Groups) > i+1:
			entries = append(entries, dotEntry("further groups", dotOf(i)))
		case i <= len(groupDots) && (name != "" || len(f.Groups) > 1):
			entries = append(entries, dotEntry(name, dotOf(i)))
		case i == 0:
			entries = append(entries, dotEntry("one player", dotOf(i)))
		}
	}
	if whiskers {
		entries = append(entries, lineEntry("its interval", whiskerLine))
	}
	if f.Fitted.seen() {
		entries = append(entries, f.Fitted.entry("fitted line"))
	}
	marks := ticks(y, 5)
	s, area := p.layout(p.key(entries...), labelRoom(marks), 4, 240)
	a := axes{in: area, x: x, y: y}
	s.title(area, inUnit(f.YName, f.YUnit))
	s.band(a, f.Fitted)
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), inUnit(f.XName, f.XUnit))
	for _, g := range f.Groups {
		s.whiskers(a, g.X, g.YLow, g.YHigh)
		s.sideways(a, g.Y, g.XLow, g.XHigh)
	}
	s.curve(a, f.Fitted)
	var tags []tag
	var dots []vg.Point
	for i, g := range f.Groups {
		var pts []vg.Point
		for k := range g.X {
			if shown(g.X[k]) && shown(g.Y[k]) {
				pt := a.at(g.X[k], g.Y[k])
				pts = append(pts, pt)
				if f.Labelled && g.Names != nil {
					tags = append(tags, tag{g.Names[k], pt})
				}
			}
		}
		s.dots(dotOf(i), pts)
		dots = append(dots, rims(pts, dotOf(i).radius)...)
	}
	s.tags(area, tags, nil, dots)
	return s
}

// dotOf is the dot of a group; those after the sixth share one.
func dotOf(i int) dot {
	if i < len(groupDots) {
		return groupDots[i]
	}
	return furtherDot
}

// sideways draws, as one element, the intervals of points along x.
func (s *sheet) sideways(a axes, y, low, high []float64) {
	var lines [][]vg.Point
	for i := range low {
		if shown(y[i]) && shown(low[i]) && shown(high[i]) {
			lines = append(lines, a.clip([]vg.Point{a.at(low[i], y[i]), a.at(high[i], y[i])})...)
		}
	}
	s.lines(whiskerLine, lines)
}
