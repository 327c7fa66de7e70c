package cues

import (
	"fmt"
	"slices"
	"strings"
)

// Kind is what a caption tells of.
type Kind int

const (
	KindUnknown Kind = iota
	Spans            // settled and searching spans
	Rates            // notes per second and BPM, of each span, or of the take where spans are not shown
	Misses           // strokes that reach no string
	Silent           // strokes that do not sound
	Pauses           // rests of the hand
	Strings          // the string played, where it changes
	Hidden           // strokes with a turn out of sight
)

var kindText = [...]string{"", "spans", "rates", "misses", "silent", "pauses", "strings", "hidden"}

// shownByDefault is every kind but Hidden, which in some films is half of the
// strokes.
var shownByDefault = []Kind{Spans, Rates, Misses, Silent, Pauses, Strings}

// String returns "spans", "rates", "misses", "silent", "pauses", "strings",
// "hidden", or "" for unknown.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindText) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kindText[k]
}

// MarshalText implements encoding.TextMarshaler.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler. The error for a name that is
// none lists those that are.
func (k *Kind) UnmarshalText(b []byte) error {
	if i := slices.Index(kindText[1:], string(b)); i >= 0 {
		*k = Kind(i + 1)
		return nil
	}
	return fmt.Errorf("cues: there is no kind of caption %q: choose of %s", b, strings.Join(kindText[1:], ", "))
}
