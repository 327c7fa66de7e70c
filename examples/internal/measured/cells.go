package measured

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/plectrace/plectrace/trajectory/cells"
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

// Table writes delimited text that is safe in a spreadsheet (trajectory/cells).
type Table struct{ lines *cells.Writer }

// NewTable begins a table with its header.
func NewTable(w io.Writer, head ...string) Table {
	t := Table{cells.NewWriter(w)}
	t.lines.Write(head) // Flush tells what fails
	return t
}

// Line writes a line; a number that could not be had is an empty cell.
func (t Table) Line(values ...any) {
	var out []string
	for _, c := range values {
		switch c := c.(type) {
		case float64:
			out = append(out, cell(c))
		default:
			out = append(out, fmt.Sprint(c))
		}
	}
	t.lines.Write(out)
}

// Flush ends the table.
func (t Table) Flush() error { return t.lines.Flush() }

// Cells are those of a value with its interval, empty where there is none.
func Cells(v estimate.Value[float64]) []any {
	if !v.Known() {
		return []any{math.NaN(), math.NaN(), math.NaN()}
	}
	return []any{v.Value, v.Low, v.High}
}
