package tracks

// Layout is what the beginning of an export shows of its build.
type Layout struct {
	Delimiter    rune // ' ' for runs of blanks
	DecimalComma bool
	// HeaderLines is the number of lines above the first row of numbers, blank
	// lines and comments included.
	HeaderLines int
	Columns     []Column
	// Points are the points that have an x and a y, in the order of their
	// first columns.
	Points []string
	// Time and Frame are the names of the time and the frame column, "" where
	// there is none.
	Time, Frame string
	// TimeUnit is the unit of the time column, "s" where the header does not
	// say.
	TimeUnit string
	// Step is the median step of the time column in the first rows, in seconds
	// of the export; NaN without one.
	Step float64
	// Unit is the unit of length of the coordinates that the text states:
	// "px", "mm", "cm" or "m"; "" if it states none, or several.
	Unit string
}

// Column is a column of an export.
type Column struct {
	Index int    // number of the cell in a row, from 1
	Name  string // as in the header, rows joined by points; c1, c2, ... without a header
	Role  Role
	Point string // of a coordinate or a confidence
	Axis  string // "x", "y", "z" of a coordinate
	Unit  string // as far as the header states it
}

// Role is what a column is used for.
type Role string

const (
	RoleOther      Role = ""
	RoleTime       Role = "time"
	RoleFrame      Role = "frame"
	RoleCoordinate Role = "coordinate"
	RoleConfidence Role = "confidence"
)
