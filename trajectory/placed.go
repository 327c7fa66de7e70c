package trajectory

// Placed is a path in the instrument frame: across toward the
// highest-pitched string, along toward the nut, out away from the face, with
// the origin on the string plane.
//
// T and the axes present have equal length. An axis that the view cannot give
// is nil. A missing sample is NaN on all axes at once. Unit is the length unit
// of the axes, "mm" once calibrated, otherwise that of the source.
type Placed struct {
	Name               string
	T                  []float64
	Across, Along, Out []float64
	Unit               string
}

// Len returns the number of samples, missing ones included.
func (p Placed) Len() int { return len(p.T) }

// Validate reports the first rule that the path breaks, as a *DataError. The
// rules are those of [Path.Validate], with across and at least one of along
// and out in the place of x and y.
func (p Placed) Validate() error {
	q := Path{Name: p.Name, T: p.T, X: p.Across, Y: p.Along, Z: p.Out}
	if p.Along == nil {
		q.Y, q.Z = p.Out, nil
	}
	return q.Validate()
}
