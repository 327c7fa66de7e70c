package figure

import (
	"slices"
	"strconv"

	"gonum.org/v1/plot/vg"
)

// SpansOverTake shows what a take is, stretch by stretch, as strips over time:
// settled, searching, or any other word; nothing where the hand rests. A second
// strip may hold the marks of a viewer.
type SpansOverTake struct {
	// Take is the time that is shown, and more if a part lies beyond it.
	Take   Span
	Strips []Strip
}

// Strip is a row of parts.
type Strip struct {
	// Name says whose they are, such as "program" or "viewer".
	Name  string
	Parts []Part
	// Numbered writes into the settled parts their numbers among these, from 1,
	// where there is room.
	Numbered bool
}

// Part is a stretch of a take of one kind: "settled", "searching", or any other
// word. One without a word is named so in the key.
type Part struct {
	Span
	Kind string
}

func (p Part) shown() bool { return shown(p.Start) && shown(p.End) && p.Start < p.End }

// maxKinds is the number of further kinds that are told apart; the parts of
// those that follow are drawn alike.
const maxKinds = 3

func (f SpansOverTake) draw(p paper) *sheet {
	time := none.with(f.Take.Start, f.Take.End)
	parts := 0
	var others []string
	for _, strip := range f.Strips {
		for _, part := range strip.Parts {
			if !part.shown() {
				continue
			}
			time = time.with(part.Start, part.End)
			parts++
			if part.Kind != kindSettled && part.Kind != kindSearching && !slices.Contains(others, part.Kind) {
				others = append(others, part.Kind)
			}
		}
	}
	if parts == 0 {
		return p.nothing("no stretch was judged.")
	}
	kinds := []string{kindSettled, kindSearching}
	if len(others) > maxKinds {
		others[maxKinds-1] = "any other kind"
	}
	kinds = append(kinds, others[:min(len(others), maxKinds)]...)
	style := func(kind string) int {
		if i := slices.Index(kinds, kind); i >= 0 {
			return i
		}
		return len(kinds) - 1
	}
	var entries []entry
	for i, kind := range kinds {
		if i > 1 || slices.ContainsFunc(f.Strips, func(s Strip) bool {
			return slices.ContainsFunc(s.Parts, func(p Part) bool { return p.shown() && p.Kind == kind })
		}) {
			if kind == "" {
				kind = "without a word"
			}
			entries = append(entries, entry{kind, func(s *sheet, in vg.Rectangle) { s.parts([]vg.Rectangle{in}, i) }})
		}
	}

	const (
		height = 26
		row    = height + lineHeight + 6
	)
	n := vg.Length(len(f.Strips))
	s, area := p.layout(p.key(entries...), 2, 2, n*row-lineHeight-6)
	for i, strip := range f.Strips {
		top := area.Max.Y - vg.Length(i)*row
		a := axes{in: rect(area.Min.X, top-height, area.Max.X, top), x: time.padded(0), y: interval{0, 1}}
		s.text(edge, top+5, left, over, fit(strip.Name, p.width-2*edge))
		for _, t := range a.ticksBelow() {
			s.StrokeLines(gridLine, []vg.Point{a.at(t.value, 0), a.at(t.value, 1)})
		}
		var taken []vg.Rectangle // by numbers: parts should not overlap, and may
		byKind := make([][]vg.Rectangle, len(kinds))
		for _, part := range strip.Parts {
			if part.shown() {
				k := style(part.Kind)
				in := rect(a.atX(part.Start), a.in.Min.Y, a.atX(part.End), a.in.Max.Y)
				if in.Size().X > 4 { // sets a part off from one of its kind that follows at once
					in.Min.X, in.Max.X = in.Min.X+0.8, in.Max.X-0.8
				}
				byKind[k] = append(byKind[k], in)
			}
		}
		for k, in := range byKind {
			s.parts(in, k)
		}
		settled := 0
		for _, part := range strip.Parts {
			if part.Kind != kindSettled {
				continue
			}
			settled++
			in := rect(a.atX(part.Start), a.in.Min.Y, a.atX(part.End), a.in.Max.Y)
			hidden := slices.ContainsFunc(taken, func(o vg.Rectangle) bool { return overlap(o, in) })
			label := strconv.Itoa(settled)
			if strip.Numbered && part.shown() && !hidden && slack*textWidth(label)+4 <= in.Size().X {
				s.number(in, label)
				taken = append(taken, in)
			}
		}
		s.StrokeLines(axisLine, []vg.Point{at(area.Min.X, a.in.Min.Y), at(area.Max.X, a.in.Min.Y)})
		if i == len(f.Strips)-1 {
			s.below(a, a.ticksBelow(), "time, s")
		}
	}
	return s
}

const (
	kindSettled   = "settled"
	kindSearching = "searching"
)

// number writes a label into the middle of a part, on white.
func (s *sheet) number(in vg.Rectangle, label string) {
	x, y := (in.Min.X+in.Max.X)/2, in.Min.Y+in.Size().Y*0.45
	half := textWidth(label)/2 + 1
	s.FillPolygon(white, corners(rect(x-half, y-ascent/2-2, x+half, y+ascent/2+2)))
	s.text(x, y, center, middle, label)
}

// parts draws stretches of one kind: 0 is settled, full and ruled; 1 searching,
// an outline of half the height; others are hatched.
func (s *sheet) parts(all []vg.Rectangle, kind int) {
	if kind == 0 {
		s.shade(shade{barFill, blue}, all...)
		return
	}
	var edges, hatch [][]vg.Point
	const step = 5
	for _, in := range all {
		if kind == 1 {
			c := corners(rect(in.Min.X, in.Min.Y, in.Max.X, in.Min.Y+in.Size().Y*0.55))
			edges = append(edges, append(c, c[0]))
			continue
		}
		for x := in.Min.X + step/2; kind != 3 && x < in.Max.X; x += step {
			hatch = append(hatch, []vg.Point{at(x, in.Min.Y), at(x, in.Max.Y)})
		}
		for y := in.Min.Y + step/2; kind != 2 && y < in.Max.Y; y += step {
			hatch = append(hatch, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
		}
		c := corners(in)
		hatch = append(hatch, append(c, c[0]))
	}
	s.lines(stroke(vermillion, 1.2), edges)
	s.lines(stroke(dark, 1), hatch)
}
