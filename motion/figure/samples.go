package figure

import "slices"

// SamplesOverTime shows columns of numbers over time as they were recorded, sample
// by sample: each as dots, or as a line. All samples are on the scale.
type SamplesOverTime struct {
	Columns []Samples
	// Name and Unit say what is shown, such as "tip_x" and "px".
	Name, Unit string
}

// Samples are a column of numbers over time.
type Samples struct {
	// Name is that of the column in the key.
	Name string
	// T are the times in seconds, not decreasing; Y the numbers.
	T, Y []float64
	// Line draws a line from each sample to the next, broken at missing ones, in
	// place of dots.
	Line bool
}

func (f SamplesOverTime) draw(p paper) *sheet {
	time, value := none, none
	for _, c := range f.Columns {
		sameLength(len(c.T), len(c.Y))
		t, y := pairs(c.T, c.Y)
		time, value = time.with(t...), value.with(y...)
	}
	if time.empty() {
		return p.nothing("no sample has both a time and a value.")
	}
	value = value.padded(0.08)

	var entries []entry
	dots := make([]dot, len(f.Columns))
	n := 0
	for i, c := range f.Columns {
		switch {
		case c.Line:
			entries = append(entries, lineEntry(c.Name, sampleLine))
		default:
			dots[i] = sampleDot(n)
			n++
			if n > len(groupDots)+1 {
				continue
			}
			name := c.Name
			if n > len(groupDots) {
				name = "further columns"
			}
			entries = append(entries, dotEntry(name, dots[i]))
		}
	}
	marks := ticks(value, 5)
	s, area := p.layout(p.key(entries...), labelRoom(marks), 4, 220)
	a := axes{in: area, x: time.padded(0.01), y: value}
	s.title(area, inUnit(f.Name, f.Unit))
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), "time, s")
	for _, c := range f.Columns {
		if c.Line {
			s.lines(sampleLine, a.line(c.T, c.Y))
		}
	}
	for i, c := range slices.Backward(f.Columns) { // the first on top
		if !c.Line {
			s.series(a, c.T, c.Y, dots[i])
		}
	}
	return s
}

// sampleDot is the dot of the i-th column of samples: that of a group, but smaller,
// as samples are many.
func sampleDot(i int) dot {
	d := dotOf(i)
	d.radius *= 0.7
	return d
}
