package contact

import "fmt"

// Answer is yes, no, or that it cannot be said. Its zero value is unknown.
type Answer int

const (
	Unknown Answer = iota
	Yes
	No
)

var answerText = [...]string{"", "yes", "no"}

// String returns "yes", "no" or "" for unknown.
func (a Answer) String() string {
	if a < 0 || int(a) >= len(answerText) {
		return fmt.Sprintf("Answer(%d)", int(a))
	}
	return answerText[a]
}

// MarshalText implements encoding.TextMarshaler.
func (a Answer) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler.
func (a *Answer) UnmarshalText(b []byte) error {
	for i, s := range answerText {
		if s == string(b) {
			*a = Answer(i)
			return nil
		}
	}
	return fmt.Errorf("contact: unknown answer %q", b)
}

// answer is yes from certainty up, no from 1-certainty down.
func answer(p, certainty float64) Answer {
	switch {
	case p >= certainty:
		return Yes
	case p <= 1-certainty:
		return No
	}
	return Unknown
}
