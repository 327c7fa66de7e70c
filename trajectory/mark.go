package trajectory

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
)

// Mark is a place on the instrument: a tracked point by its name, or fixed
// coordinates of the source. Its zero value is no mark.
//
// In JSON a mark is a string or an array of two or three numbers.
type Mark struct {
	// Point is the name of a tracked point.
	Point string
	// At holds fixed coordinates in the source's unit, x and y, or x, y and z.
	// It is used when Point is empty.
	At []float64
}

// IsZero reports whether m is no mark.
func (m Mark) IsZero() bool { return m.Point == "" && m.At == nil }

// String returns the name of the point, or its coordinates.
func (m Mark) String() string {
	if m.Point != "" || m.At == nil {
		return m.Point
	}
	return fmt.Sprint(m.At)
}

// MarshalJSON returns a string, an array of numbers, or null for no mark.
func (m Mark) MarshalJSON() ([]byte, error) {
	if m.Point == "" {
		return json.Marshal(m.At)
	}
	return json.Marshal(m.Point)
}

// UnmarshalJSON reads the name of a point or an array of two or three finite
// numbers. Null is no mark.
func (m *Mark) UnmarshalJSON(data []byte) error {
	var got Mark
	var err error
	if t := bytes.TrimSpace(data); len(t) > 0 && t[0] == '"' {
		err = json.Unmarshal(data, &got.Point)
	} else {
		err = json.Unmarshal(data, &got.At)
		if err == nil && got.At != nil && len(got.At) != 2 && len(got.At) != 3 {
			err = fmt.Errorf("%d numbers", len(got.At))
		}
	}
	if err != nil {
		line := bytes.Join(bytes.Fields(data), []byte(" ")) // data may be written over several
		return fmt.Errorf("mark %.60s: give the name of a tracked point, or [x, y], or [x, y, z]", line)
	}
	*m = got
	return nil
}

// Marks are the places on the instrument that the frame is made from.
type Marks struct {
	// Bass and Treble lie on the string plane at the picking spot, one on the
	// side of the lowest-pitched string and one on that of the highest-pitched
	// string. Midway between them is the origin.
	Bass   Mark `json:"bass,omitzero"`
	Treble Mark `json:"treble,omitzero"`
	// Nut lies further toward the nut, on the string plane too; only a source
	// with three axes needs it. Of several marks, such as one on each side of
	// the nut, the mean counts.
	Nut []Mark `json:"nut,omitempty"`
}

// finite reports whether no value is NaN or infinite.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
