package progress

import "fmt"

// Beyond says what a change goes beyond. Its zero value: it cannot be said.
type Beyond int

const (
	// BeyondUnknown: there are no repeats to hold the change against.
	BeyondUnknown Beyond = iota
	// BeyondNothing: within what the player's takes differ by themselves.
	BeyondNothing
	// BeyondDay: beyond what takes of one day differ, but the takes are of two
	// days, and by how much days differ is not known.
	BeyondDay
	// BeyondRepeats: beyond what the player's takes differ by themselves.
	BeyondRepeats
)

var beyondText = [...]string{"cannot say", "within", "beyond takes of a day", "beyond"}

// String returns "cannot say", "within", "beyond takes of a day" or "beyond".
func (b Beyond) String() string {
	if b < 0 || int(b) >= len(beyondText) {
		return fmt.Sprintf("Beyond(%d)", int(b))
	}
	return beyondText[b]
}

// MarshalText implements encoding.TextMarshaler.
func (b Beyond) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (b *Beyond) UnmarshalText(text []byte) error {
	for i, s := range beyondText {
		if s == string(text) {
			*b = Beyond(i)
			return nil
		}
	}
	return fmt.Errorf("progress: %q is none of what a change can go beyond", text)
}
