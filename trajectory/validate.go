package trajectory

import (
	"fmt"
	"math"
	"strings"
)

// Validate reports the first rule that the path breaks, as a *DataError. The
// rules are:
//
//  1. There is at least one sample.
//  2. T, X, Y, and Z and Confidence where present, have equal length.
//  3. Times are finite and strictly increasing.
//  4. No coordinate is infinite.
//  5. A sample is missing on all axes or on none.
//  6. A confidence lies in [0, 1] or is NaN.
//
// What reads a recording calls it; Clean and NewFrame call it again. Other
// functions assume it.
func (p Path) Validate() error {
	n := len(p.T)
	if n == 0 {
		return fault(p.Name, "there are no samples", "check that the export holds rows below its header")
	}
	for _, c := range []struct {
		name string
		col  []float64
		must bool
	}{{"x", p.X, true}, {"y", p.Y, true}, {"z", p.Z, false}, {"confidence", p.Confidence, false}} {
		if len(c.col) != n && (c.must || c.col != nil) {
			return fault(p.Name, fmt.Sprintf("%s has %d samples and time has %d", c.name, len(c.col), n),
				"every column needs one value per row")
		}
	}
	bad := func(i int, rule, hint string) error {
		return &DataError{Point: p.Name, Sample: i, Time: p.T[i], Rule: rule, Hint: hint}
	}
	for i, t := range p.T {
		if !finite(t) {
			return bad(i, fmt.Sprintf("time is %v", t), "give every row a time in seconds, or none and the capture rate")
		}
		if i > 0 && t <= p.T[i-1] {
			return bad(i, fmt.Sprintf("time goes from %v s to %v s", p.T[i-1], t),
				"times must increase: sort the rows and remove repeated ones, or leave the times out and give the capture rate")
		}
		x, y, z := p.X[i], p.Y[i], 0.0
		missing := math.IsNaN(x)
		if p.Z != nil {
			z = p.Z[i]
		}
		if math.IsInf(x, 0) || math.IsInf(y, 0) || math.IsInf(z, 0) {
			return bad(i, "a coordinate is infinite", "mark a missing sample as nan or leave it empty")
		}
		if math.IsNaN(y) != missing || p.Z != nil && math.IsNaN(z) != missing {
			return bad(i, "a coordinate is missing and another is not", "a sample is missing on all axes at once: leave all of them empty")
		}
		if p.Confidence != nil {
			if c := p.Confidence[i]; c < 0 || c > 1 {
				return bad(i, fmt.Sprintf("confidence is %v", c), "a confidence lies between 0 and 1")
			}
		}
	}
	return nil
}

// Validate reports the first rule that the recording breaks, as a *DataError.
// The rules are those of [Path.Validate] for each point, and:
//
//  7. There is at least one point.
//  8. Every point has a name, and no two have the same.
//  9. Every point has as many samples as the recording.
//  10. Either all points have a z axis or none has.
func (r *Recording) Validate() error {
	if len(r.Points) == 0 {
		return fault("", "there are no tracked points", "check that the export has columns such as tip_x and tip_y")
	}
	seen := make(map[string]bool, len(r.Points))
	for _, p := range r.Points {
		switch {
		case p.Name == "":
			return fault("", "a point has no name", "name every point in the header")
		case seen[p.Name]:
			return fault(p.Name, "two points have this name", "rename one of them in the header")
		case len(p.T) != len(r.T):
			return fault(p.Name, fmt.Sprintf("the point has %d samples and the recording %d", len(p.T), len(r.T)),
				"all points share one time base")
		case p.Planar() != r.Points[0].Planar():
			return fault(p.Name, "some points have a z axis and others have none", "export all points with the same axes")
		}
		seen[p.Name] = true
		if err := p.Validate(); err != nil {
			return err
		}
	}
	return nil
}

// names returns the names of the points, for messages.
func (r *Recording) names() string {
	all := make([]string, len(r.Points))
	for i, p := range r.Points {
		all[i] = p.Name
	}
	return strings.Join(all, ", ")
}
