package figure

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// entry is a line of the key: what a mark stands for. Its sample is drawn in
// the given rectangle; the second line of a long text has none.
type entry struct {
	text   string
	sample func(s *sheet, in vg.Rectangle)
}

const (
	sampleWidth = 24
	entryGap    = 18
)

// key is the entries as they break into rows.
type key [][]entry

// key breaks entries into rows that fit between the edges of the sheet, and
// texts that are wider into lines.
func (p paper) key(entries ...entry) key {
	var rows key
	free := vg.Length(0)
	for _, e := range entries {
		for i, line := range wrap(e.text, p.width-2*edge-sampleWidth-6) {
			w := sampleWidth + 6 + slack*textWidth(line)
			if len(rows) == 0 || i > 0 || w > free {
				rows = append(rows, nil)
				free = p.width - 2*edge
			}
			part := entry{text: line}
			if i == 0 {
				part.sample = e.sample
			}
			rows[len(rows)-1] = append(rows[len(rows)-1], part)
			free -= w + entryGap
		}
	}
	return rows
}

func (k key) height() vg.Length { return vg.Length(len(k)) * (lineHeight + 2) }

// key draws k with its upper edge at y.
func (s *sheet) key(k key, y vg.Length) {
	for _, row := range k {
		y -= lineHeight + 2
		x := vg.Length(edge)
		for _, e := range row {
			if e.sample != nil {
				e.sample(s, rect(x, y+2, x+sampleWidth, y+lineHeight-2))
			}
			x += sampleWidth + 6
			s.text(x, y+lineHeight/2, left, middle, e.text)
			x += slack*textWidth(e.text) + entryGap
		}
	}
}

// lineEntry is the entry of a line.
func lineEntry(text string, style draw.LineStyle) entry {
	return entry{text, func(s *sheet, in vg.Rectangle) {
		y := (in.Min.Y + in.Max.Y) / 2
		s.StrokeLines(style, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
	}}
}

// waveEntry is the entry of a line that goes up and down on a shade.
func waveEntry(text string, style draw.LineStyle, behind shade) entry {
	return entry{text, func(s *sheet, in vg.Rectangle) {
		s.shade(behind, in)
		var pts []vg.Point
		for i := range 7 {
			y := in.Min.Y + 1
			if i%2 == 1 {
				y = in.Max.Y - 1
			}
			pts = append(pts, at(in.Min.X+vg.Length(i)*sampleWidth/6, y))
		}
		s.StrokeLines(style, pts)
	}}
}

// dotEntry is the entry of a dot.
func dotEntry(text string, d dot) entry {
	return entry{text, func(s *sheet, in vg.Rectangle) {
		s.dots(d, []vg.Point{at((in.Min.X+in.Max.X)/2, (in.Min.Y+in.Max.Y)/2)})
	}}
}

// bandEntry is the entry of a shade.
func bandEntry(text string, b shade) entry {
	return entry{text, func(s *sheet, in vg.Rectangle) { s.shade(b, in) }}
}
