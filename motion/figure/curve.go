package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// Curve is a line with the band of its interval.
type Curve struct {
	// X do not decrease. Y is the line there; Low and High are its bounds, or
	// nil where there is no band.
	X, Y, Low, High []float64
}

// check panics if the columns are of unequal length.
func (c Curve) check() {
	sameLength(len(c.X), len(c.Y))
	if c.Low != nil || c.High != nil {
		sameLength(len(c.X), len(c.Low), len(c.High))
	}
}

// seen reports whether any of the line can be drawn.
func (c Curve) seen() bool {
	x, _ := pairs(c.X, c.Y)
	return len(x) > 0
}

// within returns the line, and the bounds of its band as far as they lie within
// twice the size of a scale about it: a band that is wide at its ends must not
// flatten the rest.
func (c Curve) within(scale interval) []float64 {
	x, y := pairs(c.X, c.Y)
	if len(x) == 0 {
		return nil
	}
	all := bulk(y)
	reach := interval{min(scale.lo, all.lo), max(scale.hi, all.hi)}.padded(0.5)
	out := []float64{all.lo, all.hi}
	for _, v := range slices.Concat(c.Low, c.High) {
		if shown(v) {
			out = append(out, reach.clamp(v))
		}
	}
	return out
}

// entry is the curve's entry in the key: the line on its band.
func (c Curve) entry(text string) entry {
	banded := false
	runs(c.Low, c.High, func(int, int) { banded = true })
	if banded {
		text += ", with its interval"
	}
	return entry{text, func(s *sheet, in vg.Rectangle) {
		if banded {
			s.FillPolygon(noise, corners(in))
		}
		y := (in.Min.Y + in.Max.Y) / 2
		s.StrokeLines(fitted, []vg.Point{at(in.Min.X, y), at(in.Max.X, y)})
	}}
}

// curveColumn is the width of a step of a curve, in units.
const curveColumn = 3

// steps returns the samples of a run of a curve that are drawn: one in a narrow
// column, and the last.
func (a axes) steps(x []float64) []int {
	width := curveColumn * a.x.size() / float64(a.in.Size().X)
	var kept []int
	last := math.Inf(-1)
	for i := range x {
		if at := math.Floor((x[i] - a.x.lo) / width); at > last || i == len(x)-1 {
			kept, last = append(kept, i), at
		}
	}
	return kept
}

// smooth returns y over x as lines that are broken at missing samples.
func (a axes) smooth(x, y []float64) (lines [][]vg.Point) {
	a.runs(x, y, func(x, y []float64) {
		var line []vg.Point
		for _, i := range a.steps(x) {
			line = append(line, a.at(x[i], y[i]))
		}
		lines = append(lines, line)
	})
	return lines
}

// band draws the band of a curve, broken where a bound is missing.
func (s *sheet) band(a axes, c Curve) {
	if c.Low == nil {
		return
	}
	known, low, high := make([]float64, len(c.X)), slices.Clone(c.Low), slices.Clone(c.High)
	for i, x := range c.X {
		known[i] = x
		if !shown(low[i]) || !shown(high[i]) {
			known[i] = math.NaN()
		}
		low[i], high[i] = a.y.clamp(low[i]), a.y.clamp(high[i])
	}
	var p vg.Path
	upper := a.smooth(known, high)
	for k, line := range a.smooth(known, low) {
		p.Move(line[0])
		for _, pt := range line[1:] {
			p.Line(pt)
		}
		for _, pt := range slices.Backward(upper[k]) {
			p.Line(pt)
		}
		p.Close()
	}
	if len(p) > 0 {
		s.SetColor(noise)
		s.on.Fill(p)
	}
}

// curve draws the line of a curve, with a white rim that sets it off from points,
// broken where a sample is missing.
func (s *sheet) curve(a axes, c Curve) {
	var lines [][]vg.Point
	for _, line := range a.smooth(c.X, c.Y) {
		lines = append(lines, a.clip(line)...)
	}
	s.lines(stroke(white, 3.2), lines)
	s.lines(fitted, lines)
}
