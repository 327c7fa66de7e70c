package figure

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/plectrace/plectrace/variability/robust"
)

// AngleOverTime shows the path angle of each stroke over a take. Where the
// intervals are wide, single strokes say little: a band of the intervals then
// stands in their place, with the middle of the strokes in it.
type AngleOverTime struct {
	// T are the middles of the strokes in seconds, not decreasing; Angle
	// their path angles in degrees; Low and High the bounds of these, or nil.
	T, Angle, Low, High []float64
	// Level is that of Low and High, such as 0.95, for the key. Zero means that it is
	// not stated.
	Level float64
	// Settled are the settled spans.
	Settled []Span
	// Name says which angle it is. Empty means "path angle".
	Name string
	// BandOver is the half-width of the typical interval, in degrees, beyond
	// which a band is drawn. Zero means 1; negative means never.
	BandOver float64
}

// bandColumn is the width of a step of the band, in units.
const bandColumn = 6

func (f AngleOverTime) draw(p paper) *sheet {
	name := f.Name
	if name == "" {
		name = "path angle"
	}
	return f.titled(p, inUnit(name, "degrees"), "no stroke has a "+name+".")
}

// CarryOverTime shows the carry of each stroke over a take: how far a point of
// the hand travels in step with the tip, as a share of the tip's travel.
type CarryOverTime struct {
	// T are the middles of the strokes in seconds, not decreasing; Carry the
	// carry of each.
	T, Carry []float64
	// Settled are the settled spans.
	Settled []Span
}

func (f CarryOverTime) draw(p paper) *sheet {
	return AngleOverTime{T: f.T, Angle: f.Carry, Settled: f.Settled}.titled(p, "carry, as a share of the tip's travel", "no stroke has a carry.")
}

// titled draws a quantity of the strokes under that title, or says that there is
// none.
func (f AngleOverTime) titled(p paper, title, absent string) *sheet {
	sameLength(len(f.T), len(f.Angle))
	if f.Low != nil || f.High != nil {
		sameLength(len(f.T), len(f.Low), len(f.High))
	}
	time := none.with(f.T...)
	angle := bulk(f.Angle)
	if time.empty() || angle.empty() {
		return p.nothing(absent)
	}
	wide := f.wide()
	if wide {
		angle = bulk(f.Angle, f.Low, f.High)
	}
	angle = angle.padded(0.12)

	entries := append([]entry{dotEntry("one stroke", onePoint)}, beyondEntry(f.Angle, angle, onePoint)...)
	if wide {
		entries = []entry{
			bandEntry(atLevel(f.Level, "interval of a stroke"), shade{noise, noise}),
			lineEntry("middle of the strokes", fitted),
		}
	}
	if len(f.Settled) > 0 {
		entries = append(entries, bandEntry("settled", settledShade))
	}
	leftTicks := ticks(angle, 5)
	s, area := p.layout(p.key(entries...), labelRoom(leftTicks), 0, 190)
	a := axes{in: area, x: time.padded(0.01), y: angle}

	s.spans(a, f.Settled, settledShade)
	s.beside(a, leftTicks)
	s.title(area, title)
	s.below(a, a.ticksBelow(), "time, s")
	if wide {
		s.intervals(a, f.T, f.Angle, f.Low, f.High, fitted)
	} else {
		s.series(a, f.T, f.Angle, onePoint)
	}
	return s
}

// atLevel is text with the level of an interval before it, in per cent, where that is
// known.
func atLevel(level float64, text string) string {
	if !(0 < level && level < 1) {
		return text
	}
	return strconv.FormatFloat(100*level, 'g', 4, 64) + " % " + text
}

// wide reports whether the intervals call for a band.
func (f AngleOverTime) wide() bool {
	limit := f.BandOver
	if limit == 0 {
		limit = 1
	}
	var halves []float64
	for i := range f.Low {
		if h := (f.High[i] - f.Low[i]) / 2; shown(h) {
			halves = append(halves, h)
		}
	}
	return limit > 0 && len(halves) > 0 && robust.MedianInPlace(halves) > limit
}

// intervals draws, for each column of strokes, the band between their middle
// low and middle high, and the line of their middles; broken where a column
// holds no stroke and none lies within a second.
func (s *sheet) intervals(a axes, t, mid, low, high []float64, style draw.LineStyle) {
	width := bandColumn * a.x.size() / float64(a.in.Size().X)
	reach := math.Max(1, 1.5*width)
	var edges, back, middles []vg.Point
	last := math.Inf(-1)
	flush := func() {
		if len(middles) > 0 {
			for i := len(back) - 1; i >= 0; i-- {
				edges = append(edges, back[i])
			}
			s.FillPolygon(noise, edges)
			s.lines(style, [][]vg.Point{middles})
		}
		edges, back, middles = nil, nil, nil
	}
	for from := 0; from < len(t); {
		if !shown(t[from]) {
			from++
			continue
		}
		to := from + 1
		column := math.Floor((t[from] - a.x.lo) / width)
		for to < len(t) && math.Floor((t[to]-a.x.lo)/width) == column {
			to++
		}
		m, l, h := medianShown(mid[from:to]), medianShown(low[from:to]), medianShown(high[from:to])
		at := medianShown(t[from:to])
		from = to
		if math.IsNaN(m + l + h) {
			continue
		}
		if at-last > reach {
			flush()
		}
		last = at
		edges = append(edges, a.at(at, a.y.clamp(l)))
		back = append(back, a.at(at, a.y.clamp(h)))
		middles = append(middles, a.at(at, a.y.clamp(m)))
	}
	flush()
}

// medianShown returns the median of the values that can be shown, NaN if there
// is none.
func medianShown(values []float64) float64 {
	var kept []float64
	for _, v := range values {
		if shown(v) {
			kept = append(kept, v)
		}
	}
	return robust.MedianInPlace(kept)
}
