package header

import (
	"strings"

	"github.com/plectrace/plectrace/trajectory/cells"
)

// Role is what a column holds.
type Role uint8

const (
	Other Role = iota
	Time
	Frame
	Coordinate
	Confidence
)

// Column is a named column.
type Column struct {
	Name  string // as written, header rows joined
	Role  Role
	Point string // of a coordinate or a confidence
	Axis  string // "x", "y" or "z" of a coordinate
	Unit  string // as far as the name states it: px, mm, cm, m; s, ms, us, ns
	// Weak marks a time that is only part of the name: frame time, video time.
	Weak bool
}

// Single is the name of the point of a table whose columns name axes only.
const Single = "point"

// Name reads the name of one column. A lone axis or word for a confidence
// gives a column with no point.
func Name(cell string) Column {
	cell = cells.Plain(strings.TrimSpace(cell))
	c := Column{Name: cell}
	base, unit := cutUnit(cell)
	ws := split(base)
	if len(ws) == 0 {
		return c
	}
	if c.clock(ws, unit) {
		return c
	}
	first, last := ws[0], ws[len(ws)-1]
	if u := lengthUnits[last.text]; u != "" && len(ws) > 1 && unit == "" &&
		(isAxis(ws[len(ws)-2].text) || len(ws) == 2 && isAxis(first.text)) {
		unit = u
		ws = ws[:len(ws)-1]
		last = ws[len(ws)-1]
	}
	if len(ws) > 1 && positionWords[last.text] && isAxis(ws[len(ws)-2].text) {
		ws = ws[:len(ws)-1]
		last = ws[len(ws)-1]
	}
	set := func(role Role, axis, point string) {
		c.Role, c.Axis, c.Point = role, axis, point
		if role == Coordinate {
			c.Unit = lengthUnits[unit]
		}
	}
	before := strings.TrimRight(base[:last.from], " \t_.-:/|([{")
	behind := strings.Trim(base[first.to:], " \t_.-:/|()[]{}")
	switch {
	case isAxis(last.text):
		set(Coordinate, last.text, before)
	case confidenceWords[last.text]:
		set(Confidence, "", before)
	case isAxis(first.text):
		set(Coordinate, first.text, behind)
	case confidenceWords[first.text]:
		set(Confidence, "", behind)
	case len(ws) == 1 && isNumbered(first.text):
		set(Coordinate, first.text[:1], first.text[1:])
	}
	return c
}

// clock recognizes the names of time and frame columns.
func (c *Column) clock(ws []word, unit string) bool {
	var b strings.Builder
	for _, w := range ws {
		b.WriteString(w.text)
	}
	joined := b.String()
	last := ws[len(ws)-1].text
	switch {
	case timeWords[joined]:
		c.Role = Time
		c.Unit = timeUnits[joined]
	case timeUnits[last] != "" && timeWords[strings.TrimSuffix(joined, last)]:
		c.Role = Time
		c.Unit = timeUnits[last]
	case frameWords[joined]:
		c.Role = Frame
	case !isAxis(last) && !isAxis(ws[0].text) && !confidenceWords[last] && hasTime(ws):
		c.Role = Time
		c.Weak = true
		c.Unit = timeUnits[last]
	default:
		return false
	}
	if c.Role == Time && timeUnits[unit] != "" {
		c.Unit = timeUnits[unit]
	}
	return true
}

func hasTime(ws []word) bool {
	for _, w := range ws {
		if w.text == "time" || w.text == "timestamp" {
			return true
		}
	}
	return false
}

// isNumbered reports whether w is an axis and a number: x1.
func isNumbered(w string) bool {
	return len(w) > 1 && isAxis(w[:1]) && strings.Trim(w[1:], "0123456789") == ""
}

// cutUnit takes a unit in brackets or behind a slash off the end of a name. The
// unit comes back in lower case.
func cutUnit(s string) (base, unit string) {
	if s == "" {
		return s, ""
	}
	open := ""
	switch s[len(s)-1] {
	case ')':
		open = "("
	case ']':
		open = "["
	case '}':
		open = "{"
	default:
		open = "/"
	}
	i := strings.LastIndex(s, open)
	if i <= 0 {
		return s, ""
	}
	u := bare(s[i+1:])
	if timeUnits[u] == "" && lengthUnits[u] == "" {
		return s, ""
	}
	return strings.TrimRight(s[:i], " \t_"), u
}
