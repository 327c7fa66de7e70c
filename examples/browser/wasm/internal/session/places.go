package session

import (
	"math"
	"slices"

	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability/robust"
)

// Place is where a point mostly is in the picture.
type Place struct {
	Name string  `json:"name"`
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
}

// mostPlaces is how many points are drawn.
const mostPlaces = 60

// places are the middles of the points that were ever seen.
func places(rec *trajectory.Recording) []Place {
	out := []Place{}
	for _, p := range rec.Points[:min(len(rec.Points), mostPlaces)] {
		x, y := middle(p.X), middle(p.Y)
		if !math.IsNaN(x) && !math.IsNaN(y) {
			out = append(out, Place{p.Name, x, y})
		}
	}
	return out
}

func middle(xs []float64) float64 {
	return robust.Median(slices.DeleteFunc(slices.Clone(xs), math.IsNaN))
}

// Of a long path stretches are drawn.
const (
	mostStretches = 8
	stretch       = 250 // samples
)

// Path is the path of a point to draw: runs without gaps, of x and y in turn, and the
// box that holds all of it but stray samples.
type Path struct {
	Runs [][]float64 `json:"runs"`
	Box  [4]float64  `json:"box"` // least x and y, greatest x and y
}

// Path returns the path of the point of that name; it is empty where there is none.
func (s *Session) Path(point string) Path {
	out := Path{Runs: [][]float64{}}
	if s.points == nil {
		return out
	}
	p, ok := s.points.Point(point)
	if !ok {
		return out
	}
	n := len(p.X)
	from := []int{0}
	size := n
	if n > mostStretches*stretch {
		from, size = nil, stretch
		for k := range mostStretches {
			from = append(from, k*(n-stretch)/(mostStretches-1))
		}
	}
	var run []float64
	flush := func() {
		if len(run) > 0 {
			out.Runs = append(out.Runs, run)
		}
		run = nil
	}
	for _, a := range from {
		for i := a; i < a+size; i++ {
			if math.IsNaN(p.X[i]) {
				flush()
				continue
			}
			run = append(run, p.X[i], p.Y[i])
		}
		flush()
	}
	out.Box[0], out.Box[2] = bulk(p.X)
	out.Box[1], out.Box[3] = bulk(p.Y)
	return out
}

// bulk are the bounds of all but one sample in a hundred on each side.
func bulk(xs []float64) (low, high float64) {
	seen := slices.DeleteFunc(slices.Clone(xs), math.IsNaN)
	if len(seen) == 0 {
		return 0, 0
	}
	return robust.Quantile(0.01, seen), robust.Quantile(0.99, seen)
}
