package trajectory

import (
	"fmt"
	"math"
	"strings"
)

// DataError says which rule a recording broke, where, and what to do next.
type DataError struct {
	// Point is the name of the tracked point, empty when the error is not
	// about one point.
	Point string
	// Sample is the zero-based index of the sample, negative when the error
	// is not about one sample.
	Sample int
	// Time is the time of that sample in seconds, NaN when unknown.
	Time float64
	// Rule states what was found against what is needed.
	Rule string
	// Hint is a next step for whoever made the recording.
	Hint string
}

// Error returns the error on one line.
func (e *DataError) Error() string {
	var b strings.Builder
	if e.Point != "" {
		fmt.Fprintf(&b, "point %q: ", e.Point)
	}
	if e.Sample >= 0 {
		fmt.Fprintf(&b, "sample %d", e.Sample)
		if !math.IsNaN(e.Time) {
			fmt.Fprintf(&b, " (%.4f s)", e.Time)
		}
		b.WriteString(": ")
	}
	b.WriteString(e.Rule)
	if e.Hint != "" {
		b.WriteString("; ")
		b.WriteString(e.Hint)
	}
	return b.String()
}

// fault returns a DataError that is not about one sample.
func fault(point, rule, hint string) *DataError {
	return &DataError{Point: point, Sample: -1, Time: math.NaN(), Rule: rule, Hint: hint}
}
