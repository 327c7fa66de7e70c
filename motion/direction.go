package motion

import (
	"fmt"

	"github.com/plectrace/plectrace/trajectory"
)

// Direction is the way a stroke goes. Its zero value is unknown.
type Direction int

const (
	DirectionUnknown Direction = iota
	// Down goes toward the highest-pitched string.
	Down
	// Up goes toward the lowest-pitched string.
	Up
)

var directionText = [...]string{"", "down", "up"}

// String returns "down", "up" or "" for unknown.
func (d Direction) String() string {
	if d < 0 || int(d) >= len(directionText) {
		return fmt.Sprintf("Direction(%d)", int(d))
	}
	return directionText[d]
}

func (d Direction) opposite() Direction {
	if d == Down {
		return Up
	}
	return Down
}

// MarshalText implements encoding.TextMarshaler.
func (d Direction) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (d *Direction) UnmarshalText(b []byte) error {
	for i, s := range directionText {
		if s == string(b) {
			*d = Direction(i)
			return nil
		}
	}
	return fmt.Errorf("motion: unknown direction %q: write %q or %q", b, "down", "up")
}

// axes appends the columns of p that hold data to dst, in the order across, along,
// out, with the index of each named axis or -1.
func axes(dst [][]float64, p trajectory.Placed) (cols [][]float64, along, out int) {
	cols = append(dst, p.Across)
	along, out = -1, -1
	if p.Along != nil {
		along = len(cols)
		cols = append(cols, p.Along)
	}
	if p.Out != nil {
		out = len(cols)
		cols = append(cols, p.Out)
	}
	return cols, along, out
}
