package trajectory

import "strings"

// Orientation holds every fact that can turn a sign round. Its zero value is
// the usual case: picture coordinates with y growing downward, an unmirrored
// film, a right-handed instrument and, in an end-on view, a camera behind the
// bridge that looks toward the nut.
//
// Each fact that holds flips the same parity, so two of them cancel. This is
// the only place in the library where a sign is decided.
type Orientation struct {
	// YUp says that y grows upward in the picture. It does not matter to a
	// source with three axes.
	YUp bool `json:"y_up,omitempty"`
	// LeftHanded says that the instrument is strung for a left-handed player:
	// seen from the front, with the highest-pitched string at the bottom, the
	// neck points to the left of the picture.
	LeftHanded bool `json:"left_handed,omitempty"`
	// Mirrored says that the film is mirrored, as front cameras of telephones
	// often do, or that a source with three axes has left-handed axes.
	Mirrored bool `json:"mirrored,omitempty"`
	// FromNeck says that the camera of an end-on or oblique view stands at the
	// nut and looks toward the bridge.
	FromNeck bool `json:"from_neck,omitempty"`
}

// turn returns the sign of the second axis of a view: +1 when it is across
// turned a quarter turn from the source's first axis toward its second (in a
// picture with y down that is clockwise as seen), -1 when it is the other way
// round. The second axis is out in an end-on or oblique view and along in a
// front view. For a source with three axes it is the sign of across x along.
//
// The base cases, for a right-handed instrument: a player faces north, so the
// neck points west (along) and the face north (out); the treble strings are
// nearest the floor (across is down). Down x west = north, so out = across x
// along.
//
// End-on, from behind the bridge, the camera looks west, north is to the right
// of the picture, and out (right) is across (down) turned a quarter turn
// counter-clockwise. Front, the camera looks south, west is to the right, and
// along (right) is across (down) turned a quarter turn counter-clockwise as
// well.
//
// From the neck the camera looks east, north is to the left, and the sense is
// reversed; so it is for a mirror image of the picture or of the instrument.
func (o Orientation) turn(v View) float64 {
	sign := 1.0
	if v != Spatial && !o.YUp {
		// Counter-clockwise as seen is from x toward y with y up and from x
		// toward minus y with y down.
		sign = -sign
	}
	if o.LeftHanded {
		sign = -sign
	}
	if o.Mirrored {
		sign = -sign
	}
	if o.FromNeck && v != Front && v != Spatial {
		sign = -sign
	}
	return sign
}

// Side is a direction as seen in the picture.
type Side int

const (
	// SideUnknown is the zero value: nobody said.
	SideUnknown Side = iota
	// Up is toward the top of the picture.
	Up
	// Down is toward the bottom of the picture.
	Down
	// Left is toward the left of the picture.
	Left
	// Right is toward the right of the picture.
	Right
)

var sideNames = []string{"unknown", "up", "down", "left", "right"}

// String returns the name of the side as it stands in files.
func (s Side) String() string { return name(sideNames, int(s)) }

// MarshalText returns the name of the side.
func (s Side) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the name of a side: up, down, left, right or unknown.
func (s *Side) UnmarshalText(text []byte) error {
	i, err := index("side", sideNames, strings.ToLower(strings.TrimSpace(string(text))))
	if err == nil {
		*s = Side(i)
	}
	return err
}

// vector returns the side as a unit vector of the source.
func (s Side) vector(yUp bool) (x, y float64) {
	switch s {
	case Up:
		y = -1
	case Down:
		y = 1
	case Left:
		x = -1
	case Right:
		x = 1
	}
	if yUp {
		y = -y
	}
	return x, y
}
