package figure

import (
	"gonum.org/v1/plot/vg"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Share is the part of the tip's travel that one joint makes, or several that
// are not told apart.
type Share struct {
	Name string
	// Value is that over the take. Shares add up to 1; one may be negative,
	// where a joint works against the others.
	Value estimate.Value[float64]
	// Strokes is the share in each stroke; Shares does without.
	Strokes []float64
}

// text is the share with its interval, in per cent.
func (s Share) text() string {
	v := s.Value
	switch {
	case !v.Known() || !shown(v.Value):
		return "not known"
	case !shown(v.Low) || !shown(v.High):
		return number(100*v.Value, 0) + " %"
	}
	return number(100*v.Value, 0) + " % (" + number(100*v.Low, 0) + " to " + number(100*v.High, 0) + " %)"
}

// shareBounds returns the values of shares that can be shown, with their intervals.
func shareBounds(shares []Share) []float64 {
	var out []float64
	for _, s := range shares {
		if s.Value.Known() {
			out = append(out, s.Value.Value, s.Value.Low, s.Value.High)
		}
	}
	return out
}

// headings are the names of shares, broken into lines that leave room for their
// values, and the greatest number of lines.
func (p paper) headings(shares []Share) (names [][]string, most int) {
	for _, sh := range shares {
		lines := wrap(sh.Name, p.width-2*edge-slack*textWidth(sh.text())-entryGap)
		names, most = append(names, lines), max(most, len(lines))
	}
	return names, max(most, 1)
}

// heading writes the name of a share on the left, its last line at y, and its
// value on the right.
func (s *sheet) heading(name []string, sh Share, y vg.Length) {
	for i, line := range name {
		s.text(edge, y+vg.Length(len(name)-1-i)*lineHeight, left, over, line)
	}
	text := sh.text()
	s.text(s.Max.X-edge-slack*textWidth(text), y, left, over, text)
}

// Shares shows what moves the tip over a take: a bar for each joint, with its
// interval.
type Shares struct {
	Shares []Share
}

func (f Shares) draw(p paper) *sheet {
	scale := none.with(shareBounds(f.Shares)...)
	if scale.empty() {
		return p.nothing("which joint moves the tip is not known.")
	}
	scale = scale.with(0, 1)
	if scale.lo < 0 || scale.hi > 1 {
		scale = scale.padded(0.03)
	}
	bar := entry{"share over the take", func(s *sheet, in vg.Rectangle) { s.bar(in) }}
	spread := entry{"its interval", func(s *sheet, in vg.Rectangle) {
		y := (in.Min.Y + in.Max.Y) / 2
		s.whisker(in.Min.X+2, in.Max.X-2, y)
	}}
	k := p.key(bar, spread)
	names, most := p.headings(f.Shares)
	const thick = 14
	head := vg.Length(most) * lineHeight
	row := head + thick + 8
	bottom := vg.Length(edge/2 + tickRow + labelRow)
	s := p.sheet(bottom + vg.Length(len(f.Shares))*row + k.height() + edge)
	s.key(k, s.Max.Y-edge/2)
	top := bottom + vg.Length(len(f.Shares))*row
	a := axes{in: rect(edge+10, bottom, p.width-edge-10, top), x: scale, y: interval{0, 1}}
	for i, sh := range f.Shares {
		y := top - vg.Length(i)*row
		s.heading(names[i], sh, y-head+5)
		in := rect(a.in.Min.X, y-head-thick, a.in.Max.X, y-head)
		for _, t := range a.ticksBelow() {
			x := a.atX(t.value)
			s.StrokeLines(gridLine, []vg.Point{at(x, in.Min.Y-3), at(x, in.Max.Y)})
		}
		if v := sh.Value; v.Known() && shown(v.Value) {
			from, to := a.atX(min(0, v.Value)), a.atX(max(0, v.Value))
			s.bar(rect(from, in.Min.Y, to, in.Max.Y))
			if shown(v.Low) && shown(v.High) {
				s.whisker(a.atX(v.Low), a.atX(v.High), (in.Min.Y+in.Max.Y)/2)
			}
		}
		s.StrokeLines(axisLine, []vg.Point{at(a.atX(0), in.Min.Y-3), at(a.atX(0), in.Max.Y)})
	}
	s.below(a, a.ticksBelow(), "share of the tip's travel")
	return s
}

// bar draws a bar of a share.
func (s *sheet) bar(in vg.Rectangle) {
	s.FillPolygon(barFill, corners(in))
	c := corners(in)
	s.StrokeLines(stroke(blue, 1), append(c, c[0]))
}

// whisker draws an interval that lies along a row, with its ends.
func (s *sheet) whisker(from, to, y vg.Length) {
	s.lines(stroke(black, 1.6), [][]vg.Point{
		{at(from, y), at(to, y)},
		{at(from, y-4), at(from, y+4)},
		{at(to, y-4), at(to, y+4)},
	})
}

// DriveOverTime shows what moves the tip, stroke by stroke: a row for each joint,
// all at one scale, with the share over the take across.
type DriveOverTime struct {
	// T are the middles of the strokes in seconds, not decreasing.
	T []float64
	// Shares hold a share for each of T.
	Shares []Share
	// Settled are the settled spans.
	Settled []Span
}

func (f DriveOverTime) draw(p paper) *sheet {
	time, scale := none.with(f.T...), none
	var all []float64
	for _, sh := range f.Shares {
		sameLength(len(f.T), len(sh.Strokes))
		if b := bulk(sh.Strokes); !b.empty() {
			scale = scale.with(b.lo, b.hi)
		}
		all = append(all, sh.Strokes...)
	}
	if time.empty() || scale.empty() {
		return p.nothing("which joint moves the tip is not known stroke by stroke.")
	}
	scale = scale.with(shareBounds(f.Shares)...).with(0).padded(0.06)

	entries := append([]entry{dotEntry("share in one stroke", onePoint)}, beyondEntry(all, scale, onePoint)...)
	entries = append(entries, entry{"over the take, with its interval", func(s *sheet, in vg.Rectangle) {
		s.FillPolygon(noise, corners(in))
		y := (in.Min.Y + in.Max.Y) / 2
		s.StrokeLines(takeLine, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
	}})
	if len(f.Settled) > 0 {
		entries = append(entries, bandEntry("settled", settledShade))
	}
	names, most := p.headings(f.Shares)
	const height = 62
	head := vg.Length(most)*lineHeight + titleRise
	marks := ticks(scale, 3)
	n := vg.Length(len(f.Shares))
	s, area := p.layout(p.key(entries...), labelRoom(marks), 0, n*(height+head)-lineHeight-titleRise)
	for i, sh := range f.Shares {
		top := area.Max.Y - head + lineHeight + titleRise - vg.Length(i)*(height+head)
		a := axes{in: rect(area.Min.X, top-height, area.Max.X, top), x: time.padded(0.01), y: scale}
		s.heading(names[i], sh, top+titleRise)
		s.spans(a, f.Settled, settledShade)
		v := sh.Value
		if v.Known() && shown(v.Low) && shown(v.High) {
			s.FillPolygon(noise, corners(rect(a.in.Min.X, a.atY(a.y.clamp(v.Low)), a.in.Max.X, a.atY(a.y.clamp(v.High)))))
		}
		s.beside(a, marks)
		s.series(a, f.T, sh.Strokes, onePoint)
		if v.Known() && shown(v.Value) {
			y := a.atY(v.Value)
			s.StrokeLines(takeLine, []vg.Point{at(a.in.Min.X, y), at(a.in.Max.X, y)})
		}
		if i == len(f.Shares)-1 {
			s.below(a, a.ticksBelow(), "time, s")
		}
	}
	return s
}
