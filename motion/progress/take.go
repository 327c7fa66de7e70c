package progress

import (
	"fmt"
	"time"

	"github.com/plectrace/plectrace/motion/review"
)

// Take is one take of a player: what a person noted of it, and what is measured.
type Take struct {
	// Player is a code, not a name.
	Player string
	// Date is the day of the take, or its moment where the time of day is known.
	Date time.Time
	// Session and Take tell the sessions of a day and the takes of a session
	// apart. Session is empty where a day is one session.
	Session, Take string
	// File is the export. Setup names the set-up; it stands for the one in the
	// take's settings where that is empty.
	File, Setup string
	// StoppedBy says what ended the take ("timer", "player", "pain", ...), Grip
	// how the pick was held, in the writer's own words.
	StoppedBy, Grip string
	Comfort         Comfort
	// Extra holds the values of further columns, in the order of
	// Roster.Columns.
	Extra []string
	// Line is the line of the list that the take stands in, 0 for none.
	Line int

	// Summary is what is measured, nil while the take is not reviewed.
	Summary *review.Summary
}

// Comfort is how the player felt at the take. Its zero value: not said.
type Comfort int

const (
	ComfortUnknown Comfort = iota
	ComfortGood
	ComfortTired
	ComfortPain
)

var comfortText = [...]string{"", "good", "tired", "pain"}

// String returns "good", "tired", "pain" or "" for unknown.
func (c Comfort) String() string {
	if c < 0 || int(c) >= len(comfortText) {
		return fmt.Sprintf("Comfort(%d)", int(c))
	}
	return comfortText[c]
}

// MarshalText implements encoding.TextMarshaler.
func (c Comfort) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (c *Comfort) UnmarshalText(b []byte) error {
	for i, s := range comfortText {
		if s == string(b) {
			*c = Comfort(i)
			return nil
		}
	}
	return fmt.Errorf("progress: comfort %q: say good, tired or pain, or leave it empty", b)
}

// StopRest returns what a player who notes pain is told, in place of all else.
func StopRest() []string {
	return []string{
		"Stop playing now. Pain, numbness or tingling is a reason to stop, whatever the numbers say.",
		"Rest, and do not play on through it.",
		"See a clinician if it stays or comes back. Nothing here is medical advice.",
	}
}
