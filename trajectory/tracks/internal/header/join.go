package header

// level is a header row above the axes.
type level struct {
	cells   []string // one for each column, names carried to the right
	label   label
	covered bool // there is a name over every column that has an axis, and an x and a y under each
	foreign bool // the left margin holds a word that is not known here
}

type label uint8

const (
	unlabelled label = iota
	groupLabel
	pointLabel
)

// join gives the columns, whose names are axes, the points that the rows above
// name.
func join(cols []Column, axes []string, rows [][]string) {
	var levels []level // the nearest to the axes first
	for i := len(rows) - 1; i >= 0; i-- {
		levels = append(levels, newLevel(rows[i], cols))
	}
	point := pick(levels, !unique(cols, make([]string, len(cols))))
	for i := range cols {
		if c := &cols[i]; axes[i] == "" && len(levels) > 0 {
			*c = upper(levels, rows, i)
		}
	}
	if point < 0 {
		return
	}
	names := append([]string(nil), levels[point].cells...)
	for _, l := range levels[point+1:] {
		if unique(cols, names) {
			break
		}
		if l.covered {
			for i := range names {
				names[i] = l.cells[i] + "." + names[i]
			}
		}
	}
	for i := range cols {
		if c := &cols[i]; c.Role == Coordinate || c.Role == Confidence {
			c.Point = names[i]
			c.Name = names[i] + "." + c.Name
		}
	}
}

// pick returns the index of the level that names the points, -1 if none does:
// the one that says so, else the nearest without a word in the margin that may
// make it something else, else, where the axes need a point to be told apart,
// the nearest.
func pick(levels []level, needed bool) int {
	for _, ok := range []func(l level) bool{
		func(l level) bool { return l.label == pointLabel },
		func(l level) bool { return l.label == unlabelled && !l.foreign },
		func(l level) bool { return l.label == unlabelled && needed },
	} {
		for i, l := range levels {
			if l.covered && ok(l) {
				return i
			}
		}
	}
	return -1
}

// newLevel reads a row above the axes of cols.
func newLevel(row []string, cols []Column) level {
	l := level{cells: make([]string, len(cols)), covered: true}
	name := ""
	margin := true // no axis yet
	var x, y bool  // seen under the name
	closed := func() bool { return name == "" || x && y }
	for i, c := range cols {
		cell := ""
		if i < len(row) {
			cell = row[i]
		}
		if c.Role != Coordinate && c.Role != Confidence {
			// A label in the left margin, or a column of its own.
			switch b := bare(cell); {
			case !margin:
			case pointLabels[b]:
				l.label = pointLabel
			case groupLabels[b]:
				l.label = groupLabel
			case b != "" && Name(cell).Role == Other:
				l.foreign = true
			}
			l.covered = l.covered && closed()
			name = ""
			continue
		}
		margin = false
		if cell != "" && cell != name {
			l.covered = l.covered && closed()
			name, x, y = cell, false, false
		}
		x = x || c.Axis == "x"
		y = y || c.Axis == "y"
		l.cells[i] = name
		if name == "" {
			l.covered = false
		}
	}
	l.covered = l.covered && closed()
	return l
}

// upper names a column whose cell in the row of the axes is empty by the
// nearest row that has one.
func upper(levels []level, rows [][]string, i int) Column {
	for k := range levels {
		row := rows[len(rows)-1-k]
		if i < len(row) && row[i] != "" && !pointLabels[bare(row[i])] && !groupLabels[bare(row[i])] {
			return Name(row[i])
		}
	}
	return Column{}
}

// unique reports whether no axis of a point comes twice.
func unique(cols []Column, names []string) bool {
	type key struct {
		role        Role
		axis, point string
	}
	seen := map[key]bool{}
	for i, c := range cols {
		if c.Role != Coordinate && c.Role != Confidence {
			continue
		}
		k := key{c.Role, c.Axis, names[i]}
		if seen[k] {
			return false
		}
		seen[k] = true
	}
	return true
}
