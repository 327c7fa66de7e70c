package measured

import (
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/progress"
)

// Task is for a flag that says what was to be played: one-string or
// changing-strings.
func Task(t *advice.Task) func(string) error {
	return func(text string) error {
		if t.UnmarshalText([]byte(strings.ReplaceAll(text, "-", " "))) != nil || *t == advice.TaskUnknown {
			return fmt.Errorf("%q is not a task: say one-string or changing-strings", text)
		}
		return nil
	}
}

// Comfort is for a flag that says how a player felt: good, tired or pain.
func Comfort(c *progress.Comfort) func(string) error {
	return func(text string) error {
		if c.UnmarshalText([]byte(text)) != nil || *c == progress.ComfortUnknown {
			return fmt.Errorf("%q does not say how the player felt: say good, tired or pain", text)
		}
		return nil
	}
}
