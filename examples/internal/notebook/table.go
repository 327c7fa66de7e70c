package notebook

import (
	"fmt"
	"io/fs"
	"net/url"
)

// cell is a cell of a table as a renderer writes it.
type cell struct {
	Text    string
	Numeric bool
	Link    string // percent-encoded
}

type preparedTable struct {
	Head []cell
	Rows [][]cell
}

// prepareTable pairs each cell with the alignment of its column.
func prepareTable(t Table) (preparedTable, error) {
	row := func(texts []string) []cell {
		cells := make([]cell, len(texts))
		for i, text := range texts {
			cells[i] = cell{Text: text, Numeric: i < len(t.Numeric) && t.Numeric[i]}
		}
		return cells
	}
	out := preparedTable{Head: row(t.Head)}
	for i, r := range t.Rows {
		if len(r) != len(t.Head) {
			return out, fmt.Errorf("the table %q has %d columns, and %d cells in row %d", t.Caption, len(t.Head), len(r), i+1)
		}
		cells := row(r)
		if i < len(t.Links) && t.Links[i] != "" {
			if !fs.ValidPath(t.Links[i]) {
				return out, fmt.Errorf("the table %q leads to %q in row %d: name a file beside the page", t.Caption, t.Links[i], i+1)
			}
			cells[0].Link = (&url.URL{Path: t.Links[i]}).String()
		}
		out.Rows = append(out.Rows, cells)
	}
	return out, nil
}
