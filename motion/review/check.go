package review

import (
	"strings"

	"github.com/plectrace/plectrace/trajectory"
)

// Finding is one thing that a set-up can or cannot measure, and why, as parts
// of a sentence.
type Finding struct {
	Can bool
	// Aside says that the finding is worth knowing about this take, and is
	// neither something that can be measured nor something that cannot.
	Aside bool
	What  string
	Why   string
}

// Check says what the set-up behind a recording can and cannot measure, before
// a lesson is spent on it. It is an error when nothing could be measured at
// all.
func Check(rec *trajectory.Recording, s Setup, o Options) ([]Finding, error) {
	r, err := Run(rec, s, o)
	if err != nil {
		return nil, err
	}
	fs := r.Adequacy()
	for _, q := range r.Questions {
		fs = append(fs, aside("first", "%s", strings.TrimSuffix(q, ".")))
	}
	for _, n := range r.Notes {
		fs = append(fs, aside("note", "%s", strings.TrimSuffix(n, ".")))
	}
	return fs, nil
}

// metric are the units of an export that need no distance between the marks.
var metric = map[string]string{"mm": "millimetres", "cm": "centimetres", "m": "metres"}
