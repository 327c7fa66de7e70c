package drive

import (
	"math"

	"github.com/plectrace/plectrace/trajectory"
)

// columns returns the axes of a path and its times.
func columns[P trajectory.Path | trajectory.Placed](p P) (cols [3][]float64, t []float64, err error) {
	switch p := any(p).(type) {
	case trajectory.Path:
		return [3][]float64{p.X, p.Y, p.Z}, p.T, p.Validate()
	case trajectory.Placed:
		return [3][]float64{p.Across, p.Along, p.Out}, p.T, p.Validate()
	}
	panic("drive: unreachable")
}

func nameOf[P trajectory.Path | trajectory.Placed](p P) string {
	switch p := any(p).(type) {
	case trajectory.Path:
		return p.Name
	case trajectory.Placed:
		return p.Name
	}
	panic("drive: unreachable")
}

// oneBase reports an error unless the point named has the times t and the axes
// of tip.
func oneBase(name string, cols [3][]float64, times []float64, tip [3][]float64, t []float64) error {
	fail := func(i int, rule, hint string) error {
		at := math.NaN()
		if i >= 0 {
			at = t[i]
		}
		return &trajectory.DataError{Point: name, Sample: i, Time: at, Rule: rule, Hint: hint}
	}
	const together = "take both points from one recording, placed by one frame"
	if len(times) != len(t) {
		return fail(-1, "the point has another number of samples than the tip", together)
	}
	for i := range t {
		if times[i] != t[i] {
			return fail(i, "the point has another time here than the tip", together)
		}
	}
	for d := range cols {
		if (cols[d] == nil) != (tip[d] == nil) {
			return fail(-1, "the point has other axes than the tip", together)
		}
	}
	return nil
}
