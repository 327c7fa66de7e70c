package figure

import "gonum.org/v1/plot/vg"

// layout returns a sheet that has, from above: a key, a line for titles, a
// plot of the given height between the given rooms on its left and right, and
// room for an axis with its label. The line for titles begins at area.Max.Y.
func (p paper) layout(k key, leftRoom, rightRoom, height vg.Length) (s *sheet, area vg.Rectangle) {
	bottom := vg.Length(edge/2 + tickRow + labelRow)
	s = p.sheet(bottom + height + lineHeight + 6 + k.height() + edge/2)
	s.key(k, s.Max.Y-edge/2)
	area = rect(edge+leftRoom, bottom, p.width-edge-rightRoom, bottom+height)
	return s, area
}

// planeLayout returns the layout of a plane at equal scales that shows at least
// x and y, as high as these ask for within the bounds; and the ticks of y.
func (p paper) planeLayout(k key, x, y interval, rightRoom, least, most vg.Length) (s *sheet, a axes, marks []tick) {
	room := vg.Length(30)
	for { // the labels' room and the scale depend on each other
		width := p.width - 2*edge - room - rightRoom
		height := min(max(width*vg.Length(y.size()/x.size()), least), most)
		var area vg.Rectangle
		s, area = p.layout(k, room, rightRoom, height)
		a = axes{in: area, x: x, y: y}.equal()
		marks = ticks(a.y, float64(height)/40)
		needs := labelRoom(marks)
		if needs <= room {
			return s, a, marks
		}
		room = needs
	}
}

const titleRise = 9 // of a title above the plot

// title writes what the left axis shows above it.
func (s *sheet) title(area vg.Rectangle, text string) {
	s.text(edge, area.Max.Y+titleRise, left, over, fit(text, s.Max.X-2*edge))
}

// inUnit returns a quantity's name with its unit, if that is known.
func inUnit(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + ", " + unit
}

// sameLength panics unless all lengths are equal.
func sameLength(lengths ...int) {
	for _, n := range lengths {
		if n != lengths[0] {
			panic("figure: slices of unequal length")
		}
	}
}
