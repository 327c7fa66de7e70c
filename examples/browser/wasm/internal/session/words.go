package session

import (
	"errors"
	"fmt"
	"strings"

	"github.com/plectrace/plectrace/examples/internal/cli"
	"github.com/plectrace/plectrace/trajectory/tracks"
)

// plain is what is wrong, with a next step that the page offers.
func plain(name string, err error) error {
	var e *tracks.Error
	if !errors.As(err, &e) {
		return cli.Input(fmt.Errorf("%s: %w", name, err), "")
	}
	e.File = name
	return cli.Input(e, map[string]string{
		"rate":       "on this page that is Frames a second, under Time",
		"time-unit":  "on this page that is Unit of the times, under Time",
		"confidence": "or set min_confidence to -1 in the settings file",
		"binary":     "a film or a picture has to go through a tracker first",
	}[e.Rule])
}

// Words is what went wrong as one sentence on one line.
func Words(err error) string {
	text := strings.Join(strings.Fields(err.Error()), " ")
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}
