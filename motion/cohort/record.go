package cohort

import (
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/variability/estimate"
)

// Record is one take with what was measured on it: the rows of one take.
type Record struct {
	// Take is the take as the list has it. Its Summary is nil, and its Setup is
	// the set-up that the take was measured with.
	progress.Take
	// View is how the camera looked at the instrument, in words ("end-on"), and
	// Unit the unit of lengths.
	View, Unit string
	// Seconds is the time from the first stroke to the last, Strokes their
	// number.
	Seconds float64
	Strokes int
	// Lost is the share of the tip's samples that are missing or were cut,
	// SampleHz the samples per second and PerStroke those of a median stroke.
	// NaN where there is none.
	Lost, SampleHz, PerStroke float64
	// Flags are those of review.Summary.Flags.
	Flags []string
	// Version is that of this module, Options the digest of the options of the
	// review, Content that of the export's bytes: its first twelve hexadecimal
	// digits (SHA-256).
	Version, Options, Content string
	// Rows are the measures, in the order of review.Measures.
	Rows []Row
	// Failure says why the take was not measured, nil where it was. Its code is
	// CodeBroken or CodeRefused.
	Failure *estimate.Absence
}

// Row is one measure of a take.
type Row struct {
	Measure, Unit string
	Value         estimate.Value[float64]
}

// Codes of Record.Failure.
const (
	// CodeBroken is for a file that could not be opened or read.
	CodeBroken = "broken"
	// CodeRefused is for a take that could be read but not be reviewed.
	CodeRefused = "refused"
)

// Value returns the measure of that name.
func (r *Record) Value(measure string) estimate.Value[float64] {
	for _, row := range r.Rows {
		if row.Measure == measure {
			return row.Value
		}
	}
	if r.Failure != nil {
		return estimate.Value[float64]{Absent: r.Failure}
	}
	return estimate.Missing[float64]("unknown", measure, "the take has no such measure")
}
