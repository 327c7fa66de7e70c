package measured

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/variability/estimate"
)

// Number is a number in JSON: at most six significant digits, null for NaN and
// infinities.
type Number float64

// MarshalJSON implements json.Marshaler.
func (n Number) MarshalJSON() ([]byte, error) {
	if text := cell(float64(n)); text != "" {
		return []byte(text), nil
	}
	return []byte("null"), nil
}

// cell is a number in a table of text: six significant digits, empty for NaN and
// infinities.
func cell(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

// Table writes delimited text.
type Table struct{ csv *csv.Writer }

// NewTable begins a table with its header.
func NewTable(w io.Writer, head ...string) Table {
	t := Table{csv.NewWriter(w)}
	t.csv.Write(head) // Flush tells what fails
	return t
}

// Line writes a line; a number that could not be had is an empty cell.
func (t Table) Line(cells ...any) {
	var out []string
	for _, c := range cells {
		switch c := c.(type) {
		case float64:
			out = append(out, cell(c))
		default:
			out = append(out, fmt.Sprint(c))
		}
	}
	t.csv.Write(out)
}

// Flush ends the table.
func (t Table) Flush() error {
	t.csv.Flush()
	return t.csv.Error()
}

// Cells are those of a value with its interval, empty where there is none.
func Cells(v estimate.Value[float64]) []any {
	if !v.Known() {
		return []any{math.NaN(), math.NaN(), math.NaN()}
	}
	return []any{v.Value, v.Low, v.High}
}
