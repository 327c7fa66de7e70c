package progress

import (
	"bytes"
	"fmt"
	"io"

	"github.com/plectrace/plectrace/trajectory/cells"
)

// WriteRoster writes a list of takes as ReadRoster reads it: UTF-8, commas, all
// nine columns and then the further ones, guarded as package trajectory/cells has it.
// Only what ReadRoster would read is written; the error is otherwise the one that it
// would give, an *Error whose line is that of the file that would have been. Notes are
// not written.
func WriteRoster(w io.Writer, r Roster) error {
	var b bytes.Buffer
	out := cells.NewWriter(&b)
	var row []string
	for _, f := range fields {
		row = append(row, f.name)
	}
	// A buffer takes all.
	_ = out.Write(append(row, r.Columns...))
	for i, t := range r.Takes {
		if len(t.Extra) > len(r.Columns) {
			return &Error{Line: i + 2, Rule: "ragged", Msg: fmt.Sprintf("%d further cells where the list has %d further columns", len(t.Extra), len(r.Columns)),
				Hint: "name the columns in Roster.Columns"}
		}
		row = row[:0]
		for _, f := range fields {
			row = append(row, f.get(t))
		}
		row = append(row, t.Extra...)
		for range len(r.Columns) - len(t.Extra) {
			row = append(row, "")
		}
		_ = out.Write(row)
	}
	_ = out.Flush()
	if len(r.Takes) > 0 {
		if _, err := ReadRoster(bytes.NewReader(b.Bytes()), ""); err != nil {
			return err
		}
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return &Error{Rule: "write", Msg: err.Error(), Hint: "check that the folder can be written to", Err: err}
	}
	return nil
}
