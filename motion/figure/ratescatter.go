package figure

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"
)

// RateAgainstScatter shows the way of one player over takes or days: the rate
// against how much the strokes scatter, joined in order of time, from light to
// dark. Fast first and even later runs along the upper side, even first and fast
// later along the lower one.
type RateAgainstScatter struct {
	// Dates, in order of time, label the first and the last point; a zero date
	// is not written.
	Dates []time.Time
	// Rate is in notes per second.
	Rate, Scatter []float64
	// Name says what scatters, such as "scatter of durations".
	Name, Unit string
}

// way is the radius of a take on the way.
const way = 4.5

func (f RateAgainstScatter) draw(p paper) *sheet {
	sameLength(len(f.Dates), len(f.Rate), len(f.Scatter))
	var kept []int
	x, y := none, none
	for i := range f.Rate {
		if shown(f.Rate[i]) && shown(f.Scatter[i]) {
			kept = append(kept, i)
			x, y = x.with(f.Rate[i]), y.with(f.Scatter[i])
		}
	}
	if len(kept) == 0 {
		return p.nothing("no take has both a rate and a scatter.")
	}
	x, y = x.padded(0.1), y.padded(0.15)

	k := p.key(
		entry{"first to last take", func(s *sheet, in vg.Rectangle) {
			mid := (in.Min.Y + in.Max.Y) / 2
			s.StrokeLines(axisLine, []vg.Point{at(in.Min.X+3, mid), at(in.Max.X-3, mid)})
			s.dots(dot{color: ramp[0], radius: way}, []vg.Point{at(in.Min.X+3, mid)})
			s.dots(dot{color: dark, radius: way, open: true}, []vg.Point{at(in.Min.X+3, mid)})
			s.dots(dot{color: ramp[len(ramp)-1], radius: way}, []vg.Point{at(in.Max.X-3, mid)})
		}},
	)
	marks := ticks(y, 5)
	s, area := p.layout(k, labelRoom(marks), 4, 230)
	a := axes{in: area, x: x, y: y}
	s.title(area, inUnit(f.Name, f.Unit))
	s.beside(a, marks)
	s.below(a, a.ticksBelow(), "notes per second")

	pts := make([]vg.Point, len(kept))
	for k, i := range kept {
		pts[k] = a.at(f.Rate[i], f.Scatter[i])
	}
	s.lines(axisLine, [][]vg.Point{pts})
	byStep := make([][]vg.Point, len(ramp))
	for k, pt := range pts {
		j := 0
		if len(pts) > 1 {
			j = int(math.Round(float64(k) / float64(len(pts)-1) * float64(len(ramp)-1)))
		}
		byStep[j] = append(byStep[j], pt)
	}
	for j, step := range byStep {
		s.dots(dot{color: ramp[j], radius: way}, step)
	}
	s.dots(dot{color: dark, radius: way, open: true}, pts)

	var ends []tag
	for _, k := range slices.Compact([]int{0, len(pts) - 1}) {
		if d := f.Dates[kept[k]]; !d.IsZero() {
			ends = append(ends, tag{d.Format(time.DateOnly), pts[k]})
		}
	}
	s.tags(area, ends, along([][]vg.Point{pts}), rims(pts, way))
	return s
}
