package figure

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// runs calls do with the bounds of each longest run of samples whose x and y
// can be shown.
func runs(x, y []float64, do func(from, to int)) {
	from := 0
	for i := range x {
		if !shown(x[i]) || !shown(y[i]) {
			if from < i {
				do(from, i)
			}
			from = i + 1
		}
	}
	if from < len(x) {
		do(from, len(x))
	}
}

// pairs returns the samples whose x and y can be shown, as columns.
func pairs(x, y []float64) (xs, ys []float64) {
	xs, ys = make([]float64, 0, len(x)), make([]float64, 0, len(x))
	runs(x, y, func(from, to int) {
		xs, ys = append(xs, x[from:to]...), append(ys, y[from:to]...)
	})
	return xs, ys
}

// columns appends to dst the indices of the samples to draw of a run whose x
// does not decrease: of those in one column of the given width, the least y
// and the greatest, in their order; and the run's first and last. offset is
// added to each index.
func columns(dst []int, x, y []float64, width float64, offset int) []int {
	if len(x) == 0 {
		return dst
	}
	add := func(i int) {
		if i += offset; len(dst) == 0 || dst[len(dst)-1] < i {
			dst = append(dst, i)
		}
	}
	add(0)
	lo, hi := 0, 0
	column := math.Floor(x[0] / width)
	for i := 1; i < len(x); i++ {
		if c := math.Floor(x[i] / width); c != column {
			add(min(lo, hi))
			add(max(lo, hi))
			lo, hi, column = i, i, c
			continue
		}
		if y[i] < y[lo] {
			lo = i
		}
		if y[i] > y[hi] {
			hi = i
		}
	}
	add(min(lo, hi))
	add(max(lo, hi))
	add(len(x) - 1)
	return dst
}

// column is the width, in units, of which at most two samples are drawn.
const column = 1.25

// line draws y over x, where x does not decrease, broken at missing samples.
func (s *sheet) line(a axes, x, y []float64, style draw.LineStyle) {
	width := column * a.x.size() / float64(a.in.Size().X)
	var kept []int
	var lines [][]vg.Point
	runs(x, y, func(from, to int) {
		kept = columns(kept[:0], x[from:to], y[from:to], width, from)
		pts := make([]vg.Point, len(kept))
		for k, i := range kept {
			pts[k] = a.at(x[i], y[i])
		}
		lines = append(lines, pts)
	})
	s.lines(style, lines)
}

// lines draws open lines as one element. A line of one point becomes a short
// dash.
func (s *sheet) lines(style draw.LineStyle, lines [][]vg.Point) {
	var p vg.Path
	for _, l := range lines {
		if len(l) == 1 {
			l = []vg.Point{at(l[0].X-0.5, l[0].Y), at(l[0].X+0.5, l[0].Y)}
		}
		for i, pt := range l {
			switch {
			case i == 0:
				p.Move(pt)
			case pt != l[i-1]:
				p.Line(pt)
			}
		}
	}
	if len(p) > 0 {
		s.SetLineStyle(style)
		s.on.Stroke(p)
	}
}
