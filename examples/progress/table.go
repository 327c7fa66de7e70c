package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"

	"github.com/plectrace/plectrace/examples/internal/measured"
	"github.com/plectrace/plectrace/variability/estimate"
)

// table writes delimited text.
type table struct{ csv *csv.Writer }

func newTable(b *bytes.Buffer, head ...string) table {
	t := table{csv.NewWriter(b)}
	t.csv.Write(head)
	return t
}

// line writes a line; a number that could not be had is an empty cell.
func (t table) line(cells ...any) {
	var out []string
	for _, c := range cells {
		switch c := c.(type) {
		case float64:
			out = append(out, measured.Cell(c))
		default:
			out = append(out, fmt.Sprint(c))
		}
	}
	t.csv.Write(out)
}

func (t table) flush() error {
	t.csv.Flush()
	return t.csv.Error()
}

// bounds are a value with its interval, NaN where there is none.
func bounds(v estimate.Value[float64]) []any {
	if !v.Known() {
		return []any{math.NaN(), math.NaN(), math.NaN()}
	}
	return []any{v.Value, v.Low, v.High}
}
