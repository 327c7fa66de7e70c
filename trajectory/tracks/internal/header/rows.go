package header

import "strings"

// IsAxes reports whether the cells are names of axes, at least an x and a y,
// with no name of a point among them.
func IsAxes(cells []string) bool {
	var seen [2]bool
	for _, cell := range cells {
		c := Name(cell)
		if c.Point != "" && !isNumbered(bare(cell)) {
			return false
		}
		seen[0] = seen[0] || c.Axis == "x"
		seen[1] = seen[1] || c.Axis == "y"
	}
	return seen[0] && seen[1]
}

// Parse names the columns of a table from the rows above its numbers, in the
// order of the text. width is the number of cells of the rows of numbers. The
// result has as many columns as the lowest row has names, and unnamed ones up
// to width where it has empty cells for them. Rows above the ones that name
// anything do not matter. Cells that are not UTF-8 are taken for ISO 8859-1.
func Parse(rows [][]string, width int) []Column {
	if len(rows) == 0 {
		return nil
	}
	rows = texts(rows)
	var units []string
	index := ""
	for n := len(rows) - 1; n > 0; n-- {
		if isUnits(rows[n]) {
			units = rows[n]
		} else if isIndexName(rows[n]) {
			index = rows[n][0]
		} else {
			break
		}
		rows = rows[:n]
	}
	axes := rows[len(rows)-1]
	axes = axes[:max(len(trimEmpty(axes)), min(len(axes), width))]
	cols := make([]Column, len(axes))
	for i, cell := range axes {
		cols[i] = Name(cell)
	}
	if IsAxes(axes) {
		join(cols, axes, rows[:len(rows)-1])
	} else {
		pair(cols)
	}
	if len(cols) > 0 && cols[0].Role == Other && (cols[0].Name == "" || axisLabels[bare(cols[0].Name)]) {
		cols[0].Role = Frame
		if index != "" {
			cols[0] = Name(index)
			if cols[0].Role != Time {
				cols[0].Role = Frame
			}
		}
	}
	for i := range cols {
		c := &cols[i]
		if i < len(units) && c.Unit == "" {
			switch c.Role {
			case Coordinate:
				c.Unit = LengthUnit(units[i])
			case Time:
				c.Unit = TimeUnit(units[i])
			}
		}
	}
	single(cols)
	return cols
}

func trimEmpty(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// isUnits reports whether a row under the names holds units.
func isUnits(cells []string) bool {
	n := 0
	for i, cell := range cells {
		switch b := bare(cell); {
		case timeUnits[b] != "" || lengthUnits[b] != "":
			n++
		case b == "" || b == "-" || b == "1" || i == 0 && unitLabels[b]:
		default:
			return false
		}
	}
	return n > 0
}

// isIndexName reports whether a row names its first column only.
func isIndexName(cells []string) bool {
	return len(cells) > 1 && cells[0] != "" && len(trimEmpty(cells)) == 1
}

// single gives the columns without a point the name Single, and a confidence
// without one to the only point that there is.
func single(cols []Column) {
	only, n := "", 0
	for i := range cols {
		c := &cols[i]
		if c.Role != Coordinate {
			continue
		}
		if c.Point == "" {
			c.Point = Single
		}
		if n == 0 || c.Point != only {
			only = c.Point
			n++
		}
	}
	for i := range cols {
		if c := &cols[i]; c.Role == Confidence && c.Point == "" {
			if n == 1 {
				c.Point = only
			} else {
				c.Role = Other
			}
		}
	}
}

// pair finds axes written onto the name of the point, where all of them are
// there: tipx, tipy.
func pair(cols []Column) {
	have := map[string]bool{}
	for _, c := range cols {
		if c.Role == Other {
			have[strings.ToLower(c.Name)] = true
		}
	}
	for i, c := range cols {
		base, _ := cutUnit(c.Name)
		if c.Role != Other || base != c.Name || len(base) < 3 {
			continue
		}
		low := strings.ToLower(base)
		stem, axis := low[:len(low)-1], low[len(low)-1:]
		if isAxis(axis) && have[stem+"x"] && have[stem+"y"] {
			cols[i].Role, cols[i].Axis, cols[i].Point = Coordinate, axis, base[:len(base)-1]
		}
	}
}
