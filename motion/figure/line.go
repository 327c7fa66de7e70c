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

// column is the width, in units, of which at most two samples are drawn.
const column = 1.25

// runs calls do with the samples that can be shown of each run as a shows it, where x
// does not decrease: a gap narrower than a column cannot be seen and ends none.
func (a axes) runs(x, y []float64, do func(x, y []float64)) {
	width := column * a.x.size() / float64(a.in.Size().X)
	var xs, ys []float64
	runs(x, y, func(from, to int) {
		if n := len(xs); n > 0 && x[from]-xs[n-1] >= width {
			do(xs, ys)
			xs, ys = xs[:0], ys[:0]
		}
		xs, ys = append(xs, x[from:to]...), append(ys, y[from:to]...)
	})
	if len(xs) > 0 {
		do(xs, ys)
	}
}

// columns appends to dst the indices of the samples to draw of a run whose x
// does not decrease: of those in one column of the given width, the least y
// and the greatest, in their order; and the run's first and last.
func columns(dst []int, x, y []float64, width float64) []int {
	if len(x) == 0 {
		return dst
	}
	add := func(i int) {
		if len(dst) == 0 || dst[len(dst)-1] < i {
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

// line returns y over x, where x does not decrease, as lines broken at missing
// samples.
func (a axes) line(x, y []float64) (lines [][]vg.Point) {
	width := column * a.x.size() / float64(a.in.Size().X)
	var kept []int
	a.runs(x, y, func(x, y []float64) {
		kept = columns(kept[:0], x, y, width)
		pts := make([]vg.Point, len(kept))
		for k, i := range kept {
			pts[k] = a.at(x[i], y[i])
		}
		lines = append(lines, pts)
	})
	return lines
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
