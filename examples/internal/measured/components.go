package measured

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/cycle"
)

// Components is the table of the parts of a difference between two motions, and a
// sentence for each that is left out.
func Components(caption string, components []cycle.Component) (t notebook.Table, left []string) {
	t = notebook.Table{
		Caption: caption,
		Head:    []string{"What", "Answer", "Differs by", "Margin"},
		Numeric: []bool{false, false, true, true},
	}
	for _, c := range components {
		row := []string{Title(c.Name, strings.ReplaceAll(c.Unit, "deg", "degrees")), c.Answer.String(), "", ""}
		if c.LeftOut != nil {
			row[1] = "left out"
			left = append(left, fmt.Sprintf("%s is left out: %s.", Upper(c.Name), c.LeftOut.Why))
		}
		if c.Difference.Known() {
			row[2] = Value(c.Difference)
		}
		if c.Margin > 0 {
			row[3] = Digits(c.Margin, 2)
		}
		t.Rows = append(t.Rows, row)
	}
	return t, left
}
