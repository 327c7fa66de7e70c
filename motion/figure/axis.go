package figure

import "gonum.org/v1/plot/vg"

const (
	tickLength = 4
	tickRow    = lineHeight + 3 // of labels of ticks below an axis
	labelRow   = lineHeight + 3 // of the label below these
)

// tickEvery is about how many units of an axis have a tick.
const tickEvery = 70

// ticksBelow returns the ticks of the lower axis of a, as many as its width
// bears.
func (a axes) ticksBelow() []tick { return ticks(a.x, max(2, float64(a.in.Size().X)/tickEvery)) }

// below draws the axis along the lower side of a with its ticks, and a label
// under it unless that is empty: a row of the sheet each. The label of a tick near
// an edge of the sheet is moved inward.
func (s *sheet) below(a axes, marks []tick, label string) {
	y := a.in.Min.Y
	s.StrokeLines(axisLine, []vg.Point{at(a.in.Min.X, y), at(a.in.Max.X, y)})
	clear := vg.Length(0) // the right end of the last label
	for _, t := range marks {
		x := a.atX(t.value)
		s.StrokeLines(axisLine, []vg.Point{at(x, y), at(x, y-tickLength)})
		w := textWidth(t.label)
		from := min(max(x-w/2, 0), s.Max.X-1-slack*w)
		if from < clear {
			continue
		}
		clear = from + slack*w + textSize/2
		s.text(from, y-tickLength-6, left, under, t.label)
	}
	if label = fit(label, s.Max.X-2*edge); label != "" {
		w := textWidth(label)
		x := min(a.in.Min.X+(a.in.Size().X-w)/2, s.Max.X-edge-slack*w)
		s.text(max(x, edge), y-tickRow-4, left, under, label)
	}
}

// beside draws a light line across a and a label on its left for each tick.
func (s *sheet) beside(a axes, marks []tick) {
	for _, t := range marks {
		y := a.atY(t.value)
		s.StrokeLines(gridLine, []vg.Point{at(a.in.Min.X, y), at(a.in.Max.X, y)})
		s.text(a.in.Min.X-5, y, right, middle, t.label)
	}
	s.StrokeLines(axisLine, []vg.Point{at(a.in.Min.X, a.in.Min.Y), at(a.in.Min.X, a.in.Max.Y)})
}

// labelRoom returns the width that the labels of ticks take.
func labelRoom(marks []tick) vg.Length {
	var room vg.Length
	for _, t := range marks {
		room = max(room, textWidth(t.label))
	}
	return room + 5
}

// right draws a second axis on the right side of a, with its title above.
func (s *sheet) right(a axes, marks []tick, title string) {
	x := a.in.Max.X
	for _, t := range marks {
		y := a.atY(t.value)
		s.StrokeLines(axisLine, []vg.Point{at(x, y), at(x+tickLength, y)})
		s.text(x+tickLength+3, y, left, middle, t.label)
	}
	s.StrokeLines(axisLine, []vg.Point{at(x, a.in.Min.Y), at(x, a.in.Max.Y)})
	s.text(s.Max.X-edge-(slack-1)*textWidth(title), a.in.Max.Y+titleRise, right, over, title)
}
