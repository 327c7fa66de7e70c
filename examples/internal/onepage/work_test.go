package onepage

import (
	"strings"
	"testing"

	"github.com/plectrace/plectrace/motion/advice"
)

// TestUnjudged: what could not be judged is told in one sentence, by reason.
func TestUnjudged(t *testing.T) {
	a := advice.Advice{Unsaid: []advice.Unsaid{
		{Key: "silent strokes", Why: "no onsets"}, {Key: "missed strings", Why: "no strings"},
		{Key: "no turn clears", Why: "it is not said"}, {Key: "uneven attack", Why: "no onsets"},
	}}
	if got, want := unjudged(advice.TaskUnknown, a), "Could not be judged: silent strokes, uneven attack (no onsets); missed strings (no strings)."; got != want {
		t.Errorf("%q", got)
	}
	if got := unjudged(advice.ChangingStrings, a); !strings.Contains(got, "no turn clears (it is not said)") {
		t.Errorf("%q", got)
	}
	if got := unjudged(advice.TaskUnknown, advice.Advice{}); got != "" {
		t.Errorf("%q", got)
	}
}
