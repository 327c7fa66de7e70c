package tracks

// Layout is what the beginning of an export shows of its build.
//
// A C3D file has no columns; they are those of the table that it stands for,
// the time and the axes of each point. What is in it and no position, such as
// an angle, has columns without a role.
type Layout struct {
	Format       Format
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
	// Rate is the number of samples per second that a C3D file or a marker
	// table states; 0 if it states none.
	Rate float64
	// Samples is the number of samples that it states; 0 if it states none.
	Samples int
	// Unit is the unit of length of the coordinates that the text states:
	// "px", "mm", "cm" or "m"; "" if it states none, or several.
	Unit string
}

// Format is a kind of export.
type Format string

const (
	FormatUnknown Format = ""
	FormatText    Format = "text" // delimited text
	FormatTRC     Format = "trc"  // delimited text with the header of a marker table
	FormatC3D     Format = "c3d"
)

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
