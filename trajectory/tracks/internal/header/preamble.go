package header

import "strings"

// StatedUnit returns the unit of length that the rows above a table state:
// behind the word, in the cell to its right or in the one below. It is "" if
// there is none.
func StatedUnit(rows [][]string) string {
	for i, row := range rows {
		for j, cell := range row {
			key, value, cut := strings.Cut(cell, ":")
			if !cut {
				key, value, _ = strings.Cut(cell, "=")
			}
			ws := split(key)
			if len(ws) == 0 || !unitLabels[ws[len(ws)-1].text] {
				continue
			}
			if u := LengthUnit(value); u != "" {
				return u
			}
			if j+1 < len(row) && LengthUnit(row[j+1]) != "" {
				return LengthUnit(row[j+1])
			}
			if i+1 < len(rows) && j < len(rows[i+1]) && LengthUnit(rows[i+1][j]) != "" {
				return LengthUnit(rows[i+1][j])
			}
		}
	}
	return ""
}
