package onepage

import (
	_ "embed"
	"io"

	"github.com/plectrace/plectrace/examples/internal/notebook"
	"github.com/plectrace/plectrace/motion/advice"
	"github.com/plectrace/plectrace/motion/progress"
	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

//go:embed steps.go
var steps notebook.Source

// About is what pages tell of a take besides its review.
type About struct {
	Name    string           // of the export
	Notes   []string         // how it was read, and what was guessed
	Task    advice.Task      // what was to be played
	Comfort progress.Comfort // how the player felt
	ByForm  bool             // they come from a form, not from flags
}

// Invented says of the take beginner-1 what it is.
const Invented = "Demo: a beginner's first take in an invented evening class of a plectrum orchestra. No real player was measured."

// player is what is said of the player and the task.
type player struct {
	task    advice.Task
	comfort progress.Comfort
}

func (a About) player() player { return player{a.Task, a.Comfort} }

// Read takes from an export the points that the settings name. timed says that the
// export has a column of times; the text says what was assumed about them, if
// anything.
func Read(export io.Reader, name string, s review.Setup, timed bool) (*trajectory.Recording, string, error) {
	return read(export, name, s, timed)
}

// Measure reviews the take.
func Measure(rec *trajectory.Recording, s review.Setup, o review.Options) (*review.Review, error) {
	return measure(rec, s, o)
}
