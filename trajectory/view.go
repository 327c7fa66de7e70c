package trajectory

import (
	"fmt"
	"strings"
)

// View says how the source looks at the instrument, and with it which axes of
// the instrument frame it can give.
type View int

const (
	// ViewUnknown is the zero value: nobody said.
	ViewUnknown View = iota
	// EndOn is a camera that looks down the strings. It gives across and out.
	EndOn
	// Front is a camera that faces the instrument. It gives across and along.
	Front
	// Oblique is a camera between the two. It gives across and out in the
	// plane of the picture, which compare only within one setup.
	Oblique
	// Spatial is a source with three axes. It gives across, along and out.
	Spatial
)

var viewNames = []string{"unknown", "end-on", "front", "oblique", "3-d"}

// String returns the name of the view as it stands in files.
func (v View) String() string { return name(viewNames, int(v)) }

// MarshalText returns the name of the view.
func (v View) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads the name of a view: end-on, front, oblique, 3-d or
// unknown. Upper case and "3d" are taken too.
func (v *View) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	if s == "3d" {
		s = "3-d"
	}
	i, err := index("view", viewNames, s)
	if err == nil {
		*v = View(i)
	}
	return err
}

// HasOut reports whether the view shows the out axis, which path angle and
// heights need.
func (v View) HasOut() bool { return v == EndOn || v == Oblique || v == Spatial }

// HasAlong reports whether the view shows the along axis, which skew needs.
func (v View) HasAlong() bool { return v == Front || v == Spatial }

// name returns names[i], and the number itself when there is none.
func name(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("%s(%d)", names[0], i)
	}
	return names[i]
}

// index returns the place of s among names. The empty text is the zero value.
func index(what string, names []string, s string) (int, error) {
	if s == "" {
		return 0, nil
	}
	for i, n := range names {
		if n == s {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%s %q is not known: use %s", what, s, strings.Join(names[1:], ", "))
}
