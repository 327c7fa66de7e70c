package progress

import (
	"math"

	"github.com/plectrace/plectrace/variability/estimate"
)

// jointPart is a stretch of a take on which each of two viewers says one kind.
type jointPart struct {
	start, end float64
	kinds      [2]string
}

func (p jointPart) length() float64 { return p.end - p.start }

// jointTake is what two viewers say of one take.
type jointTake struct {
	parts []jointPart
	// spans are the marks of each viewer, those of one kind that touch joined.
	spans                 [2][]Mark
	onlyFirst, onlySecond float64
}

// joinMarks lays the marks of two viewers over one another.
func joinMarks(first, second []Mark) (jointTake, error) {
	var t jointTake
	for i, marks := range [][]Mark{first, second} {
		marks, err := inOrder(marks)
		if err != nil {
			return t, err
		}
		for _, m := range marks {
			if n := len(t.spans[i]); n > 0 && t.spans[i][n-1].Kind == m.Kind && t.spans[i][n-1].End == m.Start {
				t.spans[i][n-1].End = m.End
				continue
			}
			t.spans[i] = append(t.spans[i], m)
		}
	}
	a, b := t.spans[0], t.spans[1]
	for i, j := 0, 0; i < len(a) && j < len(b); {
		start, end := math.Max(a[i].Start, b[j].Start), math.Min(a[i].End, b[j].End)
		if end > start {
			t.parts = append(t.parts, jointPart{start, end, [2]string{a[i].Kind, b[j].Kind}})
		}
		if a[i].End <= b[j].End {
			i++
		} else {
			j++
		}
	}
	both := 0.0
	for _, p := range t.parts {
		both += p.length()
	}
	// What is left of a sum of the same lengths may be a rounding error.
	t.onlyFirst, t.onlySecond = unmarked(a, both), unmarked(b, both)
	return t, nil
}

// unmarked returns the time of marks beyond the given one.
func unmarked(marks []Mark, both float64) float64 {
	sum := 0.0
	for _, m := range marks {
		sum += m.End - m.Start
	}
	if sum-both < 1e-9*sum {
		return 0
	}
	return sum - both
}

// bounds matches the spans of the two viewers and fills in by how much their
// beginnings and ends differ.
func (g *Agreement) bounds(takes []jointTake) {
	var starts, ends []float64
	for _, t := range takes {
		a, b := t.spans[0], t.spans[1]
		for i, m := range a {
			j := mostOverlap(m, b)
			if j < 0 || mostOverlap(b[j], a) != i {
				continue
			}
			g.Matched++
			if i > 0 && j > 0 {
				starts = append(starts, b[j].Start-m.Start)
			}
			if i < len(a)-1 && j < len(b)-1 {
				ends = append(ends, b[j].End-m.End)
			}
		}
	}
	g.Starts, g.StartsApart = apart("beginnings", starts)
	g.Ends, g.EndsApart = apart("ends", ends)
}

// mostOverlap returns the mark of the kind of m that overlaps it most, -1 where
// none does.
func mostOverlap(m Mark, others []Mark) int {
	best, most := -1, 0.0
	for i, o := range others {
		if over := math.Min(m.End, o.End) - math.Max(m.Start, o.Start); o.Kind == m.Kind && over > most {
			best, most = i, over
		}
	}
	return best
}

// apart returns the median of differences, and that of their sizes.
func apart(what string, xs []float64) (signed, size estimate.Value[float64]) {
	if len(xs) == 0 {
		v := estimate.Missing[float64]("no match", what, "the two have no span in common that begins or ends within what both judged")
		return v, v
	}
	abs := make([]float64, len(xs))
	for i, x := range xs {
		abs[i] = math.Abs(x)
	}
	return estimate.MedianInterval(xs, 0.95), estimate.MedianInterval(abs, 0.95)
}
