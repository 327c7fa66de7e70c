package main

import (
	"io"
	"strings"

	"github.com/plectrace/plectrace/motion/figure"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
)

// ofProgram takes the spans of a review as marks.
func ofProgram(r *review.Review) ([]progress.Mark, error) { return progress.SpanMarks(r) }

// read reads the marks of a viewer.
func read(table io.Reader, name string) ([]progress.Mark, error) {
	return progress.ReadMarks(table, name)
}

// agree tells how far two viewers agree. Time that one of them left unmarked does not
// count.
func agree(first, second []progress.Mark) (progress.Agreement, error) {
	return progress.Agree(first, second)
}

// difference is a stretch that two viewers name differently.
type difference struct {
	Start  float64 `json:"start_s"`
	End    float64 `json:"end_s"`
	First  string  `json:"first_says"`
	Second string  `json:"second_says"`
}

// differences lists such stretches, of half a second and more: two viewers place one
// boundary a few tenths apart.
func differences(first, second []progress.Mark) []difference {
	const least = 0.5
	var out []difference
	for _, a := range first {
		for _, b := range second {
			start, end := max(a.Start, b.Start), min(a.End, b.End)
			if end-start >= least && !strings.EqualFold(a.Kind, b.Kind) {
				out = append(out, difference{start, end, a.Kind, b.Kind})
			}
		}
	}
	return out
}

// strip is what a viewer says, for the figure.
func strip(name string, marks []progress.Mark) figure.Strip {
	s := figure.Strip{Name: name}
	for _, m := range marks {
		s.Parts = append(s.Parts, figure.Part{Span: figure.Span{Start: m.Start, End: m.End}, Kind: strings.ToLower(m.Kind)})
	}
	return s
}

// drawn shows what all viewers say over the take, one below the other.
func drawn(from, to float64, strips []figure.Strip) figure.Figure {
	return figure.SpansOverTake{Take: figure.Span{Start: from, End: to}, Strips: strips}
}
