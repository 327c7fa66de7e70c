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
	next := map[string]string{
		"rate":       "on this page that is Frames a second, under Time",
		"time-unit":  "on this page that is Unit of the times, under Time",
		"confidence": "or put -1 into Least confidence, under More about the export",
		"column":     "on this page that is Column of the times, under Time",
		"unit":       "on this page that is Unit of the coordinates, under More about the export",
	}[e.Rule]
	if e.Rule == "binary" && strings.HasSuffix(e.Msg, "this is not text") {
		next = "a film or a picture has to go through a tracker first"
	}
	return cli.Input(e, next)
}

// Words is what went wrong as one sentence on one line.
func Words(err error) string {
	text := strings.Join(strings.Fields(err.Error()), " ")
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}
