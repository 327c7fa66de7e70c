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
	first := n // the first sample that breaks a rule
	for _, i := range []int{unordered(p.T), unequal(p.X, p.Y), unequal(p.X, p.Z), improbable(p.Confidence)} {
		if i >= 0 {
			first = min(first, i)
		}
	}
	if first == n {
		return nil
	}
	return p.broken(first)
}

// unordered returns the first time that is not finite or not after the one
// before, -1 for none.
func unordered(t []float64) int {
	last := math.Inf(-1)
	for i, v := range t {
		if !(v > last && v <= math.MaxFloat64) {
			return i
		}
		last = v
	}
	return -1
}

// unequal returns the first sample that is infinite on one of two axes or
// missing on one of them alone, -1 for none. The second may be nil.
func unequal(x, y []float64) int {
	if y == nil {
		return -1
	}
	y = y[:len(x)]
	for i, v := range x {
		// Only finite numbers give 0.
		if v-v != 0 || y[i]-y[i] != 0 {
			if v == v || y[i] == y[i] {
				return i
			}
		}
	}
	return -1
}

// improbable returns the first confidence outside [0, 1], -1 for none.
func improbable(confidence []float64) int {
	for i, c := range confidence {
		if c < 0 || c > 1 {
			return i
		}
	}
	return -1
}

// broken returns the rule that sample i breaks.
func (p Path) broken(i int) error {
	bad := func(rule, hint string) error {
		return &DataError{Point: p.Name, Sample: i, Time: p.T[i], Rule: rule, Hint: hint}
	}
	if !finite(p.T[i]) || i > 0 && p.T[i] <= p.T[i-1] {
		return disorder(p.Name, p.T, i)
	}
	infinite, missing, axes := false, 0, 0
	for _, col := range [][]float64{p.X, p.Y, p.Z} {
		if col != nil {
			axes++
			infinite = infinite || math.IsInf(col[i], 0)
			if math.IsNaN(col[i]) {
				missing++
			}
		}
	}
	switch {
	case infinite:
		return bad("a coordinate is infinite", "mark a missing sample as nan or leave it empty")
	case missing > 0 && missing < axes:
		return bad("a coordinate is missing and another is not", "a sample is missing on all axes at once: leave all of them empty")
	}
	return bad(fmt.Sprintf("confidence is %v", p.Confidence[i]), "a confidence lies between 0 and 1")
}

// disorder returns the error for time i of a point, which is not finite or not
// after the one before.
func disorder(point string, t []float64, i int) error {
	e := &DataError{Point: point, Sample: i, Time: t[i]}
	if !finite(t[i]) {
		e.Rule, e.Hint = fmt.Sprintf("time is %v", t[i]), "give every row a time in seconds, or none and the capture rate"
	} else {
		e.Rule = fmt.Sprintf("time goes from %v s to %v s", t[i-1], t[i])
		e.Hint = "times must increase: sort the rows and remove repeated ones, or leave the times out and give the capture rate"
	}
	return e
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
